"""What would be lost with the things that a candidate takes over from.

A thing in the place of others is no plain question of grams where one of them was for an emergency,
kept dry, warm, lit or fed, or carried a figure that the new one has not.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from ...tripdata.contract import INSURANCE_SYSTEMS
from ..usage.keep_rules import may_keep_warm
from .results import Candidate, Replaced

GRAVE: Mapping[str, str] = {
    "first_aid": "first aid",
    "safety": "safety",
    "navigation": "finding the way",
    "fire": "making fire",
    "repair": "repairs",
    "shelter": "shelter",
    "sleep": "sleeping",
    "water": "drinking water",
    "rain": "rain",
    "light": "light",
}
"""Systems of which none may be left without anything, in the words of a caution."""
LESS_GRAVE: Mapping[str, str] = {
    "clothing": "keeping warm",
    "power": "power",
    "cook": "cooking",
    "food": "eating",
    "boat": "staying afloat",
    "bike": "riding",
}
"""Systems whose loss is cautioned about and no more."""


@dataclass(frozen=True, slots=True)
class Losses:
    """What would be lost.

    ``insured``: names of replaced things that are carried for an emergency. ``emptied``: systems
    of which nothing owned would be left. ``lost``: name and system of replaced things that are for
    something else than the candidate is. ``alone``: the candidate would be all there is of its
    system; ``merged``: names of the several things of one such system that it takes over from.
    ``blank``: figures that something replaced has and the candidate has not. ``warmth``: names of
    replaced things that keep warm, where no figure says whether the candidate is as warm.
    """

    insured: tuple[str, ...] = ()
    emptied: tuple[str, ...] = ()
    lost: tuple[tuple[str, str], ...] = ()
    alone: bool = False
    merged: tuple[str, ...] = ()
    blank: tuple[str, ...] = ()
    warmth: tuple[str, ...] = ()

    @property
    def grave(self) -> bool:
        """Whether grams and money cannot decide it."""
        return bool(self.insured or self.emptied or any(s in GRAVE for _, s in self.lost))


def losses(
    candidate: Candidate,
    replaced: Sequence[Replaced],
    gear: Iterable[Mapping[str, Any]],
    today: date,
) -> Losses:
    """What would be lost; ``gear``: everything owned, of which what is given up is gone."""
    every, gone = list(gear), {r.item for r in replaced}
    for_cold = {row["item"] for row in every if "cold" in (row.get("meant_for") or ())}
    stays = [row for row in every if row["item"] not in gone and _to_rely_on(row, today)]
    left = {row["system"] for row in stays}
    own = candidate.system if candidate.carried_as != "consumable" else None
    emptied = {r.system for r in replaced if r.system in GRAVE} - left - {own}
    merged = [r.name for r in replaced if r.system == candidate.system]
    same = candidate.system in GRAVE
    return Losses(
        insured=tuple(r.name for r in replaced if r.insurance or r.system in INSURANCE_SYSTEMS),
        emptied=tuple(sorted(emptied)),
        lost=tuple(
            (r.name, r.system)
            for r in replaced
            if r.system != candidate.system and (r.system in GRAVE or r.system in LESS_GRAVE)
        ),
        alone=same and bool(merged) and candidate.system not in left,
        merged=tuple(merged) if same and len(merged) > 1 else (),
        blank=_blank(candidate, replaced),
        warmth=tuple(
            r.name
            for r in replaced
            if may_keep_warm(r.system, for_cold=r.item in for_cold) and not _compared(candidate, r)
        ),
    )


def _compared(candidate: Candidate, one: Replaced) -> bool:
    """Whether both have a rating or an R-value: where one is silent, nothing is compared."""
    if {candidate.system, one.system} != {"sleep"}:
        return False
    pairs = ((candidate.rated_low_c, one.rated_low_c), (candidate.r_value, one.r_value))
    return any(own is not None and had is not None for own, had in pairs)


def _to_rely_on(row: Mapping[str, Any], today: date) -> bool:
    given_up = row["retired_on"] is not None and row["retired_on"] <= today
    return not given_up and row["owner"] is None and row["carried_as"] != "consumable"


def _blank(candidate: Candidate, replaced: Sequence[Replaced]) -> tuple[str, ...]:
    rated = any(r.rated_low_c is not None and r.system == "sleep" for r in replaced)
    figures = (
        ("R-value", candidate.r_value, any(r.r_value for r in replaced)),
        ("rating", candidate.rated_low_c, rated),
        ("capacity", candidate.capacity_wh, any(r.capacity_wh for r in replaced)),
    )
    return tuple(name for name, own, had in figures if own is None and had)
