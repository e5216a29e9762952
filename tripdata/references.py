"""Items that name other items, `replaces` and `needs`, and the names that they had: `formerly`."""

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


def check_former_names(
    rows: Iterable[tuple[str, int, Row]], items: Names, findings: Findings
) -> None:
    """Warn of a former name that does not lead to its item, since another has it as well.

    ``rows`` are (file, line, row) of gear.
    """
    for file, line, row in rows:
        for other in row.get("formerly") or ():
            rivals = [shown(item) for item in items.meant(other) if item != row["item"]]
            if rivals:
                own = items.find(other) is not None
                which = "is the item of that name" if own else "has it, too"
                problem = f"{shown(other)} does not lead here: {rivals[0]} {which}"
                findings.warn(file, problem, line, "formerly", value=other)
