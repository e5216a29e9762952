"""The form in a real browser: a trip from nothing to its debrief, and what may come between."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from evening_book import HOSTILE, write_book
from evening_hands import Keys, Mouse, Server, Window
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.store import ensure_current, open_for_reading, store_path

MOST_ACTIONS = 60
PACKED = ("Windscreen", "Sponge", "Bug net", "Mittens", "Overshoes", "Water bag", "Spare lamp")
DAYS = {
    "legs.0.distance": ("14.2", "11", "9.5"),
    "legs.0.ascent": ("310", "480", "120"),
    "low": ("4.5", "-1"),
    "rain": ("no", "3.5", "no"),
    "sleep": ("4", "2"),
    "warmth": ("0", "-2"),
    "camp": ("5", "3"),
}


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    names = dict(zip(("tarp", "mug", "guy-lines", "patches"), HOSTILE, strict=True))
    return write_book(tmp_path_factory.mktemp("evening"), names)


@pytest.fixture(scope="module")
def server(book: Path, browser: Any) -> Iterator[Server]:
    running = Server(book)
    yield running
    if running.process.poll() is None:
        assert running.interrupt() == 0


@pytest.fixture
def window(browser: Any, server: Server) -> Iterator[Any]:
    opened: list[Window] = []

    def give(width: int = 1280, **more: Any) -> Window:
        opened.append(Window(browser, server, width, **more))
        return opened[-1]

    yield give
    for each in opened:
        each.context.close()
        assert each.complaints == []
        assert each.abroad(server.origin) == []


def asked(book: Path, question: str, *values: Any) -> list[tuple[Any, ...]]:
    """What the store answers, once it holds what the files say without a complaint."""
    findings = check_logbook(book)
    assert [str(problem) for problem in findings.problems] == []
    assert findings.warnings == []
    ensure_current(book)
    with open_for_reading(store_path(book)) as store:
        return store.execute(question, values).fetchall()


def trip_is_stored(book: Path, trip: str, first: date) -> None:
    """All of what `log_by` enters."""
    assert asked(book, "SELECT use_record, mode, plan FROM trip WHERE trip = ?", trip) == [
        ("all_but", "foot", False)
    ]
    carried = dict(asked(book, "SELECT item, used FROM carried WHERE trip = ?", trip))
    assert len(carried) == 70  # seventy, one left at home, one brought along
    assert "cable" not in carried
    assert carried["umbrella"] is None
    unused = {item for item, used in carried.items() if used == 0}
    insurance = {"plasters", "bandage", "pain-relief", "blister-pads", "tick-tool", "gloves"} | {
        *("multi-tool", "tape", "patches", "needle-and-thread", "spare-cord", "whistle"),
        *("emergency-blanket", "compass"),
    }
    assert unused == {name.lower().replace(" ", "-") for name in PACKED} | insurance
    assert carried["map"] == 1
    home = "SELECT item, brought_home_mg FROM carried WHERE trip = ? AND brought_home_mg IS NOT NULL"
    grams = {item: mg / 1000 for item, mg in asked(book, home, trip)}
    assert grams == {"oats": 120, "nuts": 35.5, "noodles": 0, "chocolate": 0, "coffee": 0}
    days = "SELECT distance_mm / 1e6, ascent_mm / 1e3 FROM distances WHERE trip = ? ORDER BY day"
    assert asked(book, days, trip) == [(14.2, 310), (11, 480), (9.5, 120)]
    sky = "SELECT low_c, rain_mm, wet FROM weather WHERE trip = ? ORDER BY day"
    assert asked(book, sky, trip) == [(4.5, None, False), (-1, 3.5, None), (None, None, False)]
    felt = "SELECT aspect, day, score, warmth FROM comfort WHERE trip = ? ORDER BY ALL"
    second = date.fromordinal(first.toordinal() + 1)
    assert asked(book, felt, trip) == [
        ("camp", first, 5, None),
        ("camp", second, 3, None),
        ("sleep", first, 4, 0),
        ("sleep", second, 2, -2),
    ]
    failed = "SELECT item, severity, what FROM failures WHERE trip = ?"
    assert asked(book, failed, trip) == [("stove", "impaired", "The pump leaks")]
    assert asked(book, "SELECT item, what FROM wished WHERE trip = ?", trip) == [
        ("camp-chair", None)
    ]
    assert asked(book, "SELECT note FROM trip WHERE trip = ?", trip) == [("Windy",)]


def log_by(hand: Mouse | Keys, title: str, start: str, end: str, first: date) -> None:
    """Enter a whole trip: from its name to the button that writes it."""
    hand.write("new.title", title)
    hand.day("new.start_on", start)
    hand.day("new.end_on", end)
    hand.choose("new.mode", "foot")
    hand.press("begin")
    page = hand.window.page
    page.wait_for_selector("#packed")
    for name in PACKED:
        hand.find("find", name[:6])
    if isinstance(hand, Keys):
        hand.find("find", "map")
        hand.press("past")
    else:
        hand.press("packed.map|||")
    hand.find("left", "cab")
    hand.find("brought", "umb")
    hand.write("home.oats|||", "120")
    hand.write("home.nuts|||", "35.5")
    hand.press("rest")
    for cell, values in DAYS.items():
        name = f"days.{first.isoformat()}.{cell}"
        if isinstance(hand, Keys):
            if cell == "legs.0.distance":
                hand.go(name)
            hand.down(*values)
            to_the_top_of_the_next_column(hand, len(values))
        else:
            for number, value in enumerate(values):
                day = date.fromordinal(first.toordinal() + number).isoformat()
                hand.write(f"days.{day}.{cell}", value)
    hand.press("failures.more")
    hand.find("failures.0.item", "stov") if isinstance(hand, Mouse) else hand.write(
        "failures.0.item", "Stove"
    )
    hand.choose("failures.0.severity", "impaired" if isinstance(hand, Mouse) else "work")
    hand.write("failures.0.what", "The pump leaks")
    hand.press("missed.more")
    hand.write("missed.0.what", "Camp chair")
    hand.write("note", "Windy")
    hand.press("show")
    page.wait_for_selector('[data-at="write"]')


def to_the_top_of_the_next_column(hand: Keys, filled: int) -> None:
    """Back up the column with the arrow key, then one to the right."""
    keyboard, rows = hand.window.page.keyboard, 3
    for _ in range(min(filled, rows - 1)):
        keyboard.press("ArrowUp")
        hand.moves += 1
    keyboard.press("ArrowRight")
    hand.moves += 1


def test_a_trip_of_seventy_things_by_mouse(window: Any, book: Path) -> None:
    mouse = Mouse(window(1280))
    first = date(2026, 6, 12)
    log_by(mouse, "Ridge walk", "06122026", "06142026", first)
    mouse.press("write")
    link = mouse.window.at("debrief")
    link.wait_for()
    text = mouse.window.debrief(lambda: mouse.press("debrief"))
    assert mouse.actions <= MOST_ACTIONS
    assert "Ridge walk" in text
    assert "Stove" in text
    trip_is_stored(book, "2026-06-ridge-walk", first)


def test_a_trip_of_seventy_things_by_keyboard_on_a_narrow_screen(window: Any, book: Path) -> None:
    keys = Keys(window(390))
    first = date(2026, 7, 3)
    log_by(keys, "Coast path", "07032026", "07052026", first)
    assert keys.window.page.evaluate("document.documentElement.scrollWidth") == 390
    keys.follow("write")
    keys.window.at("debrief").wait_for()
    text = keys.window.debrief(lambda: keys.follow("debrief"))
    assert keys.actions <= MOST_ACTIONS
    assert keys.moves <= 120
    assert "Coast path" in text
    trip_is_stored(book, "2026-07-coast-path", first)
