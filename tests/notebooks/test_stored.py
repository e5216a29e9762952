"""The notebooks: without output as they are installed, run to the end and clean as stored."""

import json
from pathlib import Path
from typing import Any

import pytest
from tarebook.notebooks import laboratory, runner

FOLDER = Path(__file__).parents[2] / "notebooks"
STORED = Path(__file__).parent / "stored"
REPORTS = sorted(FOLDER.glob("*.ipynb"))
LAB = sorted(FOLDER.glob("lab/*.ipynb"))
NOTEBOOKS = [*REPORTS, *LAB]
EXECUTED = sorted(STORED.glob("*.ipynb"))


def cells(path: Path) -> list[dict[str, Any]]:
    parsed: list[dict[str, Any]] = json.loads(path.read_text("utf-8"))["cells"]
    return parsed


def code(path: Path) -> list[dict[str, Any]]:
    return [cell for cell in cells(path) if cell["cell_type"] == "code"]


def test_every_notebook_is_a_report_or_one_of_the_lab_and_has_its_stored_output() -> None:
    assert tuple(p.stem for p in REPORTS) == runner.available()
    assert sorted(each.name for each in laboratory.packaged()) == sorted(p.name for p in NOTEBOOKS)
    assert len({p.name for p in NOTEBOOKS}) == len(NOTEBOOKS)
    assert [p.name for p in EXECUTED] == sorted(p.name for p in NOTEBOOKS)


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_what_is_installed_holds_no_output(path: Path) -> None:
    assert code(path)
    for cell in code(path):
        assert cell["execution_count"] is None
        assert cell["outputs"] == []


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_the_stored_output_is_of_the_very_cells(path: Path) -> None:
    left_out = ("execution_count", "outputs")
    plain = [
        [{k: v for k, v in cell.items() if k not in left_out} for cell in cells(each)]
        for each in (path, STORED / path.name)
    ]
    assert plain[0] == plain[1], "run `.ci/notebooks store`"


@pytest.mark.parametrize("path", EXECUTED, ids=lambda p: p.stem)
def test_every_code_cell_has_run(path: Path) -> None:
    # A notebook that was never run would pass a comparison with its own emptiness.
    ran = code(path)
    assert [c["execution_count"] for c in ran] == list(range(1, len(ran) + 1))
    assert sum(bool(c["outputs"]) for c in ran) >= len(ran) - 2  # parameters and validation
    kinds = {o["output_type"] for c in ran for o in c["outputs"]}
    assert kinds == {"execute_result"}


@pytest.mark.parametrize("path", [*NOTEBOOKS, *EXECUTED], ids=lambda p: f"{p.parent.name}-{p.stem}")
def test_nothing_of_the_machine_is_kept(path: Path) -> None:
    text = path.read_text("utf-8")
    assert "/tmp/" not in text
    assert str(Path.home()) + "/" not in text
    notebook = json.loads(text)
    assert notebook["metadata"] == {
        "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
        "language_info": {"name": "python"},
    }
