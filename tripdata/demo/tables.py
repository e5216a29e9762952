"""The demo's own tables: what its camper owns, decided and noted, as CSV files in `data`.

Cells are text; `gear.csv`, `candidates.csv` and `tarebook.toml` are the demo logbook's own files.
"""

from ..own_files import own_rows, own_text


def file_text(name: str) -> str:
    """The text of a file in `data`."""
    return own_text(__package__, "data", name)


def table_rows(name: str) -> list[dict[str, str]]:
    """The rows of the table `data/NAME.csv`, by column."""
    return own_rows(__package__, "data", f"{name}.csv")
