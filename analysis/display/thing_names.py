"""Names of things in a sentence: always in quotation marks, since a name may hold a comma."""

from collections.abc import Sequence

from .words import listing

_AT_MOST = 4


def in_marks(name: str) -> str:
    """Return a name as it stands in a sentence."""
    return f"“{name}”"


def listed(names: Sequence[str], last: str = "and") -> str:
    """Return "“Mug”, “Rope, 10 m” and “Saw”"."""
    return listing([in_marks(name) for name in names], last=last)


def named(names: Sequence[str]) -> str:
    """Return four names at most; beyond them three, and how many more there are."""
    at_most = _AT_MOST if len(names) <= _AT_MOST else _AT_MOST - 1
    return listing([in_marks(name) for name in names], at_most=at_most)
