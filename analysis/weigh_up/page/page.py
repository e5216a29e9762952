"""The weigh-up as a page: an opening that answers, and a section a way of grouping."""

from dataclasses import dataclass
from datetime import date

from ...display.sections import Opening, Point
from ...display.words import Display
from ...store.rows import Store
from ...store.set_aside import records_set_aside, set_aside_notice
from ...store.settings import settings_of
from ..bags import Bags, bags_of
from ..comparison import Comparison, compare
from ..results import WeighUp
from ..weighing import weigh_up
from ..words import borrowed, not_weighed, over_limits
from . import sections
from . import words as say
from .beside_section import beside_section


@dataclass(frozen=True)
class WeighUpPage:
    """A list weighed up, its bags, another beside it, and the units in which all is told.

    ``set_aside``: records of the logbook that are missing.
    """

    weighed: WeighUp
    bags: Bags
    comparison: Comparison | None
    display: Display
    set_aside: int

    def opening(self) -> Opening:
        """The answer in short, and what narrows it."""
        weighed = self.weighed
        title = (
            "What it all weighs" if weighed.trip is None else f"What “{weighed.trip.title}” weighs"
        )
        notices = (
            *set_aside_notice(self.set_aside),
            *say.asked_for(weighed),
            *not_weighed(weighed),
            *borrowed(weighed, self.display),
        )
        says = say.in_one(weighed, self.display)
        care = say.load_care(weighed)
        return Opening(title, say.lines(weighed), notices, self._points(), says, caution=care)

    totals = sections.totals_section
    by_system = sections.by_system_section
    heaviest_things = sections.things_section
    by_kit = sections.kits_section
    by_bag = sections.bag_loads_section
    side_by_side = beside_section

    def _points(self) -> tuple[Point, ...]:
        weighed, display = self.weighed, self.display
        points = [Point("In all", say.in_all(weighed, display), leads=True)]
        if any(row.row_mg is not None for row in weighed.rows):
            points.append(Point("Counted otherwise", say.totals_words(weighed, display)))
            points.append(Point("Heaviest", say.heaviest_words(weighed, display)))
        if self.comparison is not None:
            points.append(Point("Beside it", say.comparison_words(self.comparison, display)))
        over = over_limits(self.bags, display)
        if over:
            points.append(Point("Your limits", over[0], " ".join(over[1:])))
        if weighed.trip is None and weighed.rows and not weighed.left_out:
            points.append(Point("One trip", "This is all that you own; no trip takes it all."))
        return tuple(points)


def read_weigh_up(
    connection: Store,
    trip: str = "",
    *,
    against: str = "",
    without: str = "",
    added: str = "",
    as_carried: str = "",
    today: date,
    display: Display,
) -> WeighUpPage:
    """The page of a trip or plan, or of everything in gear.csv where none is named.

    ``against`` is another trip, read with the same wishes. Raises QuestionError on a name that the
    logbook does not have.
    """

    def weigh(name: str, option: str) -> WeighUp:
        return weigh_up(
            connection,
            name,
            without=without,
            added=added,
            as_carried=as_carried,
            today=today,
            trip_option=option,
        )

    weighed = weigh(trip, "trip")
    return WeighUpPage(
        weighed,
        bags_of(weighed, settings_of(connection).limits),
        compare(weighed, weigh(against, "against")) if against.strip() else None,
        display,
        records_set_aside(connection),
    )
