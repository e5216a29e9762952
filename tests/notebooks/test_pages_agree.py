"""All reports of several logbooks say the same of the same thing, wherever it stands.

Four facts are looked for on every page and on the index: how likely a too cold night is on a
plan in each sleep set, at what low a set is too cold for its owner, what leaving things at home
would cost, and the usual base weight. Each must be one figure, and that of the table behind it.
"""

import csv
import random
import re
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from pathlib import Path

import pytest
from reports_read import Page, Piece, asking_of, page, rows
from tarebook.analysis.display.words import one_in
from tarebook.notebooks import index, runner
from tarebook.tripdata.errors import QuestionError
from tarebook.tripdata.store import load_logbook

CHANCE = r"about \d+ in \d+|rarer than 1 in \d+|almost certain|\brare\b"
Chances = dict[str, dict[str, set[str]]]
"""How likely something is said to be, by sleep set and page."""
DEGREES = r"(−?\d+(?:\.\d+)?)(?: °([CF]))?"


@dataclass(frozen=True)
class Logbook:
    """A loaded logbook and all its reports, the index among them.

    ahead: those that were asked about its plan.
    """

    folder: Path
    pages: tuple[Page, ...]
    ahead: tuple[Page, ...]
    plan: str
    fahrenheit: bool = False

    def pieces(self, ahead: bool = True) -> Iterator[tuple[str, Piece]]:
        """Every piece of every page with the page's name."""
        pages = (*self.pages, *(self.ahead if ahead else ()))
        return ((each.name, piece) for each in pages for piece in each.pieces)


def read_all(folder: Path, plan: str, title: str, fahrenheit: bool = False) -> Logbook:
    load_logbook(folder)
    plain = _made(folder, [(name, {}) for name in runner.available()])
    ahead = _made(
        folder, [("temperature_context", {"trip": plan}), ("season_cull", {"coming": plan})]
    )
    told = (
        index.finding(
            runner.Report(p.name, folder, folder / f"{p.name}.html", (), p.title, p.findings)
        ).replace("\u202f", " ")
        for p in plain
    )
    first = tuple(Piece(words, "answer") for words in told)
    return Logbook(folder, (*plain, Page("index", first, "", ())), ahead, title, fahrenheit)


def _made(folder: Path, asked: list[tuple[str, dict[str, object]]]) -> tuple[Page, ...]:
    pages = []
    for name, parameters in asked:
        with suppress(QuestionError):  # Some have nothing to say of a young logbook.
            pages.append(page(folder, name, parameters, drawn=False))
    return tuple(pages)


def write(folder: Path, name: str, table: list[dict[str, str]]) -> None:
    folder.mkdir(exist_ok=True)
    with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as out:
        writer = csv.DictWriter(out, dict.fromkeys(c for row in table for c in row), restval="")
        writer.writeheader()
        writer.writerows(table)


def write_winters(folder: Path) -> None:
    """Twenty trips on foot in ounces and °F, two bags, votes of warmth, and a plan in March."""
    rng = random.Random(12)
    write(folder, "gear", [
        {"item": "tent", "name": "Ridge tent", "system": "shelter", "weight_g": "1400"},
        {"item": "thick", "name": "Thick bag", "system": "sleep", "weight_g": "1300",
         "rated_low_c": "-6", "rated_as": "limit"},
        {"item": "thin", "name": "Thin bag", "system": "sleep", "weight_g": "700",
         "rated_low_c": "5", "rated_as": "comfort"},
        {"item": "mat", "name": "Long mat", "system": "sleep", "weight_g": "450"},
        {"item": "cup", "name": "Guest cup", "system": "cook", "weight_g": "90",
         "essential": "no"},
        {"item": "game", "name": "Board game", "system": "leisure", "weight_g": "310"},
        {"item": "novel", "name": "Long novel", "system": "leisure", "weight_g": "420"},
        {"item": "seat", "name": "Folding seat", "system": "leisure", "weight_g": "480"},
    ])  # fmt: skip
    write(folder, "candidates", [
        {"candidate": "lighter", "name": "Lighter tent", "system": "shelter", "weight_g": "1250",
         "replaces": "tent", "price": "400", "currency": "USD"},
        {"candidate": "warmer", "name": "Warmer bag", "system": "sleep", "weight_g": "1200",
         "replaces": "thin", "rated_low_c": "-3", "rated_as": "limit", "price": "300"},
    ])  # fmt: skip
    place = {"latitude": "47.45", "longitude": "-122.30", "mode": "foot"}
    trips, carried, weather, comfort = [], [], [], []
    for n in range(20):
        start = date(2022 + n // 5, 2 + n % 5, 5 + n % 7)
        trip = f"t{n:02d}"
        trips.append(
            {
                "trip": trip,
                "start_on": str(start),
                "end_on": str(start + timedelta(3)),
                **place,
                "plan": "",
            }
        )
        bag, rated = ("thick", -6) if n % 2 else ("thin", 5)
        for item in ("tent", bag, "mat", "cup", "game", "novel", "seat"):
            used = item not in ("cup", "game", "novel") and (item != "seat" or n % 3)
            carried.append({"trip": trip, "item": item, "used": "yes" if used else "no"})
        for night in range(3):
            low = rated + rng.uniform(-1, 9)
            day = {"trip": trip, "day": str(start + timedelta(night))}
            cold = rng.random() < 1 / (1 + 2.5 ** (low - rated - 2))
            weather.append({**day, "low_c": f"{low:.1f}"})
            comfort.append(
                {
                    **day,
                    "aspect": "sleep",
                    "score": "2" if cold else "4",
                    "warmth": "-2" if cold else "0",
                }
            )
    trips.append(
        {
            "trip": "march",
            "title": "Early in March",
            "start_on": "2027-03-05",
            "end_on": "2027-03-08",
            **place,
            "plan": "yes",
        }
    )
    carried += [{"trip": "march", "item": i, "used": ""} for i in ("tent", "thin", "mat")]
    tables = {"trip": trips, "carried": carried, "weather": weather, "comfort": comfort}
    for name, table in tables.items():
        write(folder, name, table)
    (folder / "tarebook.toml").write_text('[display]\nmass = "oz"\ntemperature = "f"\n')


@pytest.fixture(scope="module")
def books(
    logbook: Callable[[str], Path], demo_folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> dict[str, Logbook]:
    winters = tmp_path_factory.mktemp("winters")
    write_winters(winters)
    return {
        "demo": read_all(demo_folder, "2027-04-old-weir-meadow", "First gravel of spring"),
        "winters": read_all(winters, "march", "Early in March", fahrenheit=True),
        "lakes": read_all(logbook("lakes"), "2027-05-north", "North in spring"),
    }


@pytest.fixture(scope="module")
def told_chances(books: dict[str, Logbook]) -> dict[str, Chances]:
    """What each logbook's pages say, read once for all tests of it."""
    return {name: chances(book) for name, book in books.items()}


NAMES = pytest.mark.parametrize("name", ["demo", "winters", "lakes"])


def sleep_names(book: Logbook) -> list[str]:
    """The names of what is rated in the sleep sets: a set is known by it."""
    return _sleep_names(book.folder)


@cache
def _sleep_names(folder: Path) -> list[str]:
    # Asked once: a fit stands behind it, and every sentence of every page wants it.
    with asking_of(folder):
        sets = [row["sleep_system"] for row in rows(folder, "cold_limits")]
    return sorted(
        {part.strip() for each in sets for part in each.split(";")} - {"Air mat", "Long mat"}
    )


def plans_besides(book: Logbook) -> list[str]:
    """The titles of the other plans."""
    with asking_of(book.folder):
        titles = [row["title"] for row in rows(book.folder, "trips") if row["plan"]]
    return [title for title in titles if title and title != book.plan]


def chances(book: Logbook) -> Chances:
    """How likely a too cold night on the plan is said to be, by sleep set and page.

    Sentences and cells on all nights of the plan; those on one night and on other trips are not. In
    a table a set is known by all of its things, in a sentence by the rated one, in quotation marks.
    """
    said: Chances = defaultdict(lambda: defaultdict(set))
    others = plans_besides(book)
    for page_ in (*book.pages, *book.ahead):
        cells: set[tuple[str, ...]] = set()
        for piece in page_.pieces:
            around = " ".join((*piece.under, piece.words))
            about_plan = book.plan in around or re.search("nights? ahead|nights to come", around)
            if not about_plan or any(title in around for title in others):
                continue
            if len(piece.under) > 2:
                found = re.findall(CHANCE, piece.words)
                named = [s for s in sleep_names(book) if s in piece.under[3]]
                # A second table of the same place is that of the next plan.
                if found and named and "too cold" in piece.under[2] and piece.under not in cells:
                    cells.add(tuple(piece.under))
                    said[piece.under[3]][page_.name].update(found[:1])
                continue
            for words in re.split(r"(?<=[a-z)]\.) |; ", piece.words):
                found = re.findall(CHANCE, words)
                if not found or re.search("as cold|normals alone|would be", words):
                    continue
                named = [f"“{s}”" for s in sleep_names(book) if s in words]
                for each in named or ["no set named"]:
                    said[each][page_.name].update(found[:1])
    return said


def sets_without_a_mat(book: Logbook) -> set[str]:
    """Sets of which a table has no chance, but that a mat is missing from them."""
    return {
        piece.under[3]
        for page_ in (*book.pages, *book.ahead)
        for piece in page_.pieces
        if len(piece.under) > 3 and piece.words == "no mat: no chance given"
    }


@NAMES
def test_one_chance_of_a_cold_night(
    books: dict[str, Logbook], told_chances: dict[str, Chances], name: str
) -> None:
    said = dict(told_chances[name])
    unnamed = said.pop("no set named", {})
    told: dict[str, str] = {}
    for sleep_set, by_page in said.items():
        phrases = {phrase for each in by_page.values() for phrase in each}
        assert len(phrases) == 1, (sleep_set, dict(by_page))
        (told[sleep_set],) = phrases
    tables = {label: phrase for label, phrase in told.items() if not label.startswith("“")}
    bare = {f"“{label}”" for label in sets_without_a_mat(books[name])}
    assert bare <= ({"“Winter sleeping bag”"} if name == "demo" else set())
    # Of a set without its mat only what it would be with a sound one is told.
    for sleep_set in told.keys() - tables.keys() - bare:
        holding = {phrase for label, phrase in tables.items() if sleep_set.strip("“”") in label}
        assert not tables or told[sleep_set] in holding, (sleep_set, told)
    for where, found in unnamed.items():
        assert found <= set(told.values()), (where, found, told)


def test_the_chance_stands_on_several_pages(told_chances: dict[str, Chances]) -> None:
    for name in ("demo", "winters"):
        pages = {page for by_page in told_chances[name].values() for page in by_page}
        assert {"temperature_context", "comfort_value"} <= pages, name


@NAMES
def test_the_table_has_the_chance_of_the_pages(
    books: dict[str, Logbook], told_chances: dict[str, Chances], name: str
) -> None:
    said = told_chances[name]
    with asking_of(books[name].folder):
        (plan,) = (r for r in rows(books[name].folder, "trips") if r["title"] == books[name].plan)
        table = rows(books[name].folder, "cold_by_set", {"trip": plan["trip"]})
    met = 0
    for row in table:
        things = row["sleep_system"].split(";")
        for label, by_page in said.items():
            if row["p_cold"] is None or not all(thing in label for thing in things):
                continue
            odds = one_in(row["p_cold"]).replace("\u202f", " ")
            assert {odds} == {phrase for each in by_page.values() for phrase in each}, label
            met += 1
    assert met or name == "lakes"


@NAMES
def test_what_it_would_be_by_the_normals_alone_is_one_figure_beside_the_answer(
    books: dict[str, Logbook], name: str
) -> None:
    """Told where camps were colder than the normals, of the set on the list, and as no answer."""
    book = books[name]
    alone: dict[str, set[str]] = defaultdict(set)
    others = plans_besides(book)
    for where, piece in book.pieces():
        around = " ".join((*piece.under, piece.words))
        if any(title in around for title in others):
            continue
        for words in re.findall(r"[Bb]y the (?:climate )?normals alone.*?(?:\.|$)", piece.words):
            alone[where].update(re.findall(CHANCE, words))
    told = {phrase for found in alone.values() for phrase in found}
    with asking_of(book.folder):
        (plan,) = (row for row in rows(book.folder, "trips") if row["title"] == book.plan)
        sets = rows(book.folder, "cold_by_set", {"trip": plan["trip"]})
    about_plan = {"temperature_context", "before_trip"}
    if not any(row["camps_off_c"] is not None and row["camps_off_c"] <= -0.5 for row in sets):
        assert not told, alone
    elif any(row["on_list"] for row in sets):
        assert about_plan <= alone.keys(), alone
        assert len(told) == 1, alone
    else:
        # Of a list without a whole sleep set no chance is told, by the normals neither.
        assert not about_plan & alone.keys(), alone


def told_limits(book: Logbook) -> Iterator[tuple[str, str, str]]:
    """Own limits on the pages: page, the sentence, the number."""
    with asking_of(book.folder):
        judged = {row["sleep_system"] for row in rows(book.folder, "cold_limits")}
    unjudged = set(sleep_names(book)) - judged
    for name, piece in book.pieces():
        if "limit rating" in piece.words and "one night in five" not in piece.words:
            continue
        patterns = (
            rf"one night in five is too cold at {DEGREES}",
            rf"own limit of {DEGREES}",
            rf"{DEGREES}, your limit in",
        )
        for pattern in patterns:
            for number, _ in re.findall(pattern, piece.words):
                yield name, piece.words, number
        column = piece.under[2] if len(piece.under) > 3 else ""
        own_row = len(piece.under) > 3 and re.match("Your limit", piece.under[3])
        table = " ".join(piece.under[1:2])
        alone = table.startswith("Sleep sets that you own") and piece.under[3] in unjudged
        if alone:  # Nobody slept in it: its figure is that of the rating.
            continue
        if re.match("Own limit|Your limit", column) or (
            own_row and re.match("As it is|Now", column)
        ):
            for number, _ in re.findall(DEGREES, piece.words)[:1]:
                yield name, f"{piece.place}: {piece.words}", number


def rounded(number: str, exact: float) -> bool:
    """Whether a number is that value to the decimals it shows."""
    shown = float(number.replace("−", "-"))
    digits = len(number.partition(".")[2])
    return abs(shown - exact) <= 0.5 * 10**-digits + 1e-9


@NAMES
def test_one_own_limit_for_a_sleep_set(books: dict[str, Logbook], name: str) -> None:
    book = books[name]
    with asking_of(book.folder):
        table = rows(book.folder, "cold_limits")
    limits = [row["own_limit_c"] for row in table if row["own_limit_c"] is not None]
    if book.fahrenheit:
        limits = [1.8 * limit + 32 for limit in limits]
    told = list(told_limits(book))
    for where, words, number in told:
        assert any(rounded(number, limit) for limit in limits), (where, words, limits)
    if name != "lakes":
        assert len({where for where, _, _ in told}) >= 2, told


def prices(book: Logbook) -> dict[str, dict[str, set[str]]]:
    """What is said to be the price of leaving so much at home, by the weight told beside it.

    A named plan is another question, with a price of its own.
    """
    said: dict[str, dict[str, set[str]]] = defaultdict(lambda: defaultdict(set))
    for name, piece in book.pieces(ahead=False):
        for words in re.split(r"(?<=[a-z)]\.) ", piece.words):
            price = re.search(r"you would want .*?(?:trips?|every trip)\b", words)
            weight = re.search(r"[\d.,]+ (?:kg|g|oz|lb)\b", words)
            if price and weight:
                said[weight[0]][name].add(price[0])
    return said


@NAMES
def test_one_price_of_leaving(books: dict[str, Logbook], name: str) -> None:
    for weight, by_page in prices(books[name]).items():
        told = {price for found in by_page.values() for price in found}
        assert len(told) == 1, (weight, dict(by_page))


def test_the_price_stands_on_several_pages(books: dict[str, Logbook]) -> None:
    for name in ("demo", "winters"):
        pages = {page for by_page in prices(books[name]).values() for page in by_page}
        assert {"season_cull", "buying_case", "index"} <= pages, (name, prices(books[name]))


@NAMES
def test_no_price_in_other_words(books: dict[str, Logbook], name: str) -> None:
    others = r"for nothing|costs? nothing|at no cost|one miss in|misses a trip|hardly a miss"
    for where, piece in books[name].pieces():
        found = re.search(others, piece.words, re.I)
        assert not found, (where, piece.words)


@NAMES
def test_one_usual_base_weight(books: dict[str, Logbook], name: str) -> None:
    """For the same trips, named by their mode and number, it is one figure on all pages."""
    said: dict[tuple[str, str], dict[str, set[str]]] = defaultdict(lambda: defaultdict(set))
    usual = re.compile(
        r"usual base weight(?P<mode>[^\d.;]*?),? ?(?P<mass>[\d.]+ (?:kg|lb))"
        r"[^.;]*?(?:median of (?P<trips>\d+) trips)?(?=[.;,]|$| \()",
        re.I,
    )
    for where, piece in books[name].pieces():
        for found in usual.finditer(piece.words):
            key = (found["mode"].strip(" ,:"), found["trips"] or "")
            said[key][where].add(found["mass"])
    modes = {row["mode"] for row in rows(books[name].folder, "trips")}
    if len(modes) == 1:
        assert said  # walking, bike and boat have no usual weight together
    for key, by_page in said.items():
        assert len({mass for found in by_page.values() for mass in found}) == 1, (key, by_page)
