"""One logbook tried: every table and page that advises, held against what may not be left."""

import tempfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import advice_reading
import reports_read as reading
from advice_books import Book
from advice_rules import Scene, held, torn
from tarebook.analysis.display import words
from tarebook.notebooks import index
from tarebook.notebooks.runner import Report
from tarebook.tripdata.errors import QuestionError
from tarebook.tripdata.store import load_logbook

SCOPE = ("mode", "coming")
ALWAYS_HELD = ("1", "2", "3")
WORDED_ELSE = (
    "for nothing",
    "costs nothing",
    "cost nothing",
    "at no cost",
    "coin toss",
    "one miss in",
    "misses a trip",
    "miss on every",
    "hardly a miss",
    "in 1 trips",
)


@dataclass(frozen=True)
class Fault:
    """Something advised against that stays, or a price in other words.

    rule: which rule holds it ("set" where only the whole set is wrong, "price" for a wording).
    where: table or page, and the options it was asked with.
    """

    rule: str
    item: str
    where: str
    told: str
    why: str = ""

    @property
    def kind(self) -> tuple[str, str]:
        """What makes two faults of one kind: the rule, and the table or page."""
        return self.rule, self.where.split(" ")[0]

    def __str__(self) -> str:
        return f"rule {self.rule}: {self.item} ({self.why}) in {self.where}: {self.told}"


@dataclass(frozen=True)
class Asked:
    """A loaded logbook and one question of it."""

    folder: Path
    book: Book
    options: Mapping[str, object]
    scene: Scene
    drawn: bool = False

    @property
    def asked(self) -> str:
        """The options in short."""
        return " ".join(f"{key}={value}" for key, value in self.options.items()) or "plain"

    @property
    def plain(self) -> "Asked":
        """The same logbook where nothing else is asked."""
        return replace(self, options={}, scene=Scene(self.book))

    def rows(self, table: str, options: Mapping[str, object]) -> list[dict[str, Any]]:
        """A table's rows; none where it cannot answer what is asked."""
        try:
            return reading.rows(self.folder, table, options)
        except QuestionError:
            return []

    def faults(self, items: set[str], where: str, told: str) -> Iterator[Fault]:
        """What of a set to be left is held back, and what the set breaks."""
        stays = held(self.scene)
        place = f"{where} [{self.asked}]"
        for item in sorted(items & stays.keys()):
            for reason in stays[item]:
                yield Fault(reason.rule, item, place, told, reason.why)
        for item, why in torn(self.scene, items):
            if item not in stays:
                yield Fault("set", item, place, told, why)


def trial(book: Book, folder: Path, drawn: bool = False) -> list[Fault]:
    """Everything that is wrong with the advice of a logbook, which is written and loaded there.

    drawn: whether the marks of pictures are read, too.
    """
    book.write(folder)
    load_logbook(folder)
    with reading.asking_of(folder):
        found: list[Fault] = []
        for question in book.asked:
            options = question.options
            coming = tuple(filter(None, str(options.get("coming", "")).split(",")))
            usual = {plan: reading.usual_lows(folder, plan) for plan in coming}
            scene = Scene(book, str(options.get("mode", "")), coming, usual)
            asked = Asked(folder, book, options, scene, drawn)
            for name, read in READERS.items():
                if name in question.read:
                    found += read(asked)
    return found


def verdicts(asked: Asked) -> Iterator[Fault]:
    """Table usage: nothing that stays has the verdict "leave", nor is it said to come to that."""
    scope = {key: value for key, value in asked.options.items() if key in SCOPE}
    rows = asked.rows("usage", scope)
    left = {row["item"] for row in rows if row["verdict"] == "leave"}
    yield from asked.faults(left, "usage", "verdict leave")
    stays = held(asked.scene)
    for row in rows:
        for reason in stays.get(row["item"], ()):
            if reason.rule in ALWAYS_HELD and advice_reading.comes_to_it(row["reversal"] or ""):
                yield Fault(
                    reason.rule, row["item"], f"usage [{asked.asked}]", row["reversal"], reason.why
                )


def frontier(asked: Asked) -> Iterator[Fault]:
    """Table cull_frontier: none of its points."""
    for point in asked.rows("cull_frontier", asked.options):
        items = {each.strip() for each in point["items"].split(";") if each.strip()}
        yield from asked.faults(items, "cull_frontier", f"{point['saved_g']:g} g")


def most(asked: Asked) -> Iterator[Fault]:
    """Table cull, where as much is asked for as the frontier has."""
    points = asked.rows("cull_frontier", asked.options)
    save_g = max((point["saved_g"] for point in points), default=0.0)
    if save_g:
        yield from _answer(asked, save_g)


def answer(asked: Asked) -> Iterator[Fault]:
    """Table cull, where no amount is asked for."""
    yield from _answer(asked, 0.0)


def _answer(asked: Asked, save_g: float) -> Iterator[Fault]:
    options = {key: value for key, value in asked.options.items() if key != "target_g"}
    options |= {"save_g": save_g} if save_g else {}
    left = {row["item"] for row in asked.rows("cull", options)}
    yield from asked.faults(left, "cull", f"save {save_g:.0f} g")


def season_page(asked: Asked) -> Iterator[Fault]:
    """The page on what to leave, and what it tells the index."""
    try:
        page = reading.page(asked.folder, "season_cull", asked.options, drawn=asked.drawn)
    except QuestionError:
        return
    yield from _named(asked, page)
    yield from worded(page.words, f"season_cull [{asked.asked}]")
    told = index.finding(
        Report("season_cull", asked.folder, asked.folder, (), page.title, page.findings)
    )
    yield from _codes(asked, told, "index")


def _items(book: Book) -> dict[str, str]:
    return {row["name"].split()[-1]: row["item"] for row in book.rows("gear")}


def _named(asked: Asked, page: reading.Page) -> Iterator[Fault]:
    stays, items = held(asked.scene), _items(asked.book)
    for mention in advice_reading.mentions(page):
        item = items[mention.code]
        for reason in stays.get(item, ()):
            if mention.how == "leave" or (mention.how == "count" and reason.rule in ALWAYS_HELD):
                told = f"{mention.piece.place}: {mention.piece.words[:160]}"
                yield Fault(reason.rule, item, f"{page.name} [{asked.asked}]", told, reason.why)


def _codes(asked: Asked, told: str, where: str) -> Iterator[Fault]:
    stays, items = held(asked.scene), _items(asked.book)
    for code in advice_reading.codes_left(told):
        for reason in stays.get(items.get(code, ""), ()):
            yield Fault(reason.rule, items[code], f"{where} [{asked.asked}]", told, reason.why)


def worded(told: str, where: str) -> Iterator[Fault]:
    """The price of leaving in any words but those of `words.wanted`."""
    for phrase in WORDED_ELSE:
        if phrase in told.lower():
            line = next(line for line in told.splitlines() if phrase in line.lower())
            yield Fault("price", phrase, where, line[:200])
    for said in advice_reading.prices(told):
        if said not in _PRICES:
            yield Fault("price", said, where, "not among the wordings of words.wanted")


def _wordings() -> frozenset[str]:
    expected = [n / 1000 for n in range(1000)] + [n / 200 for n in range(200, 20_000)]
    expected += [1 / n for n in range(1, 1001)] + [10.0**-n for n in range(3, 9)]
    return frozenset(words.wanted(e, n).replace("\u202f", " ") for e in expected for n in (1, 2))


_PRICES = _wordings()


def swaps(asked: Asked) -> Iterator[Fault]:
    """Table next_swap: nothing that stays is to be left for a trial."""
    plain = asked.plain
    for row in plain.rows("next_swap", {}):
        if row["action"] == "leave":
            yield from plain.faults({row["item"]}, "next_swap", f"rank {row['rank']}")


def comfort_page(asked: Asked) -> Iterator[Fault]:
    """The page on comfort: whatever it says of leaving."""
    page = reading.page(asked.folder, "comfort_value", drawn=asked.drawn)
    for piece in page.pieces:
        yield from _codes(asked.plain, piece.words, "comfort_value")
    yield from worded(page.words, "comfort_value")


def buying(asked: Asked) -> Iterator[Fault]:
    """Table buying_case: what is offered as free in place of a purchase."""
    plain = asked.plain
    for row in plain.rows("buying_case", {}):
        for column, value in row.items():
            if isinstance(value, str):
                place = f"buying_case {row['candidate']}.{column}"
                yield from _codes(plain, value, place)
                yield from worded(value, place)


READERS: Mapping[str, Callable[[Asked], Iterator[Fault]]] = {
    "usage": verdicts,
    "cull": answer,
    "cull_frontier": frontier,
    "most": most,
    "season_cull": season_page,
    "next_swap": swaps,
    "buying_case": buying,
    "comfort_value": comfort_page,
}


def faults_of(book: Book, drawn: bool = False) -> list[Fault]:
    """What is wrong with a book, tried in a folder of its own."""
    with tempfile.TemporaryDirectory() as scratch:
        return trial(book, Path(scratch) / "book", drawn)
