"""Base weight over the seasons as a page: an opening that answers, and a section a question."""

from collections.abc import Sequence
from dataclasses import dataclass

from ...display.cautions import TARGET_CARE
from ...display.sections import Opening, Point, Section
from ...display.words import Display, count, label, listing, mass
from ...stats.rank_trend import FEWEST_VALUES
from ...store.rows import Store
from ...store.scope import BY_MODE
from ...store.set_aside import records_set_aside, set_aside_notice
from ...store.settings import settings_of
from ..season_change import SeasonChange, season_change
from ..trends import BaseWeightTrends, base_weight_trends
from ..trip_weights import Selection, TripWeight, trip_weights
from . import change_sections as changes
from . import sections, series_sections, verdict
from . import words as trend_words


@dataclass(frozen=True)
class TrendPage:
    """The trends, the change between two periods, and the goal: a section a method.

    ``set_aside``: records of the logbook that are missing.
    """

    trends: BaseWeightTrends
    change: SeasonChange | None
    goal_g: float | None
    display: Display
    set_aside: int

    def opening(self) -> Opening:
        """The answer in short, what it rests on, and what narrows it."""
        points = self._points()
        says = points[0].answer if points and points[0].leads else ""
        if says.startswith(("Yes,", "No,")):
            # It answers a question, which stands beside it here and nowhere else.
            says = f"{points[0].about} {says}"
        care = TARGET_CARE if self._may_save else ""
        return Opening(
            self._title(), self._lines(), self._notices(), points, says, caution=care, care_after=1
        )

    @property
    def _may_save(self) -> bool:
        """Whether the opening names savings or a target."""
        aims = self.goal_g is not None and self.trends.weights.selection.system is None
        return bool(self.trends.weights.counted) and (aims or self.change is not None)

    as_carried = sections.as_carried_section
    like_for_like = sections.like_for_like_section
    by_system = series_sections.systems_section
    by_mode = series_sections.modes_section
    where_it_went = changes.where_it_went_section
    change_by_system = changes.change_by_system_section
    next_target = changes.next_target_section
    left_out = sections.left_out_section
    estimators = sections.estimators_section

    def not_told(self) -> Section:
        """What could not be told from this logbook, and why."""
        trends = (self.as_carried, self.like_for_like, self.by_system, self.by_mode)
        if self._small:
            # Its opening says so in one sentence.
            return Section.empty("What the log cannot say", "too few trips")
        answers = (show() for show in (*trends, self.where_it_went))
        reasons = tuple(f"{s.heading}: {s.missing}." for s in answers if s.missing)
        if not reasons:
            return Section.empty("What the log cannot say", "nothing was left unsaid")
        return Section("What the log cannot say", reasons)

    def _title(self) -> str:
        system = self.trends.weights.selection.system
        return f"Base weight over the seasons{f': {label(system).lower()}' if system else ''}"

    def _lines(self) -> tuple[str, ...]:
        counted, selection = self.trends.weights.counted, self.trends.weights.selection
        if not counted:
            return ()
        first, last = (trend_words.month(t.start_on) for t in (counted[0], counted[-1]))
        span = first if first == last else f"{first} – {last}"
        how = f" · {BY_MODE[selection.scope.mode]} only" if selection.scope.mode else ""
        return (f"{count(len(counted), 'trip')} with nights · {span}{how}",)

    @property
    def _small(self) -> bool:
        """Whether there are too few trips for any trend."""
        return len(self.trends.weights.counted) < FEWEST_VALUES

    def _notices(self) -> tuple[str, ...]:
        missing = set_aside_notice(self.set_aside)
        if self._small and self.trends.weights.counted:
            more = f"Trends need at least {FEWEST_VALUES} trips with nights: until then there are "
            missing = (*missing, f"{more}no parts on them here.")
        out = [t for t in self.trends.weights.trips if t.left_out]
        if not out:
            return missing
        kinds = {
            "plan": "plan",
            "day_trip": "day trip",
            "nothing_carried": "trip without a list",
            "not_weighed": "trip with something not weighed",
        }
        parts = [
            count(n, one, one.replace("trip", "trips") if "trip" in one else f"{one}s")
            for kind, one in kinds.items()
            if (n := sum(t.left_out == kind for t in out))
        ]
        verb = "is" if len(out) == 1 else "are"
        return (
            *missing,
            f"{listing(parts)} {verb} shown but not counted; the reasons stand below.".capitalize(),
        )

    def _usual(self, counted: Sequence[TripWeight]) -> list[Point]:
        """What trips usually weigh; of few of unknown ways, what the latest of them did."""
        if self._small and any(trip.mode is None for trip in counted):
            latest = counted[-1]
            weighs = f"{mass(latest.base_g, self.display)} on “{latest.title}”."
            return [Point("Latest base weight", weighs)]
        return [Point("Usual base weight", trend_words.usual(counted, self.display))]

    def _points(self) -> tuple[Point, ...]:
        trends, fit = self.trends, self.trends.fit
        counted = trends.weights.counted
        if not counted:
            return (Point("Answer", "There is no trip with a night whose base weight is known."),)
        titles = {t.trip: t.title for t in counted}
        turn = ""
        if fit is not None and (trends.whole.steady or trends.whole.step):
            turn = verdict.what_moves_it(fit, titles, self.display)
        answer = verdict.trend_verdict(trends, self.display)
        points = [Point("Really lighter?", answer, turn, leads=True)]
        if trends.weights.selection.system is None:
            points += self._usual(counted)
        scale = verdict.scale_note(trends, self.display)
        if scale:
            points.append(Point("As carried", scale))
        systems = trend_words.systems_words(trends.systems, self.display)
        if systems:
            points.append(Point("By system", systems))
        if self.change is not None:
            since = f"Since {trend_words.season_words(self.change.before.name)}"
            points.append(Point(since, *changes.change_headline(self.change, self.display)))
        if trends.weights.selection.system is None:
            target, how = verdict.target_words(trends, self.goal_g, self.display)
            points.append(Point("Next target", target, how))
        return tuple(points)


def read_trend(
    store: Store,
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
    weights = trip_weights(store, Selection.of(since, until, mode, system))
    goal = settings_of(store).base_weight_goal_g
    return TrendPage(
        base_weight_trends(store, weights, goal),
        season_change(store, weights, from_season, to_season),
        goal,
        display,
        records_set_aside(store),
    )
