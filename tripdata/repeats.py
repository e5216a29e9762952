"""Of two records with one key the first stands: who was first, and how the later are told."""

from collections import Counter

from .book import Key
from .problems import Findings, Problem

Place = tuple[str, int]
"""File and line of a record."""


class Repeats:
    """The repeated records of one file; ``seen`` is shared by all files of its table."""

    def __init__(self, seen: dict[Key, Place], findings: Findings) -> None:
        self._seen, self._findings = seen, findings
        self._found: list[Problem] = []
        self._origins: Counter[str] = Counter()

    def first(self, key: Key, place: Place) -> Place | None:
        """Where the key stood before, None where this is the first record that has it."""
        first = self._seen.setdefault(key, place)
        return None if first is place else first

    def add(self, problem: Problem, first: Place) -> None:
        """Take a record that repeats another."""
        self._found.append(problem)
        if first[0] != problem.file:
            self._origins[first[0]] += 1

    def tell(self, read: int) -> None:
        """Set the repeats aside; a file of ``read`` records that mostly repeats gets one line."""
        elsewhere = sum(self._origins.values())
        old_copy = elsewhere >= 2 and elsewhere * 2 > read
        for problem in self._found:
            self._findings.set_aside([problem], tell=not old_copy)
        if old_copy:
            first, origin = self._found[0], self._origins.most_common(1)[0][0]
            words = (
                f"looks like an old copy of {origin}: {elsewhere} of its {read} records repeat; "
                "move it out of the logbook"
            )
            self._findings.told.append(
                Problem(first.file, first.line, first.column, first.value, words)
            )
