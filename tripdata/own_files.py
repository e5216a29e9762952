"""The files that come with the program: mostly tables, as CSV beside the code that reads them."""

import csv
from importlib.resources import files


def own_text(package: str, *path: str) -> str:
    """The text of a file of a package."""
    return files(package).joinpath(*path).read_text(encoding="utf-8")


def own_bytes(package: str, *path: str) -> bytes:
    """The bytes of a file of a package."""
    return files(package).joinpath(*path).read_bytes()


def own_sql(name: str) -> str:
    """A statement of the store, by its name in `sql`."""
    return own_text(__package__, "sql", f"{name}.sql")


def own_rows(package: str, *path: str) -> list[dict[str, str]]:
    """The rows of a CSV file of a package, by column; cells are text."""
    return list(csv.DictReader(own_text(package, *path).splitlines()))
