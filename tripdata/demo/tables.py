"""The demo's own tables: what its camper owns, decided and noted, as CSV files in `data`.

Cells are text; `gear.csv`, `candidates.csv` and `tarebook.toml` are the demo logbook's own files.
"""

import csv
from importlib.resources import files


def file_text(name: str) -> str:
    """The text of a file in `data`."""
    return files(__package__).joinpath("data", name).read_text(encoding="utf-8")


def table_rows(name: str) -> list[dict[str, str]]:
    """The rows of the table `data/NAME.csv`, by column."""
    return list(csv.DictReader(file_text(f"{name}.csv").splitlines()))
