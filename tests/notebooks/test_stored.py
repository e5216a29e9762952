"""The notebooks as they are kept: run to the end, clean, and of the agreed form."""

import json
from pathlib import Path
from typing import Any

import pytest
from tarebook.notebooks import laboratory, runner

FOLDER = Path(__file__).parents[2] / "notebooks"
REPORTS = sorted(FOLDER.glob("*.ipynb"))
LAB = sorted(FOLDER.glob("lab/*.ipynb"))
NOTEBOOKS = [*REPORTS, *LAB]


def cells(path: Path) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads(path.read_text("utf-8"))["cells"]
    return found


def test_every_notebook_is_a_report_or_one_of_the_lab() -> None:
    assert tuple(p.stem for p in REPORTS) == runner.available()
    assert sorted(each.name for each in laboratory.packaged()) == sorted(p.name for p in NOTEBOOKS)
    assert len({p.name for p in NOTEBOOKS}) == len(NOTEBOOKS)


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_every_code_cell_has_run(path: Path) -> None:
    # A notebook that was never run would pass a comparison with its own emptiness.
    code = [c for c in cells(path) if c["cell_type"] == "code"]
    assert [c["execution_count"] for c in code] == list(range(1, len(code) + 1))
    assert sum(bool(c["outputs"]) for c in code) >= len(code) - 2  # parameters and validation
    kinds = {o["output_type"] for c in code for o in c["outputs"]}
    assert kinds == {"execute_result"}


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_nothing_of_the_machine_is_kept(path: Path) -> None:
    text = path.read_text("utf-8")
    assert "/tmp/" not in text
    assert str(Path.home()) + "/" not in text
    notebook = json.loads(text)
    assert notebook["metadata"] == {
        "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
        "language_info": {"name": "python"},
    }
