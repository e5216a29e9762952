"""Times two commands in turn, as whole processes, and prints their ratio."""

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).parent


@dataclass(frozen=True)
class Spent:
    """What a run took: seconds by the clock, of processor (its children's, too), peak in MB."""

    seconds: float
    processor: float
    peak_mb: float


def timed(command: Sequence[str]) -> tuple[float, float]:
    """Wall seconds and peak memory in MB of one run; a run that fails stops the benchmark."""
    took = spent(command)
    return took.seconds, took.peak_mb


def spent(command: Sequence[str], cwd: Path | None = None) -> Spent:
    """What one run took; a run that fails stops the benchmark."""
    started = time.perf_counter()
    process = subprocess.Popen(command, cwd=cwd, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    _, status, usage = os.wait4(process.pid, 0)
    seconds = time.perf_counter() - started
    if status:
        assert process.stderr is not None
        sys.exit(f"{' '.join(command)} failed:\n{process.stderr.read().decode()}")
    process.returncode = 0
    return Spent(seconds, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024)


def compare(
    title: str,
    ours: Sequence[str],
    bare: Sequence[str],
    limit: float,
    runs: int = 3,
    before: Callable[[], None] = lambda: None,
) -> float:
    """Run ours and the bare baseline in turn; print medians, their ratio and the limit."""
    own: list[float] = []
    base: list[float] = []
    peak = 0.0
    for round_ in range(runs + 1):
        before()
        seconds, memory = timed(ours)
        other, _ = timed(bare)
        if round_:  # the first round only warms the file cache
            own.append(seconds)
            base.append(other)
            peak = max(peak, memory)
    ratio = statistics.median(a / b for a, b in zip(own, base, strict=True))
    print(
        f"{title}: {statistics.median(own):.2f} s against {statistics.median(base):.2f} s bare, "
        f"ratio {ratio:.2f} (limit {limit:g}), peak {peak:,.0f} MB",
        flush=True,
    )
    return ratio
