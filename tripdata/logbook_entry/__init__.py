"""A trip's own files, read for a form and written by it: whole or not at all, byte for byte.

`entry` is what a person says; `reading` and `beginning` make one from the logbook, `dropping` fills
in tracks and thermometers. `preparing` composes what the files would be and proves it by reading
them, `telling` says what changes; `writing` writes it. `drafts` keeps a form that is closed.
"""

from ..errors import ChangedMeanwhileError
from ..journal import recover
from .beginning import begin
from .drafts import draft, drafts, drop_draft, keep_draft, set_draft_aside
from .dropping import fill
from .entry import (
    Along,
    Amount,
    Day,
    Dropped,
    Failure,
    FileChange,
    Filled,
    KeptDraft,
    Leg,
    Score,
    TripEntry,
    Wish,
    Writing,
)
from .preparing import prepare
from .reading import read_entry
from .writing import write

__all__ = [
    "Along",
    "Amount",
    "ChangedMeanwhileError",
    "Day",
    "Dropped",
    "Failure",
    "FileChange",
    "Filled",
    "KeptDraft",
    "Leg",
    "Score",
    "TripEntry",
    "Wish",
    "Writing",
    "begin",
    "draft",
    "drafts",
    "drop_draft",
    "fill",
    "keep_draft",
    "prepare",
    "read_entry",
    "recover",
    "set_draft_aside",
    "write",
]
