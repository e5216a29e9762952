"""Items that name other items: `replaces` and `needs`."""

from collections.abc import Iterable

from .book import Row
from .names import Names, shown
from .problems import Findings


def check_references(
    rows: Iterable[tuple[str, int, Row]], items: Names, findings: Findings
) -> None:
    """Write items named in `replaces` and `needs` as first defined; warn where nobody did.

    ``rows`` are (file, line, row) of gear or candidates.
    """
    for file, line, row in rows:
        for column in ("replaces", "needs"):
            named = row.get(column)
            if not named:
                continue
            for item in named:
                if items.find(item) is None:
                    problem = f"{shown(item)} is not an item of gear.csv"
                    near = items.nearest(item)
                    findings.warn(file, problem, line, column, value=item, nearest=near)
            row[column] = list(dict.fromkeys(items.find(item) or item for item in named))
