"""What was found wrong: problems set a record aside, warnings do not."""

import errno
from dataclasses import dataclass, field
from typing import NamedTuple

from .names import printable


class Fault(NamedTuple):
    """One thing wrong with a record or a header, as a reader finds it.

    ``cause`` is the `file:line` of another record that was set aside, where that alone is why.
    """

    column: str
    value: str
    problem: str
    nearest: str = ""
    cause: str = ""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with one record (or, at line 1 and up, with a file's header).

    ``line`` is the physical line on which the record begins, 0 where the whole file is meant.
    ``trip`` is the trip the record belongs to, where known; ``cause`` as in Fault.
    """

    file: str
    problem: str
    line: int = 0
    column: str = ""
    value: str = ""
    nearest: str = ""
    raw: str = ""
    trip: str = ""
    cause: str = ""

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}" if self.line else self.file
        column = f"{self.column}: " if self.column else ""
        hint = f'; did you mean "{self.nearest}"?' if self.nearest else ""
        return printable(f"{where}: {column}{self.problem}{hint}")

    def as_json(self) -> dict[str, object]:
        """The problem as `check --json` prints it."""
        names = ("file", "line", "column", "value", "problem")
        return {name: getattr(self, name) for name in names} | {"nearest": self.nearest or None}


class UnreadCell(NamedTuple):
    """A cell of a thing's own row that could not be read and counts as blank, as it was typed."""

    file: str
    item: str
    column: str
    value: str


class UnreadUse(NamedTuple):
    """A carried row of which the cell `used` could not be read; the row itself was loaded."""

    file: str
    trip: str
    item: str


@dataclass(slots=True)
class FileCount:
    """The records of one file: read = loaded + set aside.

    ``laid_out`` counts rows that hold nothing beyond their key yet; they are no records.
    """

    file: str
    read: int = 0
    set_aside: int = 0
    unreadable: bool = False
    laid_out: int = 0

    @property
    def loaded(self) -> int:
        """Records that went into the store."""
        return self.read - self.set_aside


_LASTING = {errno.ENOENT, errno.EISDIR, errno.ENOTDIR, errno.ELOOP}
"""Why a file cannot be opened that will not change unless its entry does."""


@dataclass(slots=True)
class Findings:
    """Everything that reading found, file by file.

    ``problems`` are those that a person is shown; ``records`` has one entry per problem of every
    record set aside, also of those that failed only because of another record. ``rebuilt``: the
    former store did not look as it was left. ``unopened``: the system did not let an input be read,
    which may be otherwise the next time though its size and time are the same. ``in_ounces``:
    masses are shown in ounces and pounds, as every weight is in them and no setting says otherwise.
    """

    files: dict[str, FileCount] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    records: list[Problem] = field(default_factory=list)
    warnings: list[Problem] = field(default_factory=list)
    use_not_read: list[UnreadUse] = field(default_factory=list)
    cells_not_read: list[UnreadCell] = field(default_factory=list)
    rebuilt: bool = False
    unopened: bool = False
    in_ounces: bool = False
    _aside: set[tuple[str, int]] = field(default_factory=set)

    def file(self, name: str) -> FileCount:
        """The count of one file, begun where it is new."""
        return self.files.setdefault(name, FileCount(name))

    def set_aside(self, problems: list[Problem], show: bool = True) -> None:
        """Set one record aside for the given problems (all of one file and line)."""
        first = problems[0]
        self.records.extend(problems)
        if show:
            self.problems.extend(problems)
        if (first.file, first.line) not in self._aside:
            self._aside.add((first.file, first.line))
            self.file(first.file).set_aside += 1

    def unreadable(self, file: str, problem: str, line: int = 0) -> None:
        """Count a file as one unreadable file and name it."""
        self.file(file).unreadable = True
        self.problems.append(Problem(file, problem, line))

    def cannot_open(self, file: str, error: OSError, what: str = "opened") -> None:
        """Count a file as one that the system did not let be read."""
        self.unopened |= error.errno not in _LASTING
        self.unreadable(file, f"cannot be {what} ({error.strerror})")

    def warn(self, file: str, problem: str, line: int = 0, column: str = "", **more: str) -> None:
        """Add a warning; ``more`` are its value and the nearest known one."""
        self.warnings.append(Problem(file, problem, line, column, **more))

    def forget(self, names: set[str]) -> None:
        """Begin anew with some files."""
        for name in names:
            self.files.pop(name, None)
        for entries in (self.problems, self.records, self.warnings):
            entries[:] = [entry for entry in entries if entry.file not in names]
        self.use_not_read = [unread for unread in self.use_not_read if unread.file not in names]
        self.cells_not_read = [cell for cell in self.cells_not_read if cell.file not in names]
        self._aside = {(file, line) for file, line in self._aside if file not in names}

    @property
    def clean(self) -> bool:
        """Whether nothing was set aside, every file could be read and no header is wrong."""
        return not self.problems and not self.records

    @property
    def complete(self) -> bool:
        """Whether nothing was set aside and every file could be read: the status of a command.

        A wrong header of a file without records has cost nothing yet.
        """
        return not self.records and not any(file.unreadable for file in self.files.values())
