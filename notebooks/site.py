"""The pages that stand beside each other in a folder, and the lines that lead from one to another.

A link is only ever made to a page that stands there: `Site` says which do.
"""

import hashlib
import json
from collections.abc import Collection, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date

from ..analysis.display.markup import escape
from ..analysis.store.not_over import not_over_notice
from .jobs import DEBRIEF

FIRST = "index.html"
SHORT: Mapping[str, str] = {
    "weigh_up": "Weights",
    "before_trip": "Next trip",
    DEBRIEF: "Latest trip",
    "season_cull": "Leave at home",
    "base_weight_trend": "Base weight",
    "comfort_value": "Comfort",
    "temperature_context": "Cold",
    "buying_case": "Buying",
}
"""What each report is called in the line of navigation, in its order."""


@dataclass(frozen=True, slots=True)
class TripPage:
    """A trip that took place, or a plan. ``file``: of its debrief, or of what to take; often empty.

    ``end_on`` is missing where it is not asked whether it is over.
    """

    trip: str
    title: str
    start_on: date
    file: str = ""
    end_on: date | None = None


@dataclass(frozen=True)
class Site:
    """Which pages there are. ``first``: the logbook's first page is one of them.

    ``reports``: those whose page stands under its plain name. ``trips``: the earliest first.
    ``things``: names of gear, which a trip's title may be, too. ``plans``: those to come, the first
    to begin first.
    """

    first: bool = False
    reports: tuple[str, ...] = ()
    trips: tuple[TripPage, ...] = ()
    things: frozenset[str] = frozenset()
    plans: tuple[TripPage, ...] = ()

    def digest(self) -> str:
        """A digest of all that a page's links could depend on."""
        plain = asdict(self) | {"things": sorted(self.things)}
        return hashlib.sha256(json.dumps(plain, default=str, sort_keys=True).encode()).hexdigest()

    @property
    def latest(self) -> str:
        """The trip that the report without a trip's name is about; empty where there is none."""
        return self.trips[-1].trip if self.trips else ""


def lines(site: Site, name: str, trip: str = "", plain: bool = True) -> str:
    """Return the navigation of a page, as it stands at its top and its foot; often empty.

    name: of its report; empty for the first page. trip: the one it is about, of a debrief. plain:
    whether it stands under the plain name of its report.
    """
    here = name if plain or (name == DEBRIEF and trip == site.latest) else ""
    entries = [(FIRST, "Logbook", not name)] if site.first else []
    entries += [
        (f"{each}.html", label, each == here)
        for each, label in SHORT.items()
        if each in site.reports
    ]
    shown = "".join(_entry(*entry) for entry in entries) if len(entries) > 1 else ""
    every = f'<ul class="pages">{shown}</ul>' if shown else ""
    return every + _neighbours(site, name, trip)


def placed(
    trips: Sequence[TripPage], stems: Mapping[str, str], there: Collection[str]
) -> tuple[TripPage, ...]:
    """Trips with the files of their pages, as far as they are there."""
    return tuple(
        replace(each, file=f"{stems[each.trip]}.html" if stems[each.trip] in there else "")
        for each in trips
    )


def not_over(site: Site, on: date) -> str:
    """Return a line that names the trips that count though they are not over; mostly empty."""
    ahead = [each.title for each in site.trips if each.end_on is not None and each.end_on > on]
    told = not_over_notice(ahead)
    return f'<ul class="notices not-over"><li>{escape(told)}</li></ul>' if told else ""


def _entry(file: str, label: str, here: bool) -> str:
    # The page that one is on is named, and leads nowhere.
    text = f'<span aria-current="page">{label}</span>' if here else f'<a href="{file}">{label}</a>'
    return f"<li>{text}</li>"


def _neighbours(site: Site, name: str, trip: str) -> str:
    """The trips before and after one, of those that have a page."""
    if name != DEBRIEF:
        return ""
    places = [place for place, each in enumerate(site.trips) if each.trip == trip]
    if not places:
        return ""
    before = [each for each in site.trips[: places[0]] if each.file][-1:]
    after = [each for each in site.trips[places[0] + 1 :] if each.file][:1]
    shown = "".join(
        f'<li class="{rel}">{word} <a rel="{rel}" href="{escape(each.file)}">'
        f"{escape(each.title)}</a></li>"
        for rel, word, found in (("prev", "Earlier:", before), ("next", "Later:", after))
        for each in found
    )
    return f'<ul class="neighbours">{shown}</ul>' if shown else ""
