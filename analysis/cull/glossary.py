"""Every column of the tables of usage and culling, as `glossary` has those of the others."""

from ..catalogue import terms as glossary
from ..catalogue.terms import Kind, Output, Term


def _term(name: str, kind: Kind, unit: str, meaning: str, nullable: bool = False) -> Term:
    return Term(name, kind, unit, meaning, nullable)


def _of(output: Output, *names: str) -> tuple[Term, ...]:
    return tuple(t for n in names for t in output.terms if t.name == n)


_COST = _term(
    "cost",
    "number",
    "points",
    "how bad it is to miss it once: 1 an annoyance, 3 a spoilt night, 10 danger",
)
_SHARE = "share of its occasions"

USAGE = Output("usage", "", "item that came along on the trips looked back on, or was missed on "
               "one of them", (
    *_of(glossary.ITEMS, "item", "name", "system", "weight_g", "insurance"),
    _term("essential", "flag", "", "never left at home on the numbers alone"),
    _term("trips_carried", "whole", "", "trips it came along on, whoever carried it"),
    _term("chances", "whole", "", "occasions to be used: of those of which its use is known, the "
          "trips that brought what it is meant for while it was along, and those on which it was "
          "missed at home"),
    _term("trips_used", "whole", "", "occasions on which it was used or missed"),
    _term("not_known", "whole", "", "trips carried on which its use or its occasion is not known"),
    _term("use_rate", "number", _SHARE, "how often it is used when it can be, pooled within its "
          "system; missing where it had no occasion", True),
    _term("use_rate_low", "number", _SHARE, "lower end of the 90 % interval; 0 where never used",
          True),
    _term("use_rate_high", "number", _SHARE, "upper end of the 90 % interval", True),
    _term("bare_bound", "number", _SHARE, "the highest rate that so many occasions without a use "
          "leave credible by themselves, one-sided 95 %; missing where it was used", True),
    _term("p_used_next", "number", "probability", "chance that it is used on the next trip; "
          "missing where it had no occasion", True),
    _COST,
    *_of(glossary.ITEMS, "hauled_kg_km"),
    _term("kg_km_per_use", "number", "kg km", "hauled for each time it was used, on trips whose "
          "use of it is known; missing where it was not used", True),
    *_of(glossary.ITEMS, "last_used_on"),
    _term("verdict", "text", "", "keep, leave, kept_on_purpose, no_chance_yet, too_few_trips or "
          "owner_to_say (say what it is for); missing for what is given up", True),
    _term("reason", "text", "", "why, in one sentence"),
    _term("reversal", "text", "", "what would reverse it; missing for what is given up", True),
    _term("no_chance", "whole", "", "trips of which its use is known and which are known to have "
          "brought nothing that it is meant for"),
    _term("missed", "whole", "", "trips on which it stayed at home and was missed"),
    _term("used_besides", "whole", "", "trips on which it was used and which are not known to have "
          "brought what it is meant for"),
    _term("held_back", "text", "", "why nothing may advise against it, whatever the counts say; "
          "missing where it may be advised against on its record", True),
    _term("times_used", "whole", "", "times it was used on the trips of which its use is known"),
), 1)  # fmt: skip

CULL = Output("cull", "", "item to leave at home", (
    *USAGE.terms[:2],
    _term("weight_g", "number", "g", "what leaving it saves: the pieces usually carried as base"),
    _term("p_needed", "number", "probability", "chance that it is needed on the next trip"),
    _COST,
    _term("regret", "number", "points per trip", "its part of the expected regret of the whole "
          "set: p_needed x cost, but a need that it shares with others left counts once, and what "
          "a stand-in would do does not count"),
    _term("inclusion", "number", "share of answers", "how often it is in the answer when rates and "
          "conditions are drawn anew and every cost is halved, kept or doubled"),
), 1)  # fmt: skip

CULL_FRONTIER = Output(
    "cull_frontier",
    "",
    "weight saved with the least expected regret",
    (
        _term(
            "saved_g",
            "number",
            "g",
            "base weight saved where all that is left would have come along",
        ),
        _term("expected_misses", "number", "per trip", "things left that are needed, on average"),
        _term("expected_regret", "number", "points per trip", "the same, each at its cost"),
        _term("items", "text", "", "what is left, separated by ;"),
    ),
    1,
)
