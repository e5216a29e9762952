"""Every column of the small tables of a debrief, as `glossary` has those of the analysis tables."""

from dataclasses import dataclass, replace

from ..catalogue.terms import ColumnKind, Term, columns_of


@dataclass(frozen=True, slots=True)
class Frame:
    """A small table of a report: what one row stands for, and its columns in order."""

    name: str
    grain: str
    terms: tuple[Term, ...]

    @property
    def columns(self) -> tuple[str, ...]:
        """The names of the columns, in order."""
        return tuple(t.name for t in self.terms)


def _text(name: str, meaning: str, nullable: bool = False) -> Term:
    return Term(name, "text", "", meaning, nullable)


def _term(name: str, kind: ColumnKind, unit: str, meaning: str, nullable: bool = True) -> Term:
    return Term(name, kind, unit, meaning, nullable)


def _of(table: str, *names: str) -> tuple[Term, ...]:
    return tuple(t for n in names for t in columns_of("catalogue")[table] if t.name == n)


_ITEM = _of("items", "item", "name", "system")
_KINDS = _of("trips", "base_g", "worn_g", "consumable_g", "vehicle_g")
_COUNT = _term("items", "whole", "", "different items", False)
_START_G = _term(
    "weight_g",
    "number",
    "g",
    "what its rows on me at the start weigh; missing where none is "
    "weighed, or none was on me at the start",
)
_DAY = _term("day", "date", "", "the day", False)
_NOTE = _text("note", "what was noted", True)
_SEVERITY = _text("severity", "nuisance, impaired, lost_use or unsafe")

BY_SYSTEM = Frame(
    "by_system",
    "system of which anything came along, heaviest first",
    (
        *_of("trip_systems", "system"),
        *_KINDS,
        _COUNT,
    ),
)
BY_BAG = Frame(
    "by_bag",
    "bag in which anything on me travelled at the start, heaviest first",
    (
        _text("bag", "the bag or place; missing for what has none", True),
        *_KINDS,
        _COUNT,
    ),
)
ALONG = Frame(
    "along",
    "item that came along, heaviest first",
    (
        *_ITEM,
        _term("pieces", "whole", "", "pieces that came along", False),
        _START_G,
        _term("insurance", "flag", "", "carried in the hope of not needing it", False),
        _term("used", "flag", "", "whether it was used; missing where not known"),
        _term("times", "whole", "", "times it was used; missing where not known"),
    ),
)
NEVER_OUT = Frame(
    "never_out",
    "item that came along and is known not to have been used",
    (
        *_ITEM,
        _term("pieces", "whole", "", "pieces that came along", False),
        _START_G,
        _term("on_me", "flag", "", "weighed on me at the start", False),
    ),
)
INSURANCE = Frame(
    "insurance",
    "item carried in the hope of not needing it",
    (
        *_ITEM,
        _term("pieces", "whole", "", "pieces that came along", False),
        _START_G,
        _term("used", "flag", "", "whether it was used; missing where not known"),
        _term("checked_on", "date", "", "day it was last looked over; missing where never"),
    ),
)
BROUGHT_HOME = Frame(
    "brought_home",
    "consumable of which it is noted what was left",
    (
        *_ITEM[:2],
        _term(
            "start_g", "number", "g", "weight of all pieces at the start; missing where not weighed"
        ),
        _term("brought_home_g", "number", "g", "what was left of all pieces", False),
        _term("share", "number", "", "what was left of what was taken; missing where not weighed"),
    ),
)
NIGHTS = Frame("nights", "night of the trip", (
    *columns_of("catalogue")["nights"][1:],
    _term("rated_low_c", "number", "°C", "rating of the sleep gear that was there, the lowest on "
          "one scale"),
    _text("rated_as", "whose figure that is: comfort, limit or maker", True),
    _text("rated_item", "the item so rated", True),
    _text("rated_name", "its name", True),
    _term("limit_c", "number", "°C", "own limit in that sleep gear, at which one night in five is "
          "too cold; without judged nights in it the rating brought to the limit scale"),
    _text("limit_basis", "own or rated: which of them that is", True),
    _term("limit_nights", "whole", "", "judged nights behind it; 0 where it is a rating"),
    _term("too_cold_share", "number", "", "how many of such nights are too cold, of 1, by the own "
          "limit"),
))  # fmt: skip
TRACE = Frame(
    "trace",
    "thermometer reading within a day of the trip",
    (
        _term("read_at", "moment", "", "local time", False),
        _term("temperature_c", "number", "°C", "air temperature", False),
        _text("spot", "camp, shelter or trail"),
    ),
)
MOVES = Frame(
    "moves",
    "day and mode with a distance",
    (
        _DAY,
        _text("mode", "foot, bike, ebike, paddle or mixed", True),
        _term("distance_km", "number", "km", "distance", False),
        _term("ascent_m", "number", "m", "ascent"),
        _term("hours", "number", "h", "time on the move"),
        _term("battery_wh", "number", "Wh", "battery energy used"),
    ),
)
COMFORT = Frame(
    "comfort",
    "day and aspect that was scored",
    (
        _DAY,
        _text("aspect", "sleep, camp, moving or fun"),
        _term("score", "whole", "", "1 to 5, 5 best", False),
        replace(_of("nights", "warmth")[0], meaning="how warm it felt, -3 cold to +3 hot"),
        _NOTE,
    ),
)
FAILURES = Frame(
    "failures",
    "failure",
    (
        *_ITEM,
        _term("day", "date", "", "the day; missing where it is not noted"),
        _SEVERITY,
        _text("what", "what happened", True),
        _text("fixed_with", "how it was fixed", True),
        _term("fixed_on", "date", "", "day it was fixed; missing where it is not"),
    ),
)
WISHED = Frame(
    "wished",
    "thing that was missed, badly missed ones first",
    (
        _text("wished", "name of the item left at home, or what it was"),
        _text("item", "short name of the item; missing where it is not owned", True),
        _text("system", "what it is for", True),
        _text("how_much", "little, much or badly", True),
        _NOTE,
    ),
)
CHANGE_PARTS = Frame(
    "parts",
    "item and cause of a change in base weight, the largest first",
    (
        *_ITEM,
        _text("cause", "added, left, swapped, carried_otherwise, quantity or reweighed"),
        _term("swap", "whole", "", "number of the exchange it belongs to, for what was swapped"),
        _term("pieces_before", "whole", "", "weighed pieces carried as base before", False),
        _term("pieces_after", "whole", "", "weighed pieces carried as base now", False),
        _term("before_g", "number", "g", "what they weighed before", False),
        _term("after_g", "number", "g", "what they weigh now", False),
        _term("delta_g", "number", "g", "this part of the change", False),
        _term("delta_mg", "whole", "mg", "the same in whole milligrams", False),
    ),
)
CHANGE_CAUSES = Frame(
    "causes",
    "cause of a change in base weight",
    (
        CHANGE_PARTS.terms[3],
        _term("delta_g", "number", "g", "what the cause comes to", False),
        _term("delta_mg", "whole", "mg", "the same in whole milligrams", False),
        _COUNT,
    ),
)
EVIDENCE = Frame(
    "evidence",
    "kind of evidence that the trip could have",
    (
        _text("kind", "what could be logged"),
        _term("logged", "whole", "", "days, nights or items for which it is", False),
        _term("expected", "whole", "", "days, nights or items for which it could be", False),
    ),
)

FRAMES = {
    f.name: f
    for f in (
        BY_SYSTEM,
        BY_BAG,
        ALONG,
        NEVER_OUT,
        INSURANCE,
        BROUGHT_HOME,
        NIGHTS,
        TRACE,
        MOVES,
        COMFORT,
        FAILURES,
        WISHED,
        CHANGE_PARTS,
        CHANGE_CAUSES,
        EVIDENCE,
    )
}
