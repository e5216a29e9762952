"""Words that a person reads do not stand in docstrings, which `python -OO` drops."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PROGRAMS = (
    ("tarebook.notebooks.cli", "--help"),
    ("tarebook.notebooks.cli", "check", "--help"),
    ("tarebook.notebooks.cli", "report", "--help"),
    ("tarebook.notebooks.cli", "table", "usage", "--help"),
    ("tarebook.notebooks.storing",),
    ("tarebook.tripdata.normals.making",),
)


def printed(*options: str) -> tuple[int, str, str]:
    done = subprocess.run([sys.executable, *options], capture_output=True, text=True, check=False)
    return done.returncode, done.stdout.replace(" -OO", ""), done.stderr


@pytest.mark.parametrize("program", PROGRAMS, ids=" ".join)
def test_it_says_the_same_without_docstrings(program: tuple[str, ...]) -> None:
    usual = printed("-m", *program)
    assert len(usual[1] + usual[2]) > 100
    assert printed("-OO", "-m", *program) == usual


def test_no_code_reads_docstrings() -> None:
    sources = [
        p for part in ("tripdata", "analysis", "notebooks") for p in (ROOT / part).rglob("*.py")
    ]
    assert len(sources) > 100
    readers = [
        f"{path.relative_to(ROOT)}:{node.lineno}"
        for path in sources
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if getattr(node, "id", getattr(node, "attr", "")) in ("__doc__", "getdoc")
    ]
    assert readers == []
