"""The sections on what broke, how long things last, and what failed and waits."""

from collections.abc import Callable, Sequence
from typing import Any

import altair as alt

from ...tripdata.contract import SEVERITIES
from ..display import tables
from ..display.cautions import MENDED_CARE
from ..display.charts import dots_with_intervals, tips
from ..display.figure import Figure
from ..display.sections import Section
from ..display.tables import Column, Table
from ..display.theme import MAIN, Layout
from ..display.words import count, label, listing, money, number, quoted, sentence
from ..stats.estimate import Estimate
from .chores import TO_DO_NEXT, Chore, chore_lists
from .failures import FailureBook, Failures, SystemLife
from .rates import FEWEST_NIGHTS, TOO_FEW_NIGHTS, FailureRate
from .words import SEVERITY_WORDS, system_life_in_words

_MOST_DOTS = 12
_MATTERS = ("shelter", "sleep", "rain", "water", "cook")
_LIFE = (
    "A life is the nights of trips on which a thing was used, to the first failure for good (it "
    "could no longer be used, or was unsafe, and no repair is noted). What is still in use or was "
    "given up before counts as having lasted so far."
)
_FAILED = ("mend", "try_out")
_PER_100, _PER_KM = "per 100 nights", "per 1000 km"


def what_broke_section(book: FailureBook) -> Section:
    """Rates of what failed, and upper bounds of what did not."""
    heading = "What broke"
    if not book.items:
        return Section.empty(heading, "nothing came along yet")
    failed = [f for f in book.items if f.rate.failures]
    clean = [f for f in book.items if not f.rate.failures and f.rate.nights]
    answer = [_first(failed), *_clean(clean)]
    if book.lives and not _worn_out(book):
        answer.append(_no_typical_life(book))
    caption = "Systems: failures per 100 nights of their things"
    return Section(
        heading,
        tuple(answer),
        _figure([f for f in failed if f.rate.enough], answer[0]),
        _rates([*failed, *clean], "Things: failures per 100 nights"),
        (
            "Pooled: things of one system inform each other, so that one failure in few nights "
            "counts for less. Over many logbooks 9 of 10 such ranges hold the truth, fewer for "
            "what truly fails often. Exact: from the thing’s own record alone, never too narrow. "
            "Where the pooled range would leave out what was seen, the exact one is shown. "
            f"Under {FEWEST_NIGHTS} nights carried there are {TOO_FEW_NIGHTS}.",
            *([_LIFE] if _wearing(book) else []),
        ),
        more=(_rates(book.systems, caption, "system"), _kilometres(failed), *_wearing(book)),
        caution=_care(book),
        fold="How often things fail, and what a night with each cost",
    )


def _clean(clean: Sequence[Failures]) -> list[str]:
    """What the record says of the things that have not failed, the longest along first."""
    if not clean:
        return []
    most = max(clean, key=lambda f: (f.rate.nights, f.system in _MATTERS, f.item or ""))
    verb = "has" if len(clean) == 1 else "have"
    nights = count(most.rate.nights, "faultless night")
    bound = f"after {nights} at most it is too early for a rate."
    along = (
        "along on the one night"
        if most.rate.nights == 1
        else (f"along on all {number(most.rate.nights)} nights")
    )
    if exact := _exact(most):
        high = number(exact.high, 1)
        bound = (
            f"even for those {along} the true rate could still be up to {high} failures in 100 "
            "nights."
        )
    counted = f"{count(len(clean), 'thing')} {verb} not failed yet, not counting what is eaten or"
    return [f"{counted} used up. That proves little: {bound}"]


def _care(book: FailureBook) -> str | None:
    """A caution where anything in use failed in a way that was unsafe."""
    unsafe = [f.name or "" for f in book.in_use if f.by_severity[3]]
    if not unsafe:
        return None
    verb = "was" if len(unsafe) == 1 else "were"
    return f"{quoted(unsafe, at_most=_MOST_DOTS)} {verb} unsafe at least once. {MENDED_CARE}"


def _first(failed: Sequence[Failures]) -> str:
    many = sum(f.rate.failures for f in failed)
    if not many:
        return "No failure is on record."
    bad = sum(f.by_severity[2] + f.by_severity[3] for f in failed)
    mended = sum(f.mended for f in failed)
    verb = "is" if many == 1 else "are"
    told = [f"{count(many, 'failure')} of {count(len(failed), 'thing')} {verb} on record."]
    if bad > mended:
        who = "It was" if many == 1 else f"{number(bad - mended)} of them {_was(bad - mended)}"
        told.append(f"{who} for good, as far as you noted.")
    if mended:
        after = "After it" if many == 1 else f"After {number(mended)} of them"
        what = "the thing" if mended == 1 else "things"
        could = f"{what} could no longer be used until {'it was' if mended == 1 else 'they were'}"
        told.append(f"{after} {could} fixed.")
    return " ".join(told)


def _was(many: int) -> str:
    return "was" if many == 1 else "were"


def _figure(failed: Sequence[Failures], alt_text: str) -> Figure | None:
    if len(failed) < 2:
        return None
    shown = sorted(failed, key=lambda f: (-f.rate.value, f.item or ""))[:_MOST_DOTS]
    rows = [
        {
            "name": f.name,
            "rate": round(f.rate.exact.value, 3) if f.rate.exact else 0.0,
            "low": round(f.rate.low, 3),
            "high": round(f.rate.high, 3),
            "record": f"{number(f.rate.failures)} in {count(f.rate.nights, 'night')}",
        }
        for f in shown
    ]
    return Figure(
        "failure-rates",
        f"{alt_text} Dots with ranges, the most often failing first.",
        lambda layout: _dots(rows, layout),
        "Dots: what was seen; lines: very likely ranges, in which things of one system inform each "
        f"other. Only what came along for {FEWEST_NIGHTS} nights or more is shown.",
    )


def _dots(rows: Sequence[dict[str, Any]], layout: Layout) -> Any:
    title = "Failures per 100 nights carried"
    layers = dots_with_intervals(
        rows,
        alt.Y("name:N", title=None, sort=[row["name"] for row in rows]),
        alt.X("rate:Q", title=title, scale=alt.Scale(zero=True)),
        alt.X("low:Q", title=title),
        tips(name="Thing", record="Record"),
        dot={"size": 80, "color": MAIN, "opacity": 1},
        line={"color": MAIN},
    )
    return alt.layer(*layers).properties(height=layout.rows(len(rows)))


def _rates(failures: Sequence[Failures], caption: str, noun: str = "thing") -> Table:
    columns = (
        tables.text("name", noun.capitalize(), lambda f: f.name or label(f.system)),
        tables.whole("nights", "Nights", lambda f: f.rate.nights),
        tables.whole("failures", "Failures", lambda f: f.rate.failures),
        tables.text("worst", "Worst", lambda f: f.worst and _severity(f.worst)),
        tables.right("seen", "Seen", _PER_100, _seen),
        tables.right("pooled", "Very likely, pooled", _PER_100, lambda f: _interval(_enough(f))),
        tables.right("exact", "Very likely, exact", _PER_100, lambda f: _interval(_exact(f))),
    )
    return Table.of(columns, sorted(failures, key=_telling), noun, caption=caption)


def _severity(severity: str) -> str:
    """A severity as it begins a cell: "Worked badly"."""
    words = SEVERITY_WORDS[severity]
    return f"{words[:1].upper()}{words[1:]}"


def _telling(failures: Failures) -> tuple[int, float]:
    """What failed most first, then what was longest along without failing."""
    rate = failures.rate
    return -rate.failures, -rate.value if rate.failures else -float(rate.nights)


def _seen(failures: Failures) -> str:
    exact = _exact(failures)
    return TOO_FEW_NIGHTS if exact is None else number(exact.value, 1)


def _enough(failures: Failures) -> FailureRate | None:
    """The pooled rate where there are nights enough to tell."""
    return failures.rate if failures.rate.enough else None


def _exact(failures: Failures) -> Estimate | None:
    """The exact rate where there are nights enough to tell."""
    return failures.rate.exact if failures.rate.enough else None


def _interval(estimate: Estimate | None) -> str | None:
    """The ends of a rate, or the upper one alone; missing with too few nights."""
    if estimate is None:
        return None
    high = number(estimate.high, 1)
    return f"at most {high}" if estimate.low == 0 else f"{number(estimate.low, 1)} to {high}"


def _kilometres(failed: Sequence[Failures]) -> Table:
    columns = (
        tables.text("name", "Thing"),
        tables.decimal("distance_km", "Along for", "km", 0),
        tables.decimal(
            "per_1000_km", "Failures", _PER_KM, of=lambda f: f.per_1000_km and f.per_1000_km.value
        ),
        tables.right("exact", "Very likely, exact", _PER_KM, lambda f: _interval(f.per_1000_km)),
        *(
            tables.whole(severity, _severity(severity), _number_of(place))
            for place, severity in enumerate(SEVERITIES)
        ),
    )
    caption = "Per 1000 km, and by severity"
    return Table.of(columns, failed, "thing", caption=caption, fold_after=0)


def _number_of(place: int) -> Callable[[Failures], int]:
    return lambda failures: failures.by_severity[place]


def _worn_out(book: FailureBook) -> list[SystemLife]:
    """The systems of which half the gear has failed for good, so that they have a typical life."""
    return [s for s in book.system_lives if s.survival and s.survival.median is not None]


def _no_typical_life(book: FailureBook) -> str:
    if any(s.survival is not None for s in book.system_lives):
        return "In no system has half the gear worn out yet, so there is no typical life to quote."
    return "No system has five things that were used for a night, so no typical life is given."


def _wearing(book: FailureBook) -> tuple[Table, ...]:
    """The tables of lives and costs where they have no section of their own."""
    return () if _worn_out(book) or not book.lives else (_lives(book), _costs(book))


def how_long_section(book: FailureBook) -> Section:
    """Life by system, and what a night with each thing cost so far.

    Where no life can be told there is none: `what_broke_section` then has its tables.
    """
    heading = "How long things last"
    if not book.lives:
        return Section.empty(heading, "nothing came along yet")
    reached = _worn_out(book)
    if not reached:
        return Section.empty(heading, "in no system has half the gear worn out yet")
    return Section(
        heading,
        (f"{listing([label(s.system) for s in reached])}: half are known to fail for good.",),
        table=_lives(book),
        notes=(_LIFE,),
        more=(_costs(book),),
        fold="Life by system, and what a night with each thing cost",
    )


def _lives(book: FailureBook) -> Table:
    columns = (
        tables.words("system", "System"),
        tables.whole("items", "Things used"),
        tables.whole("failed", "Failed for good"),
        Column("words", "Life, in nights of use", write=sentence, of=system_life_in_words),
    )
    caption = "Life by system (Kaplan–Meier)"
    return Table.of(columns, book.system_lives, "system", caption=caption)


def _costs(book: FailureBook) -> Table:
    known = [x for x in book.lives if x.cost_per_night is not None]
    columns = (
        tables.text("name", "Thing"),
        tables.right("price", "Price", of=lambda x: money(x.price, x.currency)),
        tables.whole("nights_carried", "Nights"),
        tables.right(
            "cost", "Price per night so far", of=lambda x: money(x.cost_per_night, x.currency, 2)
        ),
    )
    rows = sorted(known, key=lambda x: (-(x.cost_per_night or 0.0), x.item))
    return Table.of(columns, rows, "thing", caption="Price per night so far", fold_after=8)


def before_next_section(chores: Sequence[Chore]) -> Section:
    """What failed, of all that is owned: what to mend before the next trip, and what to try."""
    heading = f"{TO_DO_NEXT}: what failed"
    waiting = [chore for chore in chores if chore.kind in _FAILED]
    if not waiting:
        return Section.empty(heading, "nothing waits to be mended")
    mend, tried = ({c.item for c in waiting if c.kind == kind} for kind in _FAILED)
    lists = chore_lists(waiting)
    return Section(heading, (_waiting(len(mend), len(tried)),), more=lists, caution=MENDED_CARE)


def _waiting(mend: int, tried: int) -> str:
    """How many things wait to be mended and to be tried, in a sentence or two."""
    told = []
    if mend:
        told.append(f"{count(mend, 'thing')} {'needs' if mend == 1 else 'need'} mending.")
    if tried:
        it = "it" if tried == 1 else "them"
        verb = "is" if tried == 1 else "are"
        told.append(f"{count(tried, 'thing')} {verb} mended since: try {it} at home first.")
    return " ".join(told)
