"""What another hand put right since a trip was read is noticed, and never undone."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from entries import CARRIED, along
from tarebook.tripdata.errors import ChangedMeanwhileError
from tarebook.tripdata.logbook_entry import prepare, read_entry
from tarebook.tripdata.logbook_entry import write as write_it

Write = Callable[..., Path]
WEATHER = "trips/river/weather.csv"
DATES = '[reading]\ndates = "{}"\n'


@pytest.mark.parametrize(
    ("file", "former", "now"),
    [
        (CARRIED, "item,weight_g\ntent,52\nstove,25\n", "item,weight_oz\ntent,52\nstove,25\n"),
        (WEATHER, "day,low_c\n2026-05-01,41\n", "day,low_f\n2026-05-01,41\n"),
        (
            WEATHER,
            "day,low_c,high_c\n2026-05-01,14,3\n",
            "day,high_c,low_c\n2026-05-01,14,3\n",
        ),
        (
            WEATHER,
            "day;low_c;wind_kmh\n2026-05-01;4;1,5\n",
            "day;wind_kmh;low_c\n2026-05-01;4;1,5\n",
        ),
        (CARRIED, "item,wieght_g\ntent,52\n", "item,weight_g\ntent,52\n"),
    ],
)
def test_a_header_put_right_is_noticed(write: Write, file: str, former: str, now: str) -> None:
    folder = write({CARRIED: "item\ntent\n", file: former})
    entry = read_entry(folder, "river")
    (folder / file).write_text(now)
    said = f"{file}: was changed since this trip was read; read it again"
    assert prepare(folder, along(entry, "tent", note="x")).problems == (said,)
    assert prepare(folder, along(read_entry(folder, "river"), "tent", note="x")).problems == ()


def test_a_form_of_dates_put_right_is_noticed(write: Write) -> None:
    folder = write(
        {
            "tarebook.toml": DATES.format("DD/MM/YYYY"),
            "trip.csv": "trip,start_on,end_on\nriver,04/05/2026,05/06/2026\n",
            CARRIED: "item,from_day\ntent,05/05/2026\nstove,05/06/2026\n",
        }
    )
    entry = read_entry(folder, "river")
    (folder / "tarebook.toml").write_text(DATES.format("MM/DD/YYYY"))
    assert [problem.partition(":")[0] for problem in prepare(folder, entry).problems[:2]] == [
        "trip.csv",
        CARRIED,
    ]


@pytest.mark.parametrize("name", ["gear.csv", "trip.csv", WEATHER])
def test_another_file_of_the_same_size_and_time_is_noticed(write: Write, name: str) -> None:
    folder = write({CARRIED: "item\ntent\n", WEATHER: "day,low_c\n2026-05-01,14\n"})
    writing = prepare(folder, along(read_entry(folder, "river"), "tent", note="x"))
    path = folder / name
    times = path.stat()
    path.write_bytes(path.read_bytes().translate(bytes.maketrans(b"2", b"3")))
    os.utime(path, ns=(times.st_atime_ns, times.st_mtime_ns))
    assert path.stat().st_size == times.st_size
    with pytest.raises(ChangedMeanwhileError, match="was changed since this was looked at"):
        write_it(folder, writing)
