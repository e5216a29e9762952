"""What the cells of a trip's rows say, as it was typed and as the reader takes it."""

import hashlib
from collections import defaultdict
from collections.abc import Container
from decimal import Decimal
from typing import Any

from ..contract import BY_NAME
from ..header import Field
from ..numbers import plain_number
from .entry import Amount
from .sheet import Sheet
from .standing import FORM_TABLES, Standing, TripFiles


class Typed:
    """The cells of the files of one reading."""

    def __init__(self, files: TripFiles) -> None:
        self.files = files
        self._sheets: dict[str, Sheet] = {}

    def sheet(self, file: str) -> Sheet:
        """A file as lines and cells, one and the same each time."""
        if file not in self._sheets:
            delimiter = self.files.layouts[file].delimiter
            self._sheets[file] = Sheet(self.files.contents[file], delimiter)
        return self._sheets[file]

    def field(self, file: str, column: str) -> Field | None:
        """Where a column of a file stands, None where it has none."""
        fields = self.files.layouts[file].fields
        return next((f for f in fields if f.column.name == column), None)

    def text(self, standing: Standing, column: str) -> str:
        """The cell of a row, trimmed; empty where there is none."""
        field = self.field(standing.file, column)
        cells = self.sheet(standing.file).record(standing.line).cells
        there = field is not None and field.position < len(cells)
        return cells[field.position].strip() if field is not None and there else ""

    def value(self, standing: Standing, column: str) -> Any:
        """What a cell says, None where it is blank or could not be read."""
        return standing.row[column] if self.text(standing, column) else None

    def decimal(self, standing: Standing, column: str) -> Decimal | None:
        """A number as it was typed."""
        text = self.text(standing, column)
        if not text or standing.row[column] is None:
            return None
        plain = plain_number(text, self.files.layouts[standing.file].decimal_comma)
        return None if plain is None else Decimal(plain)

    def amount(self, standing: Standing, column: str) -> Amount | None:
        """A quantity as it was typed, in the unit of its column."""
        number, field = self.decimal(standing, column), self.field(standing.file, column)
        return None if number is None or field is None else Amount(number, field.unit)

    def held(self, standing: Standing, but_for: Container[str]) -> str:
        """All that a row holds, also where no form speaks of it, but for some columns."""
        sheet, layout = self.sheet(standing.file), self.files.layouts[standing.file]
        columns = {f.position: f.column.name for f in layout.fields}
        names = sheet.record(layout.header_line).cells
        cells = enumerate(sheet.record(standing.line).cells)
        return ", ".join(
            f"{names[at].strip() if at < len(names) else ''} {cell.strip()}".strip()
            for at, cell in cells
            if cell.strip() and columns.get(at) not in but_for
        )

    def origin(self, standing: Standing) -> str:
        """What a row is known by."""
        return self.files.origins[standing.file, standing.line]

    def seen(self) -> tuple[tuple[str, str], ...]:
        """A digest of the trip's rows of each file that has some: as written, and as read.

        A header, a unit or a form of dates that is put right meanwhile changes what the same text
        says. Rows that were set aside are among them.
        """
        digests: dict[str, Any] = defaultdict(hashlib.sha256)
        for table in FORM_TABLES:
            for each in self.files.rows[table]:
                raw = self.sheet(each.file).record(each.line).raw
                text = f"{raw}\n{sorted(each.row.items())!r}\n"
                digests[each.file].update(text.encode("utf-8", "surrogatepass"))
        unfinished = {(each.file, each.line) for each in self.files.unfinished}
        for file, line in sorted({*self.files.aside, *unfinished}):
            raw = self.sheet(file).record(line).raw
            digests[file].update(f"aside: {raw}\n".encode("utf-8", "surrogatepass"))
        return tuple(sorted((file, digest.hexdigest()) for file, digest in digests.items()))


def header_of(table: str, column: str, names: list[str]) -> str:
    """What a column of a table is called in a header that has it."""
    headers = BY_NAME[table].column(column).headers
    return next(name for name in names if name in headers)
