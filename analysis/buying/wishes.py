"""Trips on which a thing was wished for that is not owned."""

from collections.abc import Mapping, Sequence
from typing import Any

from ...tripdata.names import folded, slug
from .results import Candidate, Wishes


def wishes(candidate: Candidate, missed: Sequence[Mapping[str, Any]]) -> Wishes:
    """The notes that mean it: what was typed, read as a short name, is its short name or its name.

    ``missed``: rows of ``wished_things``.
    """
    names = {folded(slug(candidate.candidate)), folded(slug(candidate.name))}
    mine = [row for row in missed if folded(slug(row["what"])) in names]
    much = [row["how_much"] for row in mine]
    return Wishes(
        notes=len(mine),
        trips=len({row["trip"] for row in mine}),
        badly=much.count("badly"),
        much=much.count("much"),
        little=much.count("little"),
    )
