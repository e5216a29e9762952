"""Small logbooks for the tests, written as text, and what was read of them."""

import csv
import io
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import duckdb
from tarebook.tripdata.contract import BY_NAME, TABLES
from tarebook.tripdata.discover import table_of
from tarebook.tripdata.problems import Findings
from tarebook.tripdata.schema import quoted
from tarebook.tripdata.store import open_for_reading, store_path, store_state

NORMALS_TABLES = ("stations", "normal_sets", "normals", "station_distances")

GEAR = """\
item,name,system,weight_g,carried_as
tent,Tent,shelter,1200,
quilt,Quilt,sleep,800,
stove,Stove,cook,90,
food,Food,food,2500,consumable
jacket,Rain jacket,rain,250,worn
"""
TRIP = """\
trip,start_on,end_on,mode
river,2026-05-01,2026-05-04,foot
coast,2026-06-10,2026-06-12,bike
"""
GOOD = {"gear.csv": GEAR, "trip.csv": TRIP}

Files = dict[str, str | bytes]

GOOD_ROWS: dict[str, dict[str, str]] = {
    "gear": {"item": "spoon", "system": "cook", "weight_g": "10"},
    "weighings": {"item": "tent", "weighed_on": "2026-04-01", "weight_g": "1190"},
    "candidates": {"candidate": "tarp", "system": "shelter", "weight_g": "300"},
    "trip": {"trip": "alp", "start_on": "2026-07-01", "end_on": "2026-07-05"},
    "carried": {"item": "tent"},
    "used": {"item": "stove"},
    "failures": {"item": "tent", "day": "2026-05-02", "severity": "nuisance"},
    "temperatures": {"at": "2026-05-01 21:30", "temperature_c": "5"},
    "distances": {"day": "2026-05-01", "distance_km": "10"},
    "weather": {"day": "2026-05-01", "high_c": "15"},
    "comfort": {"day": "2026-05-01", "score": "4"},
    "wished": {"what": "a dry sock"},
}
"""A row of each table that is right in the trip `river`."""


def write(folder: Path, files: Files) -> Path:
    """Write files under a folder; text as UTF-8 with its line ends as they are."""
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content if isinstance(content, bytes) else content.encode("utf-8"))
    return folder


def csv_text(rows: Iterable[Iterable[str]], delimiter: str = ",", end: str = "\n") -> str:
    """Rows as CSV text, quoted where needed."""
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, lineterminator=end).writerows(rows)
    return out.getvalue()


def file_of(table: str) -> str:
    """Where the tests put one more file of a table: beside the good ones, or in `river`."""
    return f"trips/river/{table}.csv" if BY_NAME[table].per_trip else f"{table}-more.csv"


def one_cell(table: str, header: str, value: str, delimiter: str = ",") -> Files:
    """A good row of a table with one cell written under the given header."""
    column = next(c for c in BY_NAME[table].columns if header in c.headers or header == c.name)
    row = {h: v for h, v in GOOD_ROWS[table].items() if h not in column.headers}
    row[header] = value
    files: Files = {file_of(table): csv_text([row, row.values()], delimiter)}
    if table == "used":
        files["trips/river/carried.csv"] = "item\nstove\n"
    return files


def prove_sums(findings: Findings) -> None:
    """Records read = loaded + set aside, per file and in total, over distinct file and line."""
    lines: dict[str, set[int]] = {}
    for problem in findings.records:
        assert problem.problem
        assert problem.line >= 1
        lines.setdefault(problem.file, set()).add(problem.line)
    for name, count in findings.files.items():
        assert count.file == name
        assert count.set_aside == len(lines.get(name, ()))
        assert 0 <= count.set_aside <= count.read
        assert count.read == count.loaded + count.set_aside
    assert set(lines) <= set(findings.files)
    assert records_read(findings) == sum(f.loaded for f in findings.files.values()) + (
        records_set_aside(findings)
    )
    assert bool(findings.problems or findings.records) is not findings.clean


@dataclass(frozen=True)
class Store:
    """A store that was loaded, to be asked."""

    path: Path

    def rows(self, table: str, *columns: str) -> list[tuple[Any, ...]]:
        """Rows of a table in the order in which they were read."""
        names = ", ".join(map(quoted, columns)) if columns else "*"
        return self.ask(f"SELECT {names} FROM {quoted(table)} ORDER BY rowid")

    def ask(self, query: str) -> list[tuple[Any, ...]]:
        """Answer one query."""
        with duckdb.connect(str(self.path), read_only=True) as connection:
            return connection.execute(query).fetchall()


class Kept:
    """Rows that were accepted, as they were handed over to be stored."""

    def __init__(self) -> None:
        self._rows: dict[str, list[dict[str, Any]]] = {}

    def keep(self, table: str, values: Iterable[Any]) -> None:
        """Take one row, as the loader hands it over."""
        names = [c.stored for c in BY_NAME[table].columns]
        self._rows.setdefault(table, []).append(dict(zip(names, values, strict=True)))

    def flush(self, table: str) -> None:
        """Nothing is left to do."""

    def rows(self, table: str, *columns: str) -> list[tuple[Any, ...]]:
        """Rows of a table in the order in which they were read."""
        return [tuple(row[c] for c in columns) for row in self._rows.get(table, [])]


def records_read(findings: Findings) -> int:
    """Records of all files."""
    return sum(count.read for count in findings.files.values())


def records_set_aside(findings: Findings) -> int:
    """Records of all files that were set aside."""
    return sum(count.set_aside for count in findings.files.values())


def is_current(folder: Path) -> bool:
    """Whether a logbook's store is whole and built from the files as they are."""
    return store_state(folder) == "current"


def row_counts(folder: Path) -> dict[str, int]:
    """Rows of each table of the contract in a logbook's store."""
    with open_for_reading(store_path(folder)) as connection:
        return {name: int(connection.table(name).count("*").fetchall()[0][0]) for name in BY_NAME}


def prove_store(store: Store, findings: Findings) -> None:
    """The store's tables, `files`, `set_aside` and `warnings` agree with what reading found."""
    loaded: Counter[str] = Counter()
    for count in findings.files.values():
        table = table_of(Path(count.file).stem)
        if table:
            loaded[table] += count.loaded
    with duckdb.connect(str(store.path), read_only=True) as connection:
        for table in TABLES:
            query = f"SELECT count(*) FROM {quoted(table.name)}"
            assert connection.execute(query).fetchall()[0][0] == loaded[table.name], table.name
        files = connection.execute(
            'SELECT "file", records, loaded, set_aside, unreadable FROM files'
        ).fetchall()
        aside = connection.execute(
            'SELECT "file", line, "column", "value", problem, nearest, raw, trip, cause '
            "FROM set_aside"
        ).fetchall()
        warned = connection.execute(
            'SELECT "file", line, "column", "value", problem, nearest FROM warnings'
        ).fetchall()
    assert sorted(files) == sorted(
        (f.file, f.read, f.loaded, f.set_aside, f.unreadable) for f in findings.files.values()
    )
    assert Counter(aside) == Counter(
        (
            p.file,
            p.line,
            p.column,
            p.value,
            p.problem,
            p.nearest or None,
            p.raw,
            p.trip or None,
            p.cause or None,
        )
        for p in findings.records
    )
    assert Counter(warned) == Counter(
        (p.file, p.line, p.column, p.value, p.problem, p.nearest or None) for p in findings.warnings
    )


def empty(connection: Any, table: str) -> None:
    """Take every row out of a table."""
    statement = f"DELETE FROM {quoted(table)}"
    connection.execute(statement)


def clear(connection: Any) -> None:
    """Take everything out of an open store that a reading puts there, normals included."""
    for table in (*BY_NAME, *NORMALS_TABLES):
        empty(connection, table)


def tables(connection: Any) -> dict[str, Counter[str]]:
    """Every table of an open store as a multiset of rows."""
    found = {}
    for name in BY_NAME:
        rows = connection.table(name).fetchall()
        found[name] = Counter(map(repr, rows))
    return found
