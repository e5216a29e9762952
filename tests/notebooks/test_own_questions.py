"""The notebook of one's own questions: on any logbook, also on one with nothing optional in it."""

import ast
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import nbformat
import pytest
from nbclient import NotebookClient

NOTEBOOK = Path(__file__).parents[2] / "notebooks" / "lab" / "your_own_questions.ipynb"
SOURCES = nbformat.read(NOTEBOOK, as_version=4).cells


def executed(folder: Path, work: Path, monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    """The code cells after a run on a logbook, from a folder of no interest."""
    monkeypatch.setenv("TAREBOOK_LOGBOOK", str(folder))
    notebook = nbformat.read(NOTEBOOK, as_version=4)
    where = {"metadata": {"path": str(work)}}
    NotebookClient(notebook, timeout=300, kernel_name="python3", resources=where).execute()
    return [cell for cell in notebook.cells if cell.cell_type == "code"]


def shown(cells: list[Any], kind: str) -> list[str]:
    """What the cells show of a kind, in order."""
    outputs = [output for cell in cells for output in cell.outputs]
    return [output.data[kind] for output in outputs if kind in output.get("data", {})]


def test_each_example_is_a_few_lines_between_a_question_and_how_to_read_it() -> None:
    headings = [n for n, cell in enumerate(SOURCES) if cell.source.startswith("## ")]
    assert len(headings) == 6
    for begin, end in zip(headings, [*headings[1:], len(SOURCES)], strict=True):
        kinds = [cell.cell_type for cell in SOURCES[begin:end]]
        assert kinds[0] == kinds[-1] == "markdown"
        assert set(kinds[1:-1]) == {"code"}
        assert SOURCES[begin].source.splitlines()[0].endswith("?")
        assert SOURCES[end - 1].source.startswith("How to read it: ")
    for cell in SOURCES:
        if cell.cell_type == "code":
            assert len(cell.source.splitlines()) <= 20
            nodes = {type(node) for node in ast.walk(ast.parse(cell.source))}
            assert not nodes & {ast.FunctionDef, ast.ClassDef, ast.Lambda, ast.For, ast.While}


def test_what_stays_packed_is_never_called_a_thing_to_leave() -> None:
    """And that is read before the table is."""
    question = next(c.source for c in SOURCES if c.source.startswith("## 2. "))
    assert "**Take care: this is a record, not advice to leave anything at home.**" in question
    for what in ("warm", "dry", "lit", "found", "fed", "healed", "afloat"):
        assert what in question


def test_reports_are_called_by_their_titles() -> None:
    prose = " ".join(c.source for c in SOURCES if c.cell_type == "markdown")
    assert set(re.findall(r"[Tt]he report “(.*?)”", prose)) == {
        "What to leave at home",
        "Cold for the time of year?",
    }


PACKED = {"bivy": "shelter", "fleece": "clothing", "rain-jacket": "rain", "bars": "food",
          "stove": "cook", "rope": "safety", "chess-set": "leisure"}  # fmt: skip


def test_what_must_stay_is_not_listed_as_seldom_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Along on all trips and never used; one way of travelling is noted on some, one on none."""
    folder, work = tmp_path / "packed", tmp_path / "work"
    work.mkdir()
    folder.mkdir()
    gear = [f"{item},{item.title()},{system},100" for item, system in PACKED.items()]
    days = [f"t{n:02d},2026-{1 + n // 3:02d}-{1 + 9 * (n % 3):02d}" for n in range(30)]
    modes = ("foot", "ebike", "")
    trips = [
        f"{day},{day[4:12]}{int(day[-2:]) + 1:02d},{modes[n % 3]},full"
        for n, day in enumerate(days)
    ]
    carried = [f"{day[:3]},{item}" for day in days for item in PACKED]
    ways = [f"{day},{5 + n}" for n, day in enumerate(days)]
    for name, header, rows in (
        ("gear", "item,name,system,weight_g", gear),
        ("trip", "trip,start_on,end_on,mode,use_record", trips),
        ("carried", "trip,item", carried),
        ("distances", "trip,day,distance_km", ways),
    ):
        (folder / f"{name}.csv").write_text("\n".join([header, *rows]) + "\n", "utf-8")
    cells = executed(folder, work, monkeypatch)
    (seldom,) = [page for page in shown(cells, "text/html") if "Occasions (trips)" in page]
    assert re.findall(r"<th>([A-Z][\w-]+)</th>", seldom.partition("<tbody>")[2]) == ["Chess-Set"]
    (drawing,) = shown(cells, "image/svg+xml")
    assert "30 of 30 trips have a night, a distance and a base weight" in drawing
    panels = re.findall(r">(By e-bike|On foot|Way not noted)</text>", drawing)
    assert panels == ["By e-bike", "On foot", "Way not noted"]
    assert drawing.count(">Distance of the trip (km)</text>") == len(panels)


def test_it_answers_on_a_full_logbook(
    logbook: Callable[[str], Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = logbook("lakes")
    cells = executed(folder, tmp_path, monkeypatch)
    pages = "".join(shown(cells, "text/html"))
    assert not re.findall(r"\d\.\d{3}", pages)
    assert "First aid" in pages
    assert "first_aid" not in pages
    (drawing,) = shown(cells, "image/svg+xml")
    assert "Distance of the trip (km)" in drawing
    assert "at the start (g)" in drawing
    assert list(tmp_path.iterdir()) == []
    header = (folder / "reports" / "nights.csv").read_text("utf-8").splitlines()[0]
    assert header.startswith("trip,night,low_c (°C),low_source,")


def test_it_answers_where_all_that_is_optional_is_blank(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, work = tmp_path / "bare", tmp_path / "work"
    work.mkdir()
    folder.mkdir()
    (folder / "gear.csv").write_text("item,system,weight_g\ntent,shelter,\nquilt,sleep,\n")
    (folder / "trip.csv").write_text("trip,start_on,end_on\none,2026-05-01,2026-05-03\n")
    (folder / "carried.csv").write_text("trip,item\none,tent\none,tnet\n")
    cells = executed(folder, work, monkeypatch)
    # The first cell builds the store, and warns of the row that could not be read.
    remarks = [o.text for o in cells[0].outputs if o.output_type == "stream"]
    assert ["1 record set aside" in remark for remark in remarks] == [True]
    assert not [o for cell in cells[1:] for o in cell.outputs if o.output_type == "stream"]
    assert "1 trip, 2 nights" in shown(cells, "text/html")[0]
    assert (
        sum("0 rows" in page or "<tbody>\n  </tbody>" in page for page in shown(cells, "text/html"))
        == 4
    )
    (drawing,) = shown(cells, "image/svg+xml")
    assert "0 of 1 trips have a night, a distance and a base weight" in drawing
