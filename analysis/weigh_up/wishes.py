"""What is asked for besides the list: names left out, added, or carried another way."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from difflib import SequenceMatcher
from functools import partial

from ...tripdata.contract import SYSTEMS
from ...tripdata.errors import QuestionError
from ...tripdata.names import folded, nearest, normalised, shown, slug
from ..display.words import listing
from ..store.rows import Record
from ..store.typed import read_names, ways_of_carrying, where_named
from ..usage.guard_words import keeps_afloat
from .results import LoadRow

_EXPECTED = "expected an item, kit, system or bag of this logbook, "
_NEARLY = 0.8
"""So alike, a name that means nothing is a slip of the pen (1 is the same)."""
_ITEM, _GROUP = 2, 1
"""How closely a wish names a row: by its item, or by its kit, system or bag."""
KINDS = ("item", "kit", "system", "bag")
"""What may stand before a name and a colon, to say which of those that are called so is meant."""


@dataclass(frozen=True, slots=True)
class Named:
    """What one name means: items, else the kits, systems and bags that are called so.

    ``kit``, ``bag`` are folded. ``plain``: it was typed without saying which of them it is.
    """

    text: str
    items: frozenset[str] = frozenset()
    kit: str = ""
    bag: str = ""
    system: str = ""
    plain: bool = True

    def closeness(self, row: LoadRow) -> int:
        """How closely it names a row; 0 where it does not."""
        if self.items:
            return _ITEM if row.item in self.items else 0
        return _GROUP if self.kinds_of(row) else 0

    def kinds_of(self, row: LoadRow) -> tuple[str, ...]:
        """As which of kit, system and bag it names a row."""
        of_row = {
            "kit": row.kit is not None and self.kit == folded(row.kit) != "",
            "system": self.system == row.system != "",
            "bag": row.bag is not None and self.bag == folded(row.bag) != "",
        }
        return tuple(kind for kind, is_so in of_row.items() if is_so)


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
        """How a row is carried: the closest name says so, of several alike the last.

        What is `worn_afloat` follows its own name alone.
        """
        ways = [
            (closeness, place)
            for place, (named, _) in enumerate(self.ways)
            if (closeness := named.closeness(row)) == _ITEM or not worn_afloat(row)
        ]
        closeness, place = max(ways, default=(0, 0))
        return self.ways[place][1] if closeness else row.carried_as

    def passed_by(self, row: LoadRow) -> bool:
        """Whether it stays as it is though its kit, system or bag is carried otherwise."""
        closest = _closest((named for named, _ in self.ways), row)
        return worn_afloat(row) and closest == _GROUP


def worn_afloat(row: LoadRow) -> bool:
    """Whether it is filed with the boat and keeps its wearer afloat: worn, it is no load."""
    return row.system == "boat" and keeps_afloat(row.item, row.name)


def _closest(names: Iterable[Named], row: LoadRow) -> int:
    return max((named.closeness(row) for named in names), default=0)


@dataclass(slots=True)
class Vocabulary:
    """Every name that a wish may use: of things, kits, bags and systems."""

    gear: Sequence[Record]
    bags: Sequence[str]
    _items: dict[str, frozenset[str]] = field(init=False)
    _titles: dict[str, frozenset[str]] = field(init=False)
    _folded: dict[str, set[str]] = field(init=False)

    def __post_init__(self) -> None:
        self._items = {folded(row["item"]): frozenset({row["item"]}) for row in self.gear}
        titles: dict[str, set[str]] = {}
        for row in self.gear:
            titles.setdefault(folded(row["name"]), set()).add(row["item"])
        self._titles = {title: frozenset(items) for title, items in titles.items()}
        self._folded = {"kit": set(map(folded, self._kits())), "bag": set(map(folded, self.bags))}

    def _kits(self) -> list[str]:
        return [row["kit"] for row in self.gear if row["kit"]]

    def _items_called(self, text: str) -> frozenset[str]:
        found = self._items.get(folded(slug(text))) or self._titles.get(folded(text))
        return found or frozenset()

    def groups_called(self, text: str) -> Named:
        """The kits, bags and systems that are called so, whatever things are."""
        kit, bag = (folded(text) if folded(text) in self._folded[k] else "" for k in ("kit", "bag"))
        system = normalised(text) if normalised(text) in SYSTEMS else ""
        return Named(text, kit=kit, bag=bag, system=system)

    def _meaning(self, text: str) -> Named | None:
        if items := self._items_called(text):
            return Named(text, items)
        groups = self.groups_called(text)
        if groups.kit or groups.bag or groups.system:
            return groups
        kind, colon, name = text.partition(":")
        return self._of_kind(normalised(kind), name.strip(), text) if colon else None

    def _of_kind(self, kind: str, name: str, text: str) -> Named | None:
        if kind == "item":
            items = self._items_called(name)
            return Named(text, items, plain=False) if items else None
        if kind not in KINDS or not (meant := getattr(self.groups_called(name), kind)):
            return None
        return replace(Named(text, plain=False), **{kind: meant})

    def named(self, option: str, texts: Sequence[str]) -> list[Named]:
        """What names mean; nothing, of some of those left out (`_is_told`).

        Raises QuestionError, of all that mean nothing at once, each with the nearest name.
        """
        meanings = [(text, self._meaning(text)) for text in texts]
        told = partial(self._is_told, option)
        if unknown := [text for text, meant in meanings if meant is None and not told(text)]:
            for text in unknown:
                self._check_separated(option, text)
            near = any(map(self._near, unknown))
            lists = "" if near else "; `tarebook table weigh_up` lists them"
            raise QuestionError(f"{option}: {_EXPECTED}got {self._told(unknown)}{lists}")
        return [meant or Named(text) for text, meant in meanings]

    def _is_told(self, option: str, text: str) -> bool:
        """Whether a name that means nothing is told beside an answer on all else, not refused.

        Where no thing has a kit yet nothing can be called “bike tools”; a slip of the pen, of a
        name that is nearly one of the logbook's, is refused as anywhere.
        """
        if option != "without" or self._folded["kit"] or {",", ":"}.intersection(text):
            return False
        near = self._nearest(text)
        alike = SequenceMatcher(None, folded(slug(text)), folded(slug(near))).ratio()
        return not near or alike < _NEARLY

    def _nearest(self, text: str) -> str:
        things = [name for row in self.gear for name in (row["item"], row["name"])]
        return nearest(text, [*things, *self._kits(), *SYSTEMS, *self.bags])

    def _check_separated(self, option: str, text: str) -> None:
        """Raise QuestionError where a text is several names with commas between them."""
        parts = [part for each in text.split(",") if (part := " ".join(each.split()))]
        if len(parts) > 1 and any(map(self._meaning, parts)):
            unknown = [part for part in parts if self._meaning(part) is None]
            told = f"; did you mean {shown('; '.join(parts))}?"
            if unknown:
                told = f"; nothing is called {self._told(unknown)}"
            raise QuestionError(f'{option}: separate names by ";", got {shown(text)}{told}')

    def _told(self, unknown: Sequence[str]) -> str:
        """Names that mean nothing, each with the one that may be meant."""
        if len(unknown) == 1:
            near = self._near(unknown[0])
            return f"{shown(unknown[0])}{near and '; '}{near}"
        told = ((shown(text), self._near(text)) for text in unknown)
        return listing([f"{text} ({near})" if near else text for text, near in told])

    def _near(self, text: str) -> str:
        """What to ask of the nearest name, of the kind that was typed; blank where none is near."""
        things = [name for row in self.gear for name in (row["item"], row["name"])]
        of_kind: dict[str, Sequence[str]] = {
            "item": things,
            "kit": self._kits(),
            "system": SYSTEMS,
            "bag": self.bags,
        }
        kind, colon, name = text.partition(":")
        known = of_kind.get(normalised(kind)) if colon else None
        if known is None:
            near = self._nearest(text)
        elif near := nearest(name.strip(), known):
            near = f"{normalised(kind)}:{near}"
        return f"did you mean {shown(near)}?" if near else ""

    def wishes(self, without: str, added: str, as_carried: str) -> WeighWishes:
        """The wishes that a person typed. Raises QuestionError, of all that are unknown at once."""
        pairs = where_named("as_carried", as_carried, ways_of_carrying) or ()
        asked = {"without": read_names(without), "with_": read_names(added)}
        meant, faults = {}, []
        for option, texts in {**asked, "as_carried": [name for name, _ in pairs]}.items():
            try:
                meant[option] = tuple(self.named(option, texts))
            except QuestionError as error:
                faults.append(str(error))
        if faults:
            first, *more = faults
            raise QuestionError("; ".join([first, *(each.replace(_EXPECTED, "") for each in more)]))
        ways = zip(meant["as_carried"], (way for _, way in pairs), strict=True)
        return WeighWishes(meant["without"], meant["with_"], tuple(ways))
