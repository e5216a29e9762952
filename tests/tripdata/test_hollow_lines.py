"""Lines of separators and blanks alone are nothing, wherever they stand and however many."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import kit
import pytest
from tarebook.tripdata import bulk
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.hollow import without_empty_lines, without_hollow_lines
from tarebook.tripdata.problems import Findings

HEADER = "trip,day,rain_mm\n"
GOOD = "river,2026-05-01,3\n"
WRONG = "river,2026-05-02,much\n"
MANY = bulk.BULK_BYTES // 2


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("hollow", ["", ",,", " , ,", ";;;", "\t\t"])
def test_lines_keep_their_numbers(hollow: str, end: str) -> None:
    first, last = f"a,b{end}1,2{end}", f"3,4{end}"
    text = first + (hollow + end) * 2_000 + last + (hollow + end) * 2_000
    data = without_hollow_lines(text.encode())
    assert data.decode() == first + end * 2_000 + last


def test_what_may_be_a_part_of_a_cell_is_left() -> None:
    for data in (b'a,b\n"1\n' + b",\n" * 5_000 + b'",2\n', "a\n".encode("utf-16") * 9):
        assert without_hollow_lines(data) is data
        assert without_empty_lines(data) is data


def test_few_lines_and_long_ones_are_left() -> None:
    few = b"a,b\n1,2\n,\n,\n3,4\n,\n,\n"
    assert without_hollow_lines(few) == few
    long = b"trip,day,rain_mm,low_c\n" * 100
    assert without_hollow_lines(long) is long


def test_empty_lines_go_but_for_those_near_the_header() -> None:
    head = b"a,b\n\n1,2\n" + b"\n" * 50_000
    data = without_empty_lines(head + b"\n" * 500_000 + b"3,4\n\n\n5,6\n")
    assert data.startswith(head)
    assert data.endswith(b"\n3,4\n5,6\n")
    assert len(data) < 110_000
    assert without_empty_lines(b"a\n\nb\n" * 40_000) == b"a\n\nb\n" * 40_000


@pytest.mark.parametrize("hollow", [",,\n", "\n"])
def test_a_fault_behind_a_million_hollow_lines_has_its_line(
    hollow: str, write: Callable[..., Path], load: Callable[..., tuple[Findings, Any]]
) -> None:
    text = HEADER + GOOD + hollow * MANY + WRONG + hollow * MANY
    folder = write({"weather.csv": text})
    for findings in (check_logbook(folder), load(folder)[0]):
        (problem,) = findings.records
        assert (problem.file, problem.line, problem.value) == ("weather.csv", MANY + 3, "much")
        counted = findings.files["weather.csv"]
        assert (counted.read, counted.set_aside) == (2, 1)


def test_a_file_that_ends_in_forty_megabytes_of_blank_lines_is_loaded(
    write: Callable[..., Path], load: Callable[..., tuple[Findings, Any]]
) -> None:
    folder = write({"weather.csv": b""})
    (folder / "weather.csv").write_bytes((HEADER + GOOD).encode() + b"\n" * 40_000_000)
    findings, _ = load(folder)
    assert findings.files["weather.csv"].read == 1
    assert not findings.problems


def test_hollow_lines_of_a_table_that_is_read_row_by_row(
    write: Callable[..., Path], load: Callable[..., tuple[Findings, Any]]
) -> None:
    gear = kit.GOOD["gear.csv"]
    text = gear if isinstance(gear, str) else gear.decode()
    width = text.splitlines()[0].count(",")
    plain, _ = load(write({"gear.csv": text}, folder="plain"))
    long, _ = load(write({"gear.csv": text + ("," * width + "\n") * MANY}, folder="long"))
    assert long.files["gear.csv"] == plain.files["gear.csv"]


def test_only_lines_that_hold_something_are_handed_to_the_row_reader(
    write: Callable[..., Path],
    load: Callable[..., tuple[Findings, Any]],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    handed: list[int] = []
    rest = bulk.BulkFile.rest

    def spied(self: bulk.BulkFile) -> Any:
        for record in rest(self):
            handed.append(record.line)
            yield record

    monkeypatch.setattr(bulk.BulkFile, "rest", spied)
    # A cell in quotation marks: such a file is taken as it is.
    text = HEADER + '"river",2026-05-01,3\n' + ",,\n , ,\t\n,,,\n" * (MANY // 2) + WRONG
    folder = write({"weather.csv": text})
    findings, _ = load(folder)
    assert set(handed) == {3 * (MANY // 2) + 3}
    assert findings.files["weather.csv"].read == 2
