"""An export of a large table against DuckDB's own COPY of the same rows, by season, too.

`python tests/benchmarks/bench_export.py [ROWS [FOLDER]]`; 10 million readings by default. Both are
whole processes; sums of what each wrote are compared. FOLDER keeps the store, some 12 bytes a row.
"""

import shutil
import sys
import tempfile
import time
from pathlib import Path

import duckdb
import measure
from tarebook.analysis.store.opening import open_store
from tarebook.notebooks.export.outgoing import arrow_schema, outgoing
from tarebook.notebooks.export.parquet_files import ROWS_A_GROUP, write_parts
from tarebook.tripdata.schema import store_ddl

TABLE = "temperatures"
TRIPS = 2_000
LIMIT = 3.0
FILL = """
INSERT INTO trip BY NAME
  SELECT
    'trip-' || lpad(CAST(i AS VARCHAR), 5, '0') AS trip, 'Trip ' || i AS title,
    DATE '2018-01-01' + CAST(i AS INTEGER) AS start_on,
    DATE '2018-01-01' + CAST(i + 3 AS INTEGER) AS end_on, 1 AS people, FALSE AS plan
  FROM range($trips) AS r(i);
INSERT INTO temperatures BY NAME
  SELECT
    'trip-' || lpad(CAST(i // $each AS VARCHAR), 5, '0') AS trip,
    TIMESTAMP '2018-01-01 12:00:00' + to_seconds(86400 * (i // $each) + i % $each) AS read_at,
    round(10 * sin(i / 4000.0) + hash(i) % 30 / 10, 1) AS temperature_c,
    CASE WHEN i % 11 = 0 THEN 'trail' ELSE 'camp' END AS spot
  FROM range($trips * $each) AS r(i)
"""


def build(path: Path, rows: int) -> None:
    """A store of that many readings, always the same."""
    with duckdb.connect(path, config={"threads": 1}) as connection:
        connection.execute(store_ddl())
        for statement in FILL.split(";"):
            values = {"trips": TRIPS, "each": rows // TRIPS}
            known = {name: value for name, value in values.items() if f"${name}" in statement}
            connection.execute(statement, known)


def ours(store: Path, out: Path) -> None:
    """Write the readings as an export does."""
    table = next(each for each in outgoing() if each.name == TABLE)
    with open_store(store) as connection:
        seasons = dict(connection.view("stg_trips").select("trip", "season").fetchall())
        batches = connection.table(TABLE).to_arrow_reader(ROWS_A_GROUP)
        write_parts(batches, arrow_schema(table.filed), out, TABLE, seasons)


def bare(store: Path, out: Path) -> None:
    """Write the same rows with DuckDB alone."""
    out.mkdir(parents=True, exist_ok=True)
    with duckdb.connect(str(store), read_only=True) as connection:
        connection.execute(
            f"""
            COPY (
              SELECT r.*, year(t.start_on + INTERVAL 1 MONTH) || '-'
                || ['winter', 'spring', 'summer', 'autumn'][month(t.start_on) % 12 // 3 + 1]
                AS season
              FROM temperatures AS r JOIN trip AS t USING (trip)
            ) TO '{out / TABLE}' (FORMAT parquet, COMPRESSION zstd, PARTITION_BY (season))
            """
        )


def told(out: Path) -> tuple[object, ...]:
    """What another program finds in what was written: rows and sums by season, and its bytes."""
    files = f"{out}/{TABLE}/*/*.parquet"
    rows = duckdb.sql(
        "SELECT season, count(*), sum(CAST(round(temperature_c * 10) AS BIGINT)), "
        "sum(epoch(read_at)), min(trip), max(trip), count(*) FILTER (spot = 'camp') "
        f"FROM read_parquet('{files}', hive_partitioning = true) GROUP BY ALL ORDER BY ALL"
    )
    return tuple(rows.fetchall())


def size_mb(out: Path) -> float:
    """The size of all files below a folder."""
    return sum(path.stat().st_size for path in out.rglob("*.parquet")) / 1e6


def main(rows: int, folder: Path) -> None:
    """Print the ratio, sizes, and how long another program takes to sum it up."""
    store = folder / f"readings-{rows}.duckdb"
    if not store.exists():
        build(store, rows)
    with tempfile.TemporaryDirectory(dir=folder) as made:
        compare(rows, store, Path(made) / "out")


def compare(rows: int, store: Path, out: Path) -> None:
    """The same with the store at hand; ``out`` is a folder that nobody else writes to."""

    def anew() -> None:
        shutil.rmtree(out, ignore_errors=True)

    command = [sys.executable, __file__]
    measure.compare(
        f"export of {rows:,} readings by season",
        [*command, "ours", str(store), str(out / "ours")],
        [*command, "bare", str(store), str(out / "bare")],
        LIMIT,
        runs=3 if rows <= 10**7 else 1,
        before=anew,
    )
    _, peak = measure.timed([*command, "bare", str(store), str(out / "again")])
    started = time.perf_counter()
    found = told(out / "ours")
    seconds = time.perf_counter() - started
    assert found == told(out / "bare"), "the sums differ"
    print(
        f"the same sums by {len(found)} seasons from both; {size_mb(out / 'ours'):,.0f} MB against "
        f"{size_mb(out / 'bare'):,.0f} MB bare; peak of COPY {peak:,.0f} MB; summed up again in "
        f"{seconds:.2f} s",
        flush=True,
    )


if __name__ == "__main__":
    if sys.argv[1:2] in (["ours"], ["bare"]):
        (ours if sys.argv[1] == "ours" else bare)(Path(sys.argv[2]), Path(sys.argv[3]))
    else:
        given = int(float(sys.argv[1])) if len(sys.argv) > 1 else 10**7
        with tempfile.TemporaryDirectory() as made:
            main(given, Path(sys.argv[2]) if len(sys.argv) > 2 else Path(made))
