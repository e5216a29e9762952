"""What a harness of hard use counted, and what went wrong in it."""

import argparse
import resource
import signal
import sys
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import islice
from typing import TypeVar

Case = TypeVar("Case")


@dataclass
class Tally:
    """Counts by name, in the order in which they came up, and faults in words.

    ``reached``: the number of the first case that was not tried; missing where all were.
    """

    counts: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)
    reached: int | None = None

    def add(self, name: str, many: int = 1) -> None:
        """Count something; a count of 0 is shown as well."""
        self.counts[name] += many

    def fault(self, kind: str, said: str) -> None:
        """Something went wrong: of which kind, and where and how."""
        self.add(kind)
        self.faults.append(f"{kind}: {said}")

    def expect(self, true: bool, kind: str, said: str) -> None:
        """A fault of that kind unless something is true; 0 of them are shown, too."""
        self.add(kind, 0)
        if not true:
            self.fault(kind, said)

    def __str__(self) -> str:
        return ", ".join(f"{many:,} {name}" for name, many in self.counts.items())


def peak_mb() -> float:
    """The most memory that this process has had, in MB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


_asked: list[int] = []


def stopped() -> bool:
    """Whether this process was asked to stop (SIGTERM): what was counted until then is printed."""
    return bool(_asked)


def going(
    cases: Iterable[Case], tally: Tally, first: int = 0, before: int = 0
) -> Iterator[tuple[int, Case]]:
    """Cases with their numbers, until this process is asked to stop; the tally has how far it came.

    ``first``: the number of the first case to try; ``before``: how many there are before these.
    """
    for number, case in islice(enumerate(cases), max(0, first - before), None):
        if stopped():
            if tally.reached is None:
                tally.reached = before + number
            return
        yield number, case


def begin(known: Iterable[str] = ()) -> tuple[list[str], int | None, int]:
    """From now on, stop when asked to. What was asked for: words, a number, the first case.

    ``known``: the words that may be given; all of them where none is.
    """
    signal.signal(signal.SIGTERM, lambda number, _: _asked.append(number))
    every = [*known]
    parser = argparse.ArgumentParser()
    parser.add_argument("asked", nargs="*", help=f"a number; words: {', '.join(every) or 'none'}")
    parser.add_argument("--from", dest="first", type=int, default=0, help="number of a case")
    given = parser.parse_args()
    numbers = [int(word) for word in given.asked if word.isdigit()]
    words = [word for word in given.asked if not word.isdigit()]
    if strange := {*words} - {*every}:
        parser.error(f"{', '.join(sorted(strange))}: not one of {', '.join(every) or 'none'}")
    if given.first and len(words or every) > 1:
        parser.error("--from goes with one word")
    return words or every, numbers[0] if numbers else None, given.first


def ended(tallies: dict[str, Tally], seed: str) -> None:
    """Print what was counted and leave, with 1 where anything went wrong."""
    print(f"seed {seed!r}")
    for name, tally in tallies.items():
        print(f"{name}: {tally}")
        if tally.reached is not None:
            print(f"{name}: goes on with --from {tally.reached}")
    faults = [f"{name}: {fault}" for name, tally in tallies.items() for fault in tally.faults]
    for fault in faults[:50]:
        print(f"  {fault}")
    print(f"{len(faults)} faults{', stopped before the end' * stopped()}")
    sys.exit(1 if faults else 0)
