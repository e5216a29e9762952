"""Forms that were closed, kept to be taken up again."""

from pathlib import Path
from typing import Any

from .entry import KeptDraft


def keep_draft(folder: Path, trip: str, data: dict[str, Any]) -> None:
    """Keep a draft."""
    raise NotImplementedError


def drafts(folder: Path) -> tuple[KeptDraft, ...]:
    """The drafts that are kept."""
    raise NotImplementedError


def draft(folder: Path, trip: str) -> dict[str, Any] | None:
    """The draft of a trip."""
    raise NotImplementedError


def drop_draft(folder: Path, trip: str) -> None:
    """Remove the draft of a trip."""
    raise NotImplementedError
