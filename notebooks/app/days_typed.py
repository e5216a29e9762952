"""What was typed of the days of a trip, as days of its entry."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import partial
from typing import Any

from ...tripdata.logbook_entry import Amount, Day, Leg, Score
from . import cells
from .cells import CellError
from .fields import Fields
from .showing import day_cells, days_of

_NO_DISTANCE = (
    "Climbing counts only beside a distance. Write the distance too, 0 if you did not move. What "
    "you typed stays here as a draft."
)


class DaysTyped(Fields):
    """The days: ways, low, rain, scores."""

    def days(self, start: date, end: date) -> list[Day]:
        """Every day of the trip; what was shown of others goes."""
        before = {day.day: day for day in self._base.days}
        typed = self._typed["days"]
        return [
            self._day(before.get(day, Day(day)), typed.get(day.isoformat()), day < end)
            for day in days_of(start, end)
        ]

    def _day(self, before: Day, typed: Mapping[str, Any] | None, night: bool) -> Day:
        if typed is None or typed == day_cells(before, self._book):
            return before
        at, units = f"days.{before.day.isoformat()}", self._book.units
        rain, wet = self._rain(f"{at}.rain", typed["rain"], before)
        low = self._amount(
            f"{at}.low", typed["low"], units.temperature, before.low, ("weather", "low"), "a low"
        )
        others = tuple(s for s in before.scores if s.aspect not in ("sleep", "camp"))
        scores = (*self._scores(at, typed, before, night), *others)
        legs = tuple(self._legs(at, typed["legs"], before))
        return replace(before, legs=legs, low=low, rain=rain, wet=wet, scores=scores)

    def _legs(self, at: str, typed: list[Mapping[str, str]], before: Day) -> list[Leg]:
        units, legs = self._book.units, []
        for place, each in enumerate(typed):
            old = before.legs[place] if place < len(before.legs) else Leg(each["mode"])
            here = f"{at}.legs.{place}"
            leg = replace(
                old,
                mode=each["mode"] or old.mode,
                distance=self._amount(
                    *(f"{here}.distance", each["distance"], units.distance, old.distance),
                    *(("distances", "distance"), "a distance"),
                ),
                ascent=self._amount(
                    *(f"{here}.ascent", each["ascent"], units.height, old.ascent),
                    *(("distances", "ascent"), "a height"),
                ),
                hours=self._hours(f"{here}.distance", each.get("hours", "")),
            )
            said = leg.ascent is not None or leg.hours is not None
            if leg.distance is None and said and leg != old:
                self._fault(f"{here}.distance", _NO_DISTANCE)
            if place < len(before.legs) or leg.distance is not None:
                legs.append(leg)
        return legs

    def _hours(self, at: str, text: str) -> Decimal | None:
        if not text:
            return None
        return self._try(at, lambda: cells.number(text, 0, 24, "hours"), None)

    def _rain(self, at: str, text: str, before: Day) -> tuple[Amount | None, bool | None]:
        if text.strip() == day_cells(before, self._book)["rain"]:
            return before.rain, before.wet
        wet = cells.yes_or_no(text)
        if wet is not None:
            return None, wet
        unit = self._book.units.rain
        if not text.strip():
            return None, None
        try:
            cells.number(text, -1e9, 1e9, "", self._book.comma)
        except CellError as error:
            asks = str(error).startswith("Is it")
            inches = "inches" if unit == "in" else unit
            self._fault(at, str(error) if asks else f"Write the rain in {inches}, or yes or no.")
            return before.rain, before.wet
        return self._amount(at, text, unit, before.rain, ("weather", "rain"), "the rain"), None

    def _scores(self, at: str, typed: Mapping[str, str], before: Day, night: bool) -> list[Score]:
        old = {score.aspect: score for score in before.scores}
        found = []
        for aspect in ("sleep", "camp"):
            text, score = typed[aspect].strip(), old.get(aspect, Score(aspect))
            if aspect == "sleep" and not night:
                found += [score] if aspect in old else []
                continue
            value = self._try(f"{at}.{aspect}", partial(_score, text), None)
            warmth = score.warmth
            if aspect == "sleep":
                warmth = self._try(f"{at}.warmth", partial(_warmth, typed["warmth"]), None)
                if warmth is not None and not text:
                    self._fault(f"{at}.sleep", "Warmth needs a score of the sleep beside it.")
            if value is not None or aspect in old:
                found.append(replace(score, score=value, warmth=warmth))
        return found


def _score(text: str) -> int | None:
    return cells.whole(text, 1, 5, "1 to 5") if text else None


def _warmth(text: str) -> int | None:
    return cells.warmth(text) if text.strip() else None
