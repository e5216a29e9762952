"""Former files are kept of the last writings, and nothing else is swept with the older ones."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from entries import CARRIED, along
from tarebook.tripdata.former_files import KEPT_WRITINGS, sweep
from tarebook.tripdata.logbook_entry import prepare, read_entry
from tarebook.tripdata.logbook_entry import write as write_it

Write = Callable[..., Path]


def noted(folder: Path, note: str) -> None:
    """One writing."""
    writing = prepare(folder, along(read_entry(folder, "river"), "tent", note=note))
    assert len(writing.changes) == 1
    write_it(folder, writing)


def kept(folder: Path) -> list[str]:
    """What is kept, by name."""
    return sorted(path.name for path in (folder / ".tarebook" / "before").iterdir())


@pytest.fixture
def river(write: Write) -> Path:
    return write({CARRIED: "item,note\ntent,0\n"})


def test_the_last_writings_are_kept(river: Path) -> None:
    for number in range(1, KEPT_WRITINGS + 4):
        noted(river, str(number))
    before = river / ".tarebook" / "before"
    notes = [(before / name / CARRIED).read_text().split(",")[-1].strip() for name in kept(river)]
    assert notes == [str(number) for number in range(3, KEPT_WRITINGS + 3)]
    assert (river / CARRIED).read_text().endswith(f"tent,{KEPT_WRITINGS + 3}\n")


def test_what_no_writing_made_stays(river: Path, tmp_path: Path) -> None:
    before = river / ".tarebook" / "before"
    elsewhere = tmp_path / "elsewhere"
    for place in (elsewhere, before / "mine", before / "2020-01-01"):
        place.mkdir(parents=True)
        (place / "note.txt").write_text("x")
    (before / "2020-01-01-000000-000000").symlink_to(elsewhere)
    (before / "2020-01-02-000000-000000").write_text("a file")
    for number in range(30):
        (before / f"2021-01-01-000000-{number:06d}").mkdir()
    noted(river, "a")
    names = kept(river)
    assert names[:3] == ["2020-01-01", "2020-01-01-000000-000000", "2020-01-02-000000-000000"]
    assert names[-1] == "mine"
    assert len(names) == 4 + KEPT_WRITINGS
    assert (elsewhere / "note.txt").exists()


def test_the_last_writing_stays_whatever_the_clock_said(river: Path) -> None:
    before = river / ".tarebook" / "before"
    for number in range(KEPT_WRITINGS):
        (before / f"2999-01-01-000000-{number:06d}").mkdir(parents=True)
    noted(river, "a")
    assert (before / kept(river)[0] / CARRIED).read_text() == "item,note\ntent,0\n"
    assert len(kept(river)) == KEPT_WRITINGS


def test_several_of_one_moment_go_in_their_order(tmp_path: Path) -> None:
    names = [f"2026-05-01-120000-000000{(n and f'-{n}') or ''}" for n in (0, *range(2, 25))]
    for name in names:
        (tmp_path / "before" / name).mkdir(parents=True)
    sweep(tmp_path, names[-1])
    left = {path.name for path in (tmp_path / "before").iterdir()}
    assert left == set(names[-KEPT_WRITINGS:])


def test_a_sweep_that_was_cut_off_is_finished(river: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = river / ".tarebook" / "before"
    for number in range(KEPT_WRITINGS):
        old = before / f"2021-01-01-000000-{number:06d}"
        old.mkdir(parents=True)
        (old / "trip.csv").write_text("x")
    with monkeypatch.context() as patched:
        patched.setattr(shutil, "rmtree", lambda *_, **__: None)
        noted(river, "a")
    assert kept(river)[0] == ".gone-2021-01-01-000000-000000"
    noted(river, "b")
    assert len(kept(river)) == KEPT_WRITINGS
    assert not any(name.startswith(".") for name in kept(river))


def test_a_folder_of_former_files_that_leads_elsewhere_is_left(river: Path, tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    for number in range(KEPT_WRITINGS + 5):
        (elsewhere / f"2021-01-01-000000-{number:06d}").mkdir(parents=True)
    (river / ".tarebook").mkdir(exist_ok=True)
    (river / ".tarebook" / "before").symlink_to(elsewhere)
    sweep(river / ".tarebook", "2021-01-01-000000-000000")
    assert len(list(elsewhere.iterdir())) == KEPT_WRITINGS + 5
