"""How likely a thing is needed on a trip that has it, and what its lack costs by its own words."""

from ..store.rows import Record
from ..usage.conditions import Meaning
from ..usage.held_words import protects
from ..usage.items import Item, Usage
from .along import LikeLists
from .stays_home import StaysHome


def p_needed(home: StaysHome, known: LikeLists, row: Record, *, far: bool = False) -> float:
    """P(needed on the trip): 1 for insurance and where no record says whether it was used.

    ``far``: no trip before is like the one ahead. That it stayed packed on those proves nothing
    then of what keeps warm, dry, lit, found, fed, healed or afloat, and is 1 for that, unless its
    owner has said what it is for, or that it is not essential.

    A thing's own uses and occasions, with those of what it took over from, pooled in its system
    over all trips before, times the chance of the weather that it is meant for (`usage`).
    """
    used: Usage | None = home.usage
    if row["insurance"] or used is None:
        return 1.0
    thing = about(row)
    if far and protects(thing) and not thing.meaning.words and thing.essential_stated is not False:
        return 1.0
    line = {row["item"], *known.before_it[row["item"]]}
    records = [u for u in used.items if u.about.item in line]
    if not any(u.counts.logged or u.counts.wished for u in records):
        return 1.0
    n, k = sum(u.rate.n for u in records), sum(u.rate.used for u in records)
    rate = float(used.pools[row["system"]].mean(k, n)[0])
    p = used.odds.chance(Meaning.of(row["meant_for"], row["cold_below_c"]))
    return p * rate + (1 - p) * max(u.rate_besides for u in records)


def about(row: Record) -> Item:
    """A thing as the verdicts know it, from a row of ``ahead/gear_then``."""
    mg = row["weight_mg"]
    same = {name: row[name] for name in Item.__slots__ if name in row and name != "needs"}
    return Item(
        **same,
        weight_g=None if mg is None else mg / 1000,
        meaning=Meaning.of(row["meant_for"], row["cold_below_c"]),
        needs=tuple(row["needs"]),
    )
