"""What tarebook.toml says beside the units."""

import duckdb


def regret_of(connection: duckdb.DuckDBPyConnection) -> dict[str, float]:
    """The owner's cost of missing something, by system, as tarebook.toml has it."""
    settings = dict(connection.table("settings").fetchall())
    return {
        key.removeprefix("regret."): float(value)
        for key, value in settings.items()
        if key.startswith("regret.")
    }
