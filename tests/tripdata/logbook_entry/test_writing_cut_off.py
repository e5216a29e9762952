"""A writing that was cut off, and a folder that is no longer what it was when that is mended."""

import json
import os
import stat
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from datetime import datetime, tzinfo
from pathlib import Path

import pytest
from entries import CARRIED, FAILURES, Killed, along, evening, state
from tarebook.tripdata import journal as journals
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.errors import ChangedMeanwhileError, LogbookError
from tarebook.tripdata.logbook_entry import (
    Writing,
    prepare,
    read_entry,
    recover,
)
from tarebook.tripdata.logbook_entry import write as write_it

Write = Callable[..., Path]


def die(*_: object) -> None:
    raise Killed


def cut_off(folder: Path, writing: Writing, replaced: int) -> None:
    """Leave a writing as it is where so many files were replaced, two journals among them."""
    call, calls = os.replace, 0

    def counted(*places: str) -> None:
        nonlocal calls
        calls += 1
        if calls > replaced:
            die()
        call(*places)

    with pytest.MonkeyPatch.context() as patch, suppress(Killed):
        patch.setattr(os, "replace", counted)
        patch.setattr(journals, "_take_back", die)
        write_it(folder, writing)
    assert calls > replaced


def test_a_folder_that_became_a_link_is_waited_for(river: Path, tmp_path: Path) -> None:
    writing = evening(river)
    new = state(river) | {c.path: c.after for c in writing.changes}
    cut_off(river, writing, 3)
    (river / "trips/river").rename(tmp_path / "elsewhere")
    (river / "trips/river").symlink_to(tmp_path / "elsewhere")
    for _ in range(2):
        line = recover(river)
        assert line is not None
        assert "not finished yet" in line
        assert "is a link" in line
    check_logbook(river)
    entry = read_entry(river, "river")
    with pytest.raises(LogbookError, match="not finished yet"):
        write_it(river, prepare(river, replace(entry, note="x")))
    (river / "trips/river").unlink()
    (tmp_path / "elsewhere").rename(river / "trips/river")
    assert (recover(river) or "").endswith("it is now finished")
    assert recover(river) is None
    assert state(river) == new


def test_what_was_only_laid_ready_bars_nothing(river: Path, tmp_path: Path) -> None:
    writing = evening(river)
    old = state(river)
    cut_off(river, writing, 1)
    (river / "trips/river").rename(tmp_path / "elsewhere")
    (river / "trips/river").symlink_to(tmp_path / "elsewhere")
    assert (recover(river) or "").endswith("it is now taken back")
    assert recover(river) is None
    assert check_logbook(river).clean
    assert {name: (river / name).read_bytes() for name in old} == old


@pytest.mark.parametrize("replaced", [1, 2, 3])
@pytest.mark.parametrize("files", [2, 3])
def test_a_folder_that_is_gone_bars_nothing(
    river: Path, tmp_path: Path, replaced: int, files: int
) -> None:
    writing = evening(river)
    cut_off(river, replace(writing, changes=writing.changes[:files]), replaced)
    (river / "trips/river").rename(tmp_path / "elsewhere")
    assert "cut off" in (recover(river) or "")
    assert recover(river) is None
    check_logbook(river)
    read_entry(river, "river")


def kept(folder: Path) -> dict[str, bytes]:
    """The former files that are kept."""
    before = folder / ".tarebook" / "before"
    return {str(p.relative_to(before)): p.read_bytes() for p in before.rglob("*") if p.is_file()}


def one_moment(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the clock stand still."""

    class Still(datetime):
        @classmethod
        def now(cls, tz: tzinfo | None = None) -> "Still":
            return cls(2026, 5, 5, 12, tzinfo=tz)

    monkeypatch.setattr(journals, "datetime", Still)


def test_of_one_moment_all_former_files_are_kept(
    river: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    one_moment(monkeypatch)
    first = (river / CARRIED).read_bytes()
    for note in ("one", "two"):
        entry = along(read_entry(river, "river"), "tent", note=note)
        second = (river / CARRIED).read_bytes()
        write_it(river, prepare(river, entry))
    assert sorted(kept(river).values()) == sorted([first, second])
    earlier = kept(river)
    entry = along(read_entry(river, "river"), "tent", note="three")
    writing = prepare(river, entry)

    def fails(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(journals, "_stage", fails)
    with pytest.raises(LogbookError):
        write_it(river, writing)
    assert kept(river) == earlier


def test_a_journal_takes_no_former_files_of_another_writing(river: Path) -> None:
    write_it(river, evening(river))
    earlier = kept(river)
    (moment,) = (river / ".tarebook" / "before").iterdir()
    journal = {"moment": moment.name, "state": "staging", "steps": []}
    (river / ".tarebook" / "writing.json").write_text(json.dumps(journal))
    recover(river)
    assert kept(river) == earlier


@pytest.mark.parametrize("file", ["trip.csv", CARRIED, FAILURES])
def test_an_edit_of_the_last_moment_stays(
    river: Path, monkeypatch: pytest.MonkeyPatch, file: str
) -> None:
    writing = evening(river)
    old = state(river)
    write_plan = journals.write_plan

    def meanwhile(own: Path, plan: journals.Plan) -> None:
        write_plan(own, plan)
        if plan.state == "moving":
            (river / file).write_text("mine\n")

    monkeypatch.setattr(journals, "write_plan", meanwhile)
    with pytest.raises(ChangedMeanwhileError, match="nothing was written"):
        write_it(river, writing)
    assert state(river) == old | {file: b"mine\n"}
    assert recover(river) is None


def test_former_files_may_be_read_by_no_more_people(river: Path) -> None:
    (river / CARRIED).chmod(0o600)
    (river / "trip.csv").chmod(0o640)
    write_it(river, evening(river))
    (moment,) = (river / ".tarebook" / "before").iterdir()
    modes = {file: stat.S_IMODE((moment / file).stat().st_mode) for file in (CARRIED, "trip.csv")}
    assert modes == {CARRIED: 0o600, "trip.csv": 0o640}


@pytest.mark.parametrize("replaced", [1, 2, 3])
def test_nothing_stays_behind_in_a_folder_of_another_name(river: Path, replaced: int) -> None:
    old = state(river)
    cut_off(river, evening(river), replaced)
    (river / "trips/river").rename(river / "trips/rapids")
    assert "taken back" in (recover(river) or "")
    assert state(river) == {name.replace("/river/", "/rapids/"): old[name] for name in old}
