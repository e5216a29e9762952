"""The section that sets another trip or plan beside a list."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from ...display.sections import Section
from ...display.tables import Table, measured, text, words
from ...display.words import Display, Scale, small_mass
from ..comparison import Beside
from ..results import WeighUp
from ..words import not_weighed, total_scale
from . import words as say
from .shown import groups_shown, totals_shown

if TYPE_CHECKING:
    from .page import WeighUpPage


def beside_section(page: "WeighUpPage") -> Section:
    """Another trip or plan beside it."""
    comparison, display = page.comparison, page.display
    heading = "Side by side"
    if comparison is None:
        return Section.empty(heading, "no other trip was named")
    head = [say.short_name(each) for each in (comparison.here, comparison.there)]
    notes = tuple(
        f"{say.subject(each)}: {sentence}"
        for each in (comparison.here, comparison.there)
        for sentence in (
            *not_weighed(each),
            *(say.asked_for(each) if each is comparison.there else ()),
        )
    )
    scale, lists = total_scale(display), (comparison.here, comparison.there)
    totals = _as_shown(comparison.totals, [totals_shown(each, scale) for each in lists])
    systems = _as_shown(comparison.systems, [_systems(each, scale) for each in lists])
    return Section(
        heading,
        (say.comparison_words(comparison, display),),
        table=_beside_table("Total", "total", totals, head, display),
        more=(
            _beside_table("System", "system", systems, head, display, fold_after=20),
            _beside_table("Thing", "thing", comparison.things, head, display),
        ),
        notes=notes,
    )


def _beside_table(
    header: str,
    noun: str,
    rows: Sequence[Beside],
    head: Sequence[str],
    display: Display,
    fold_after: int = 12,
) -> Table:
    scale = small_mass(display) if noun == "thing" else total_scale(display)
    name = words if noun == "system" else text
    columns = (
        name("name", header),
        measured("here", head[0], scale, of=lambda row: row.here_mg / 1000),
        measured("there", head[1], scale, of=lambda row: row.there_mg / 1000),
        measured(
            "more",
            "Difference",
            scale,
            signed=True,
            of=lambda row: scale.difference(row.here_mg / 1000, row.there_mg / 1000),
        ),
    )
    caption = {"system": "By system", "thing": "Things that differ"}.get(noun, "")
    return Table.of(columns, rows, noun, caption=caption, fold_after=fold_after)


def _as_shown(rows: Sequence[Beside], sides: Sequence[Mapping[str, float]]) -> tuple[Beside, ...]:
    """Rows with the weights that each list shows itself; ``sides`` have them by name, in g."""
    return tuple(
        Beside(row.name, *(round(side.get(row.name, 0.0) * 1000) for side in sides)) for row in rows
    )


def _systems(weighed: WeighUp, scale: Scale) -> dict[str, float]:
    return {each.about.name: each.carried_g for each in groups_shown(weighed, "system", scale)}
