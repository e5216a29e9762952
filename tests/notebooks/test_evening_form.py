"""The form in a real browser: a trip from nothing to its debrief, and what may come between."""

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import limits
import pytest
from evening_book import HOSTILE, write_book
from evening_hands import Keys, Mouse, Server, Window
from tarebook.notebooks.app.widget import TripForm
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.store import ensure_current, open_for_reading, store_path

MOST_ACTIONS = 60
UNKNOWN = "is not in gear.csv. Add it there, then choose it here; until then put it in the note."
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

    with limits.at_most(limits.WINDOW_S, "An evening at the form"):
        yield give
        for each in opened:
            each.context.close()
    for each in opened:
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
    home = (
        "SELECT item, brought_home_mg FROM carried WHERE trip = ? AND brought_home_mg IS NOT NULL"
    )
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
    hand.choose("new.like", "2026-05-river" if isinstance(hand, Mouse) else "Down")
    hand.press("begin")
    page = hand.window.page
    page.wait_for_selector("#packed")
    for name in PACKED:
        hand.find("find", name[:7])
    # Insurance that a logged trip has used does not start out ticked.
    if hand.window.at("packed.map|||").is_checked():
        if isinstance(hand, Keys):
            hand.find("find", "map")
        else:
            hand.press("packed.map|||")
    if isinstance(hand, Keys):
        hand.press("past")
    assert not hand.window.at("went").is_checked()
    hand.press("went")
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
    print(f"{mouse.actions} actions by mouse")
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
    print(f"{keys.actions} actions by keyboard, {keys.moves} moves between them")
    assert keys.actions <= MOST_ACTIONS
    assert keys.moves <= 120
    assert "Coast path" in text
    trip_is_stored(book, "2026-07-coast-path", first)


def test_killed_in_the_middle_it_is_taken_up_again(window: Any, book: Path) -> None:
    first = window(390)
    first.open("2026-10-moor")
    first.page.wait_for_selector('[data-at="find"]')
    hand = Mouse(first)
    hand.find("find", "Book")
    hand.write("days.2026-10-02.legs.0.distance", "7,5")
    hand.write("note", "Half of it")
    first.kept()
    first.context.close()
    again = window(390)
    waiting = again.page.locator('[data-trip="2026-10-moor"]')
    assert "begun, last changed" in waiting.inner_text()
    again.open("2026-10-moor")
    assert "Taken up where you left off" in again.page.inner_text("#choose")
    assert again.at("packed.book|||").is_checked()
    assert not again.at("went").is_checked()
    assert "nothing is written about use" in again.page.inner_text("#unsaid")
    assert again.at("days.2026-10-02.legs.0.distance").input_value() == "7,5"
    assert again.at("note").input_value() == "Half of it"
    assert not (book / "trips" / "2026-10-moor").exists()
    again.page.get_by_role("button", name="Throw away the draft").click()
    assert again.at("note").input_value() == "Half of it"
    again.page.get_by_role("button", name="Throw it away").click()
    again.page.wait_for_function("!document.querySelector('#choose .notice')")
    assert again.at("note").input_value() == ""
    aside = book / ".tarebook" / "drafts" / "thrown-away" / "2026-10-moor.json"
    assert "Half of it" in aside.read_text()


def test_of_two_windows_the_second_to_write_looks_again_and_loses_nothing(
    window: Any, book: Path
) -> None:
    one, other = window(1280), window(1280)
    for each in (one, other):
        each.open("2026-09-fen")
    hand = Mouse(one)
    hand.write("days.2026-09-05.legs.0.distance", "21")
    hand.press("failures.more")
    hand.write("failures.0.item", "Pillow")
    hand.choose("failures.0.severity", "nuisance")
    hand.write("note", "From the one")
    second = Mouse(other)
    second.find("find", "Book")
    second.write("days.2026-09-06.legs.0.distance", "18.25")
    second.press("failures.more")
    second.write("failures.0.item", "Mat")
    second.choose("failures.0.severity", "lost_use")
    second.press("show")
    other.at("went.yes").wait_for()
    asks = r"(\d+) things are ticked as not used\. Were the other (\d+) used\?"
    counts = re.search(asks, other.page.inner_text("#result"))
    assert counts is not None
    assert sum(map(int, counts.groups())) == 70
    second.press("went.yes")
    other.at("write").wait_for()
    hand.press("show")
    hand.press("write")
    one.page.wait_for_selector(".done")
    second.press("write")
    other.at("again").wait_for()
    assert "The files changed meanwhile" in other.page.inner_text("#result")
    distances = "SELECT distance_mm / 1e6 FROM distances WHERE trip = '2026-09-fen' ORDER BY day"
    assert asked(book, distances) == [(21,)]
    second.press("again")
    second.press("write")
    other.page.wait_for_selector(".done")
    assert asked(book, distances) == [(21,), (18.25,)]
    failed = "SELECT item FROM failures WHERE trip = '2026-09-fen' ORDER BY item"
    assert asked(book, failed) == [("mat",), ("pillow",)]
    assert asked(book, "SELECT note FROM trip WHERE trip = '2026-09-fen'") == [("From the one",)]
    used = "SELECT used FROM carried WHERE trip = '2026-09-fen' AND item = 'book'"
    assert asked(book, used) == [(0,)]
    # Who has written goes on from there, and is not told of changes of their own.
    second.write("note", "On second thoughts")
    second.press("show")
    second.press("write")
    other.page.wait_for_function(
        "document.querySelector('.done')?.textContent.includes('trip.csv.')"
    )
    note = "SELECT note FROM trip WHERE trip = '2026-09-fen'"
    assert asked(book, note) == [("On second thoughts",)]
    other.page.get_by_role("button", name="Choose another trip").click()
    other.page.locator("summary", has_text="already written down").click()
    assert (
        "days, nights and use are written"
        in other.page.locator('[data-trip="2026-09-fen"]').inner_text()
    )


def track(day: date, points: int, offset: int = 0) -> bytes:
    """A track along the equator, 0.01 degrees every ten minutes from noon UTC on.

    A degree of the equator is 111.319490793 km on the WGS 84 ellipsoid (a = 6378137 m).
    """
    fixes = "".join(
        f'<trkpt lat="0" lon="{(n + offset) / 100}"><time>{day.isoformat()}T'
        f"{12 + n // 6:02d}:{n % 6}0:00Z</time></trkpt>"
        for n in range(points)
    )
    return (
        '<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<trk><trkseg>{fixes}</trkseg></trk></gpx>"
    ).encode()


def test_files_fill_the_days_and_never_what_was_typed(window: Any, book: Path) -> None:
    """By the button and by dropping; names of files and things are text and nothing else."""
    here = window(1280)
    here.open("2026-08-bay")
    for name in HOSTILE:
        assert here.page.get_by_text(name, exact=True).count()
    hand = Mouse(here)
    hand.write("days.2026-08-01.legs.0.distance", "12")
    readings = "at,temperature_c\n2026-08-01 22:00,9\n2026-08-02 04:00,6.5\n"
    hostile = "<b onclick=x>porch</b>.csv"
    here.at("files").set_input_files(
        [
            {"name": "one.gpx", "mimeType": "", "buffer": track(date(2026, 8, 1), 11)},
            {"name": "two.gpx", "mimeType": "", "buffer": track(date(2026, 8, 2), 6)},
            {"name": hostile, "mimeType": "", "buffer": readings.encode()},
        ]
    )
    here.page.get_by_text(f"{hostile} is read.").wait_for()
    files = here.page.locator(".files")
    assert "17 points read: 17 used, 0 left out." in files.inner_text()
    assert hostile in files.inner_text()
    first, second = (f"days.2026-08-0{n}.legs.0.distance" for n in (1, 2))
    assert here.at(first).input_value() == "12"
    assert here.at(second).input_value() == "5.57"
    assert here.at("days.2026-08-01.low").input_value() == "6.5"
    offer = here.page.locator("#differing p").filter(has_text="11.13 km for Sat 1 August")
    assert "You have 12." in offer.inner_text()
    offer.get_by_role("button", name="Take 11.13").click()
    assert here.at(first).input_value() == "11.13"
    # Dropped on the page: more of the second day, which adds to what the tracks have filled.
    held = here.page.evaluate_handle(
        "text => { const held = new DataTransfer();"
        " held.items.add(new File([text], 'three.gpx')); return held; }",
        track(date(2026, 8, 2), 6, offset=30).decode().replace("T12:", "T15:"),
    )
    here.page.dispatch_event("#days", "drop", {"dataTransfer": held})
    here.page.get_by_text("three.gpx is read.").wait_for()
    assert here.at(second).input_value() == "11.13"
    hand.press("show")
    here.at("write").wait_for()
    hand.press("write")
    here.page.wait_for_selector(".done")
    assert here.page.title() == "After a trip"
    assert here.page.locator("script:text('owned'), img[src=x], b[onclick]").count() == 0
    distances = "SELECT distance_mm / 1e6 FROM distances WHERE trip = '2026-08-bay' ORDER BY day"
    assert asked(book, distances) == [(11.13,), (11.13,)]
    lows = "SELECT min(temperature_c) FROM temperatures WHERE trip = '2026-08-bay'"
    assert asked(book, lows) == [(6.5,)]


SMALL = """() => {
  const open = document.querySelectorAll('.evening details');
  open.forEach((each) => (each.open = true));
  return [...document.querySelectorAll('.evening :is(input, select, textarea, button, a, summary)')]
    .map((each) => each.closest('label') ?? each)
    .filter((each) => each.checkVisibility() && !each.matches('.away, .past'))
    .map((each) => [each.outerHTML.slice(0, 90), each.getBoundingClientRect()])
    .filter(([, box]) => box.height < 44 || box.width < 44)
    .map(([html, box]) => `${html} ${box.width} x ${box.height}`);
}"""
"""Whatever can be touched and is smaller than a finger."""

PASTE = """text => {
  const held = new DataTransfer();
  held.setData('text', text);
  const cell = document.querySelector('[data-at="days.2026-05-01.low"]');
  const about = { clipboardData: held, bubbles: true, cancelable: true };
  cell.dispatchEvent(new ClipboardEvent('paste', about));
}"""


def test_on_a_narrow_screen_all_can_be_touched_and_faults_stand_at_their_fields(
    window: Any,
) -> None:
    here = window(390, color_scheme="dark", reduced_motion="reduce")
    assert here.page.evaluate(SMALL) == []
    here.page.get_by_role("button", name="Begin").click()
    here.page.get_by_text("What is it to be called?").wait_for()
    here.open("2026-05-river")
    hand = Mouse(here)
    hand.press("failures.more")
    hand.write("failures.0.item", "Kite")
    hand.press("missed.more")
    here.at("missed.0.what").wait_for()
    assert here.page.evaluate(SMALL) == []
    nameless = here.page.evaluate(
        "[...document.querySelectorAll('.evening :is(input, select, textarea)')].filter("
        "e => !e.labels?.length && !e.ariaLabel).map(e => e.outerHTML)"
    )
    assert nameless == []
    here.page.evaluate(PASTE, "4.5\t2\r\n3\t0\r\n\tno\r\n\t5\r\n")
    pasted = [
        [here.at(f"days.2026-05-0{day}.{cell}").input_value() for day in days]
        for cell, days in (("low", (1, 2)), ("rain", (1, 2, 3)))
    ]
    assert pasted == [["4.5", "3"], ["2", "0", "no"]]
    assert here.at("days.2026-05-03.low").count() == 0  # no night begins on the last day
    assert "1 value of what you pasted had no field" in here.page.inner_text("#pasted")
    hand.write("days.2026-05-02.low", "cold")
    hand.write("days.2026-05-02.warmth", "cool")
    hand.write("home.oats|||", "1,200")
    hand.write("brought", "Kettle")
    hand.press("show")
    here.page.wait_for_selector("#result [role=alert]")
    told = here.page.locator("span.fault, tr.fault").all_inner_texts()
    assert [line.strip() for line in told] == [
        f"“Kettle” {UNKNOWN}",
        "Is it 1200 or 1.200? Write it like that.",
        'Low: Expected a low in °C, as a number alone; got "cold".',
        "Sleep: Warmth needs a score of the sleep beside it.",
        f"“Kite” {UNKNOWN}",
        "How bad was it?",
    ]
    listed = here.page.locator("#result li").all_inner_texts()
    assert [line.partition(":")[0] for line in listed if ":" in line] == [
        "Oats, left over",
        "Sat 2 May, low",
        "Sat 2 May, sleep",
    ]
    assert here.page.evaluate("document.activeElement.dataset.at") == "brought"
    assert here.page.evaluate("document.documentElement.scrollWidth") == 390


COVERED = """() => {
  const [active, said] = [document.activeElement, document.querySelector('.status')];
  const [one, other] = [active, said].map((each) => each.getBoundingClientRect());
  const seen = one.top < innerHeight && one.bottom > 0;
  return seen && one.bottom <= other.top ? null : active.outerHTML.slice(0, 120);
}"""
"""What has the keyboard, where it cannot be seen above the message."""


@pytest.mark.parametrize("width", [390, 1280])
def test_the_message_covers_nothing_that_has_the_keyboard(window: Any, width: int) -> None:
    here = window(width)
    here.page.evaluate("document.querySelectorAll('details').forEach((fold) => (fold.open = true))")
    here.open("2026-05-river")
    here.page.evaluate(
        "document.querySelector('.status').textContent = 'A name that is long stayed packed. '"
        ".repeat(3)"
    )
    here.at("find").focus()
    covered = []
    for _ in range(150):
        here.page.keyboard.press("Tab")
        here.page.evaluate("new Promise(requestAnimationFrame)")
        if here.page.evaluate("document.activeElement.dataset.at") == "show":
            break
        covered.append(here.page.evaluate(COVERED))
    assert len(covered) > 90
    assert [each for each in covered if each] == []
    # A message may also come when the keyboard is there already.
    here.page.evaluate("document.querySelector('.status').textContent = ''")
    field = here.at("left")
    field.focus()
    here.page.evaluate(
        "scrollBy(0, document.activeElement.getBoundingClientRect().bottom - innerHeight + 4)"
    )
    field.fill("Book")
    field.press("Enter")
    here.page.wait_for_function("document.querySelector('.status').textContent")
    assert here.page.evaluate(COVERED) is None


def test_a_day_by_two_ways(window: Any, book: Path) -> None:
    """By keyboard; the first row of a day goes the trip's way, each other says its own."""
    here = window(390)
    keys = Keys(here)
    keys.write("new.title", "Round the lake")
    keys.day("new.start_on", "06202026")
    keys.day("new.end_on", "06212026")
    keys.choose("new.mode", "bike")
    keys.press("begin")
    here.page.wait_for_selector("#packed")
    keys.write("days.2026-06-20.legs.0.distance", "30")
    keys.press("another")
    keys.press("another.add")
    assert "Which way was it?" in here.page.inner_text("#another")
    keys.choose("another.mode", "bike")
    keys.press("another.add")
    assert "Sat 20 June has a row of that already." in here.page.inner_text("#another")
    keys.choose("another.mode", "paddle")
    keys.press("another.add")
    # The keyboard is in the new row at once.
    second = "days.2026-06-20.legs.1.distance"
    assert here.page.evaluate("document.activeElement.dataset.at") == second
    here.page.keyboard.type("4.5")
    assert here.at(second).get_attribute("aria-label") == "Distance, Sat 20 June, by paddle, km"
    keys.press("another")
    keys.choose("another.mode", "foot")
    keys.press("another.add")
    here.page.get_by_role("button", name="Take away on foot of Sat 20 June").click()
    assert here.at("days.2026-06-20.legs.2.distance").count() == 0
    assert here.page.evaluate(SMALL) == []
    here.at("show").click()
    here.at("write").click()
    here.page.wait_for_selector(".done")
    ways = (
        "SELECT mode, distance_mm / 1e6 FROM distances WHERE trip = '2026-06-round-the-lake' "
        "ORDER BY distance_mm DESC"
    )
    assert asked(book, ways) == [(None, 30), ("paddle", 4.5)]
    here.page.get_by_text("Choose another trip").click()
    here.page.locator("summary", has_text="already written down").click()
    here.open("2026-06-round-the-lake")
    heads = here.page.locator("#days tbody th").all_inner_texts()
    assert heads == ["Sat 20 June", "by paddle", "Sun 21 June"]


def test_rows_that_cannot_be_read_are_named_when_the_trip_is_opened(tmp_path: Path) -> None:
    folder = write_book(tmp_path / "book")
    trip = folder / "trips" / "2026-05-river"
    (trip / "weather.csv").write_text("day,low_c\n2026-05-01,4 C\n2026-05-02,3\n")
    form = TripForm(folder)
    answers: list[dict[str, Any]] = []
    form.send = lambda answer, *_: answers.append(answer)
    form._asked(form, {"id": 1, "ask": "open", "trip": "2026-05-river"}, ())
    (said,) = answers[0]["not_shown"]
    assert said.startswith("trips/2026-05-river/weather.csv:2: low_c: ")
    assert said.endswith("the row is not shown here, does not count and stays as it is")


def test_it_closes_when_told(window: Any, server: Server) -> None:
    here = window(1280)
    here.at("close").click()
    here.page.get_by_role("heading", name="Closed").wait_for()
    assert server.wait() == 0
