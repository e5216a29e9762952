"""The demo logbook in a folder of its own: what it writes, and what it leaves alone."""

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
    (folder / "gear.csv").write_text("changed")
    (folder / "trip.csv").unlink()
    demonstration.write(folder)
    assert files(folder) == before


def test_what_a_person_put_into_the_demo_stays(tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    demonstration.write(folder)
    (folder / "my-notes.txt").write_text("mine")
    demonstration.write(folder)
    assert (folder / "my-notes.txt").read_text() == "mine"


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


def test_a_marker_that_names_files_elsewhere_is_not_believed(tmp_path: Path) -> None:
    outside = tmp_path / "precious.txt"
    outside.write_text("mine")
    folder = tmp_path / "demo"
    demonstration.write(folder)
    (folder / demonstration.MARKER).write_text(f'["../precious.txt", "{outside}"]')
    demonstration.write(folder)
    assert outside.read_text() == "mine"


def test_what_is_derived_is_kept_from_version_control(tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    demonstration.write(folder)
    assert {".tarebook/", "reports/"} <= set((folder / ".gitignore").read_text().splitlines())
    (folder / ".gitignore").write_text("mine")
    demonstration.write(folder)
    assert (folder / ".gitignore").read_text() == "mine"
