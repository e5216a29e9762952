"""Every outside check has its source beside it, and the page that lists them is current."""

from pathlib import Path

import pytest
from outside_checks import FIRM, PAGE, ROOT, checks, counted, drawn, faulty_marks, unmarked

LEAST_FIRM = 110
LEAST_PUBLISHED = 64


def test_the_page_is_drawn_from_the_tests() -> None:
    assert (ROOT / PAGE).read_text("utf-8") == drawn(ROOT), (
        "run `python tests/docs/outside_checks.py`"
    )


def test_every_mark_has_a_source_and_none_says_better_of_itself_than_it_is() -> None:
    assert faulty_marks(ROOT) == []


def test_whoever_names_a_source_or_calls_another_implementation_carries_a_mark() -> None:
    assert unmarked(ROOT) == []


def test_most_rest_on_what_others_published_issued_or_wrote() -> None:
    assert sum(check.kind in FIRM for check in checks(ROOT)) >= LEAST_FIRM


def test_enough_rest_on_what_was_published_and_none_on_nothing() -> None:
    assert sum(check.kind == "published" for check in checks(ROOT)) >= LEAST_PUBLISHED
    assert counted(ROOT).splitlines()[-1] == "0 with no source named"


def test_counts_are_those_of_the_marks(tmp_path: Path) -> None:
    text = marked("published", "A table", "5 is 5") + marked("memory", "From memory", "6 is 6")
    root = made(tmp_path, text + "def test_other(): ...  # as NIST has it")
    assert counted(root).splitlines() == [
        "2 outside checks",
        "1 published",
        "0 official data",
        "0 implementation",
        "0 common practice",
        "1 memory",
        "1 with no published source at hand",
        "1 with no source named",
    ]


def made(tmp_path: Path, text: str) -> Path:
    folder = tmp_path / "tests"
    folder.mkdir()
    (folder / "test_made.py").write_text(text, "utf-8")
    return tmp_path


def marked(kind: str, source: str, what: str, body: str = "...") -> str:
    return f"@pytest.mark.outside({kind!r}, {source!r}, {what!r})\ndef test_it(): {body}\n"


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (marked("hearsay", "A table", "5 is 5"), "no kind of source: hearsay"),
        (marked("published", " ", "5 is 5"), "a source and what it says are wanted"),
        (marked("published", "A table", ""), "a source and what it says are wanted"),
        (marked("published", "A table, from memory", "5 is 5"), "go together"),
        (marked("memory", "A table", "5 is 5"), "go together"),
        (marked("published", "no published source", "5 is 5"), "go together"),
        (marked("implementation", "Somelib's fit", "as ours"), "somelib is not called there"),
    ],
)
def test_a_faulty_mark_is_named(tmp_path: Path, text: str, fault: str) -> None:
    (found,) = faulty_marks(made(tmp_path, text))
    assert found.startswith("tests/test_made.py:1: test_it: ")
    assert found.endswith(fault)


@pytest.mark.parametrize("mark", ["'published', 'A table'", "'published', TABLE, '5'", "kind='x'"])
def test_a_mark_that_cannot_be_listed_is_refused(tmp_path: Path, mark: str) -> None:
    root = made(tmp_path, f"@pytest.mark.outside({mark})\ndef test_it(): ...\n")
    with pytest.raises(ValueError, match=r"made\.py:1: expected three plain texts"):
        checks(root)


@pytest.mark.parametrize(
    "line", ["5  # from memory", "5  # NIST SP 811", "import lifelines", "5  # ISO 8601"]
)
def test_a_source_without_a_mark_is_named(tmp_path: Path, line: str) -> None:
    bare = f"def test_it():\n    {line}\n"
    (found,) = unmarked(made(tmp_path, bare))
    assert found.startswith("tests/test_made.py:2: test_it has no mark")
    other = marked("published", "A table", "5 is 5").replace("test_it", "test_other")
    (tmp_path / "tests" / "test_made.py").write_text(other + bare, "utf-8")
    assert len(unmarked(tmp_path)) == 1, "the mark of another test is none of this one"
    own = marked("published", "A table", "5 is 5", body=f"\n    {line}")
    (tmp_path / "tests" / "test_made.py").write_text(own, "utf-8")
    assert unmarked(tmp_path) == []


def test_a_check_stands_on_the_page_with_its_source(tmp_path: Path) -> None:
    text = marked("published", "A | B 1987", "5 is 5").replace("test_it()", "test_it(noaa)")
    page = drawn(made(tmp_path, text))
    assert "1 checks, of which 1 rest" in page
    assert "| `test_made.py` `test_it`¹ | 5 is 5 | A \\| B 1987 |" in page
