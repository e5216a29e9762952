"""Forms that are closed and taken up again."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.errors import LogbookError, QuestionError
from tarebook.tripdata.logbook_entry import draft, drafts, drop_draft, keep_draft

Write = Callable[..., Path]


def test_a_draft_comes_back_as_it_was(write: Write) -> None:
    folder = write({})
    data: dict[str, Any] = {
        "title": 'a "b"\n\u2028é',
        "rows": [1, None, {"x": True}],
        "bad": "\ud800",
    }
    assert draft(folder, "river") is None
    keep_draft(folder, "river", {"old": 1})
    keep_draft(folder, "River", data)
    assert draft(folder, "river") == data
    assert [(d.trip, d.fault) for d in drafts(folder)] == [("river", "")]
    assert check_logbook(folder).clean
    drop_draft(folder, "RIVER")
    drop_draft(folder, "river")
    assert (draft(folder, "river"), drafts(folder)) == (None, ())


KILLED = """
import os, sys
from pathlib import Path
from tarebook.tripdata.logbook_entry import keep_draft
os.fsync = lambda _: os.kill(os.getpid(), 9)
keep_draft(Path(sys.argv[1]), "river", {"new": 1})
"""


@pytest.mark.skipif(os.name != "posix", reason="signals of a POSIX system")
def test_half_a_draft_goes_with_the_next_that_is_kept(write: Write) -> None:
    folder = write({})
    keep_draft(folder, "river", {"old": 1})
    kept = folder / ".tarebook" / "drafts"
    done = subprocess.run([sys.executable, "-c", KILLED, str(folder)], timeout=300)
    assert (done.returncode, len([*kept.iterdir()])) == (-9, 2)
    assert draft(folder, "river") == {"old": 1}
    keep_draft(folder, "coast", {})
    assert sorted(path.name for path in kept.iterdir()) == ["coast.json", "river.json"]
    assert {path.stat().st_mode & 0o777 for path in kept.iterdir()} == {0o600}


def test_the_latest_stands_first(write: Write) -> None:
    folder = write({})
    for number, trip in enumerate(("a", "c", "b")):
        keep_draft(folder, trip, {})
        place = folder / ".tarebook" / "drafts" / f"{trip}.json"
        os.utime(place, (number, number))
    assert [d.trip for d in drafts(folder)] == ["b", "c", "a"]


@pytest.mark.parametrize("data", [b"", b"{", b"[]", b"\0\xff", b'"x"', b"[" * 100_000])
def test_a_broken_draft_is_set_aside_and_named(write: Write, data: bytes) -> None:
    folder = write({})
    keep_draft(folder, "river", {"a": 1})
    place = folder / ".tarebook" / "drafts" / "river.json"
    place.write_bytes(data)
    keep_draft(folder, "coast", {"b": 2})
    assert draft(folder, "river") is None
    assert not place.exists()
    (broken,) = (d for d in drafts(folder) if d.fault)
    assert broken.trip == "river"
    assert "river.json.broken: cannot be read and was set aside" in broken.fault
    keep_draft(folder, "river", {"a": 3})
    place.write_bytes(data)
    assert len([d for d in drafts(folder) if d.fault]) == 2
    assert draft(folder, "coast") == {"b": 2}
    drop_draft(folder, "River")
    assert [d.trip for d in drafts(folder)] == ["coast"]


@pytest.mark.parametrize("trip", ["tour.json-2026", "tour.json", "tour.json-2", "a.json.b"])
def test_a_draft_is_listed_by_the_name_by_which_it_is_found(write: Write, trip: str) -> None:
    folder = write({})
    keep_draft(folder, trip, {"a": 1})
    assert [d.trip for d in drafts(folder)] == [trip]
    assert draft(folder, drafts(folder)[0].trip) == {"a": 1}
    (folder / ".tarebook" / "drafts" / f"{trip}.json").write_bytes(b"{")
    assert [d.trip for d in drafts(folder)] == [trip]
    drop_draft(folder, trip)
    assert drafts(folder) == ()


@pytest.mark.parametrize("trip", ["../x", "a/b", "", "con", ".x", "a\0b", "x" * 300, "é" * 101])
def test_a_name_that_no_trip_can_have_is_refused(write: Write, trip: str) -> None:
    folder = write({})
    doors = (
        lambda: keep_draft(folder, trip, {}),
        lambda: draft(folder, trip),
        lambda: drop_draft(folder, trip),
    )
    for door in doors:
        with pytest.raises(QuestionError):
            door()
    assert not (folder / ".tarebook").exists()


def test_what_cannot_be_kept_is_said(write: Write, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = write({})
    keep_draft(folder, "river", {"a": 1})
    with pytest.raises(QuestionError, match="larger than 50 MB"):
        keep_draft(folder, "river", {"a": "x" * 50_000_001})
    with pytest.raises(QuestionError, match="cannot be kept"):
        keep_draft(folder, "river", {"a": {1, 2}})
    with pytest.raises(LogbookError, match="no such folder"):
        keep_draft(folder / "not", "river", {})

    def fails(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", fails)
    with pytest.raises(LogbookError, match="No space left"):
        keep_draft(folder, "river", {"a": 2})
    assert draft(folder, "river") == {"a": 1}
    assert [p.name for p in (folder / ".tarebook" / "drafts").iterdir()] == ["river.json"]


def test_a_draft_that_is_out_of_reach_for_a_moment_stays(
    write: Write, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = write({})
    keep_draft(folder, "river", {"note": "long"})

    def locked(path: Path) -> bytes:
        raise PermissionError(13, "Permission denied", str(path))

    with monkeypatch.context() as patch:
        patch.setattr(Path, "read_bytes", locked)
        (kept,) = drafts(folder)
        assert kept.trip == "river"
        assert kept.fault.endswith("cannot be read (Permission denied)")
        with pytest.raises(LogbookError, match="Permission denied"):
            draft(folder, "river")
    assert draft(folder, "river") == {"note": "long"}
    assert [each.fault for each in drafts(folder)] == [""]
