"""Every column of the tables on comfort and cold, as `glossary` has those of the other tables."""

from ..catalogue.terms import Output, Term


def _number(name: str, unit: str, meaning: str, nullable: bool = True) -> Term:
    return Term(name, "number", unit, meaning, nullable)


def _text(name: str, meaning: str) -> Term:
    return Term(name, "text", "", meaning)


def _whole(name: str, meaning: str) -> Term:
    return Term(name, "whole", "", meaning)


_ALWAYS = "missing for what was always along, or never taken out"
_LOW, _HIGH = "5 % quantile of the same", "95 % quantile of the same"
_WEIGHED = "missing where not weighed, always along, or never taken out"
_TOLD_APART = "missing where the gain cannot be told from nothing"

COMFORT_GAIN = Output("comfort_gain", "", "aspect and bundle of items that always travelled "
                      "together on its scored days", (
    _text("aspect", "what was scored: sleep, camp, moving or fun"),
    _text("bundle", "short name of its first item, and how many more there are"),
    _text("items", "names of its items, joined by ;"),
    _number("weight_g", "g", "what they weighed together when last along; missing where one of "
            "them is not weighed"),
    _whole("nights_with", "scored days, for sleep nights, on which it was along"),
    _whole("nights_without", "scored days or nights on which it was not"),
    _number("gain", "points", f"what it added to the score, posterior mean; {_ALWAYS}"),
    _number("gain_low", "points", _LOW),
    _number("gain_high", "points", _HIGH),
    _number("p_helps", "", f"probability that it added anything; {_ALWAYS}"),
    _number("points_per_kg", "points/kg", f"gain by weight; {_WEIGHED}"),
    _number("points_per_kg_low", "points/kg", _LOW),
    _number("points_per_kg_high", "points/kg", _HIGH),
    _number("g_per_point", "g/point", f"weight by gain; {_TOLD_APART}"),
    _number("g_per_point_low", "g/point", "weight by gain_high"),
    _number("g_per_point_high", "g/point", "weight by gain_low"),
    _text("verdict", "earned (p_helps .95 and more), probably (.8 and more) or not_known; not "
          "judged are goes_with_better_days (ease_share .8 and more), always_along and "
          "never_taken_out (its use is known on some trip, and it was used on none)"),
    _number("prior_share", "", "what its days left of the prior's variance: 1 where they said "
            f"nothing; {_ALWAYS}"),
    _number("ease_share", "", "of what its days could say, the share that the ease of the trips "
            f"and the course of time could say as well; {_ALWAYS}"),
    Term("for_comfort", "flag", "", "whether all of it is carried for comfort"),
), 2)  # fmt: skip

NEXT_SWAP = Output(
    "next_swap",
    "",
    "change on a coming mild trip that would teach much",
    (
        _whole("rank", "1 for the one that would teach the most"),
        _text("item", "short name of the item"),
        _text("action", "leave or take"),
        _number(
            "variance_reduction",
            "points²",
            "what it takes from the variance of the gains of all "
            "that is carried for comfort, beyond the same trip without it",
            False,
        ),
        _text("reason", "what it would tell, in words"),
    ),
    1,
)

COLD_LIMITS = Output(
    "cold_limits",
    "",
    "rated sleep system that was slept in",
    (
        _text("sleep_system", "names of the sleep gear that was there together, joined by ;"),
        _number("rated_low_c", "°C", "the lowest rating among it", False),
        _number(
            "own_limit_c",
            "°C",
            "low at which one night in five is too cold, posterior median",
            False,
        ),
        _number("own_limit_low_c", "°C", _LOW, False),
        _number("own_limit_high_c", "°C", _HIGH, False),
        _whole("nights", "nights behind it: those with a low and a warmth vote"),
        _whole("cold_nights", "those of them voted -2 or -3"),
        _text("rated_as", "whose figure the rating is: comfort, limit or maker"),
        _number(
            "prior_share",
            "",
            "what its nights left of the prior's variance: 1 without a night",
            False,
        ),
    ),
    1,
)

OUTPUTS = (COMFORT_GAIN, NEXT_SWAP, COLD_LIMITS)
