"""The page from which all reports are found."""

from datetime import date
from pathlib import Path
from typing import Any

from tarebook.notebooks import contents, runner
from tarebook.notebooks.runner import Report

ON = date(2026, 11, 25)


def report(name: str, title: str, *findings: str) -> Report:
    return Report(name, Path(f"{name}.ipynb"), Path(f"{name}.html"), (), title, findings)


def test_every_report_says_what_it_answers() -> None:
    assert set(runner.available()) <= contents.ANSWERS.keys()


def test_reports_stand_in_order_with_link_finding_and_question(tmp_path: Path) -> None:
    made = (
        report("buying_case", "The case for buying", "Worth buying: none of 4. Wait."),
        report("debrief", "Round <the> lake", "Failed: Tent, for 1.5 h. It rained.", "More."),
        report("other", ""),
    )
    place = contents.write(made, tmp_path, ON)
    text = place.read_text("utf-8")
    assert place == tmp_path / "index.html"
    assert "<title>What your logbook says</title>" in text
    assert "3 reports, each with what it found first" in text
    links = [part.split('"')[0] for part in text.split('<a href="')[1:]]
    assert links == ["debrief.html", "buying_case.html", "other.html"]
    assert "Round &lt;the&gt; lake" in text
    assert '<p class="answer">Failed: Tent, for 1.5 h.</p>' in text
    assert '<p class="answer">Worth buying: none of 4.</p>' in text
    assert contents.ANSWERS["debrief"].replace("'", "&#x27;") in text
    assert "Made on 25 November 2026" in text
    contents.write(made, tmp_path, ON)
    assert place.read_text("utf-8") == text


def test_no_finding_is_no_sentence() -> None:
    assert contents.finding(report("debrief", "A trip")) == ""
    assert contents.finding(report("debrief", "A trip", "Nothing of note")) == "Nothing of note"


def test_links_lead_to_the_reports(tmp_path: Path, look: Any) -> None:
    (tmp_path / "debrief.html").write_text("<title>There</title>", encoding="utf-8")
    place = contents.write((report("debrief", "A trip", "Fine."),), tmp_path, ON)
    for width in (1280, 390):
        seen = look(place, width)
        assert seen.page.evaluate("document.documentElement.scrollWidth") <= width
        seen.page.click("text=A trip")
        assert seen.page.title() == "There"
        assert seen.complaints == []
        assert seen.fetched == []
