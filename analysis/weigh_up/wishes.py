"""What is asked for besides the list: names left out, added, or carried another way."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from ...tripdata.contract import SYSTEMS
from ...tripdata.errors import QuestionError
from ...tripdata.names import folded, nearest, normalised, shown, slug
from ..store.rows import Record
from ..store.typed import read_names, ways_of_carrying, where_named
from .results import LoadRow

_EXPECTED = "expected an item, kit, system or bag of this logbook, "
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
        raise QuestionError(f"{option}: {_EXPECTED}got {shown(text)}; {self._advice(text)}")

    def _advice(self, text: str) -> str:
        """The nearest name, of the kind that was typed, or where names are listed."""
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
            near = nearest(text, [each for names in of_kind.values() for each in names])
        elif near := nearest(name.strip(), known):
            near = f"{normalised(kind)}:{near}"
        return f"did you mean {shown(near)}?" if near else "`tarebook table weigh_up` lists them"

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
