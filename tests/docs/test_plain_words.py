"""What a person reads is plain: no word of a list of clumsy ones, and one name for one state."""

import ast
import csv
import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from tarebook.analysis.ahead.page.lists import READY
from tarebook.analysis.comfort.words import VERDICTS
from tarebook.analysis.cull.page import charts, shelves
from tarebook.analysis.usage.verdict_words import LABELS
from tarebook.analysis.wear import chores
from tarebook.analysis.wear.words import SEVERITY_WORDS
from tarebook.tripdata.contract import SEVERITIES
from tarebook.tripdata.logbook_entry.telling import TOLD_SEVERITIES

ROOT = Path(__file__).parents[2]
PARTS = ("analysis", "notebooks", "tripdata")
_ONE = "carries|carried|goes|pays|sleeps|slept|sees|travels|travelled|walks|would"
CLUMSY = {
    "from so many trips": r"\(n ?= ?",
    "worked out": r"\breckon",
    "zero": r"\bnought\b",
    "of which": r"\bwhereof\b",
    "without spending anything": r"\bfor nothing\b|\bcosts nothing\b",
    "left at home, or stays at home": r"\blet(ting|s)? (it |them )?go\b|\bculled\b",
    "undamaged": r"\bunhurt\b",
    "contradicted": r"\bbelied\b",
    "you, your": rf"(?<!that )(?<!each )\bone['’]s\b|\b(how|what|where|whom?) one ({_ONE})\b",
    "can injure and kill": r"\bcold injures\b",
    "minus": r"\b(less|low less) (normal|start|gear)\b",
    "too early to say": r"\btoo few trips to tell\b|\btoo early to tell\b",
    "per kg, per point": r"\bby the (kg|point|pound)\b",
    "not fixed": r"\bno mend\b",
    "given up": r"\bsince retired\b",
}
"""What is written instead, and what is not."""


def _docstrings(tree: ast.Module) -> set[int]:
    """The strings that stand alone as a statement: docstrings of modules, classes, names."""
    return {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}


@cache
def said() -> tuple[tuple[str, str], ...]:
    """Every text of pages, terminal, form and reference: the file, and the text itself."""
    return tuple((str(file.relative_to(ROOT)), text) for file, text in _said())


def _said() -> Iterator[tuple[Path, str]]:
    for part in PARTS:
        for file in sorted((ROOT / part).rglob("*")):
            match file.suffix:
                case ".py":
                    tree = ast.parse(file.read_text("utf-8"))
                    apart = _docstrings(tree)
                    for node in ast.walk(tree):
                        value = node.value if isinstance(node, ast.Constant) else None
                        if isinstance(value, str) and id(node) not in apart and " " in value:
                            yield file, value
                case ".csv" if file.name in ("columns.csv", "settings.csv", "tables.csv"):
                    with file.open(encoding="utf-8", newline="") as lines:
                        for row in csv.DictReader(lines):
                            yield file, row["meaning"]
                case ".ipynb":
                    for cell in json.loads(file.read_text("utf-8"))["cells"]:
                        if cell["cell_type"] == "markdown":
                            yield file, "".join(cell["source"])
                case ".js" | ".j2" if "vendor" not in file.parts:
                    for line in file.read_text("utf-8").splitlines():
                        yield file, line
    for file in (ROOT / "README.md", *(ROOT / part / "README.md" for part in PARTS)):
        # Code names columns and options, which are what they are.
        text = re.sub(r"```.*?```|`[^`\n]*`", "", file.read_text("utf-8"), flags=re.S)
        for line in text.split("\n\n"):
            yield file, " ".join(line.split())


@pytest.mark.parametrize("instead", CLUMSY)
def test_no_clumsy_word_is_said(instead: str) -> None:
    found = [
        f"{file}: {text[max(0, hit.start() - 40) : hit.end() + 40]}"
        for file, text in said()
        if (hit := re.search(CLUMSY[instead], text, re.IGNORECASE))
    ]
    assert not found, "\n".join([f"write “{instead}”:", *found])


def test_a_state_has_one_name_and_two_states_have_two() -> None:
    for names in (LABELS, VERDICTS, SEVERITY_WORDS):
        assert len(set(names.values())) == len(names)
    # What a comfort brought and whether a thing is needed may be untold alike.
    assert LABELS["too_few_trips"] == VERDICTS["not_known"]
    assert {charts.LEAVE, charts.EARLY, charts.KEEP, charts.PURPOSE, charts.ASK} <= set(
        LABELS.values()
    )
    for verdict, counted in shelves.COUNTED.items():
        assert LABELS[verdict].lower() in f"{counted} {counted.removeprefix('to ')}", verdict
    assert tuple(SEVERITY_WORDS) == SEVERITIES
    assert SEVERITY_WORDS == TOLD_SEVERITIES


_ON_PAGES = re.compile(
    r"analysis/.*(page|sections?|words|opening)[^/]*\.py|notebooks/(?!lab/).*\.(ipynb|py)"
)
"""What is said on pages; tables and their reference say what an interval is by its trade name."""
ONE_NAME = {
    # Of the list of what waits to be done.
    "to do": r"\bsee(n)? to\b|\bchores?\b|mend and restock|\bstill to do\b|\bbefore leaving\b"
    r"(?<!do before leaving)",
    # Of the list of a trip to come.
    "what to pack": r"\bwhat to take\b(?! (for|by))|\bpack(ing)? (sheet|list)s?\b",
    # Of the range that holds the truth nine times in ten.
    "very likely": r"\b(9[05]|80) ?% (interval|band|range)|\bintervals?\b|, (80|9[05]) %$",
}
"""One name, and the others that once stood for the same on pages."""


@pytest.mark.parametrize("name", ONE_NAME)
def test_one_thing_has_one_name_on_all_pages(name: str) -> None:
    found = [
        f"{file}: {text[max(0, hit.start() - 40) : hit.end() + 40]}"
        for file, text in said()
        if _ON_PAGES.fullmatch(file)
        and (hit := re.search(ONE_NAME[name], text.replace("\u202f", " "), re.IGNORECASE))
    ]
    assert not found, "\n".join([f"say “{name}”:", *found])


@pytest.mark.parametrize(
    "report",
    ["base_weight_trend", "before_trip", "buying_case", "comfort_value", "debrief", "season_cull"],
)
def test_a_page_that_says_very_likely_says_what_that_is(report: str) -> None:
    notebook = json.loads((ROOT / "notebooks" / f"{report}.ipynb").read_text("utf-8"))
    prose = "".join(
        "".join(cell["source"]) for cell in notebook["cells"] if cell["cell_type"] == "markdown"
    )
    (line,) = [line for line in prose.split("\n") if re.search(r"\*\*very likely", line, re.I)]
    assert re.search(r"nine (times )?in ten", line)


def test_what_there_is_to_do_has_one_name_in_every_heading() -> None:
    assert chores.TO_DO_NEXT.startswith(chores.TO_DO)
    assert READY.startswith(chores.TO_DO)


def test_no_other_name_of_a_state_is_said() -> None:
    other = {
        "Earned its weight": r"earned (its|their) grams",
        "Kept on purpose": r"carried on purpose",
        "Too early to say": r"too early to tell|with too few trips",
        "For you to say": r"\byou to say\b(?<!for you to say)",
        "could no longer be used": r"made the thing un|did not work, or was unsafe",
    }
    found = [
        f"{name}: {file}: {hit[0]}"
        for name, said_as in other.items()
        for file, text in said()
        if (hit := re.search(said_as, text, re.IGNORECASE))
    ]
    assert not found, "\n".join(found)
