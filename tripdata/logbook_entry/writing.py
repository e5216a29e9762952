"""Writes what was prepared, whole or not at all."""

from pathlib import Path

from ..errors import ChangedMeanwhileError, QuestionError
from ..journal import Replacement, commit
from .entry import Writing
from .inputs import inputs_of


def write(folder: Path, writing: Writing) -> tuple[Path, ...]:
    """Write what was prepared; the files that were written.

    Raises QuestionError where there are problems, ChangedMeanwhileError where the logbook is no
    longer what it was when this was prepared, LogbookError where a file cannot be written and
    StoreError where another load does not end. In each case nothing is changed.
    """
    if writing.problems:
        raise QuestionError(f"nothing was written: {writing.problems[0]}")
    if not writing.changes:
        return ()

    def still_good() -> None:
        if inputs_of(folder) != writing.inputs:
            raise ChangedMeanwhileError(
                f"{folder}: a file of the logbook was changed since this was looked at; nothing "
                "was written, look at it again"
            )

    files = [Replacement(c.path, c.before if c.existed else None, c.after) for c in writing.changes]
    return commit(folder, files, still_good)
