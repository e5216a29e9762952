"""The store's tables, drawn from the contract."""

from .contract import TABLES, Column, Table
from .own_files import own_sql

LAYOUT = 9
"""Raised whenever the store's tables change; a store of another layout is rebuilt."""

_TYPES = {
    "items": "VARCHAR[]",
    "names": "VARCHAR[]",
    "words": "VARCHAR[]",
    "flag": "BOOLEAN",
    "use": "INTEGER",
    "whole": "INTEGER",
    "number": "DOUBLE",
    "date": "DATE",
    "moment": "TIMESTAMP",
}
# What the reader resolves for every row, so that the store may promise it.
_ALWAYS = {("gear", "name"), ("candidates", "name"), ("trip", "title")}


def sql_type(column: Column) -> str:
    """The SQL type of a stored column."""
    dim = column.dimension
    if dim is not None:
        return "BIGINT" if dim.whole else "DOUBLE"
    return _TYPES.get(column.kind, "VARCHAR")


def quoted(name: str) -> str:
    """A name of the contract as an SQL identifier."""
    return '"' + name.replace('"', '""') + '"'


def si_scale(column: Column) -> float:
    """Stored units in one unit of the contract's ranges; 1 for what is no quantity."""
    dim = column.dimension
    return float(dim.factors[dim.range_unit]) if dim else 1


def never_null(table: Table, column: Column) -> bool:
    """Whether the store promises a value in every row."""
    return column.cell or bool(column.default) or (table.name, column.name) in _ALWAYS


def check_clause(column: Column) -> str:
    """The CHECK expression of a stored column, empty where there is none."""
    name, scale = quoted(column.stored), si_scale(column)
    if column.choices:
        words = ", ".join(f"'{c}'" for c in column.choices)
        return f"{name} IN ({words})"
    if column.kind == "use":
        return f"{name} BETWEEN 0 AND 1000"
    if column.low is None or column.high is None:
        return f"{name} <> ''" if column.kind in ("key", "item", "trip", "text", "group") else ""
    low, high = f"{column.low * scale:.10g}", f"{column.high * scale:.10g}"
    if column.above:
        return f"{name} > {low} AND {name} <= {high}"
    return f"{name} BETWEEN {low} AND {high}"


def table_ddl(table: Table) -> str:
    """CREATE TABLE for one table of the contract.

    NOT NULL and CHECK stand on every table; a declared key only on the small ones, since declared
    keys on a million rows cost several times the load: the large ones are proved by query.
    """
    lines = []
    for column in table.columns:
        line = f"  {quoted(column.stored)} {sql_type(column)}"
        if never_null(table, column):
            line += " NOT NULL"
        check = check_clause(column)
        lines.append(line + (f" CHECK ({check})" if check else ""))
    if table.name == "trip":
        lines.append("  CHECK (end_on >= start_on AND end_on - start_on <= 400)")
    if table.name == "wished":
        lines.append("  CHECK (what IS NOT NULL OR item IS NOT NULL)")
    if not table.per_trip:
        lines.append(f"  PRIMARY KEY ({', '.join(quoted(k) for k in table.key)})")
    body = ",\n".join(lines)
    return f"CREATE TABLE {quoted(table.name)} (\n{body});\n"


def store_ddl() -> str:
    """Every CREATE TABLE of the store."""
    return (
        "".join(table_ddl(t) for t in TABLES) + own_sql("side_tables") + own_sql("normals_tables")
    )
