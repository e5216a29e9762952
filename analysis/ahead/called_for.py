"""What keeps warm or dry, is meant for weather that the trip likely brings, and is not along."""

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from ..cold.camps import camps_off
from ..store.rows import Record, Store
from ..usage.conditions import Meaning
from ..usage.guard_words import may_protect
from .asked import ListAsked
from .results import TripAhead
from .warm_things import names_of, warmth
from .weather import ConditionAhead, condition_chances, parts_of

LIKELIER_THAN_NOT = 0.5
"""Beyond such a chance of its weather a thing that keeps warm or dry is to come along."""
_WARM_OR_DRY = re.compile(r"cold|frost|ice|icy|snow|sleet|hail|wet|rain|storm|gale|wind")
"""Words of weather against which one keeps warm or dry (common practice, no published source)."""
_WORN_SYSTEMS = ("clothing", "rain")
_BY_NIGHT_ANYHOW = ("shelter", "sleep")
"""What of these is missing is told by night and by limit, whatever the weather."""
_COVERS = (
    ("hands", r"glove|mitt"),
    ("socks", r"\bsocks?\b"),
    ("shins", r"gaiter"),
    ("feet", r"boot|shoe|slipper"),
    ("neck", r"scarf|\bbuff\b|\bneck"),
    ("head", r"\bhat\b|\bcap\b|beanie|balaclava|\bhood\b|head.?band"),
    ("legs", r"trouser|\bpants\b|\blegs\b|leggings|tights|long.?john|\bchaps|skirt|\bkilt"),
    ("skin", r"base.?layer|thermal|under.?shirt|merino|\btop\b|\bshirt\b|\btee\b"),
    ("upper", r"jacket|parka|anorak|\bvest\b|gilet|fleece|sweater|pullover|jumper|poncho|\bcape\b"),
    ("upper", r"\bcoat\b|insulat|\bdown\b|puff|padded|umbrella|\bshell\b"),
)
"""What of the body a thing covers, by words of its names (common practice, no published source)."""
_WARM_BY_NAME = {"hands": 1, "neck": 1, "head": 1, "feet": 1, "upper": 2}
"""As warm by its names (`warmth`) must something be to stand in, if not said to be for cold."""


@dataclass(frozen=True, slots=True)
class CalledFor:
    """A thing that the weather calls for: the condition, the likeliest of those that it is for.

    ``others``: what else is owned that would do its work.
    """

    item: str
    by: ConditionAhead
    others: tuple[str, ...] = ()

    @property
    def kind(self) -> str:
        """Of what `LIFELINES` has: "warm" or "dry"."""
        return "warm" if self.by.condition == "cold" else "dry"


def called_for(
    store: Store, ahead: TripAhead, asked: ListAsked, covering: Iterable[str], gone: Collection[str]
) -> dict[str, CalledFor]:
    """By item what keeps warm or dry, is likelier than not to be needed, and is not covered.

    Of one's own at hand, not listed and not ``gone``: what is meant for a condition whose chance is
    over a half. It is covered where something ``covering`` (on the list and staying on it, or named
    as missing anyway) does the same work (`_does_work`). Of several at home that would do each
    other's the likeliest on like trips is named, then the heaviest.
    """
    gear, covering = asked.gear, sorted(covering)
    owned = {
        item: Meaning.of(gear[item]["meant_for"], gear[item]["cold_below_c"])
        for item in sorted(asked.known.at_hand - asked.listed - set(gone))
        if gear[item]["owner"] is None
        and gear[item]["carried_as"] != "vehicle"
        and _keeps_warm_or_dry(gear[item])
        and not asked.related(item, covering)
    }
    parts = {
        part
        for meaning in owned.values()
        for part in parts_of(meaning)
        if _WARM_OR_DRY.search(part[0])
    }
    if not parts:
        return {}
    chances = condition_chances(store, ahead, parts, camps_off(store, ahead.trip.start_on))
    likely = {part: one for part, one in chances.items() if (one.chance or 0.0) > LIKELIER_THAN_NOT}
    open_: dict[str, ConditionAhead] = {}
    for item, meaning in owned.items():
        bare = [
            likely[part]
            for part in parts_of(meaning)
            if part in likely
            and not any(_does_work(gear, item, other, part[0]) for other in covering)
        ]
        if bare:
            open_[item] = max(bare, key=lambda one: one.chance or 0.0)
    named: dict[str, CalledFor] = {}
    for item in sorted(open_, key=lambda i: _first(asked, i)):
        word = open_[item].condition
        if not any(_does_work(gear, item, other, word) for other in named):
            others = (i for i in open_ if i != item and _does_work(gear, item, i, word))
            named[item] = CalledFor(item, open_[item], tuple(sorted(others)))
    return named


def left_with_cover(asked: ListAsked) -> frozenset[str]:
    """What the cull lets go for the trip while something of its system for such weather stays.

    Of what is meant for no weather it is all.
    """
    gear, home = asked.gear, asked.home.items
    staying = asked.listed & asked.known.at_hand - home

    def is_covered(item: str) -> bool:
        words = _words_of(gear[item])
        if not words or not _keeps_warm_or_dry(gear[item]):
            return True
        return all(
            any(_is_for(gear[other], gear[item]["system"], word) for other in staying)
            for word in words
        )

    return frozenset(item for item in home if is_covered(item))


def _first(asked: ListAsked, item: str) -> tuple[float, int, str]:
    return -asked.known.of[item].chance, -(asked.gear[item]["weight_mg"] or 0), item


def _words_of(row: Record) -> frozenset[str]:
    words = Meaning.of(row["meant_for"], row["cold_below_c"]).words
    return frozenset(word for word in words if _WARM_OR_DRY.search(word))


def _keeps_warm_or_dry(row: Record) -> bool:
    """Whether it does so to a person by its system or its names, and not by night alone."""
    if row["system"] in _BY_NIGHT_ANYHOW or row["carried_as"] == "consumable":
        return False
    return row["system"] in _WORN_SYSTEMS or may_protect(row["item"], row["name"])


def cover_of(row: Record) -> str | None:
    """What of the body it covers, as far as its names tell; None where they do not."""
    names = names_of(row)
    return next((cover for cover, words in _COVERS if re.search(words, names)), None)


def _is_for(row: Record, system: str, word: str) -> bool:
    """Whether it is of the system and for such weather; rain gear for any weather is for all."""
    words = Meaning.of(row["meant_for"], row["cold_below_c"]).words
    return row["system"] == system and (word in words or (system == "rain" and not words))


def _does_work(gear: Mapping[str, Record], item: str, other: str, word: str) -> bool:
    """Whether another thing does its work in such weather: it covers the same, and is for it.

    What covers nobody knows what does no other's work. Of cold also what is as warm by its names,
    if nothing says what it is for.
    """
    mine, its = gear[item], gear[other]
    cover = cover_of(mine)
    if item == other or cover is None or cover_of(its) != cover:
        return False
    if _is_for(its, mine["system"], word) or _is_for(its, "rain", word):
        return True
    words = Meaning.of(its["meant_for"], its["cold_below_c"]).words
    if word in words:
        return True
    enough = _WARM_BY_NAME.get(cover)
    return word == "cold" and not words and enough is not None and warmth(its) >= enough
