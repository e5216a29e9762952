"""The first page: what it says of reports, and that all reports and the demo end with it."""

import json
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from tarebook.analysis.display.sections import Opening, Point, Section
from tarebook.analysis.display.words import Display
from tarebook.notebooks import index, runner, trip_list
from tarebook.notebooks.cli import app
from tarebook.notebooks.runner import Report
from tarebook.notebooks.site import Site, TripPage
from tarebook.tripdata.store import load_logbook
from typer.testing import CliRunner

ON = date(2026, 11, 25)


def report(name: str, title: str, *findings: Point) -> Report:
    return Report(name, Path(f"{name}.ipynb"), Path(f"{name}.html"), (), title, findings)


def test_every_report_says_what_it_answers() -> None:
    assert set(runner.available()) <= index.ANSWERS.keys()


def test_reports_stand_in_order_with_a_sentence_and_their_link(tmp_path: Path) -> None:
    said = replace(report("season_cull", "What to leave"), sentence="A mug could stay at home.")
    made = (
        report("buying_case", "The case for buying", Point("Worth buying", "None of 4.", "Wait.")),
        report("other", "Another <one>", Point("Failed", "Tent, for 1.5 h.", "It rained.")),
        said,
    )
    place = index.write(made, tmp_path, ON)
    text = place.read_text("utf-8")
    assert place == tmp_path / "index.html"
    assert "<title>Your logbook</title>" in text
    section = text.split('id="what-the-seasons-say"')[1]
    links = [part.split('"')[0] for part in section.split('<a href="')[1:]]
    assert links[:3] == ["season_cull.html", "buying_case.html", "other.html"]
    assert '<p>A mug could stay at home. <a href="season_cull.html">' in text
    assert '<p>Failed: Tent, for 1.5 h. <a href="other.html">Another &lt;one&gt;</a>' in text
    assert "Made on 25 November 2026" in text
    index.write(made, tmp_path, ON)
    assert place.read_text("utf-8") == text


def test_the_page_has_the_title_that_its_owner_gave(tmp_path: Path) -> None:
    title = 'Rain <b> & "shine"'
    (tmp_path / "tarebook.toml").write_text(f"[logbook]\ntitle = {json.dumps(title)}\n", "utf-8")
    (tmp_path / "gear.csv").write_text("item,name\nmug,Mug\n", "utf-8")
    load_logbook(tmp_path)
    text = index.write((), tmp_path, ON, logbook=tmp_path).read_text("utf-8")
    assert "<title>Rain &lt;b&gt; &amp; " in text
    assert "<h1>Rain &lt;b&gt; &amp; " in text
    assert "Your logbook" not in text


@pytest.mark.parametrize(
    ("point", "line"),
    [
        (Point("Failed", "Tent.", "It rained."), "Failed: Tent."),
        (
            Point("Earned its weight", "Chair", "+0.5 points."),
            "Earned its weight: Chair +0.5 points.",
        ),
        (Point("Earned its weight", "Nothing yet"), "Earned its weight: Nothing yet"),
        (Point("", "1 °C below what is usual."), "1 °C below what is usual."),
        (Point("Really lighter?", "No steady trend"), "Really lighter? No steady trend"),
        # What it is about is not said twice.
        (
            Point("Leave at home", "Leave six at home: 855 g less.", "More."),
            "Leave six at home: 855 g less.",
        ),
    ],
)
def test_a_finding_is_told_in_one_line(point: Point, line: str) -> None:
    assert index.finding(report("debrief", "A trip", point)) == line


def test_no_finding_is_no_sentence() -> None:
    assert index.finding(report("debrief", "A trip")) == ""


def notebook_of(*pieces: Any) -> Any:
    """An executed notebook that shows these, a cell a piece."""
    from tarebook.notebooks import cleaning

    def cell(place: int, shown: Any) -> dict[str, Any]:
        output = {"output_type": "display_data", "data": shown._repr_mimebundle_(), "metadata": {}}
        return {
            "cell_type": "code",
            "execution_count": 1,
            "id": f"piece-{place}",
            "metadata": {},
            "outputs": [output],
            "source": "",
        }

    cells = [cell(place, each) for place, each in enumerate(pieces)]
    return cleaning.parse(
        json.dumps({"cells": cells, "metadata": {}, "nbformat": 4, "nbformat_minor": 5})
    )


SECTIONS = (
    Section("Nights", ("1 °C < usual.", "More.")),
    Section.empty("Days", "how the days felt"),
)


def test_an_opening_hands_on_its_one_sentence() -> None:
    book = notebook_of(Opening("A trip", sentence="It was <cold>."), *SECTIONS)
    assert runner.findings(book)[-1] == "It was <cold>."


def test_findings_are_those_of_the_opening_what_leads_first() -> None:
    bags, cold = Point("Bags", "Two\u202e.", "$x$"), Point("Cold", "<b>1 °C</b>.", leads=True)
    book = notebook_of(Opening("A trip", points=(bags, cold)), *SECTIONS)
    assert runner.findings(book) == ("A trip", (cold, Point("Bags", "Two.", "$x$")), (), "")


def test_a_report_whose_opening_answers_nothing_is_told_by_its_sections() -> None:
    book = notebook_of(Opening("Cold?"), *SECTIONS)
    assert runner.findings(book) == ("Cold?", (Point("", "1 °C < usual."),), (), "")


def test_what_holds_over_all_trips_stands_beside_the_finding(tmp_path: Path) -> None:
    held = "The amount for nine in ten trips was enough on 8 < 9 trips."
    expected = Section("What was expected", ("Nothing.",), for_index=held)
    book = notebook_of(Opening("A trip", points=(Point("All", "Fine."),)), expected, *SECTIONS)
    title, points, for_index, _ = runner.findings(book)
    assert for_index == (held,)
    made = Report("debrief", Path("d.ipynb"), Path("d.html"), (), title, points, for_index)
    text = index.write((made,), tmp_path, ON).read_text("utf-8")
    told = "<p>The amount for nine in ten trips was enough on 8 &lt; 9 trips. "
    assert f'{told}<a href="d.html#over-all-trips">What was expected</a>' in text
    assert expected.html().count('id="over-all-trips"') == 1
    assert not any("over-all-trips" in section.html() for section in SECTIONS)


def test_links_lead_to_the_reports(tmp_path: Path, look: Any) -> None:
    (tmp_path / "debrief.html").write_text("<title>There</title>", encoding="utf-8")
    place = index.write((report("debrief", "A trip", Point("All", "Fine.")),), tmp_path, ON)
    assert place.read_text("utf-8").count("debrief.html") >= 2
    for width in (1280, 390):
        seen = look(place, width)
        assert seen.page.evaluate("document.documentElement.scrollWidth") <= width
        seen.page.click(".seasons >> text=A trip")
        assert seen.page.title() == "There"
        assert seen.complaints == []
        assert seen.fetched == []


@pytest.fixture
def made_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Reports that take no time: what is looked at here is what comes after them."""

    def make(names: Any, parameters: Any, out_dir: Path, **more: Any) -> runner.Made:
        out_dir.mkdir(exist_ok=True)
        for place in range(1, 9) if more.get("told") else ():
            more["told"](place, 8)
        made = tuple(report(name, name.title(), Point("Found", f"{name}.")) for name in names)
        return runner.Made(made, (), Site(True, tuple(names)))

    monkeypatch.setattr(runner, "make", make)


@pytest.mark.usefixtures("made_at_once")
def test_all_reports_and_the_demo_end_with_it(tmp_path: Path) -> None:
    demo = tmp_path / "demo"
    done = CliRunner().invoke(app, ["demo", str(demo)])
    assert done.exit_code == 0, done.output
    assert re.fullmatch(
        f"tarebook: wrote an invented logbook to {re.escape(str(demo))}\n"
        r"tarebook: loaded its [1-9],\d{3} records; making its reports, which takes a minute or so"
        r"\ntarebook: made 5 of 8 pages\ntarebook: made 8 of 8 pages\n",
        done.stderr,
    )
    place = demo / "reports" / "index.html"
    last = done.stdout.splitlines()[-1]
    assert last == f"Begin with {place}, which links them all."
    text = place.read_text("utf-8")
    for name in runner.available():
        assert f'href="{name}.html"' in text
    for name in {*index.LINKS}:
        assert f"Found: {name}." in text
    place.unlink()
    one = CliRunner().invoke(app, ["report", "debrief", str(demo)])
    assert one.exit_code == 0
    assert not place.exists()
    every = CliRunner().invoke(app, ["report", "all", str(demo)])
    assert every.stdout.splitlines()[-1] == str(place)
    assert place.is_file()


def of_months(folder: Path, months: int) -> str:
    """The first page of a logbook of a trip a month, from January 2000."""
    (folder / "gear.csv").write_text("item,name\nmug,Mug\n", "utf-8")
    days = [date(2000 + n // 12, n % 12 + 1, 5) for n in range(months)]
    rows = "".join(f"t{n},Round {n},{on},{on},Said {n}\n" for n, on in enumerate(days))
    (folder / "trip.csv").write_text(f"trip,title,start_on,end_on,note\n{rows}", "utf-8")
    load_logbook(folder)
    trips = tuple(TripPage(f"t{n}", f"Round {n}", on, f"t{n}.html") for n, on in enumerate(days))
    return index.write((), folder, ON, logbook=folder, site=Site(True, (), trips)).read_text(
        "utf-8"
    )


def test_of_many_trips_all_are_linked_in_sight_the_older_in_lines(tmp_path: Path) -> None:
    text = of_months(tmp_path, 60)
    rows, _, lines = text.partition('<dl class="older">')
    links = [f'<a href="t{n}.html">Round {n}</a>' for n in range(60)]
    # One of December, then eight whole seasons of three: 25 of the 60 have rows, 13 with a note.
    assert [n for n in range(60) if links[n] in rows] == [*range(35, 60)]
    assert [n for n in range(60) if f">Said {n}<" in text] == [*range(47, 60)]
    assert [n for n in range(60) if links[n] in lines] == [*range(35)]
    assert "<details" not in text


def test_of_a_lifetime_of_trips_the_oldest_fold(tmp_path: Path) -> None:
    shown, _, folded = of_months(tmp_path, 361).partition("<summary>Still earlier: ")
    assert folded.startswith("35 trips</summary>")
    assert [f">Round {n}<" in shown for n in (360, 35, 34, 0)] == [True, True, False, False]
    assert [f">Round {n}<" in folded for n in (360, 35, 34, 0)] == [False, False, True, True]


def test_a_trip_is_found_wherever_it_stands(tmp_path: Path, look: Any) -> None:
    of_months(tmp_path, 60)
    seen = look(tmp_path / "index.html", 390).page
    seen.fill(".sift input", "Round 17")
    assert seen.locator(".sift [role=status]").text_content() == "1 of 60 shown"
    assert seen.locator(".older span:visible").all_text_contents() == ["Round 17, 5 June"]
    assert seen.locator(".older dt:visible").count() == 1
    seen.fill(".sift input", "August")
    assert seen.locator(".sift [role=status]").text_content() == "5 of 60 shown"


def test_what_to_take_stands_before_another_plan_is_named(
    logbook: Callable[[str], Path], tmp_path: Path
) -> None:
    folder = logbook("lakes")
    facts = index._facts(folder, ON)
    assert facts.plan is not None
    later = replace(facts, plan=replace(facts.plan, later=(facts.plan.cold,)))
    files = {facts.plan.plan.trip: "before_trip-north.html"}
    shown = trip_list.next_plan(later, report("before_trip", "Before the trip"), files)
    assert shown.count('<a href="before_trip-north.html">') == 4
    assert shown.endswith('<a href="before_trip-north.html">What to pack on it</a></p></section>')
    assert 0 < shown.index("What to pack") < shown.index("Planned after it: ")
    # On a phone, where the list has no head, its figures say what they are.
    text = index.write((), tmp_path, ON, logbook=folder).read_text("utf-8")
    assert '<span class="phone">Base weight </span>' in text
    assert '<span class="phone">Coldest </span>' in text
    # What was noted does not run into the title.
    assert ' – <span class="said">first long one of the year</span>' in text


@pytest.mark.parametrize(("low", "dotted"), [(-3.0, True), (1.0, False)])
def test_what_is_dotted_beside_the_lows_is_said_below_them(low: float, dotted: bool) -> None:
    scale = trip_list._Scale(low, 9.0, Display())
    said = trip_list._explained(scale)
    assert ("Dotted: 0\u202f°C." in said) is dotted
    assert ('class="freezing"' in scale.tick(4.0)) is dotted
    assert trip_list._explained(None) == ""


def test_every_plan_is_linked_and_what_more_there_is_to_do_is_counted(demo_folder: Path) -> None:
    facts = index._facts(demo_folder, ON)
    assert facts.plan is not None
    many = replace(facts, plan=replace(facts.plan, later=facts.plan.later * 9))
    later = facts.plan.later[0].trip
    files = {facts.plan.plan.trip: "a.html", later.trip: "b.html"}
    shown = trip_list.next_plan(many, None, files)
    assert shown.count('<a href="b.html">Larkspur Flat by e-bike</a>') == 9
    assert shown.count('<a href="b.html">What to pack on it</a>') == 9
    assert shown.count("Its ") + shown.count("The chance that") <= 5
    told = trip_list.things_to_do(facts, report("debrief", "A trip"))
    waiting = {name for each in facts.to_do for name in each.names}
    named = {name for name in waiting if f"“{name}”" in told}
    assert f"There is something to do for {len(waiting - named)} more things. <a href=" in told
    assert 'href="debrief.html#to-do-before-the-next-trip"' in told
