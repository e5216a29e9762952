"""Whichever input is changed, and in whichever order, the next question gets the new value.

Beside them lies what cannot be looked at: it is named where it could be a table, and hides nothing.
"""

import os
import random
import shutil
import socket
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import kit
import pytest

sys.path.insert(0, str(Path(__file__).parent / "normals"))
from station_files import daily
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.store import ensure_current, open_for_reading, store_path

Write = Callable[..., Path]


class Input(NamedTuple):
    """One kind of input: where it is, what it holds for a number, and how that is asked for."""

    file: str
    content: Callable[[int], str | bytes]
    query: str
    answer: Callable[[int], Any]


def _same(number: int) -> int:
    return number


_SETTINGS = """\
[person]
body_kg = {}
[[logger]]
files = "temperatures-porch.csv"
time = "Clock"
temperature = "Degrees"
unit = "c"
"""
_ROOM = "trips/river/"
INPUTS = {
    "gear": Input(
        "gear.csv",
        lambda n: f"item,system,weight_g\ntent,shelter,{1000 + n}\n",
        "SELECT weight_mg FROM gear",
        lambda n: (1000 + n) * 1000,
    ),
    "weighings": Input(
        "weighings.csv",
        lambda n: f"item,weighed_on,weight_g\ntent,2026-04-01,{n}\n",
        "SELECT weight_mg FROM weighings",
        lambda n: n * 1000,
    ),
    "candidates": Input(
        "candidates.csv",
        lambda n: f"candidate,system,weight_g\ntarp,shelter,{n}\n",
        "SELECT weight_mg FROM candidates",
        lambda n: n * 1000,
    ),
    "trip": Input(
        "trip.csv",
        lambda n: f"trip,start_on,end_on,people\nriver,2026-05-01,2026-05-09,{n}\n",
        "SELECT people FROM trip",
        _same,
    ),
    "carried": Input(
        f"{_ROOM}carried.csv",
        lambda n: f"item,quantity\ntent,{n}\n",
        "SELECT quantity FROM carried",
        _same,
    ),
    "used": Input(
        f"{_ROOM}used.csv", lambda n: f"item,times\ntent,{n}\n", "SELECT times FROM used", _same
    ),
    "failures": Input(
        f"{_ROOM}failures.csv",
        lambda n: f"item,day,severity,what\ntent,2026-05-01,nuisance,hole {n}\n",
        "SELECT what FROM failures",
        lambda n: f"hole {n}",
    ),
    "temperatures": Input(
        f"{_ROOM}temperatures.csv",
        lambda n: f"at,temperature_c\n2026-05-01 21:30,{n}\n",
        "SELECT temperature_c FROM temperatures WHERE read_at < TIMESTAMP '2026-05-02'",
        _same,
    ),
    "a thermometer's file": Input(
        f"{_ROOM}temperatures-porch.csv",
        lambda n: f"Clock;Degrees\n2026-05-03 21:30;{n}\n",
        "SELECT temperature_c FROM temperatures WHERE read_at > TIMESTAMP '2026-05-02'",
        _same,
    ),
    "distances": Input(
        f"{_ROOM}distances.csv",
        lambda n: f"day,distance_km\n2026-05-01,{n}\n",
        "SELECT distance_mm FROM distances WHERE day = DATE '2026-05-01'",
        lambda n: n * 1_000_000,
    ),
    "a track that was kept": Input(
        f"{_ROOM}distances-hills.csv",
        lambda n: f"day,mode,distance_km\n2026-05-02,foot,{n}\n",
        "SELECT distance_mm FROM distances WHERE day = DATE '2026-05-02'",
        lambda n: n * 1_000_000,
    ),
    "weather": Input(
        f"{_ROOM}weather.csv",
        lambda n: f"day,high_c\n2026-05-01,{n}\n",
        "SELECT high_c FROM weather",
        _same,
    ),
    "comfort": Input(
        f"{_ROOM}comfort.csv",
        lambda n: f"day,score\n2026-05-01,{1 + n % 5}\n",
        "SELECT score FROM comfort",
        lambda n: 1 + n % 5,
    ),
    "wished": Input(
        f"{_ROOM}wished.csv",
        lambda n: f"what\nsock {n}\n",
        "SELECT what FROM wished",
        lambda n: f"sock {n}",
    ),
    "settings": Input(
        "tarebook.toml",
        lambda n: _SETTINGS.format(50 + n),
        "SELECT CAST(\"value\" AS DOUBLE) FROM settings WHERE key = 'person.body_kg'",
        lambda n: 50 + n,
    ),
    "a normals file": Input(
        "normals/USW00099999.csv",
        lambda n: daily(lambda _: 32 + n * 1.8),
        "SELECT round(low_c) FROM normals WHERE month_day = '05-01' AND product = 'daily'",
        _same,
    ),
}


def bring_in_what_cannot_be_read(folder: Path) -> None:
    """What other programs leave, and what breaks: in the folder itself, and in a trip's."""
    for at in (folder, folder / "trips/river"):
        (at / ".#gear.csv").symlink_to("someone@host.123:456")
        (at / "distances-gone.csv").symlink_to("nowhere.csv")
        (at / "used-circle.csv").symlink_to("used-circle.csv")
        (at / "weather-folder.csv").mkdir()
        os.mkfifo(at / "comfort-pipe.csv")
        (at / "wished-barred.csv").write_text("trip,what\nriver,sock\n")
        (at / "wished-barred.csv").chmod(0)
    (folder / "trips/elsewhere").symlink_to("nowhere")
    with socket.socket(socket.AF_UNIX) as listening:
        listening.bind("failures-socket.csv")


UNREADABLE = {
    "failures-socket.csv": "is not a file; move it out of the logbook or rename it",
    "trips/elsewhere": "is a link to a folder that is not there; mend or remove it",
} | {
    f"{at}{name}": problem
    for at in ("", _ROOM)
    for name, problem in {
        "distances-gone.csv": "is a link to a file that is not there; mend or remove it",
        "used-circle.csv": "is a link to a file that is not there; mend or remove it",
        "weather-folder.csv": "is not a file; move it out of the logbook or rename it",
        "comfort-pipe.csv": "is not a file; move it out of the logbook or rename it",
    }.items()
}


def order_of(which: str) -> list[str]:
    """All inputs, each once."""
    names = list(INPUTS)
    if which == "as they are read":
        return names
    if which == "the other way round":
        return names[::-1]
    return random.Random(which).sample(names, len(names))


@pytest.mark.skipif(os.name != "posix", reason="links, pipes and sockets")
@pytest.mark.parametrize("which", ["as they are read", "the other way round", "drawn"])
def test_each_change_is_in_the_next_answer_and_the_others_stay(
    write: Write, which: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = {each.file: each.content(1) for each in INPUTS.values()}
    folder = write(first, good=False)
    monkeypatch.chdir(folder)  # a socket's path is short
    bring_in_what_cannot_be_read(folder)
    findings = ensure_current(folder)
    assert findings is not None
    named = {problem.file: problem.problem for problem in findings.problems}
    barred = {f"{at}wished-barred.csv" for at in ("", _ROOM)}
    assert {n: p for n, p in named.items() if n not in barred} == UNREADABLE
    for name in barred & named.keys():  # whoever is root may read them
        assert named[name] == "cannot be opened (Permission denied)"
    now = dict.fromkeys(INPUTS, 1)
    for step, changed in enumerate(order_of(which), start=2):
        now[changed] = step
        kit.write(folder, {INPUTS[changed].file: INPUTS[changed].content(step)})
        assert ensure_current(folder) is not None, changed
        with open_for_reading(store_path(folder)) as store:
            for name, each in INPUTS.items():
                answers = [value for (value,) in store.execute(each.query).fetchall()]
                expected = each.answer(now[name])
                if name == "wished":  # of root, who reads the barred ones, too
                    answers = [answer for answer in answers if answer != "sock"]
                assert answers == [expected], (changed, name)
        assert ensure_current(folder) is None


def test_a_trip_that_goes_while_the_logbook_is_checked_leaves_no_complaint(write: Write) -> None:
    folder = write({_ROOM + "trip.csv": kit.TRIP})

    def removed(_: str) -> None:
        shutil.rmtree(folder / _ROOM, ignore_errors=True)

    findings = check_logbook(folder, removed)
    assert findings.problems == check_logbook(folder).problems == []
    assert _ROOM + "trip.csv" not in findings.files


def test_a_logbook_that_never_rests_is_checked_all_the_same(write: Write) -> None:
    folder = write({})
    read = []

    def edited(table: str) -> None:
        read.append(table)
        gear = folder / "gear.csv"
        gear.write_text(gear.read_text("utf-8") + f"thing{len(read)},leisure,5\n", "utf-8")

    assert check_logbook(folder, edited).file("gear.csv").loaded
    assert 1 < read.count("gear") < 10
