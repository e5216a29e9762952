"""A debrief of every trip: made anew where something changed, alike otherwise, and found from all.

Every report of a small logbook is made once; after that it is asked which would be made anew.
"""

import csv
import re
import shutil
from collections.abc import Callable, Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest
from tarebook.notebooks import bundle, drawn_from, everything, runner
from tarebook.tripdata.errors import QuestionError
from tarebook.tripdata.own_files import own_text
from tarebook.tripdata.store import ensure_current, load_logbook

NOON_1_JUNE_2026 = "1780315200"  # POSIX time of 2026-06-01T12:00:00Z
TRIPS = ("2024-06-islands", "2025-05-ridge", "2025-09-ridge", "2026-02-hut", "2026-05-river")
LATER = "2027-07-south"
"""A plan after the one that the logbook has."""
ALL = len(TRIPS) + 1 + len(runner.available())


@pytest.fixture(scope="module")
def noon() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SOURCE_DATE_EPOCH", NOON_1_JUNE_2026)
        yield


@pytest.fixture(scope="module")
def book(
    logbook: Callable[[str], Path], tmp_path_factory: pytest.TempPathFactory, noon: None
) -> Path:
    """A logbook with all its reports."""
    folder = tmp_path_factory.mktemp("every") / "lakes"
    shutil.copytree(logbook("lakes"), folder)
    with (folder / "trip.csv").open("a", encoding="utf-8") as file:
        file.write(f"{LATER},South in summer,2027-07-02,2027-07-05,bike,,,,,,yes,\n")
    load_logbook(folder)
    everything.make({}, folder).raise_failures()
    return folder


@pytest.fixture
def again(book: Path, tmp_path: Path) -> Path:
    """A copy of it, to be changed."""
    shutil.copytree(book, tmp_path / "lakes")
    return tmp_path / "lakes"


def pages(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted((folder / "reports").iterdir())}


def test_there_is_a_page_of_every_trip_and_of_every_question(book: Path) -> None:
    names = {name for name in pages(book) if name.endswith(".html")}
    debriefs = {f"debrief-{trip}.html" for trip in TRIPS}
    reports = {f"{name}.html" for name in runner.available()}
    assert names == debriefs | reports | {f"before_trip-{LATER}.html", "index.html"}
    latest = pages(book)["debrief-2026-05-river.html"]
    assert pages(book)["debrief.html"] == latest


def test_the_script_stands_there_once_and_in_no_page(book: Path) -> None:
    scripts = [name for name in pages(book) if name.endswith(".js")]
    assert scripts == [bundle.file_name()]
    for name, content in pages(book).items():
        if name.endswith(".html"):
            assert b"window.tarebookEmbed=" not in content, name
            assert len(content) < 700_000, name


def test_an_unchanged_logbook_is_left_alone(again: Path, started: list[str]) -> None:
    before = pages(again)
    times = {path: path.stat().st_mtime_ns for path in (again / "reports").iterdir()}
    made = everything.make({}, again)
    made.raise_failures()
    assert started == []
    assert not any(report.anew for report in made.reports)
    assert pages(again) == before
    assert {path: path.stat().st_mtime_ns for path in times} == times


def test_made_from_nothing_it_is_the_same_to_the_byte(again: Path, book: Path, noon: None) -> None:
    shutil.rmtree(again / "reports")
    runner.make(["debrief"], {"trip": "all"}, again / "reports", logbook=again).raise_failures()
    for trip in TRIPS:
        # The notebook; its page has fewer links, since fewer pages stand beside it.
        name = f"debrief-{trip}.ipynb"
        assert (again / "reports" / name).read_bytes() == pages(book)[name], trip


def one_cell(path: Path, row: int, column: str, value: str) -> None:
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    rows[row][column] = value
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)


def of_gear(book: Path) -> None:
    one_cell(book / "gear.csv", 0, "weight_g", "1234")


def of_a_trip(book: Path) -> None:
    one_cell(book / "trip.csv", 0, "note", "The club sang.")


def of_a_trips_folder(book: Path) -> None:
    one_cell(book / "trips" / "2024-06-islands" / "comfort.csv", 0, "score", "1")


def of_settings(book: Path) -> None:
    path = book / "tarebook.toml"
    text = path.read_text("utf-8")
    assert 'mass = "g"' in text
    path.write_text(text.replace('mass = "g"', 'mass = "oz"'), "utf-8")


def of_normals(book: Path) -> None:
    (book / "normals").mkdir()
    (book / "normals" / "mine.csv").write_text("station,day,low_c\n", "utf-8")


def another_trip(book: Path) -> None:
    with (book / "trip.csv").open("a", encoding="utf-8") as file:
        file.write("2026-05-late,Late,2026-05-28,2026-05-29,foot,,,,,,,\n")


@pytest.mark.parametrize(
    "change", [of_gear, of_a_trip, of_a_trips_folder, of_settings, of_normals, another_trip]
)
def test_a_changed_cell_makes_anew(
    again: Path, started: list[str], change: Callable[[Path], None]
) -> None:
    change(again)
    ensure_current(again)
    made = everything.make({}, again)
    assert {f"debrief-{trip}" for trip in TRIPS} <= {*started}
    assert {"debrief", "season_cull"} <= {*started}
    assert made.reports == ()
    with pytest.raises(QuestionError, match="not now"):
        made.raise_failures()


def test_another_day_another_program_makes_anew(
    again: Path, started: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(drawn_from, "program_digest", lambda: "another")
    told: list[tuple[int, int]] = []
    everything.make({}, again, lambda done, every: told.append((done, every)))
    assert len(started) == ALL
    assert told == [(done, ALL) for done in range(1, ALL + 1)]
    started.clear()
    monkeypatch.undo()


def test_the_day_counts(again: Path, started: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", str(int(NOON_1_JUNE_2026) + 86400))
    everything.make({}, again)
    assert len(started) == ALL


@pytest.mark.parametrize("harm", ["changed", "cut", "gone", "script", "record"])
def test_what_is_not_as_it_was_written_is_made_anew(
    again: Path, started: list[str], harm: str
) -> None:
    folder = again / "reports"
    page = folder / "debrief-2025-05-ridge.html"
    match harm:
        case "changed":
            page.write_text(page.read_text("utf-8") + "mine", "utf-8")
        case "cut":
            page.write_bytes(page.read_bytes()[:1000])
        case "gone":
            page.with_suffix(".ipynb").unlink()
        case "script":
            (folder / bundle.file_name()).unlink()
        case "record":
            (folder / drawn_from.FILE).write_text('{"layout": 1, "pages": {"a": 3}}')
    everything.make({}, again)
    if harm in ("changed", "cut", "gone"):
        assert started == ["debrief-2025-05-ridge"]
    else:
        assert "debrief-2025-05-ridge" in started


def test_the_page_of_a_trip_that_is_gone_goes_unless_somebody_changed_it(
    again: Path, started: list[str]
) -> None:
    text = (again / "trip.csv").read_text("utf-8").splitlines()
    gone = ("2025-05-ridge", "2024-06-islands", LATER)
    kept = [line for line in text if not line.startswith(gone)]
    (again / "trip.csv").write_text("\n".join(kept) + "\n", "utf-8")
    (again / "reports" / "debrief-2024-06-islands.html").write_text("mine", "utf-8")
    ensure_current(again)
    everything.make({}, again)
    names = {*pages(again)}
    assert names.isdisjoint({"debrief-2025-05-ridge.html", f"before_trip-{LATER}.html"})
    assert "debrief-2024-06-islands.html" in names


class Links(HTMLParser):
    """The links of a page, and what in it can be linked to."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.ids: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = dict(attrs)
        if tag in ("a", "script", "img"):
            keys = ("href", "src", "data-charts")
            self.found += [values[key] or "" for key in keys if key in values]
        if values.get("id"):
            self.ids.append(values["id"] or "")


def lost_links(folder: Path) -> list[str]:
    """Links of a folder's pages that lead nowhere."""
    read = {path.name: Links(path.read_text("utf-8")) for path in folder.glob("*.html")}
    lost = []
    for name, page in read.items():
        for link in page.found:
            file, _, place = unquote(link).partition("#")
            there = not file or (folder / file).is_file()
            if "//" in link or not there or (place and place not in read[file or name].ids):
                lost.append(f"{name}: {link}")
    return lost


def test_every_link_leads_somewhere(book: Path) -> None:
    assert lost_links(book / "reports") == []


def test_every_page_is_a_step_from_every_other_by_way_of_the_first(book: Path) -> None:
    folder = book / "reports"
    first = {*Links((folder / "index.html").read_text("utf-8")).found}
    for path in folder.glob("*.html"):
        if path.name != "index.html":
            assert path.name in first, path.name
            assert "index.html" in Links(path.read_text("utf-8")).found, path.name


def test_each_trip_leads_to_the_one_before_and_the_one_after(book: Path) -> None:
    for place, trip in enumerate(TRIPS):
        text = (book / "reports" / f"debrief-{trip}.html").read_text("utf-8")
        for rel, other in (("prev", place - 1), ("next", place + 1)):
            found = re.findall(rf'<a rel="{rel}" href="([^"]+)"', text)
            there = 0 <= other < len(TRIPS)
            # At the top and at the foot.
            assert found == ([f"debrief-{TRIPS[other]}.html"] * 2 if there else []), trip


def test_a_report_by_itself_has_no_link_that_leads_nowhere(again: Path, noon: None) -> None:
    shutil.rmtree(again / "reports")
    (made,) = runner.run(["debrief"], {"trip": "2025-09-RIDGE"}, again / "reports", logbook=again)
    assert made.html.name == "debrief-2025-09-ridge.html"
    assert lost_links(again / "reports") == []
    assert 'rel="prev"' not in made.html.read_text("utf-8")


def test_from_the_first_page_to_a_trip_and_back_offline(book: Path, look: Any) -> None:
    for scripting in (True, False):
        seen = look(book / "reports" / "index.html", 390, scripting)
        assert seen.page.evaluate("document.documentElement.scrollWidth") <= 390
        seen.page.click(".trips a >> text=Over the ridge")
        assert seen.page.title() == "Over the ridge"
        seen.page.click("nav.site >> text=Logbook >> nth=0")
        assert seen.page.title() == "Your logbook"
        seen.page.click("#the-next-plan >> text=South in summer")
        assert "South in summer" in seen.page.locator("h1").text_content()
        seen.page.click("nav.site >> text=Logbook >> nth=0")
        assert seen.page.title() == "Your logbook"
        assert seen.fetched == []
        assert seen.complaints == []


def test_a_page_taken_out_of_its_folder_shows_its_pictures(
    book: Path, tmp_path: Path, browser: Any
) -> None:
    alone = tmp_path / "sent.html"
    shutil.copy(book / "reports" / "debrief-2026-05-river.html", alone)
    context = browser.new_context(offline=True)
    page = context.new_page()
    page.goto(alone.as_uri())
    # One stands in sight, the others in folds.
    assert page.locator(".plot svg >> visible=true").count() == 1
    page.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = true; })")
    drawings = [each for each in page.locator(".plot svg").all() if each.is_visible()]
    assert len(drawings) >= 3
    assert all(each.bounding_box()["width"] > 200 for each in drawings)
    assert page.locator("[data-drawn]").count() == 0
    context.close()


HOSTILE = ("a--b", "a-b", "a.failed", "x" * 160, "x" * 160 + "y", "all", "Ünïcode", "today-2026")


def test_titles_and_names_that_are_out_to_do_harm(tmp_path: Path, noon: None) -> None:
    from tarebook.notebooks.jobs import trip_stems

    title = "</title><script>document.title='owned'</script> \"> “Rain” %s {{7*7}}"
    with (tmp_path / "trip.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["trip", "title", "start_on", "end_on", "note"])
        for day, trip in enumerate(HOSTILE, start=1):
            writer.writerow([trip, title, f"2026-04-{day:02d}", f"2026-04-{day + 1:02d}", title])
    (tmp_path / "gear.csv").write_text("item,name,weight_g\nmug,Mug,90\n", "utf-8")
    load_logbook(tmp_path)
    made = everything.make({}, tmp_path)
    stems = trip_stems(HOSTILE)
    folder = tmp_path / "reports"
    assert {f"{stem}.html" for stem in stems.values()} <= {path.name for path in folder.iterdir()}
    assert len({stem.casefold() for stem in stems.values()}) == len(HOSTILE)
    assert lost_links(folder) == []
    first = (folder / "index.html").read_text("utf-8")
    own = own_text("tarebook.notebooks", "template", "reading.js")
    assert first.count("<script") == first.count(f"<script>{own}</script>") == 1
    assert first.count("&lt;/title&gt;&lt;script&gt;") >= len(HOSTILE)
    assert {report.trip for report in made.reports if not report.plain} == {*HOSTILE}


@pytest.mark.parametrize("plan", [False, True])
def test_a_logbook_without_a_trip_has_a_small_first_page(
    tmp_path: Path, noon: None, started: list[str], plan: bool
) -> None:
    row = "north,North,2027-05-20,2027-05-22,yes\n" if plan else ""
    (tmp_path / "trip.csv").write_text(f"trip,title,start_on,end_on,plan\n{row}", "utf-8")
    (tmp_path / "gear.csv").write_text("item,name,weight_g\nmug,Mug,90\n", "utf-8")
    load_logbook(tmp_path)
    everything.make({}, tmp_path)
    assert "debrief" not in started
    text = (tmp_path / "reports" / "index.html").read_text("utf-8")
    assert "No trip has taken place yet." in text
    assert ("The next plan" in text) is plan
    assert "All trips" not in text
    assert "To do before" not in text
    assert lost_links(tmp_path / "reports") == []
