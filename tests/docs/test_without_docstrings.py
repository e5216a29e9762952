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


def readers(tree: ast.Module) -> list[int]:
    """Lines that read a docstring for other than to hand it on to another's, for ``help``."""
    handed_on = {
        id(part)
        for node in ast.walk(tree)
        if isinstance(node, ast.Assign)
        and all(getattr(target, "attr", "") == "__doc__" for target in node.targets)
        for part in ast.walk(node)
    }
    return [
        node.lineno
        for node in ast.walk(tree)
        if isinstance(node, ast.Name | ast.Attribute)
        and getattr(node, "id", getattr(node, "attr", "")) in ("__doc__", "getdoc")
        and id(node) not in handed_on
    ]


def test_no_code_reads_docstrings() -> None:
    parts = ("tripdata", "analysis", "notebooks")
    sources = [path for part in parts for path in (ROOT / part).rglob("*.py")]
    assert len(sources) > 100
    lines = {p.relative_to(ROOT): readers(ast.parse(p.read_text("utf-8"))) for p in sources}
    assert {path: where for path, where in lines.items() if where} == {}


def test_a_reader_is_noticed() -> None:
    assert readers(ast.parse("print(__doc__)\nother.__doc__ = one.__doc__\nsay(one.__doc__)")) == [
        1,
        3,
    ]
