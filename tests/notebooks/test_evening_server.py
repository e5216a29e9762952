"""The form's server: whom it answers, what it answers, and that it leaves nothing behind."""

import os
import signal
import subprocess
import sys
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from http.cookiejar import CookieJar
from pathlib import Path

import limits
import pytest
from evening_book import write_book
from evening_hands import Server
from tarebook.notebooks.app.server import HOST

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    running = Server(write_book(tmp_path_factory.mktemp("served")))
    yield running
    if running.process.poll() is None:
        assert running.interrupt() == 0


class _Stay(urllib.request.HTTPRedirectHandler):
    def redirect_request(self, *_: object) -> None:
        """Where it would go is looked at, not followed."""


def answer(server: Server, path: str, method: str = "GET", token: bool = True, **more: str) -> int:
    """The status of an answer; with the token, unless told otherwise."""
    query = server.address.partition("?")[2]
    address = f"{server.origin}{path}{'?' + query if token else ''}"
    headers = {name.replace("_", "-"): value for name, value in more.items()}
    request = urllib.request.Request(address, method=method, headers=headers)
    opener = urllib.request.build_opener(_Stay)
    try:
        with opener.open(request, timeout=60) as got:
            return int(got.status)
    except urllib.error.HTTPError as error:
        return error.code


def test_it_is_on_this_machine_alone_and_wants_its_token(server: Server) -> None:
    assert server.origin.startswith(f"http://{HOST}:")
    assert answer(server, "/", token=False) == 302
    for path in ("/debrief/2026-05-river", "/reports/debrief.html"):
        assert answer(server, path, token=False) in (302, 403)
    assert answer(server, "/close", "POST", token=False, X_Tarebook="close") in (302, 403)


def test_a_page_of_another_name_gets_nothing(server: Server) -> None:
    """As where somebody's own name leads to 127.0.0.1."""
    assert answer(server, "/", Host="elsewhere.example") == 403
    assert answer(server, "/close", "POST", Origin="http://elsewhere.example") == 403


@pytest.mark.parametrize(
    ("path", "method"),
    [
        ("/api/kernels", "POST"),
        ("/api/contents", "GET"),
        ("/voila/files/server.py", "GET"),
        ("/voila/render/log.ipynb", "GET"),
        ("/voila/tree", "GET"),
        ("/other.ipynb", "GET"),
        ("/reports/..%2fgear.csv", "GET"),
        ("/reports/gear.csv", "GET"),
        ("/reports/none.html", "GET"),
    ],
)
def test_nothing_but_the_form_and_its_reports_is_served(
    server: Server, path: str, method: str
) -> None:
    assert answer(server, path, method) in (403, 404, 405)


def test_a_debrief_that_cannot_be_made_is_said(server: Server) -> None:
    address = server.address.replace("/?", "/debrief/no-such-trip%22%3E%3Cb%3E?")
    with (
        limits.at_most(300, "A debrief that cannot be made"),
        urllib.request.urlopen(address, timeout=120) as got,
    ):
        page = got.read().decode()
    assert "It could not be made." in page
    assert "there is no trip" in page or "no-such-trip" in page
    assert "<b>" not in page


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="processes are seen in /proc")
@pytest.mark.parametrize("sign", [signal.SIGINT, signal.SIGTERM])
def test_told_to_end_it_takes_its_kernels_along(tmp_path: Path, sign: signal.Signals) -> None:
    running = Server(write_book(tmp_path / "book"))
    opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar()))
    # While a kernel does not start, the page sends a sign of life every few seconds, for ever.
    with (
        limits.at_most(300, "The form's page", lambda: limits.below(running.process.pid)),
        opener.open(running.address, timeout=120) as got,
    ):
        assert b"jupyter-config-data" in got.read()
    kernels = [each.pid for each in limits.below(running.process.pid)]
    assert kernels
    running.process.send_signal(sign)
    assert running.wait() == 0
    assert [pid for pid in kernels if Path(f"/proc/{pid}/exe").exists()] == []


def test_no_logbook_is_one_line(run: Run, tmp_path: Path) -> None:
    status, out, err = run("log", tmp_path, "--no-browser")
    assert (status, out) == (1, "")
    assert err.startswith(f"tarebook: {tmp_path}: no gear.csv here; is this a logbook?")


def test_a_trip_that_is_none_is_one_line(run: Run, tmp_path: Path) -> None:
    status, out, err = run("log", write_book(tmp_path / "book"), "--trip", "2026-10-moon")
    assert (status, out) == (1, "")
    told = 'tarebook: there is no trip "2026-10-moon"; did you mean "2026-10-moor"?'
    assert err.splitlines() == [told]


def test_a_port_that_is_taken_is_one_line(run: Run, server: Server, tmp_path: Path) -> None:
    port = server.origin.rpartition(":")[2]
    folder = write_book(tmp_path / "book")
    command = [sys.executable, "-m", "tarebook.notebooks.cli", "log", str(folder), "--no-browser"]
    done = subprocess.run(
        [*command, "--port", port], capture_output=True, text=True, timeout=60, env=os.environ
    )
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.splitlines()[-1].startswith(f"tarebook: port {port}: cannot be used (")
