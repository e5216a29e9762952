"""The debrief notebook as a report: house rules, the same bytes, and nothing a name can do."""

import ast
import csv
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import nbformat
import pytest
from tarebook.notebooks import runner, today
from tarebook.tripdata.errors import QuestionError
from tarebook.tripdata.store import load_logbook

NOTEBOOK = Path(today.__file__).with_name("debrief.ipynb")
NOON_1_JUNE_2026 = "1780315200"  # POSIX time of 2026-06-01T12:00:00Z
SQL = {"select", "from", "where", "join", "group", "order"}


def name(n: int) -> str:
    """A name that would break out of every place it could be shown in, each its own."""
    return (
        f"</script><img src=https://evil.example/{n} onerror=document.title='owned'> "
        f"{{{{7*7}}}} $x_{n}$ [a](javascript:alert({n})) \u202e%s{n}"
    )


def write(file: Path, head: str, *rows: tuple[object, ...]) -> None:
    file.parent.mkdir(parents=True, exist_ok=True)
    with file.open("w", newline="", encoding="utf-8") as out:
        csv.writer(out).writerows([head.split(","), *rows])


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A logbook whose every free text is out to do harm."""
    book = tmp_path_factory.mktemp("hostile")
    gear = [
        ("tent", "shelter", 900, "", ""),
        ("bag", "sleep", 800, 3, ""),
        ("stew", "food", 500, "", ""),
        ("lamp", "light", 80, "", 5),
        ("kit", "first_aid", 150, "", ""),
        ("book", "leisure", 240, "", ""),
        ("bike", "bike", 11000, "", ""),
        ("coat", "rain", 300, "", ""),
    ]
    write(
        book / "gear.csv",
        "item,name,system,weight_g,rated_low_c,capacity_wh,carried_as,kit,currency,owner,note",
        *(
            (
                item,
                name(n),
                system,
                grams,
                low,
                wh,
                {"food": "consumable", "bike": "vehicle"}.get(system, ""),
                name(n),
                name(n),
                "",
                name(n),
            )
            for n, (item, system, grams, low, wh) in enumerate(gear)
        ),
    )
    write(
        book / "trip.csv",
        "trip,title,start_on,end_on,mode,place,note",
        ("before", name(20), "2026-04-01", "2026-04-03", "ebike", name(21), name(22)),
        ("after", name(23), "2026-05-01", "2026-05-03", "ebike", name(24), name(25)),
    )
    items = [item for item, *_ in gear]
    for trip, along in (("before", items[:5]), ("after", items)):
        folder = book / "trips" / trip
        write(
            folder / "carried.csv",
            "item,bag,used,brought_home_g,carried_by,note",
            *(
                (
                    item,
                    name(30 + n % 3),
                    "yes" if n % 2 else "no",
                    100 if item == "stew" else "",
                    "",
                    name(n),
                )
                for n, item in enumerate(along)
            ),
        )
    after = book / "trips" / "after"
    write(after / "used.csv", "item,day,used_for,note", ("kit", "2026-05-02", "", name(40)))
    write(
        after / "failures.csv",
        "item,day,severity,what,fixed_with,note",
        *(
            (item, "2026-05-02", "unsafe", name(n), name(n + 1), name(n))
            for n, item in enumerate(items[:7], start=50)
        ),
    )
    write(after / "wished.csv", "what,system,how_much,note", (name(60), "sleep", "badly", name(61)))
    write(
        after / "comfort.csv",
        "day,aspect,score,warmth,note",
        ("2026-05-01", "sleep", 2, -2, name(62)),
        ("2026-05-01", "camp", 5, "", name(63)),
    )
    write(after / "distances.csv", "day,mode,distance_km,battery_wh", ("2026-05-01", "", 40, 300))
    write(after / "weather.csv", "day,low_c,conditions", ("2026-05-01", 1, name(64)))
    load_logbook(book)
    return book


@pytest.fixture(scope="module")
def made(
    logbook: Callable[[str], Path], hostile: Path, tmp_path_factory: pytest.TempPathFactory
) -> dict[str, runner.Report]:
    """The debrief of a good trip (twice), of a bare, of an earlier and of the hostile one."""
    out = tmp_path_factory.mktemp("reports")
    wanted = {
        "river": (logbook("lakes"), "2026-05-river"),
        "again": (logbook("lakes"), "2026-05-river"),
        "bare": (logbook("lakes"), "2026-02-hut"),
        "earlier": (logbook("lakes"), "2025-09-ridge"),
        "hostile": (hostile, "after"),
    }
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SOURCE_DATE_EPOCH", NOON_1_JUNE_2026)
        return {
            key: runner.run(["debrief"], {"trip": trip}, out / key, logbook=book)[0]
            for key, (book, trip) in wanted.items()
        }


def code_cells() -> list[Any]:
    notebook = nbformat.read(NOTEBOOK, as_version=4)
    return [cell for cell in notebook.cells if cell.cell_type == "code"]


def test_a_cell_holds_one_call_and_nothing_is_worked_out() -> None:
    parameters, first, *rest = code_cells()
    assert parameters.metadata.tags == ["parameters"]
    for cell in (parameters, first, *rest):
        for node in ast.walk(ast.parse(cell.source)):
            assert not isinstance(
                node,
                (
                    ast.FunctionDef,
                    ast.ClassDef,
                    ast.Lambda,
                    ast.BinOp,
                    ast.AugAssign,
                    ast.For,
                    ast.While,
                    ast.comprehension,
                ),
            ), cell.source
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                assert not SQL & set(node.value.lower().split()), cell.source
    for cell in rest:
        (line,) = ast.parse(cell.source).body
        assert isinstance(line, ast.Expr)
        assert isinstance(line.value, ast.Call)
        assert not line.value.args


def test_every_part_of_the_page_is_shown_once() -> None:
    from tarebook.analysis.debrief.page.page import TOGETHER, DebriefPage

    parts = {each for each in vars(DebriefPage) if not each.startswith("_")}
    parts -= {"data", "display"}
    shown = [cell.source for cell in code_cells()[2:]]
    within = [part for of_one in TOGETHER.values() for part in of_one]
    assert len(within) == len({*within})
    assert sorted(shown) == sorted(f"page.{part}()" for part in parts - {*within})
    assert {*within, *TOGETHER} <= parts
    assert shown[0] == "page.opening()"


@pytest.mark.outside(
    "published",
    "NIST Handbook 44, appendix C",
    "5, 10 and 20 lb are 2.27, 4.54 and 9.07 kg",
)
def test_what_stands_in_every_report_holds_for_every_logbook() -> None:
    notebook = nbformat.read(NOTEBOOK, as_version=4)
    told = [cell.source for cell in notebook.cells if cell.cell_type == "markdown"]
    assert len(told) == 1
    assert told[0].startswith("## Words used here")
    assert "5, 10 and 20 lb (2.27, 4.54 and 9.07 kg)" in told[0]


def test_made_twice_it_is_the_same_to_the_byte(made: dict[str, runner.Report]) -> None:
    assert made["river"].html.read_bytes() == made["again"].html.read_bytes()
    assert made["river"].notebook.read_bytes() == made["again"].notebook.read_bytes()
    assert {key: report.remarks for key, report in made.items()} == dict.fromkeys(made, ())


def test_a_trip_with_next_to_nothing_is_a_short_page(made: dict[str, runner.Report]) -> None:
    html = made["bare"].html.read_text("utf-8")
    assert html.count("<h2>") == 1, "nothing came along, so nothing of it is still to be done"
    assert "<h2>Not logged</h2>" in html
    assert "tarebookEmbed" not in html


def test_checks_fall_due_from_the_day_the_report_carries(made: dict[str, runner.Report]) -> None:
    html = made["river"].html.read_text("utf-8")
    assert "Made on 1 June 2026" in html
    assert "no check within the last year" in html


@pytest.mark.parametrize("width", [1280, 390, 320])
@pytest.mark.parametrize("scripting", [True, False])
@pytest.mark.parametrize("trip", ["river", "hostile", "bare"])
def test_the_page_stands_alone_at_every_width(
    made: dict[str, runner.Report], look: Any, trip: str, width: int, scripting: bool
) -> None:
    seen = look(made[trip].html, width, scripting)
    assert seen.fetched == []
    assert seen.complaints == []
    assert seen.page.evaluate("document.documentElement.scrollWidth") <= width
    for drawing in seen.page.locator(".plot svg").all():
        if drawing.is_visible():
            box = drawing.bounding_box()
            assert box["x"] >= 0
            assert box["x"] + box["width"] <= width


@pytest.mark.parametrize("scripting", [True, False])
def test_no_name_does_anything(made: dict[str, runner.Report], look: Any, scripting: bool) -> None:
    seen = look(made["hostile"].html, 1280, scripting)
    assert seen.page.title() == name(23).replace("\u202e", "")
    assert seen.page.locator("img").count() == 0
    assert seen.page.locator("a[href^='javascript'], svg a").count() == 0
    assert "{{7*7}}" in seen.page.locator("h1").inner_text()
    assert seen.page.locator("mjx-container, .MathJax").count() == 0
    text = made["hostile"].html.read_text("utf-8")
    assert "\u202e" not in text
    for n in (0, 23, 24, 25, 30, 40, 51, 60, 61, 62, 63):
        assert f"evil.example/{n}" in text, n


def test_a_list_can_be_ticked_and_stands_on_its_own_sheet(
    made: dict[str, runner.Report], look: Any
) -> None:
    seen = look(made["river"].html, 390, scripting=False)
    box = seen.page.get_by_role("checkbox", name="Air mat")
    box.check()
    assert box.is_checked()
    seen.page.emulate_media(media="print")
    apart = "getComputedStyle(document.querySelector('#to-do-before-the-next-trip')).breakBefore"
    assert seen.page.evaluate(apart) == "page"


def test_what_waits_by_now_is_not_in_the_short_print_of_an_earlier_trip(
    made: dict[str, runner.Report], look: Any
) -> None:
    page = look(made["earlier"].html, 1280, scripting=False).page
    to_do = page.locator("[id^='to-do-as-of']")
    assert to_do.is_visible()
    page.emulate_media(media="print")
    assert not to_do.is_visible()
    page.emulate_media(media="screen")
    page.get_by_label("Print what is folded, too").check()
    page.emulate_media(media="print")
    assert to_do.is_visible()


def test_a_plan_is_refused_in_one_line(logbook: Callable[[str], Path], tmp_path: Path) -> None:
    told = 'expected a trip that took place, got the plan "2027-05-north"'
    with pytest.raises(QuestionError, match=told) as caught:
        runner.run(["debrief"], {"trip": "2027-05-north"}, tmp_path, logbook=logbook("lakes"))
    assert "\n" not in str(caught.value)
    assert list(tmp_path.iterdir()) == []


def test_the_day_is_the_one_given_else_the_one_a_report_carries(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", NOON_1_JUNE_2026)
    assert today.report_day() == date(2026, 6, 1)
    assert today.report_day(" 2026-05-20 ") == date(2026, 5, 20)
    for wrong in ("20.05.2026", "2026-5-20", "20260520", "2026-02-30", "soon"):
        with pytest.raises(QuestionError, match="today: expected a day as YYYY-MM-DD, got"):
            today.report_day(wrong)
