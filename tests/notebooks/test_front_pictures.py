"""The command that takes pictures of pages for the front of the project."""

import shutil
from datetime import date
from pathlib import Path
from typing import Any

import nbformat
import pytest
from PIL import Image
from tarebook.analysis.display.sections import Opening, Section
from tarebook.notebooks import front_pictures, page
from tarebook.tripdata.errors import QuestionError


@pytest.fixture
def reports(tmp_path: Path) -> Path:
    """Two long pages under the names of those that are shown."""
    shown: list[Any] = [Opening("A trip", ("1 night",), note="Rain.")]
    shown += [Section(f"Part {n}", (f"What part {n} says.",)) for n in range(40)]
    cells = []
    for each in shown:
        output = nbformat.v4.new_output("display_data", data=each._repr_mimebundle_())  # type: ignore[no-untyped-call]
        cells.append(nbformat.v4.new_code_cell("shown", outputs=[output]))  # type: ignore[no-untyped-call]
    notebook = nbformat.v4.new_notebook(cells=cells)  # type: ignore[no-untyped-call]
    for name in ("index.html", "debrief-2024-07-up-the-sound.html"):
        (tmp_path / name).write_text(page.render(notebook, on=date(2026, 5, 1)), "utf-8")
    return tmp_path


def test_pictures_are_the_same_when_taken_again_and_end_between_parts(
    browser: Any, reports: Path, tmp_path: Path
) -> None:
    first, again = tmp_path / "first", tmp_path / "again"
    for folder in (first, again):
        folder.mkdir()
        taken = front_pictures.take_with(browser, reports, folder)
        assert [path.name for path in taken] == ["index.webp", "debrief.webp"]
    for name in ("index.webp", "debrief.webp"):
        assert (first / name).read_bytes() == (again / name).read_bytes()
        with Image.open(first / name) as picture:
            grey = picture.convert("L")
        # The text goes on below, and is not cut through: the last rows are blank.
        assert 1500 < grey.height < 2700
        low, high = grey.crop((0, grey.height - 4, grey.width, grey.height)).getextrema()
        assert high - low < 8  # type: ignore[operator]


def test_without_a_browser_it_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shutil, "which", lambda _: None)
    with pytest.raises(QuestionError, match="install Debian's package chromium"):
        front_pictures.take(tmp_path, tmp_path)
