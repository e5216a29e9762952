"""The report on buying as a person gets it: run, found, looked at in a browser."""

import html
import re
from pathlib import Path
from typing import Any

import pytest
from tarebook.notebooks import runner
from tarebook.tripdata.errors import QuestionError


@pytest.fixture(scope="module")
def report(demo_folder: Path) -> Any:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SOURCE_DATE_EPOCH", "1795608000")
        (made,) = runner.run(["buying_case"], {}, demo_folder / "reports", logbook=demo_folder)
    return made


def test_the_report_finds_what_the_page_says_and_remarks_nothing(report: Any) -> None:
    assert report.title == "The case for buying"
    assert report.findings[0].about == "Worth buying"
    assert report.findings[0].answer.startswith(
        "Buy nothing yet. For cold nights try your own “Winter sleeping bag” before paying"
    )
    assert report.remarks == ()


def test_the_page_is_plain_words_without_leftovers(report: Any) -> None:
    page = report.html.read_text("utf-8")
    body = page[page.index("<main ") : page.index("<footer>")]
    body = re.sub(r"<script.*?</script>|<svg.*?</svg>", " ", body, flags=re.DOTALL)
    words = html.unescape(re.sub(r"<[^>]+>", " ", body))
    for slip in (
        "None",
        "nan",
        "inf ",
        "NaN",
        "lost_use",
        "puffy-jacket",
        "three-season",
        "{",
        "()",
    ):
        assert slip not in words, slip
    assert not re.search(r"\d\.\d{3,}", words)


@pytest.mark.parametrize("width", [1280, 390])
def test_a_browser_without_network_shows_it_whole(report: Any, look: Any, width: int) -> None:
    seen = look(report.html, width)
    assert seen.page.evaluate("document.documentElement.scrollWidth") <= width
    seen.page.evaluate("document.querySelectorAll('details').forEach(fold => fold.open = true)")
    assert seen.page.evaluate("document.documentElement.scrollWidth") <= width
    drawn = seen.page.locator(".plot[data-drawn=yes]:visible")
    assert drawn.count() == 4
    for place in range(drawn.count()):
        box = drawn.nth(place).bounding_box()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= width + 1
    assert seen.complaints == []
    assert seen.fetched == []


def test_one_candidate_by_name(demo_folder: Path) -> None:
    given = {"candidate": "three-season-quilt", "today": "2026-11-25"}
    (made,) = runner.run(["buying_case"], given, demo_folder / "reports", logbook=demo_folder)
    assert made.title == "The case for buying: Warmer quilt"
    with pytest.raises(QuestionError, match="there are lighter-down-jacket"):
        runner.run(
            ["buying_case"], {"candidate": "zzz"}, demo_folder / "reports", logbook=demo_folder
        )
