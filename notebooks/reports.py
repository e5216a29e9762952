"""Which options each report takes; the parameters cell of its notebook has them in this order."""

from collections.abc import Mapping

REPORTS: Mapping[str, tuple[str, ...]] = {
    "base_weight_trend": ("since", "until", "mode", "system", "from_season", "to_season"),
    "before_trip": ("trip", "today"),
    "buying_case": ("candidate", "today"),
    "comfort_value": ("trip", "since", "until", "today"),
    "debrief": ("trip", "today"),
    "season_cull": (
        "season",
        "since",
        "until",
        "mode",
        "target_g",
        "save_g",
        "undecided",
        "coming",
        "today",
    ),
    "temperature_context": ("trip", "below_c"),
    "weigh_up": ("trip", "against", "without", "with_", "as_carried", "today"),
}
"""The reports by name. `all`, a word of the command line, stands for every one of them."""

NAMED_IN_FILES: Mapping[str, tuple[str, ...]] = {
    "debrief": ("today",),
    "weigh_up": ("against", "without", "with_", "as_carried"),
}
"""Options whose name stands before their value in the names of a report's files.

They are those that take the same names as another option of it: `--with boat` and `--without boat`
are two pages. A trip may be called like a day.
"""
