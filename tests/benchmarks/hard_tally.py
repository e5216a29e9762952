"""What a harness of hard use counted, and what went wrong in it."""

import resource
import signal
import sys
from collections import Counter
from dataclasses import dataclass, field


@dataclass
class Tally:
    """Counts by name, in the order in which they came up, and faults in words."""

    counts: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)

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


def begin() -> None:
    """From now on, stop when asked to."""
    signal.signal(signal.SIGTERM, lambda number, _: _asked.append(number))


def ended(tallies: dict[str, Tally], seed: str) -> None:
    """Print what was counted and leave, with 1 where anything went wrong."""
    print(f"seed {seed!r}")
    for name, tally in tallies.items():
        print(f"{name}: {tally}")
    faults = [f"{name}: {fault}" for name, tally in tallies.items() for fault in tally.faults]
    for fault in faults[:50]:
        print(f"  {fault}")
    print(f"{len(faults)} faults{', stopped before the end' * stopped()}")
    sys.exit(1 if faults else 0)
