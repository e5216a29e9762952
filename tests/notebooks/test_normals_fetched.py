"""`tarebook normals --get` against a server on this machine, and what is said without it."""

import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from http.server import BaseHTTPRequestHandler
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "tripdata" / "normals"))
import noaa_server
import station_files as made
from noaa_server import Server, line
from tarebook.tripdata.normals import fetching

Run = Callable[..., tuple[int, str, str]]
BEST, NEXT = "USW00099999", "USC00000002"
NOTHING: dict[str, bytes] = {}


@pytest.fixture
def server(monkeypatch: pytest.MonkeyPatch) -> Iterator[Server]:
    """NOAA's layouts: the best station and the next have normals of the low, in °F."""
    with noaa_server.running() as server:
        server.stations(
            line("US1WA000001", "RAIN GAUGE", 47.5, -122.0),
            line(BEST, "FERNHOLLOW AP", 47.5, -122.1),
            line(NEXT, "ALDERWATER 3 N", 47.5, -122.3),
            line("USC00000003", "FAR OFF", 30.0, -90.0),
        )
        server.station(BEST, made.daily())
        server.station(NEXT, made.daily(STATION=NEXT, NAME="ALDERWATER 3 N, WA US"))
        monkeypatch.setenv(fetching.LOCAL, server.base)
        yield server


@pytest.fixture
def logbook(tmp_path: Path) -> Path:
    """A past trip and a plan at one place, a trip where NOAA has no station, one without place."""
    folder = tmp_path / "book"
    folder.mkdir()
    (folder / "gear.csv").write_text("item,system,weight_g\npot,cook,90\n")
    (folder / "trip.csv").write_text(
        "trip,start_on,end_on,latitude,longitude,elevation_m,plan\n"
        "past,2026-01-02,2026-01-04,47.5,-122,300,\n"
        "plan,2027-01-02,2027-01-05,47.5,-122,300,yes\n"
        "north,2026-01-02,2026-01-04,61,29,300,\n"
        "somewhere,2026-02-02,2026-02-04,,,,\n"
    )
    return folder


def filed(logbook: Path) -> dict[str, bytes]:
    """What lies in normals/, hidden files among it."""
    folder = logbook / "normals"
    return {p.name: p.read_bytes() for p in folder.iterdir()} if folder.exists() else {}


def test_inventory_and_best_file_are_fetched(run: Run, logbook: Path, server: Server) -> None:
    status, out, err = run("normals", logbook, "--get")
    assert status == 0
    assert server.asked == [fetching.INVENTORY, f"{fetching.STATION_FILES}{BEST}.csv"]
    assert filed(logbook) == {
        "inventory_30yr.txt": server.has[server.asked[0]],
        f"{BEST}-daily-1991-2020.csv": server.has[server.asked[1]],
    }
    lines = err.splitlines()
    assert lines[:2] == [
        f"tarebook: asking {server.base}{fetching.INVENTORY}",
        "tarebook: normals/inventory_30yr.txt is new, with 4 stations",
    ]
    assert lines[2] == f"tarebook: asking {server.base}{server.asked[1]}"
    assert lines[3].startswith("tarebook: plan, past: FERNHOLLOW AP, WA (USW00099999), 7.5 km away")
    assert lines[4].startswith("tarebook: north: no station within 100 km and 700 m of height can")
    serving = [row.split() for row in out.split("\n\n")[1].splitlines()]
    assert ["past", BEST] in [row[:2] for row in serving if row[-1] == "yes"]
    assert run("check", logbook)[0] == 0


def test_what_is_at_hand_is_not_asked_for_again(run: Run, logbook: Path, server: Server) -> None:
    run("normals", logbook, "--get")
    before, asked = filed(logbook), len(server.asked)
    server.station(BEST, made.daily(lambda _: 10.0))
    assert run("normals", logbook, "--get")[0] == 0
    assert (filed(logbook), len(server.asked)) == (before, asked)


def test_a_file_put_in_by_hand_counts(run: Run, logbook: Path, server: Server) -> None:
    (logbook / "normals").mkdir()
    (logbook / "normals" / "mine.csv").write_bytes(made.daily())
    assert run("normals", logbook, "--get")[0] == 0
    assert server.asked == [fetching.INVENTORY]


def test_a_file_of_the_same_name_is_never_replaced(run: Run, logbook: Path, server: Server) -> None:
    (logbook / "normals").mkdir()
    place = logbook / "normals" / f"{BEST}-daily-1991-2020.csv"
    place.write_text("my notes\n")
    status, _, err = run("normals", logbook, "--get")
    assert status == 1
    assert err.splitlines()[-1].endswith("is there already; move it away to fetch it again")
    assert place.read_text() == "my notes\n"
    assert server.asked == [fetching.INVENTORY]


def test_a_station_without_temperatures_is_passed_over_once(
    run: Run, logbook: Path, server: Server
) -> None:
    rain = {"STATION": BEST, "DATE": "01-01", "DLY-PRCP-PCTALL-GE001HI": "10.1"}
    server.station(BEST, made.text([rain]))
    status, out, err = run("normals", logbook, "--get")
    assert status == 0
    assert server.asked_stations == [BEST, NEXT]
    assert f"{BEST}: the station has no normal of the low in this file" in err
    assert set(filed(logbook)) == {"inventory_30yr.txt", f"{NEXT}-daily-1991-2020.csv"}
    assert BEST not in out
    run("normals", logbook, "--get")
    assert server.asked_stations == [BEST, NEXT]


def test_a_station_that_has_no_file_is_passed_over(run: Run, logbook: Path, server: Server) -> None:
    del server.has[f"{fetching.STATION_FILES}{BEST}.csv"]
    assert run("normals", logbook, "--get")[0] == 0
    assert set(filed(logbook)) == {"inventory_30yr.txt", f"{NEXT}-daily-1991-2020.csv"}


def test_a_station_that_a_trip_names_is_the_one(run: Run, logbook: Path, server: Server) -> None:
    (logbook / "trip.csv").write_text(
        "trip,start_on,end_on,latitude,longitude,station\n"
        f"past,2026-01-02,2026-01-04,47.5,-122,{NEXT}\n"
        "other,2026-01-02,2026-01-04,47.5,-122,Rivermouth\n"
    )
    _, _, err = run("normals", logbook, "--get")
    assert server.asked_stations == [NEXT]
    assert 'other: no station on the list is called "Rivermouth" and' in err


def cut(handler: BaseHTTPRequestHandler) -> None:
    data = made.daily()
    noaa_server.send(handler, data[: len(data) // 2], len(data))


def too_large(handler: BaseHTTPRequestHandler) -> None:
    noaa_server.send(handler, b"x" * (fetching.LARGEST_ANSWER_BYTES + 1))


def unannounced(handler: BaseHTTPRequestHandler) -> None:
    handler.send_response(200)
    handler.end_headers()
    handler.wfile.write(made.daily()[:9000])


def compressed(handler: BaseHTTPRequestHandler) -> None:
    handler.send_response(200)
    handler.send_header("Content-Encoding", "gzip")
    handler.send_header("Content-Length", "2")
    handler.end_headers()
    handler.wfile.write(b"\x1f\x8b")


def silent(handler: BaseHTTPRequestHandler) -> None:
    # Nothing, until the other side has hung up.
    handler.rfile.read(1)


def broken_chunk(handler: BaseHTTPRequestHandler) -> None:
    handler.send_response(200)
    handler.send_header("Transfer-Encoding", "chunked")
    handler.end_headers()
    handler.wfile.write(b"400\r\n" + b"x" * 100)


def in_trouble(handler: BaseHTTPRequestHandler) -> None:
    handler.send_error(503)


@pytest.mark.parametrize(
    ("answer", "problem"),
    [
        (cut, "was cut after"),
        (too_large, "is larger than 5,000,000 bytes"),
        (unannounced, "does not say how large the file is"),
        (compressed, "expected plain text, got a compressed answer"),
        (silent, "no answer (timed out); try again later"),
        (broken_chunk, "the answer was cut or garbled"),
        (in_trouble, "the server answered 503"),
        (noaa_server.redirect("http://127.0.0.2:9/x.csv"), "sends on to http://127.0.0.2:9/x.csv"),
        (noaa_server.redirect("https://example.org/x.csv"), "sends on to https://example.org/"),
        (noaa_server.redirect("file:///etc/hostname"), "file:///etc/hostname' is not allowed"),
    ],
)
@pytest.mark.parametrize("of_inventory", [True, False])
def test_an_answer_that_is_not_whole_leaves_nothing(
    run: Run,
    logbook: Path,
    server: Server,
    monkeypatch: pytest.MonkeyPatch,
    answer: noaa_server.Answer,
    problem: str,
    of_inventory: bool,
) -> None:
    if answer is silent:
        # Long enough for what does answer, on a machine that is busy with other work.
        monkeypatch.setattr(fetching, "SILENCE_S", 3.0)
    inventory = server.has[fetching.INVENTORY]
    path = fetching.INVENTORY if of_inventory else f"{fetching.STATION_FILES}{BEST}.csv"
    server.has[path] = answer
    status, out, err = run("normals", logbook, "--get")
    assert (status, out) == (1, "")
    last = err.splitlines()[-1]
    assert last.startswith(f"tarebook: {server.base}{path}: ")
    assert problem in last
    assert filed(logbook) == (NOTHING if of_inventory else {"inventory_30yr.txt": inventory})
    assert server.asked[-1] == path


def test_a_slow_answer_ends_in_time(
    run: Run, logbook: Path, server: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    def drips(handler: BaseHTTPRequestHandler) -> None:
        handler.send_response(200)
        handler.send_header("Content-Length", "1000")
        handler.end_headers()
        for _ in range(100):
            handler.wfile.write(b"x")
            time.sleep(0.02)

    monkeypatch.setattr(fetching, "LONGEST_S", 0.2)
    server.has[fetching.INVENTORY] = drips
    status, _, err = run("normals", logbook, "--get")
    assert status == 1
    assert "took more than 0.2 seconds" in err
    assert filed(logbook) == NOTHING


def test_a_refused_connection_is_one_line(
    run: Run, logbook: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        base = f"http://127.0.0.1:{free.getsockname()[1]}"
    monkeypatch.setenv(fetching.LOCAL, base)
    status, out, err = run("normals", logbook, "--get")
    assert (status, out) == (1, "")
    asking, failed = err.splitlines()
    assert asking == f"tarebook: asking {base}{fetching.INVENTORY}"
    assert failed.endswith("no answer (Connection refused); try again later")
    assert filed(logbook) == NOTHING


def test_a_redirect_within_the_host_is_told_and_followed(
    run: Run, logbook: Path, server: Server
) -> None:
    server.has["/moved.txt"] = server.has[fetching.INVENTORY]
    server.has[fetching.INVENTORY] = noaa_server.redirect("/moved.txt")
    status, _, err = run("normals", logbook, "--get")
    assert status == 0
    assert err.splitlines()[1] == f"tarebook: asking {server.base}/moved.txt"


OBSERVED = b'"STATION","NAME","DATE","TMAX","TMIN"\n"USW00099999","x","2009-01-01","26","15"\n'


@pytest.mark.parametrize(
    ("data", "problem"),
    [
        (b"<!doctype html><title>Sign in</title>", "not a by-station normals file of NOAA's"),
        (OBSERVED, "these are observations, not normals"),
        (b"PK\x03\x04\x00\x00", "is not a text file"),
        (b"", "is empty"),
        (made.daily()[:-2000], "is the download complete?"),
        (made.daily(STATION=NEXT), f"it holds normals of {NEXT} daily 1991-2020"),
        (made.daily(years=15, flag="S"), f"it holds normals of {BEST} daily 2006-2020"),
        (made.monthly(lambda _: 30.0), f"it holds normals of {BEST} monthly 1991-2020"),
        (made.text([{"STATION": BEST, "DATE": "01", "ANN-TMIN-NORMAL": "1"}]), "daily file"),
    ],
)
def test_a_wrong_file_is_left_out(
    run: Run, logbook: Path, server: Server, data: bytes, problem: str
) -> None:
    server.station(BEST, data)
    status, _, err = run("normals", logbook, "--get")
    assert status == 1
    assert problem in err
    assert set(filed(logbook)) == {"inventory_30yr.txt"}
    assert server.asked_stations == [BEST]


def test_a_wrong_inventory_is_left_out(run: Run, logbook: Path, server: Server) -> None:
    server.has[fetching.INVENTORY] = b"<!doctype html>\n"
    status, _, err = run("normals", logbook, "--get")
    assert status == 1
    assert err.splitlines()[-1].endswith("is not NOAA's list of stations")
    assert filed(logbook) == NOTHING


@pytest.mark.parametrize(
    "base",
    [
        "http://example.org",
        "http://127.0.0.1:80@example.org",
        "https://127.0.0.1:1",
        "http://127.0.0.1:1/x",
        "",
    ],
)
def test_no_other_server_can_be_put_in(
    run: Run, logbook: Path, monkeypatch: pytest.MonkeyPatch, base: str
) -> None:
    monkeypatch.setenv(fetching.LOCAL, base)
    status, out, err = run("normals", logbook, "--get")
    assert (status, out) == (1, "")
    assert "expected http://127.0.0.1:PORT" in err


def test_noaa_is_asked_over_https_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(fetching.LOCAL, raising=False)
    assert fetching.base_address() == "https://www.ncei.noaa.gov"
    handlers = fetching._opener(fetching.BASE, print).handlers
    names = {type(handler).__name__ for handler in handlers}
    assert "HTTPSHandler" in names
    assert not names & {"HTTPHandler", "FileHandler", "FTPHandler", "DataHandler"}


def test_without_a_trip_that_has_a_place_nothing_is_asked(
    run: Run, logbook: Path, server: Server
) -> None:
    (logbook / "trip.csv").write_text("trip,start_on,end_on\npast,2026-01-02,2026-01-04\n")
    status, out, _ = run("normals", logbook, "--get")
    assert status == 0
    assert "No trip has latitude and longitude in trip.csv" in out
    assert server.asked == []


@pytest.mark.parametrize("of_inventory", [True, False])
def test_an_interruption_leaves_nothing(logbook: Path, server: Server, of_inventory: bool) -> None:
    def stalls(handler: BaseHTTPRequestHandler) -> None:
        handler.send_response(200)
        handler.send_header("Content-Length", "9000")
        handler.end_headers()
        handler.wfile.write(made.daily()[:4000])
        time.sleep(10)

    before = NOTHING
    if of_inventory:
        server.has[fetching.INVENTORY] = stalls
    else:
        before = {"inventory_30yr.txt": server.has[fetching.INVENTORY]}  # type: ignore[dict-item]
        server.station(BEST, stalls)
    command = [sys.executable, "-m", "tarebook.notebooks.cli", "normals", str(logbook), "--get"]
    with subprocess.Popen(command, stderr=subprocess.PIPE, stdout=subprocess.PIPE) as running:
        until = time.monotonic() + 60
        while len(server.asked) < (1 if of_inventory else 2) and time.monotonic() < until:
            time.sleep(0.02)
        time.sleep(0.2)
        running.send_signal(signal.SIGINT)
        _, err = running.communicate(timeout=30)
    assert running.returncode != 0
    assert b"Traceback" not in err
    assert filed(logbook) == before


def test_an_inventory_at_hand_names_stations_and_the_file(
    run: Run, logbook: Path, server: Server
) -> None:
    (logbook / "normals").mkdir()
    (logbook / "normals" / "list.txt").write_bytes(server.has[fetching.INVENTORY])  # type: ignore[arg-type]
    status, out, err = run("normals", logbook)
    assert (status, err) == (0, "")
    assert out.split("\n\n")[2].splitlines()[:-3] == [
        "stations near your trips, by normals/list.txt:",
        "plan, past",
        "  FERNHOLLOW AP, WA (USW00099999), 7.5 km away, 100 m high, the camp 200 m higher",
        "  ALDERWATER 3 N, WA (USC00000002), 22.6 km away, 100 m high, the camp 200 m higher",
        "  to put into normals/: https://www.ncei.noaa.gov/data/normals-daily/1991-2020/access/"
        "USW00099999.csv",
        "north",
        "  no station within 100 km and 700 m of height can have temperature normals",
    ]
    (logbook / "normals" / "from the web.csv").write_bytes(made.daily())
    out = run("normals", logbook)[1]
    assert "the camp 200 m higher; its file is at hand\n" in out
    assert "to put into" not in out
    assert server.asked == []


def test_an_inventory_as_csv_is_no_broken_normals_file(
    run: Run, logbook: Path, noaa: Callable[[str], Path]
) -> None:
    (logbook / "normals").mkdir()
    data = noaa("inventory-daily-1991-2020.csv").read_bytes()
    (logbook / "normals" / "inventory.csv").write_bytes(data)
    assert run("check", logbook)[0] == 0
    assert "stations near your trips, by normals/inventory.csv:" in run("normals", logbook)[1]


def test_a_broken_inventory_is_one_line(run: Run, logbook: Path) -> None:
    (logbook / "normals").mkdir()
    text = line(BEST, "FERNHOLLOW AP", 47.5, -122.1)
    (logbook / "normals" / "list.txt").write_text(f"{text}\n{text[:30]}\n")
    status, _, err = run("normals", logbook)
    assert status == 1
    assert err.splitlines()[-1].startswith("tarebook: normals/list.txt:2: expected a station")


def test_with_neither_it_says_where_to_look(run: Run, logbook: Path, server: Server) -> None:
    status, out, err = run("normals", logbook)
    assert status == 0
    assert err == ""
    assert f"{fetching.BASE}{fetching.STATION_FILES}" in out
    assert f"{fetching.BASE}{fetching.INVENTORY}" in out
    assert server.asked == []


def test_files_as_noaa_publishes_them(
    run: Run, logbook: Path, server: Server, noaa: Callable[[str], Path]
) -> None:
    (logbook / "trip.csv").write_text(
        "trip,start_on,end_on,latitude,longitude,elevation_m\n"
        "hills,2026-01-02,2026-01-04,43.63,-72.31,190\n"
    )
    server.has[fetching.INVENTORY] = noaa("inventory-daily-1991-2020.csv").read_bytes()
    lebanon = noaa("normals-daily-1991-2020-USW00094765.csv").read_bytes()
    server.station("USW00094765", lebanon)
    status, out, _ = run("normals", logbook, "--get")
    assert status == 0
    assert server.asked_stations == ["USW00094765"]
    assert filed(logbook)["USW00094765-daily-1991-2020.csv"] == lebanon
    assert "LEBANON MUNI AP, NH (USW00094765)" in out
