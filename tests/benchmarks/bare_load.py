"""The baseline of a load: the same files read typed into a DuckDB file, nothing checked."""

import sys
from pathlib import Path

import duckdb

TRIP_TABLES = {
    "carried": {"item": "VARCHAR", "quantity": "INTEGER", "bag": "VARCHAR", "used": "VARCHAR"},
    "temperatures": {"at": "TIMESTAMP", "temperature_c": "DOUBLE"},
    "distances": {"day": "DATE", "distance_km": "DOUBLE", "ascent_m": "DOUBLE"},
    "weather": {"day": "DATE", "rain_mm": "DOUBLE", "low_c": "DOUBLE"},
    "comfort": {"day": "DATE", "score": "INTEGER", "warmth": "INTEGER"},
    "failures": {"item": "VARCHAR", "day": "DATE", "severity": "VARCHAR"},
    "wished": {"what": "VARCHAR", "how_much": "VARCHAR"},
    "used": {"item": "VARCHAR", "day": "DATE"},
}
ROOT_TABLES = {
    "gear": {"item": "VARCHAR", "name": "VARCHAR", "system": "VARCHAR", "weight_g": "DOUBLE",
             "kit": "VARCHAR"},
    "trip": {"trip": "VARCHAR", "title": "VARCHAR", "start_on": "DATE", "end_on": "DATE",
             "mode": "VARCHAR"},
    "carried": {"trip": "VARCHAR", "item": "VARCHAR", "quantity": "INTEGER", "weight_g": "DOUBLE",
                "carried_as": "VARCHAR", "bag": "VARCHAR", "used": "VARCHAR", "note": "VARCHAR"},
    "temperatures": {"trip": "VARCHAR", "at": "TIMESTAMP", "temperature_c": "DOUBLE",
                     "spot": "VARCHAR"},
}  # fmt: skip


def main(folder: Path, store: Path) -> None:
    """Read a benchmark logbook, large files or small."""
    store.unlink(missing_ok=True)
    small = (folder / "trips").is_dir()
    with duckdb.connect(str(store)) as connection:
        for name in ("gear", "trip") if small else ROOT_TABLES:
            read(connection, name, str(folder / f"{name}.csv"), ROOT_TABLES[name], "")
        for name, columns in TRIP_TABLES.items() if small else ():
            read(connection, name, str(folder / f"trips/*/{name}.csv"), columns, ", filename=true")


def read(
    connection: duckdb.DuckDBPyConnection, name: str, path: str, columns: dict[str, str], more: str
) -> None:
    connection.execute(
        f"CREATE TABLE {name} AS SELECT * FROM read_csv($path, header=true, auto_detect=false, "
        f"columns={columns}{more})",
        {"path": path},
    )


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
