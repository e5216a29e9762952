"""What is asked for besides the list: names left out, added, or carried another way."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from ...tripdata.contract import SYSTEMS
from ...tripdata.errors import QuestionError
from ...tripdata.names import folded, guess, normalised, shown, slug
from ..store.rows import Record
from ..store.typed import read_names, ways_of_carrying, where_named
from .results import LoadRow

_EXPECTED = "expected an item, kit, system or bag of this logbook, "
_ITEM, _GROUP = 2, 1
"""How closely a wish names a row: by its item, or by its kit, system or bag."""


@dataclass(frozen=True, slots=True)
class Named:
    """What one name means: items, else the kits, systems and bags that are called so."""

    text: str
    items: frozenset[str] = frozenset()
    group: str = ""
    system: str = ""

    def closeness(self, row: LoadRow) -> int:
        """How closely it names a row; 0 where it does not."""
        if self.items:
            return _ITEM if row.item in self.items else 0
        groups = (folded(each) for each in (row.kit, row.bag) if each)
        return _GROUP if self.group in groups or self.system == row.system else 0


@dataclass(frozen=True, slots=True)
class WeighWishes:
    """Names to leave out, to add, and to carry another way, in the order in which they came."""

    without: tuple[Named, ...] = ()
    added: tuple[Named, ...] = ()
    ways: tuple[tuple[Named, str], ...] = ()

    def wanted(self, row: LoadRow) -> int:
        """How closely a row is asked for."""
        return _closest(self.added, row)

    def left_out(self, row: LoadRow) -> bool:
        """Whether a row is named among what is left out, though it may be asked for, too."""
        return _closest(self.without, row) > 0

    def unwanted(self, row: LoadRow) -> bool:
        """Whether a row is left out: the closer name counts, of two alike the one that adds."""
        return _closest(self.without, row) > self.wanted(row)

    def way(self, row: LoadRow) -> str:
        """How a row is carried: the closest name says so, of several alike the last."""
        ways = [(named.closeness(row), place) for place, (named, _) in enumerate(self.ways)]
        closeness, place = max(ways, default=(0, 0))
        return self.ways[place][1] if closeness else row.carried_as


def _closest(names: Iterable[Named], row: LoadRow) -> int:
    return max((named.closeness(row) for named in names), default=0)


@dataclass(slots=True)
class Vocabulary:
    """Every name that a wish may use: of things, kits, bags and systems."""

    gear: Sequence[Record]
    bags: Sequence[str]
    _items: dict[str, frozenset[str]] = field(init=False)
    _titles: dict[str, frozenset[str]] = field(init=False)
    _groups: set[str] = field(init=False)

    def __post_init__(self) -> None:
        self._items = {folded(row["item"]): frozenset({row["item"]}) for row in self.gear}
        titles: dict[str, set[str]] = {}
        for row in self.gear:
            titles.setdefault(folded(row["name"]), set()).add(row["item"])
        self._titles = {title: frozenset(items) for title, items in titles.items()}
        self._groups = {folded(each) for each in (*self.bags, *self._kits())}

    def _kits(self) -> list[str]:
        return [row["kit"] for row in self.gear if row["kit"]]

    def _meaning(self, text: str) -> Named | None:
        items = self._items.get(folded(slug(text))) or self._titles.get(folded(text))
        if items:
            return Named(text, items)
        group = folded(text) if folded(text) in self._groups else ""
        system = normalised(text) if normalised(text) in SYSTEMS else ""
        return Named(text, frozenset(), group, system) if group or system else None

    def named(self, option: str, text: str) -> Named:
        """What a name means. Raises QuestionError with the nearest name where it means nothing."""
        if meant := self._meaning(text):
            return meant
        parts = [part for each in text.split(",") if (part := " ".join(each.split()))]
        if len(parts) > 1 and all(map(self._meaning, parts)):
            raise QuestionError(
                f'{option}: separate names by ";", got {shown(text)}; did you mean '
                f"{shown('; '.join(parts))}?"
            )
        things = [name for row in self.gear for name in (row["item"], row["name"])]
        known = [*things, *self._kits(), *self.bags, *SYSTEMS]
        advice = guess(text, known, "`tarebook table weigh_up` lists them")
        raise QuestionError(f"{option}: {_EXPECTED}got {shown(text)}; {advice}")

    def wishes(self, without: str, added: str, as_carried: str) -> WeighWishes:
        """The wishes that a person typed. Raises QuestionError, of all that are unknown at once."""
        pairs = where_named("as_carried", as_carried, ways_of_carrying) or ()
        asked = [("without", name) for name in read_names(without)]
        asked += [("with_", name) for name in read_names(added)]
        asked += [("as_carried", name) for name, _ in pairs]
        meant, unknown = [], []
        for option, name in asked:
            try:
                meant.append(self.named(option, name))
            except QuestionError as error:
                unknown.append(str(error))
        if unknown:
            first, *more = unknown
            raise QuestionError("; ".join([first, *(each.replace(_EXPECTED, "") for each in more)]))
        outs, ins = len(read_names(without)), len(read_names(added))
        ways = zip(meant[outs + ins :], (way for _, way in pairs), strict=True)
        return WeighWishes(tuple(meant[:outs]), tuple(meant[outs : outs + ins]), tuple(ways))
