"""Base weight over the seasons as a page: an opening that answers, and a section a question."""

from dataclasses import dataclass

import duckdb

from ...display.sections import Opening, Point, Section
from ...display.words import Display, count, label, listing
from ...store.set_aside import records_set_aside, set_aside_notice
from ...store.settings import settings_of
from ..season_change import SeasonChange, season_change
from ..trends import BaseWeightTrends, base_weight_trends
from ..trip_weights import Asked, trip_weights
from . import change_sections as changes
from . import sections, verdict
from . import series_sections as series
from . import words as said


@dataclass(frozen=True)
class TrendPage:
    """The trends, the change between two periods, the goal, and the units in which all is told.

    ``set_aside``: records of the logbook that are missing.
    """

    trends: BaseWeightTrends
    change: SeasonChange | None
    goal_g: float | None
    display: Display
    set_aside: int

    def opening(self) -> Opening:
        """The answer in short, what it rests on, and what narrows it."""
        return Opening(self._title(), self._lines(), self._notices(), self._points())

    def as_carried(self) -> Section:
        """The trend as the scale shows it."""
        return sections.as_carried(self.trends, self.display)

    def like_for_like(self) -> Section:
        """The trend at equal cold."""
        return sections.like_for_like(self.trends, self.display)

    def by_system(self) -> Section:
        """What each system lost or gained."""
        return series.by_system(self.trends, self.display)

    def by_mode(self) -> Section:
        """The trend of each way of travelling."""
        return series.by_mode(self.trends, self.display)

    def where_it_went(self) -> Section:
        """The change between two periods, thing by thing."""
        return changes.where_it_went(self.change, self.display)

    def change_by_system(self) -> Section:
        """The change between two periods, system by system."""
        return changes.by_system(self.change, self.display)

    def next_target(self) -> Section:
        """When the goal is reached."""
        return changes.next_target(self.trends, self.goal_g, self.display)

    def left_out(self) -> Section:
        """Which trips do not count."""
        return sections.left_out(self.trends, self.display)

    def estimators(self) -> Section:
        """The other estimators."""
        return sections.estimators(self.trends, self.display)

    def not_told(self) -> Section:
        """What could not be told from this logbook, and why."""
        reasons = [
            f"{section.heading}: {section.missing}."
            for section in (
                self.as_carried(),
                self.like_for_like(),
                self.by_system(),
                self.by_mode(),
                self.where_it_went(),
            )
            if section.missing
        ]
        if not reasons:
            return Section.empty("What could not be told", "everything could be told")
        return Section("What could not be told", (reasons[0], *reasons[1:]))

    def _title(self) -> str:
        system = self.trends.weights.asked.system
        return f"Base weight over the seasons{f': {label(system).lower()}' if system else ''}"

    def _lines(self) -> tuple[str, ...]:
        kept, asked = self.trends.weights.kept, self.trends.weights.asked
        if not kept:
            return ()
        first, last = said.month(kept[0].start_on), said.month(kept[-1].start_on)
        span = first if first == last else f"{first} – {last}"
        how = f" · {label(asked.scope.mode)} only" if asked.scope.mode else ""
        return (f"{count(len(kept), 'trip')} with nights · {span}{how}",)

    def _notices(self) -> tuple[str, ...]:
        missing = set_aside_notice(self.set_aside)
        out = [t for t in self.trends.weights.trips if t.left_out]
        if not out:
            return missing
        kinds = {
            "plan": "plan",
            "day_trip": "day trip",
            "nothing_carried": "trip without a list",
            "not_weighed": "trip with something not weighed",
        }
        told = [
            count(n, one, one.replace("trip", "trips") if "trip" in one else f"{one}s")
            for kind, one in kinds.items()
            if (n := sum(t.left_out == kind for t in out))
        ]
        verb = "is" if len(out) == 1 else "are"
        return (
            *missing,
            f"{listing(told)} {verb} shown but not counted; the reasons stand below.".capitalize(),
        )

    def _points(self) -> tuple[Point, ...]:
        trends, fit = self.trends, self.trends.fit
        kept = trends.weights.kept
        if not kept:
            return (Point("Answer", "There is no trip with a night whose base weight is known."),)
        titles = {t.trip: t.title for t in kept}
        turn = ""
        if fit is not None and trends.whole.headline in ("lighter", "heavier", "step"):
            turn = verdict.reversal(fit, titles, self.display)
        answer = verdict.verdict(trends, self.display)
        points = [Point("Really lighter?", answer, turn, leads=True)]
        if trends.weights.asked.system is None:
            points.append(Point("Usual base weight", said.usual(kept, self.display)))
        scale = verdict.scale_note(trends, self.display)
        if scale:
            points.append(Point("As carried", scale))
        systems = said.systems(trends.systems, self.display)
        if systems:
            points.append(Point("By system", systems))
        if self.change is not None:
            since = f"Since {said.period(self.change.before.name)}"
            points.append(Point(since, *changes.headline(self.change, self.display)))
        if trends.weights.asked.system is None:
            target, how = verdict.target(trends, self.goal_g, self.display)
            points.append(Point("Next target", target, how))
        return tuple(points)


def read(
    connection: duckdb.DuckDBPyConnection,
    *,
    since: str = "",
    until: str = "",
    mode: str = "",
    system: str = "",
    from_season: str = "",
    to_season: str = "",
    display: Display,
) -> TrendPage:
    """Return the page of the trips asked for; blank text asks for all of them.

    Raises QuestionError where an option cannot be read or a named season has no trips.
    """
    weights = trip_weights(connection, Asked.of(since, until, mode, system))
    goal = settings_of(connection).base_weight_goal_g
    return TrendPage(
        base_weight_trends(connection, weights, goal),
        season_change(connection, weights, from_season, to_season),
        goal,
        display,
        records_set_aside(connection),
    )
