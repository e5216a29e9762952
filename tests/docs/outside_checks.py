"""The page of outside checks, drawn from the tests: `python tests/docs/outside_checks.py`.

Prints how many there are by kind, of how many nothing published is at hand, and how many name no
source at all.

A test that holds a figure which comes from elsewhere says so beside it, once for each source:
``@pytest.mark.outside(kind, source, what)``, three plain texts. ``kind`` is one of `KINDS`.
"""

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
PAGE = "tests/OUTSIDE_CHECKS.md"
KINDS = {
    "published": "Published: standards, papers, handbooks and manuals with worked values",
    "official data": "Official data: figures that an authority issues",
    "implementation": "Another implementation, called by the test",
    "common practice": "Common practice, no published source",
    "memory": "From memory",
}
FIRM = ("published", "official data", "implementation")
_MEMORY, _PRACTICE = "from memory", "no published source"
_SOURCE_IN_WORDS = re.compile(
    r"from memory|common practice|no published source|\bNIST\b|et al\.|\bWCAG\b|\bRFC \d"
    r"|\bISO \d|\bHandbook\b|\blifelines\b|\bstatsmodels\b|\bpymannkendall\b|\bpint\b"
    r"|\bGeodesicTest\b|\b(?:18|19|20)\d\d, [A-Z][\w. ]+ \d+: \d+|Read off NOAA"
)
_NO_SOURCE = re.compile(
    # What a page says to its reader, the pages that tests draw, and words of an option's name.
    r"only common practice is|too little by common practice"
)


@dataclass(frozen=True, slots=True)
class Check:
    """One source that a test is held against. ``beside``: whether it wants NOAA's whole files."""

    path: str
    test: str
    line: int
    kind: str
    source: str
    what: str
    beside: bool


def checks(root: Path) -> list[Check]:
    """All of them, in the order of files and lines. Raises ValueError for a mark of other form."""
    return [check for path in _test_files(root) for check in _checks_of(path, root)]


def faulty_marks(root: Path) -> list[str]:
    """Marks of no known kind, without a source or a figure, or of a better kind than they say."""
    faults = []
    for check in checks(root):
        at = f"{check.path}:{check.line}: {check.test}"
        if check.kind not in KINDS:
            faults.append(f"{at}: no kind of source: {check.kind}")
        if not check.source.strip() or not check.what.strip():
            faults.append(f"{at}: a source and what it says are wanted")
        if (check.kind == "memory") != (_MEMORY in check.source):
            faults.append(f"{at}: “{_MEMORY}” and the kind go together")
        if (check.kind == "common practice") != (_PRACTICE in check.source):
            faults.append(f"{at}: “{_PRACTICE}” and the kind go together")
        if check.kind == "implementation":
            library = re.split(r"\W", check.source.lower())[0]
            if library not in _imported((root / check.path).read_text("utf-8")):
                faults.append(f"{at}: {library} is not called there")
    return faults


def unmarked(root: Path) -> list[str]:
    """Tests that name a source in words, or call another implementation, and carry no mark."""
    found = []
    for path in _test_files(root):
        text = path.read_text("utf-8")
        functions = _functions(text)
        marked = {check.test for check in _checks_of(path, root)}
        for number, line in enumerate(text.splitlines(), start=1):
            if not _SOURCE_IN_WORDS.search(line) or _NO_SOURCE.search(line):
                continue
            tests = [f for f in functions if _first_line(f) <= number <= (f.end_lineno or number)]
            tests = [f for f in tests if f.name.startswith("test_")]
            if not (marked & {f.name for f in tests} if tests else marked):
                name = tests[0].name if tests else "no test of it"
                found.append(f"{path.relative_to(root)}:{number}: {name} has no mark: {line}")
    return found


def drawn(root: Path) -> str:
    """The page."""
    every = checks(root)
    firm = sum(check.kind in FIRM for check in every)
    counts = ", ".join(f"{sum(c.kind == kind for c in every)} {kind}" for kind in KINDS)
    lines = [
        "# Outside checks",
        "",
        f"What the numbers are held against that was not worked out here: {len(every)} checks, of "
        f"which {firm} rest on a published source, official data or another implementation "
        f"({counts}). A test with several sources stands once for each. Marked ¹: over whole files "
        "of NOAA's, skipped where they do not lie beside the checkout; what they hold is held by "
        "figures typed in, too.",
        "",
        "Drawn from the marks in the tests by `python tests/docs/outside_checks.py`; "
        "`tests/docs/test_outside_checks.py` holds it complete and current.",
    ]
    for kind, heading in KINDS.items():
        of_kind = [check for check in every if check.kind == kind]
        if of_kind:
            lines += ["", f"## {heading}", "", "| test | holds | source |", "|---|---|---|"]
            lines += [_row(check) for check in of_kind]
    return "\n".join(lines) + "\n"


def counted(root: Path) -> str:
    """How many there are, a line a kind; how many rest on nothing published, or on nothing."""
    every = checks(root)
    kinds = {kind: sum(check.kind == kind for check in every) for kind in KINDS}
    soft = sum(many for kind, many in kinds.items() if kind not in FIRM)
    unnamed = sum(not check.source.strip() for check in every) + len(unmarked(root))
    lines = [
        f"{len(every)} outside checks",
        *(f"{many} {kind}" for kind, many in kinds.items()),
        f"{soft} with no published source at hand",
        f"{unnamed} with no source named",
    ]
    return "\n".join(lines)


def _row(check: Check) -> str:
    cells = (
        f"`{check.path.removeprefix('tests/')}` `{check.test}`{'¹' * check.beside}",
        check.what,
        check.source,
    )
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def _test_files(root: Path) -> list[Path]:
    # This page's own tests write marks of wrong forms.
    found = sorted((root / "tests").rglob("test_*.py"))
    return [path for path in found if path.name != "test_outside_checks.py"]


@cache
def _functions(text: str) -> list[ast.FunctionDef]:
    return [node for node in ast.walk(ast.parse(text)) if isinstance(node, ast.FunctionDef)]


@cache
def _imported(text: str) -> set[str]:
    """First names of what a module imports, inside functions, too."""
    names: list[str] = []
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            names += [each.name for each in node.names]
        elif isinstance(node, ast.ImportFrom):
            names.append(node.module or "")
    return {name.split(".")[0].lower() for name in names}


def _of_whole_files(functions: list[ast.FunctionDef]) -> set[str]:
    """`noaa` and what is made of it: names of fixtures."""
    found, before = {"noaa"}, set[str]()
    while found != before:
        before = set(found)
        found |= {
            f.name
            for f in functions
            if any("fixture" in ast.unparse(each) for each in f.decorator_list)
            and found & {argument.arg for argument in f.args.args}
        }
    return found


def _first_line(function: ast.FunctionDef) -> int:
    return min([function.lineno, *(each.lineno for each in function.decorator_list)])


def _checks_of(path: Path, root: Path) -> Iterator[Check]:
    name = path.relative_to(root).as_posix()
    functions = _functions(path.read_text("utf-8"))
    whole = _of_whole_files(functions)
    for function in sorted(functions, key=_first_line):
        wanted = {argument.arg for argument in function.args.args}
        for each in function.decorator_list:
            if not (isinstance(each, ast.Call) and ast.unparse(each.func) == "pytest.mark.outside"):
                continue
            texts = [a.value for a in each.args if isinstance(a, ast.Constant)]
            if len(texts) != 3 or len(each.args) != 3 or each.keywords:
                raise ValueError(f"{name}:{each.lineno}: expected three plain texts")
            kind, source, what = map(str, texts)
            yield Check(name, function.name, each.lineno, kind, source, what, bool(wanted & whole))


if __name__ == "__main__":
    (ROOT / PAGE).write_text(drawn(ROOT), encoding="utf-8")
    print(counted(ROOT))
