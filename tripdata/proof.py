"""Proofs by query: what the store promises of its large tables, counted before it is swapped in.

Declared keys and references on a million rows cost several times the load; one query each shows
the same. Identifiers come from the contract alone.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from .contract import Table
from .errors import StoreError
from .names import folded
from .schema import quoted

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_INSIDE = ("day", "from_day", "until_day")


@dataclass(frozen=True, slots=True)
class Promise:
    """Something true of every row ``v`` of a table: a name and an SQL predicate on ``v``.

    ``narrow`` names the columns whose distinct values suffice to prove it.
    """

    name: str
    predicate: str
    narrow: tuple[str, ...] = ()


def promises(table: Table) -> list[Promise]:
    """The references and days that hold in every row of a table."""
    promised: list[Promise] = []
    for column in table.columns:
        name = quoted(column.stored)
        if column.kind == "trip":
            promised.append(Promise("trip", f"v.{name} IN (SELECT trip FROM trip)", ("trip",)))
        elif column.kind == "item":
            known = f"v.{name} IS NULL OR v.{name} IN (SELECT item FROM gear)"
            promised.append(Promise("item", known, ("item",)))
        elif column.kind == "date" and column.name in _INSIDE:
            inside = (
                f"v.{name} IS NULL OR EXISTS (SELECT 1 FROM trip AS k WHERE k.trip = v.trip "
                f"AND v.{name} BETWEEN k.start_on AND k.end_on)"
            )
            promised.append(Promise(column.name, inside, ("trip", column.stored)))
    if table.name == "carried":
        order = "v.from_day IS NULL OR v.until_day IS NULL OR v.from_day <= v.until_day"
        promised.append(Promise("from_day", order, ("from_day", "until_day")))
    if table.name == "used":
        along = "EXISTS (SELECT 1 FROM carried AS c WHERE c.trip = v.trip AND c.item = v.item)"
        promised.append(Promise("item", along, ("trip", "item")))
    return promised


def strangers(connection: "DuckDBPyConnection", table: Table) -> list[str]:
    """Names of the promises about references and days that some row of the table breaks."""
    broken = []
    for promise in promises(table):
        columns = ", ".join(quoted(n) for n in promise.narrow)
        source = f"(SELECT DISTINCT {columns} FROM {quoted(table.name)})"
        query = f"SELECT count(*) FROM {source} AS v WHERE NOT ({promise.predicate})"
        if one_number(connection, query):
            broken.append(promise.name)
    return broken


def broken_promises(connection: "DuckDBPyConnection", table: Table) -> list[str]:
    """Names of all that a table promises and some row breaks, its key among it."""
    broken = strangers(connection, table)
    if table.per_trip and repeated_keys(connection, table):
        broken.append("key")
    return broken


def broken_table(table: Table, broken: list[str]) -> StoreError:
    """The error of a table that breaks its promises; nothing is then swapped in."""
    return StoreError(
        f"the table {table.name} does not hold what it promises ({', '.join(broken)}); "
        "the former store was kept; please report this with the files that caused it"
    )


def repeated_keys(connection: "DuckDBPyConnection", table: Table) -> int:
    """How many keys of a table stand in more than one row, defaults filled in, case folded."""
    if not table.key or _surely_different(connection, table):
        return 0
    joins = ""
    parts: list[str] = []
    for name in table.key:
        column = table.column(name)
        value = f"v.{quoted(column.stored)}"
        if name == "carried_as":
            joins += " LEFT JOIN gear AS g ON g.item = v.item"
            value = f"coalesce({value}, g.carried_as)"
        elif name == "mode":
            joins += " LEFT JOIN trip AS k ON k.trip = v.trip"
            value = f"coalesce({value}, k.mode)"
        elif column.kind == "group":
            _fold_table(connection, table.name, column.stored)
            joins += f" LEFT JOIN folds AS f ON f.typed = {value}"
            value = "f.fold"
        parts.append(f"{value} AS k{len(parts)}")
    keys = f"SELECT {', '.join(parts)} FROM {quoted(table.name)} AS v{joins}"
    names = ", ".join(f"k{n}" for n in range(len(parts)))
    twice = f"SELECT 1 FROM ({keys}) GROUP BY {names} HAVING count(*) > 1"
    return one_number(connection, f"SELECT count(*) FROM ({twice})")


def _surely_different(connection: "DuckDBPyConnection", table: Table) -> bool:
    """Whether the key's columns that need no filling in tell all rows apart already.

    By hash, which is cheap: equal rows have equal hashes, so that none equal is proof enough.
    """
    columns = [table.column(name) for name in table.key]
    plain = [c.stored for c in columns if c.kind != "group" and not c.choices]
    names = ", ".join(map(quoted, plain))
    query = f"SELECT count(*) - count(DISTINCT hash({names})) FROM {quoted(table.name)}"
    return one_number(connection, query) == 0


def _fold_table(connection: "DuckDBPyConnection", table: str, column: str) -> None:
    """Case folding as Python does it; SQL's lower() is another thing (straße, STRASSE)."""
    query = f"SELECT DISTINCT {quoted(column)} FROM {quoted(table)} WHERE {quoted(column)} <> ''"
    typed = [row[0] for row in connection.execute(query).fetchall()]
    connection.execute("CREATE OR REPLACE TEMP TABLE folds (typed VARCHAR, fold VARCHAR)")
    if typed:
        connection.execute(
            "INSERT INTO folds SELECT unnest($typed), unnest($fold)",
            {"typed": typed, "fold": [folded(t) for t in typed]},
        )


def one_number(connection: "DuckDBPyConnection", query: str) -> int:
    """The whole number that a query answers with."""
    return int(connection.execute(query).fetchall()[0][0])
