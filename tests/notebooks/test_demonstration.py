"""The demo logbook in a folder of its own: what it writes, and what it leaves alone."""

import subprocess
import sys
from pathlib import Path

import pytest
from tarebook.notebooks import demonstration
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.errors import LogbookError


def files(folder: Path) -> dict[str, bytes]:
    found = {p.relative_to(folder).as_posix(): p for p in folder.rglob("*") if p.is_file()}
    return {name: path.read_bytes() for name, path in found.items()}


def test_the_demo_logbook_has_no_problem_and_no_warning(tmp_path: Path) -> None:
    demonstration.write(tmp_path / "demo")
    findings = check_logbook(tmp_path / "demo")
    assert findings.clean
    assert findings.warnings == []
    assert sum(count.read for count in findings.files.values()) > 5000


def test_written_twice_it_is_the_same(tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    demonstration.write(folder)
    before = files(folder)
    (folder / "trip.csv").unlink()
    assert demonstration.write(folder) == ()
    assert files(folder) == before


def test_what_a_person_changed_or_added_is_asked_about_and_never_lost(tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    demonstration.write(folder)
    before = files(folder)
    carried = next(name for name in before if name.endswith("/carried.csv"))
    mine = {"gear.csv": b"mine", carried: b"mine, too", "notes.txt": b"added", "trips/x": b"added"}
    for name, content in mine.items():
        (folder / name).write_bytes(content)
    with pytest.raises(LogbookError) as stop:
        demonstration.write(folder)
    assert str(stop.value) == (
        f"{folder}: gear.csv, {carried} were changed and notes.txt, trips/x were added; --force "
        "makes the demo's own files anew, keeps what was changed in .tarebook/before, and leaves "
        "what was added"
    )
    assert files(folder) == before | mine
    assert demonstration.write(folder, force=True) == ("gear.csv", carried)
    after = files(folder)
    kept = {n.split("/", 3)[3]: after.pop(n) for n in list(after) if "/before/" in n}
    assert kept == {"gear.csv": b"mine", carried: b"mine, too"}
    assert after == before | {"notes.txt": b"added", "trips/x": b"added"}


@pytest.mark.parametrize("link", [".", "gear.csv", "trips", "reports", ".tarebook", "trips/DIR"])
@pytest.mark.parametrize("force", [False, True])
def test_nothing_is_written_through_a_link(tmp_path: Path, link: str, force: bool) -> None:
    folder, elsewhere = tmp_path / "demo", tmp_path / "elsewhere"
    demonstration.write(folder)
    link = link.replace("DIR", next((folder / "trips").iterdir()).name)
    place = folder / link
    if place.exists():
        place.rename(elsewhere)
    else:
        elsewhere.mkdir()
    place.symlink_to(elsewhere)
    before = files(elsewhere) if elsewhere.is_dir() else {"": elsewhere.read_bytes()}
    with pytest.raises(LogbookError, match="is a link, through which the demo does not write; "):
        demonstration.write(folder, force)
    assert before == (files(elsewhere) if elsewhere.is_dir() else {"": elsewhere.read_bytes()})


@pytest.mark.parametrize("force", [False, True])
def test_a_list_of_files_that_lies_there_is_not_believed(tmp_path: Path, force: bool) -> None:
    folder = tmp_path / "mine"
    (folder / ".tarebook").mkdir(parents=True)
    (folder / "gear.csv").write_text("mine")
    (folder / "diary.txt").write_text("mine")
    (folder / ".tarebook/demo.json").write_text('["gear.csv", "diary.txt", "trip.csv"]')
    with pytest.raises(LogbookError, match="holds files that the demo did not make; name another"):
        demonstration.write(folder, force)
    assert (folder / "gear.csv").read_text() == (folder / "diary.txt").read_text() == "mine"


KILLED = """
import os, sys
from pathlib import Path
from tarebook.notebooks import demonstration
left = [int(sys.argv[2])]
def watch(event, args):
    changes = event in ("open", "os.link", "os.rename", "os.mkdir")
    if changes and sys.argv[1] in str(args):
        left[0] -= 1
        if not left[0]:
            os.kill(os.getpid(), 9)
sys.addaudithook(watch)
demonstration.write(Path(sys.argv[1]), force=True)
"""


def test_killed_anywhere_a_name_holds_all_of_its_content_or_nothing(tmp_path: Path) -> None:
    whole = tmp_path / "whole"
    demonstration.write(whole)
    wanted = files(whole)
    for steps in (2, 6, 7, 8, 61, 62):
        folder = tmp_path / f"killed-{steps}"
        done = subprocess.run([sys.executable, "-c", KILLED, str(folder), str(steps)], timeout=300)
        assert done.returncode == -9, "it was killed while it wrote"
        there = {n: c for n, c in files(folder).items() if not n.rpartition("/")[2].startswith(".")}
        assert there.items() <= wanted.items()
        demonstration.write(folder)
        assert files(folder) == wanted


def test_a_folder_that_the_demo_did_not_make_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "gear.csv").write_text("mine")
    with pytest.raises(LogbookError) as stop:
        demonstration.write(tmp_path)
    assert str(stop.value) == (
        f"{tmp_path}: holds files that the demo did not make; name another folder"
    )
    assert files(tmp_path) == {"gear.csv": b"mine"}


def test_an_empty_folder_and_a_file_in_the_way(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    demonstration.write(tmp_path / "empty")
    assert (tmp_path / "empty" / "gear.csv").is_file()
    (tmp_path / "file").write_text("")
    with pytest.raises(LogbookError, match=r"file: is a file; name another folder for the demo$"):
        demonstration.write(tmp_path / "file")


def test_what_is_derived_is_kept_from_version_control(tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    demonstration.write(folder)
    assert {".tarebook/", "reports/"} <= set((folder / ".gitignore").read_text().splitlines())
    (folder / ".gitignore").write_text("mine")
    demonstration.write(folder)
    assert (folder / ".gitignore").read_text() == "mine"
