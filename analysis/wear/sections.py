"""The sections on what broke, how long things last, and what to mend before the next trip."""

from collections.abc import Mapping, Sequence
from typing import Any

import altair as alt

from ..display import tables
from ..display.checklist import Checklist, Task
from ..display.figure import Figure, chart_of
from ..display.sections import Section
from ..display.tables import Column, Table
from ..display.theme import MAIN, Layout
from ..display.words import count, day, label, listing, money, number, quoted, sentence
from .failures import FailureBook, Failures
from .rates import FEWEST_NIGHTS, TOO_FEW_NIGHTS
from .words import SEVERITY_WORDS, system_life_in_words

CARE = (
    "Do not use what failed in an unsafe way until someone who knows has looked at it. Brakes, "
    "frames, stoves, gas and buoyancy belong in qualified hands. Try mended gear near home first."
)
_MOST_DOTS = 12
_MATTERS = ("shelter", "sleep", "rain", "water", "cook")


def what_broke(book: FailureBook) -> Section:
    """Rates of what failed, and upper bounds of what did not."""
    heading = "What broke"
    if not book.items:
        return Section.empty(heading, "nothing came along yet")
    failed = [f for f in book.items if f.rate.failures]
    clean = [f for f in book.items if not f.rate.failures and f.rate.nights]
    told = [_first(failed), *_clean(clean)]
    return Section(
        heading,
        tuple(told),
        _figure([f for f in failed if f.rate.enough], told[0]),
        _rates([*failed, *clean], "Things: failures per 100 nights"),
        _notes(),
        more=(_systems(book), _kilometres(failed)),
        caution=_care(failed),
    )


def _clean(clean: Sequence[Failures]) -> list[str]:
    """What the record says of the things that have not failed, the longest along first."""
    if not clean:
        return []
    most = max(clean, key=lambda f: (f.rate.nights, f.system in _MATTERS, f.item or ""))
    verb = "has" if len(clean) == 1 else "have"
    told = f"{count(len(clean), 'thing')} {verb} not failed yet. That proves little: "
    nights = count(most.rate.nights, "faultless night")
    if most.rate.enough:
        told += (
            f"after {nights} the true rate could still be up to "
            f"{number(most.rate.exact_high, 1)} failures in 100 nights."
        )
    else:
        told += f"after {nights} at most it is too early for a rate."
    return [told]


def _care(failed: Sequence[Failures]) -> str | None:
    """A caution where anything failed in a way that was unsafe."""
    unsafe = [f.name or "" for f in failed if f.by_severity[3] and not f.retired]
    if not unsafe:
        return None
    verb = "was" if len(unsafe) == 1 else "were"
    return f"{quoted(unsafe, at_most=_MOST_DOTS)} {verb} unsafe at least once. {CARE}"


def _first(failed: Sequence[Failures]) -> str:
    many = sum(f.rate.failures for f in failed)
    if not many:
        return "No failure is on record."
    bad = sum(f.by_severity[2] + f.by_severity[3] for f in failed)
    verb = "is" if many == 1 else "are"
    told = f"{count(many, 'failure')} of {count(len(failed), 'thing')} {verb} on record"
    if many == 1:
        return sentence(f"{told}, and it was for good" if bad else told)
    return sentence(f"{told}, {number(bad)} of them for good" if bad else told)


def _figure(failed: Sequence[Failures], alt_text: str) -> Figure | None:
    if len(failed) < 2:
        return None
    shown = sorted(failed, key=lambda f: (-f.rate.value, f.item or ""))[:_MOST_DOTS]
    rows = [
        {
            "name": f.name,
            "rate": round(f.rate.per_100 or 0.0, 3),
            "low": round(f.rate.low, 3),
            "high": round(f.rate.high, 3),
            "record": _record(f),
        }
        for f in shown
    ]
    return Figure(
        "failure-rates",
        f"{alt_text} Dots with intervals, the most often failing first.",
        lambda layout: _dots(rows, layout),
        "Dots: what was seen; lines: 90 % intervals, in which things of one system inform each "
        f"other. Only what came along for {FEWEST_NIGHTS} nights or more is shown.",
    )


def _dots(rows: Sequence[dict[str, Any]], layout: Layout) -> Any:
    base = chart_of(rows)
    y = alt.Y("name:N", title=None, sort=[row["name"] for row in rows])
    title = "Failures per 100 nights carried"
    x = alt.X("rate:Q", title=title, scale=alt.Scale(zero=True))
    tips = [alt.Tooltip("name:N", title="Thing"), alt.Tooltip("record:N", title="Record")]
    spans = base.mark_rule(color=MAIN, strokeWidth=2).encode(
        x=alt.X("low:Q", title=title), x2="high:Q", y=y
    )
    dots = base.mark_point(filled=True, size=80, color=MAIN, opacity=1).encode(
        x=x, y=y, tooltip=tips
    )
    return alt.layer(spans, dots).properties(height=layout.rows(len(rows)))


def _record(found: Failures) -> str:
    return f"{number(found.rate.failures)} in {count(found.rate.nights, 'night')}"


def _rates(found: Sequence[Failures], caption: str, noun: str = "thing") -> Table:
    rows = [_row(f) for f in sorted(found, key=_telling)]
    return Table.of(
        (
            tables.text("name", noun.capitalize()),
            tables.whole("nights", "Nights"),
            tables.whole("failures", "Failures"),
            tables.words("worst", "Worst"),
            Column("seen", "Seen", "per 100 nights", "right"),
            Column("pooled", "Pooled, 90 %", "per 100 nights", "right"),
            Column("exact", "Exact, 90 %", "per 100 nights", "right"),
        ),
        rows,
        noun,
        caption=caption,
    )


def _telling(found: Failures) -> tuple[int, float]:
    """What failed most first, then what was longest along without failing."""
    rate = found.rate
    return -rate.failures, -rate.value if rate.failures else -float(rate.nights)


def _row(found: Failures) -> dict[str, Any]:
    rate = found.rate
    return {
        "name": found.name or label(found.system),
        "nights": rate.nights,
        "failures": rate.failures,
        "worst": found.worst,
        "seen": number(rate.per_100, 1) if rate.enough else TOO_FEW_NIGHTS,
        "pooled": _interval(rate.low, rate.high) if rate.enough else None,
        "exact": _interval(rate.exact_low, rate.exact_high) if rate.enough else None,
    }


def _interval(low: float | None, high: float | None) -> str | None:
    if low is None or high is None:
        return None
    return f"at most {number(high, 1)}" if low == 0 else f"{number(low, 1)} to {number(high, 1)}"


def _systems(book: FailureBook) -> Table:
    caption = "Systems: failures per 100 nights of their things"
    return _rates(book.systems, caption, "system")


def _kilometres(failed: Sequence[Failures]) -> Table:
    rows = [
        {
            "name": f.name,
            "km": f.distance_km,
            "rate": f.per_1000_km,
            "exact": _interval(f.km_low, f.km_high),
            **_severities(f),
        }
        for f in failed
    ]
    return Table.of(
        (
            tables.text("name", "Thing"),
            tables.decimal("km", "Along for", "km", 0),
            tables.decimal("rate", "Failures", "per 1000 km", 1),
            Column("exact", "Exact, 90 %", "per 1000 km", "right"),
            tables.whole("nuisance", "A nuisance"),
            tables.whole("impaired", "Worked badly"),
            tables.whole("lost_use", "Lost"),
            tables.whole("unsafe", "Unsafe"),
        ),
        rows,
        "thing",
        caption="Per 1000 km, and by severity",
        fold_after=0,
    )


def _severities(found: Failures) -> dict[str, int]:
    names = ("nuisance", "impaired", "lost_use", "unsafe")
    return dict(zip(names, found.by_severity, strict=True))


def _notes() -> tuple[str, ...]:
    return (
        "Pooled: things of one system inform each other, so that one failure in few nights counts "
        "for less; over many logbooks 9 of 10 such intervals hold the truth, fewer for what truly "
        "fails often. Exact: from the thing's own record alone, never too narrow. Where the pooled "
        "one would leave out what was seen, the exact one stands. Under "
        f"{FEWEST_NIGHTS} nights carried there are {TOO_FEW_NIGHTS}.",
    )


def how_long(book: FailureBook) -> Section:
    """Life by system, and what a night with each thing cost so far."""
    heading = "How long things last"
    told = [s for s in book.system_lives if s.survival is not None]
    reached = [s for s in told if s.survival and s.survival.median is not None]
    if not book.lives:
        return Section.empty(heading, "nothing came along yet")
    if reached:
        first = f"{listing([label(s.system) for s in reached])}: half are known to fail for good."
    elif told:
        first = "In no system has half the gear worn out yet, so there is no typical life to quote."
    else:
        first = "No system has five things that were used for a night, so none can be told yet."
    rows = [
        {"system": s.system, "items": s.items, "failed": s.failed, "words": system_life_in_words(s)}
        for s in book.system_lives
    ]
    lives = Table.of(
        (
            tables.words("system", "System"),
            tables.whole("items", "Things used"),
            tables.whole("failed", "Failed for good"),
            Column("words", "Life, in nights of use", write=sentence),
        ),
        rows,
        "system",
        caption="Life by system (Kaplan–Meier)",
    )
    return Section(
        heading,
        (first,),
        None,
        lives,
        (
            "A life is the nights of trips on which a thing was used, to the first failure for "
            "good (it did not work, or was unsafe). What is still in use or was given up before "
            "counts as having lasted so far.",
        ),
        more=(_costs(book),),
    )


def _costs(book: FailureBook) -> Table:
    known = [x for x in book.lives if x.cost_per_night is not None]
    rows = [
        {
            "name": x.name,
            "price": money(x.price or 0.0, x.currency),
            "nights": x.nights_carried,
            "cost": money(x.cost_per_night or 0.0, x.currency, 2),
        }
        for x in sorted(known, key=lambda x: (-(x.cost_per_night or 0.0), x.item))
    ]
    return Table.of(
        (
            tables.text("name", "Thing"),
            Column("price", "Price", align="right"),
            tables.whole("nights", "Nights"),
            Column("cost", "Price per night so far", align="right"),
        ),
        rows,
        "thing",
        caption="Cost per night so far",
        fold_after=8,
    )


def before_next(mend: Sequence[Mapping[str, Any]], again: Sequence[Mapping[str, Any]]) -> Section:
    """What to mend or check before the next trip."""
    heading = "Mend or check before the next trip"
    open_ = {row["item"] for row in mend}
    check = [row for row in again if row["item"] not in open_]
    if not mend and not check:
        return Section.empty(heading, "nothing waits to be mended")
    parts = []
    if open_:
        parts.append(f"{count(len(open_), 'thing')} to mend")
    if check:
        parts.append(f"{count(len(check), 'thing')} to check that failed more than once")
    lists = (
        Checklist("Mend: failed and not fixed", tuple(_mend(mend))),
        Checklist(
            "Check: fixed, but failed more than once",
            tuple(
                Task(
                    row["name"],
                    f"{count(row['failures'], 'failure')}, the last on "
                    f"{day(row['last_on'], weekday=False)}",
                )
                for row in check
            ),
        ),
    )
    return Section(heading, (sentence(", ".join(parts)),), more=lists, caution=CARE)


def _mend(rows: Sequence[Mapping[str, Any]]) -> list[Task]:
    by_item: dict[str, list[Mapping[str, Any]]] = {}
    for row in rows:
        by_item.setdefault(row["item"], []).append(row)
    return [
        Task(mine[0]["name"], "; ".join(_failing(row) for row in mine)) for mine in by_item.values()
    ]


def _failing(row: Mapping[str, Any]) -> str:
    parts = [row["what"] or "", SEVERITY_WORDS[row["severity"]], f"on “{row['title']}”"]
    return ", ".join(part for part in parts if part)
