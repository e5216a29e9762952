"""A writing is whole or is nothing: killed at any step, refused, disturbed by another hand."""

import json
import os
import shutil
import stat
import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from entries import CARRIED, FAILURES, Killed, along, evening, state
from tarebook.tripdata import journal as journals
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.errors import ChangedMeanwhileError, LogbookError, StoreError, TarebookError
from tarebook.tripdata.logbook_entry import (
    Failure,
    TripEntry,
    Writing,
    prepare,
    read_entry,
    recover,
)
from tarebook.tripdata.logbook_entry import write as write_it
from tarebook.tripdata.store import ensure_current, load_logbook

Write = Callable[..., Path]
STEPS = ("open", "write", "fsync", "replace", "rename", "mkdir", "unlink", "chmod", "close")
"""The calls by which a writing touches the disk."""


def new_state(folder: Path, writing: Writing) -> dict[str, bytes]:
    return state(folder) | {c.path: c.after for c in writing.changes}


def stop_at(step: int, monkeypatch: pytest.MonkeyPatch, end: Callable[[], None]) -> list[str]:
    """Call ``end`` before the call of that number by which the disk is touched; the calls made."""
    calls: list[str] = []

    def stopping(name: str, call: Callable[..., Any]) -> Callable[..., Any]:
        def stopped(*arguments: Any, **more: Any) -> Any:
            calls.append(name)
            if len(calls) == step:
                end()
            return call(*arguments, **more)

        return stopped

    for name in STEPS:
        monkeypatch.setattr(os, name, stopping(name, getattr(os, name)))
    return calls


@pytest.fixture
def copies(river: Path, tmp_path: Path) -> tuple[Writing, Callable[[object], Path]]:
    """A writing, and what makes one more copy of the logbook that it is of, times and all."""
    return evening(river), lambda name: shutil.copytree(river, tmp_path / "copies" / str(name))


Copies = tuple[Writing, Callable[[object], Path]]


def test_killed_at_every_step_it_is_all_old_or_all_new(copies: Copies) -> None:
    writing, copy = copies
    outcomes: list[bool] = []
    while True:
        step = len(outcomes) + 1
        folder = copy(step)
        old, new = state(folder), new_state(folder, writing)
        child = os.fork()
        if child == 0:  # the process that dies
            try:
                stop_at(step, pytest.MonkeyPatch(), lambda: os._exit(9))
                write_it(folder, writing)
            finally:
                os._exit(0)
        if os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) != 9:
            assert state(folder) == new
            break
        line = recover(folder)
        assert recover(folder) is None
        found = state(folder)
        if line is None:
            # Before a journal is written nothing lies about, and after it is gone all is new.
            assert found in (old, new)
        else:
            assert found == (new if "now finished" in line else old), line
        outcomes.append(found == new)
    assert len(outcomes) > 40
    assert sorted(outcomes) == outcomes  # old up to a step, new from there on
    assert set(outcomes) == {False, True}


def test_an_error_at_any_step_leaves_all_as_it_was(copies: Copies) -> None:
    writing, copy = copies
    said: set[str] = set()

    def fails() -> None:
        raise OSError(28, "No space left on device")

    number = 1
    while True:
        folder = copy(number)
        old, new = state(folder), new_state(folder, writing)
        with pytest.MonkeyPatch.context() as patch:
            calls = stop_at(number, patch, fails)
            try:
                write_it(folder, writing)
            except LogbookError as error:
                said.add(str(error).partition(": ")[2])
        if len(calls) < number:
            break
        assert state(folder) in (old, new), number
        recover(folder)
        assert state(folder) in (old, new), number
        number += 1
    assert number > 40
    assert said == {"cannot be written (No space left on device)"}


def test_a_recovery_that_is_killed_can_be_recovered(copies: Copies) -> None:
    writing, copy = copies
    for moved in (False, True):
        for step in range(1, 40):
            folder = copy(f"{moved}{step}")
            old, new = state(folder), new_state(folder, writing)
            cut_off(folder, writing, moved)
            with pytest.MonkeyPatch.context() as patch, suppress(Killed):
                stop_at(step, patch, die)
                recover(folder)
            recover(folder)
            assert state(folder) == (new if moved else old)


def die() -> None:
    raise Killed


def cut_off(folder: Path, writing: Writing, moved: bool) -> None:
    """Leave a writing as it is where one file was moved into place, or where none was."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(journals, "_take_back", lambda *_: die())
        calls: list[Path] = []

        def replace_once(part: Path, place: Path) -> Path:
            calls.append(place)
            if (place.suffix == ".csv") and (len(calls) > 3 or not moved):
                die()
            return part.rename(place)

        if not moved:
            patch.setattr(journals, "_stage", lambda *_: die())
        patch.setattr(Path, "replace", replace_once)
        with pytest.raises(Killed):
            write_it(folder, writing)


@pytest.mark.parametrize("door", [check_logbook, load_logbook, ensure_current])
def test_whoever_reads_a_logbook_mends_it_first(river: Path, door: Callable[[Path], Any]) -> None:
    writing = evening(river)
    new = new_state(river, writing)
    cut_off(river, writing, True)
    assert state(river) != new
    door(river)
    assert state(river) == new


def test_what_another_hand_changed_since_stays(river: Path) -> None:
    writing = evening(river)
    old = state(river)
    cut_off(river, writing, True)
    (river / CARRIED).write_text("item\nmine\n")
    line = recover(river)
    assert line is not None
    assert line.endswith(f"taken back, but for {CARRIED}, changed since by something else")
    assert state(river) == old | {CARRIED: b"item\nmine\n"}


def test_what_was_changed_after_all_was_in_place_takes_nothing_back(river: Path) -> None:
    writing = evening(river)
    new = new_state(river, writing)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(journals, "_end", lambda _: die())
        patch.setattr(journals, "_take_back", lambda *_: die())
        with pytest.raises(Killed):
            write_it(river, writing)
    (river / CARRIED).write_text("item\nmine\n")
    assert (recover(river) or "").endswith("it is now finished")
    assert state(river) == new | {CARRIED: b"item\nmine\n"}


def test_the_former_files_are_kept(river: Path) -> None:
    old = state(river)
    write_it(river, evening(river))
    (moment,) = (river / ".tarebook" / "before").iterdir()
    assert (moment / CARRIED).read_bytes() == old[CARRIED]
    assert (moment / "trip.csv").read_bytes() == old["trip.csv"]
    assert not (moment / FAILURES).exists()


def test_two_writers_at_once(river: Path) -> None:
    first, second = evening(river), evening(river)
    write_it(river, first)
    with pytest.raises(ChangedMeanwhileError, match="nothing was written"):
        write_it(river, second)
    assert state(river) == new_state(river, first)


def test_of_many_writers_one_is_first(river: Path) -> None:
    writings = [evening(river) for _ in range(4)]
    said: list[str] = []

    def one(writing: Writing) -> None:
        try:
            write_it(river, writing)
            said.append("")
        except TarebookError as error:
            said.append(str(error))

    threads = [threading.Thread(target=one, args=(w,)) for w in writings]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert sorted(map(bool, said)) == [False, True, True, True]
    assert state(river) == new_state(river, writings[0])


def test_a_file_of_the_same_size_and_time_is_still_noticed(river: Path) -> None:
    writing = evening(river)
    path = river / CARRIED
    times = path.stat()
    path.write_bytes(path.read_bytes().replace(b"tent", b"food"))
    os.utime(path, ns=(times.st_atime_ns, times.st_mtime_ns))
    with pytest.raises(ChangedMeanwhileError, match="was changed since"):
        write_it(river, writing)


def test_a_load_that_does_not_end_is_waited_for_a_while(
    river: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from filelock import FileLock

    writing = evening(river)
    monkeypatch.setattr(journals, "_WAIT_S", 0.05)
    (river / ".tarebook").mkdir(exist_ok=True)
    old = state(river)
    with FileLock(river / ".tarebook" / "load.lock"), pytest.raises(StoreError, match="another"):
        write_it(river, writing)
    assert state(river) == old


def test_modes_are_kept_and_files_that_may_only_be_read_stay(river: Path) -> None:
    (river / "trip.csv").chmod(0o640)
    (river / CARRIED).chmod(0o444)
    old, writing = state(river), evening(river)
    with pytest.raises(LogbookError, match=r"carried\.csv: is read-only"):
        write_it(river, writing)
    assert state(river) == old
    assert not (river / ".tarebook" / "before").exists()
    (river / CARRIED).chmod(0o664)
    write_it(river, evening(river))
    assert stat.S_IMODE((river / CARRIED).stat().st_mode) == 0o664
    assert stat.S_IMODE((river / "trip.csv").stat().st_mode) == 0o640


@pytest.mark.parametrize("link", [CARRIED, "trips/river", "trips"])
def test_nothing_is_written_through_a_link(river: Path, tmp_path: Path, link: str) -> None:
    place = river / link
    place.rename(tmp_path / "elsewhere")
    place.symlink_to(tmp_path / "elsewhere")
    entry = along(read_entry(river, "river"), "stove", quantity=2)
    (problem,) = prepare(river, entry).problems
    assert "is a link" in problem
    assert place.is_symlink()


def test_a_folder_that_stands_where_a_file_would(river: Path) -> None:
    (river / FAILURES).mkdir()
    entry = replace(read_entry(river, "river"), failures=(Failure("tent"),))
    (problem,) = prepare(river, entry).problems
    assert "is not a file" in problem


JOURNAL = {"moment": "2026-05-05-120000-000001", "state": "moving", "steps": []}


@pytest.mark.parametrize(
    "step",
    [
        {"path": "../outside.csv", "before": None, "after": "0", "made": False},
        {"path": "/tmp/outside.csv", "before": None, "after": "0", "made": False},
        {"path": "tarebook.toml", "before": None, "after": "0", "made": False},
        {"path": ".tarebook/x/y.csv", "before": None, "after": "0", "made": False},
        {"path": "trips/../x.csv", "before": None, "after": "0", "made": False},
        {"path": 5, "before": None, "after": "0", "made": False},
        {"path": "trip.csv"},
        "trip.csv",
    ],
)
@pytest.mark.parametrize("stage", ["staging", "moving", "back"])
def test_a_journal_of_another_make_does_nothing(river: Path, step: object, stage: str) -> None:
    (river / ".tarebook").mkdir(exist_ok=True)
    place = river / ".tarebook" / "writing.json"
    place.write_text(json.dumps(JOURNAL | {"state": stage, "steps": [step]}))
    old = state(river)
    line = recover(river)
    assert line is not None
    assert "could not be read" in line
    assert state(river) == old
    assert not place.exists()
    assert recover(river) is None


@pytest.mark.parametrize("data", [b"", b"\0\xff", b"[]", b"[" * 5000, b'{"moment": "../x"}'])
def test_a_broken_journal_is_set_aside(river: Path, data: bytes) -> None:
    (river / ".tarebook").mkdir(exist_ok=True)
    (river / ".tarebook" / "writing.json").write_bytes(data)
    assert "could not be read" in (recover(river) or "")
    assert check_logbook(river).clean


def test_what_lies_ready_is_no_part_of_the_logbook(river: Path) -> None:
    cut_off(river, evening(river), True)
    parts = [p for p in (river / "trips/river").iterdir() if p.name.startswith(".")]
    assert parts
    assert all(p.suffix == ".part" for p in parts)


def test_nothing_to_write_writes_nothing(river: Path) -> None:
    assert write_it(river, prepare(river, read_entry(river, "river"))) == ()
    assert not (river / ".tarebook").exists()


def test_a_new_trips_folder_goes_where_the_writing_is_taken_back(river: Path) -> None:
    entry = TripEntry("alps", start_on=read_entry(river, "river").start_on)
    entry = along(replace(entry, end_on=entry.start_on), "tent")
    writing = prepare(river, entry)
    assert writing.problems == ()
    old = state(river)

    def fails() -> None:
        raise OSError(5, "broken")

    with pytest.MonkeyPatch.context() as patch:
        stop_at(14, patch, fails)
        with pytest.raises(LogbookError, match="broken"):
            write_it(river, writing)
    assert state(river) == old
    assert not (river / "trips" / "alps").exists()
    write_it(river, writing)
    assert check_logbook(river).clean
