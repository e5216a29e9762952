"""What one fault costs: records that failed only because of another's are shown once per cause."""

from collections import Counter
from dataclasses import replace

from .problems import Findings, Problem


def add_consequences(findings: Findings) -> None:
    """Add a line per cause with the count of its records, and put the problems in reading order."""
    own: set[tuple[str, int]] = set()
    caused: dict[tuple[str, int], str] = {}
    for problem in findings.records:
        record = (problem.file, problem.line)
        if problem.cause:
            caused.setdefault(record, problem.cause)
        else:
            own.add(record)
    counts = Counter(cause for record, cause in caused.items() if record not in own)
    shown = {f"{p.file}:{p.line}" if p.line else p.file: p for p in findings.problems[::-1]}
    for cause, count in counts.items():
        records = "1 record" if count == 1 else f"{count} records"
        words = f"{records} set aside with it, until it is mended"
        first = shown.get(cause) or _named(cause)
        findings.problems.append(replace(first, problem=words, nearest="", raw=""))
    order = {name: n for n, name in enumerate(findings.files)}
    findings.problems.sort(key=lambda p: (order[p.file], p.line))


def _named(cause: str) -> Problem:
    file, _, line = cause.rpartition(":")
    return Problem(file, "", int(line))
