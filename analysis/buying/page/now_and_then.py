"""The table of one candidate: each figure as it is, and with it."""

from collections.abc import Callable, Sequence

from ...display import tables
from ...display.tables import Table
from ...display.words import Display, count, mass, number, one_in, temperature, temperature_scale
from ...stats.estimate import Estimate
from ...wear.rates import TOO_FEW_NIGHTS
from ..results import Case, ColdReplay
from ..words import cost

_Line = tuple[str, str | None, str | None]
_RANGE = "its very likely range"


def now_and_then_table(case: Case, display: Display) -> Table:
    """A row a figure: what, as it is, with the candidate."""
    columns = (
        tables.text("what", "What", lambda line: line[0]),
        tables.right("now", "As it is", of=lambda line: line[1]),
        tables.right("then", "With it", of=lambda line: line[2]),
    )
    caption = f"{case.candidate.name}: now and then"
    return Table.of(columns, _lines(case, display), "line", caption=caption, fold_after=20)


def _lines(case: Case, display: Display) -> list[_Line]:
    own, base, year = case.candidate, case.base, case.year
    weights = [r.weight_g for r in case.replaced]
    now = None if None in weights else _sum(weights, lambda grams: mass(grams, display))
    lines: list[_Line] = [("Weight", now, mass(own.weight_g, display))]
    if base is not None:
        grams = (base.now_g, base.after_g)
        before, after = (mass(g, display, at_least=base.at_least) for g in grams)
        lines.append(("Base weight", before, after))
        if base.class_now != base.class_after:
            lines.append(("Its class", base.class_now, base.class_after))
    if case.replay is not None:
        lines += _night_lines(case.replay, display)
    if year is not None:
        chance = "A too cold night in a year like the last"
        lines.append((chance, one_in(year.now), one_in(year.then)))
    if case.comfort is not None:
        lines += _score_lines(case.comfort)
    insulation = _sum([r.r_value for r in case.replaced], lambda r: number(r, 1))
    if own.r_value is not None or insulation:
        lines.append(("R-value", insulation, _sum([own.r_value], lambda r: number(r, 1))))
    if own.capacity_wh is not None:
        holds = _sum([r.capacity_wh for r in case.replaced], _wh)
        lines.append(("Holds", holds, _wh(own.capacity_wh)))
    expected = case.failures
    if expected.nights:
        what = f"Failures expected in {count(expected.nights, 'night')}"
        now, then = (_failures(n) for n in (expected.now, expected.then))
        lines.append((what, now if case.replaced else None, then))
    costs = [cost(r.cost_per_night, r.currency, 2) for r in case.replaced]
    so_far = ", ".join(each for each in costs if each) or None
    expects = cost(case.price_per_night, own.currency, 2)
    if so_far or expects:
        lines.append(("Price per night, so far and expected", so_far, expects))
    return lines


def _sum(values: Sequence[float | None], words: Callable[[float], str]) -> str | None:
    """The sum of those that are known, in words; None where none is."""
    known = [value for value in values if value is not None]
    return words(sum(known)) if known else None


def _wh(energy: float) -> str:
    return f"{number(energy)} Wh"


def _night_lines(replay: ColdReplay, display: Display) -> list[_Line]:
    inside = None if replay.inside_now is None else f"{replay.inside_now} of {replay.nights}"
    limit = replay.limit_now_c
    low = temperature_scale(display, 0).number(replay.own_limit_c.low)
    limit_now = None if limit is None else temperature(limit, display, 1)
    limit_then = temperature(replay.own_limit_c.value, display, 1)
    too_cold = "Nights that felt, or would feel, too cold"
    inside_then = f"{replay.inside_then} of {replay.nights}"
    return [
        ("Nights no colder than the rating, as a limit", inside, inside_then),
        (too_cold, f"{replay.cold_votes} of {replay.votes}", _still_cold(replay)),
        ("Your limit: one night in five too cold", limit_now, limit_then),
        (_RANGE, None, f"{low} to {temperature(replay.own_limit_c.high, display)}"),
    ]


def _still_cold(replay: ColdReplay) -> str:
    """Nights that would still be too cold, from the most to the fewest spared."""
    least, most = (replay.cold_votes - n for n in (replay.avoided_most, replay.avoided_least))
    nights = f"{replay.cold_votes - replay.avoided} of {replay.votes}"
    return nights if least == most else f"{nights} ({least} to {most})"


def _score_lines(comfort: Estimate) -> list[_Line]:
    gain, low, high = (
        number(points, 1, signed=True) for points in (comfort.value, comfort.low, comfort.high)
    )
    return [("Sleep score, points per night", None, gain), (_RANGE, None, f"{low} to {high}")]


def _failures(expected: float | None) -> str:
    if expected is None:
        return TOO_FEW_NIGHTS
    return "under 0.1" if expected < 0.05 else number(expected, 1)
