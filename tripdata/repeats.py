"""Of two records with one key the first stands: who was first, and how the later are reported."""

from collections import Counter
from dataclasses import replace

from .book import Key
from .problems import Findings, Problem

RecordPlace = tuple[str, int]
"""File and line of a record."""
Seen = dict[Key, RecordPlace]
"""The keys of a table that were read so far, and where."""


class Repeats:
    """The repeated records of one file; ``seen`` is shared by all files of its table."""

    def __init__(self, seen: Seen, findings: Findings) -> None:
        self._seen, self._findings = seen, findings
        self._repeated: list[Problem] = []
        self._origins: Counter[str] = Counter()

    def first(self, key: Key, place: RecordPlace) -> RecordPlace | None:
        """Where the key stood before, None where this is the first record that has it."""
        first = self._seen.setdefault(key, place)
        return None if first is place else first

    def add(self, problem: Problem, first: RecordPlace) -> None:
        """Take a record that repeats another."""
        self._repeated.append(problem)
        if first[0] != problem.file:
            self._origins[first[0]] += 1

    def report(self, read: int) -> None:
        """Set the repeats aside; a file of ``read`` records that mostly repeats gets one line."""
        elsewhere = sum(self._origins.values())
        old_copy = elsewhere >= 2 and elsewhere * 2 > read
        for problem in self._repeated:
            self._findings.set_aside([problem], show=not old_copy)
        if old_copy:
            first, origin = self._repeated[0], self._origins.most_common(1)[0][0]
            words = (
                f"looks like an old copy of {origin}: {elsewhere} of its {read} records repeat; "
                "move it out of the logbook"
            )
            self._findings.problems.append(replace(first, problem=words, raw="", trip=""))
