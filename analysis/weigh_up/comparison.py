"""Two lists side by side, to the milligram."""

from collections.abc import Iterable
from dataclasses import dataclass

from .results import WeighUp


@dataclass(frozen=True, slots=True)
class Beside:
    """One total, system or thing on two lists; 0 where a list has none of it."""

    name: str
    here_mg: int
    there_mg: int

    @property
    def more_mg(self) -> int:
        """How much more it is here, below 0 for less."""
        return self.here_mg - self.there_mg


@dataclass(frozen=True, slots=True)
class Comparison:
    """Totals in their order, systems heaviest first, things that differ by how much they do."""

    here: WeighUp
    there: WeighUp
    totals: tuple[Beside, ...]
    systems: tuple[Beside, ...]
    things: tuple[Beside, ...]


def compare(here: WeighUp, there: WeighUp) -> Comparison:
    """Set a list beside another."""
    totals = [{t.name: t.mg for t in each.fair_totals()} for each in (here, there)]
    names = {row.item: row.name for row in (*there.rows, *here.rows)}
    systems, items = (
        [{g.name: g.carried_mg for g in each.by(group)} for each in (here, there)]
        for group in ("system", "item")
    )
    things = [
        Beside(names[each.name], each.here_mg, each.there_mg)
        for each in _beside(items[0], items[1])
        if each.more_mg
    ]
    return Comparison(
        here,
        there,
        tuple(
            each for each in _beside(*totals) if each.name in totals[0].keys() & totals[1].keys()
        ),
        tuple(sorted(_beside(*systems), key=lambda each: (-each.here_mg, -each.there_mg))),
        tuple(sorted(things, key=lambda each: (-abs(each.more_mg), each.name))),
    )


def _beside(here: dict[str, int], there: dict[str, int]) -> list[Beside]:
    every: Iterable[str] = dict.fromkeys((*here, *there))
    return [Beside(name, here.get(name, 0), there.get(name, 0)) for name in every]
