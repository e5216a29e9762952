"""The demo's own tables: what its camper owns, decided and noted, as CSV files in `data`.

Cells are text; `gear.csv`, `candidates.csv` and `tarebook.toml` are the demo logbook's own files,
and so is the one picture, which stands for a photograph and is drawn.
"""

from ..own_files import own_bytes, own_rows, own_text


def file_text(name: str) -> str:
    """The text of a file in `data`."""
    return own_text(__package__, "data", name)


def picture_bytes(name: str) -> bytes:
    """The bytes of a picture in `data`."""
    return own_bytes(__package__, "data", name)


def table_rows(name: str) -> list[dict[str, str]]:
    """The rows of the table `data/NAME.csv`, by column."""
    return own_rows(__package__, "data", f"{name}.csv")
