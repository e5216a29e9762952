"""The logbook's files as a Data Package: ``datapackage.json``, by which other tools can read them.

It is drawn from the files as they are: a column that its owner left out is not in it, one that the
program does not know is, without a type. It says the strict form of what may be typed; the program
reads `First aid` for `first_aid`, too.
"""

import codecs
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from .contract import BY_NAME, Table
from .discover import Source, discover
from .header import Layout, known_headers, read_layout
from .leftovers import put_new, put_over
from .settings import Settings, read_settings
from .table_schema import (
    PACKAGE_FILE,
    Descriptor,
    field_of_file,
    key_of_file,
    needed,
    package_as_drawn,
    package_text,
)
from .text import Record, UnreadableError, decoded, header_row, records, split_lines

_LOOKED_AT = 1 << 20
"""Bytes of a file that are looked at: enough for its header, decimal mark and form of dates."""
_ENCODINGS = {"utf-8-sig": "utf-8", "cp1252": "windows-1252"}
_STRANGE = re.compile(r"[^a-z0-9._-]+")
_DESCRIPTION = (
    "A trip logbook: CSV files that its owner keeps. A blank cell is not known, never 0. The files "
    "of a folder in trips/ belong to the trip of that name. Columns may be left out, unless they "
    "say that they are required, and may come in other units, which their headers name."
)
_OWN = "Its columns are its own: a thermometer's file, or one whose header has a mistake."
_LATER = (
    "Its header is not its first line (as after sep=;), which version 1 has no word for: its "
    "columns are not described."
)


@dataclass(frozen=True, slots=True)
class _File:
    """A file as it was read: its header as typed, its layout, its rows, and if those are all."""

    source: Source
    resource: str
    encoding: str = ""
    header: Sequence[str] = ()
    layout: Layout | None = None
    rows: Sequence[Record] = ()
    whole: bool = True

    @property
    def table(self) -> Table:
        return BY_NAME[self.source.table]

    @property
    def described(self) -> bool:
        """Whether its columns can be told: they are, and its first line is its header."""
        return self.layout is not None and self.layout.header_line == 1

    @property
    def positions(self) -> dict[str, int]:
        """Where each column that is known stands, by its name."""
        return {f.column.name: f.position for f in self.layout.fields} if self.layout else {}

    def cells(self, column: str) -> list[str]:
        """What is written in a column, where it is there and not blank."""
        place = self.positions.get(column)
        if place is None:
            return []
        cells = [row.cells[place].strip() for row in self.rows if place < len(row.cells)]
        return [cell for cell in cells if cell]


def describe_logbook(logbook: Path) -> Descriptor:
    """The Data Package of a logbook. Raises LogbookError where the folder is none."""
    settings = read_settings(logbook)
    sources = [s for each in discover(logbook).sources.values() for s in each]
    names: set[str] = set()
    files = [
        _read(source, _resource_name(source.name, names)) for source in sources if _named(source)
    ]
    package: Descriptor = {"profile": "data-package", "name": "logbook"}
    if settings.title:
        package["title"] = settings.title
    package["description"] = _DESCRIPTION
    package["resources"] = [_resource(file, files, settings) for file in files]
    return package


def draw_package(logbook: Path) -> bool:
    """Draw the package of a logbook anew; False where a person changed it, or it is not ours.

    Raises LogbookError where the folder is no logbook, OSError where it cannot be written.
    """
    path, text = logbook / PACKAGE_FILE, package_text(describe_logbook(logbook))
    if put_new(path, text.encode()):
        return True
    if path.is_symlink() or package_as_drawn(path) is None:
        return False
    if path.read_bytes() != text.encode():
        put_over(path, text.encode())
    return True


def _named(source: Source) -> bool:
    """Whether a file can be read and its name be written down."""
    try:
        str(source.path).encode()
    except UnicodeEncodeError:
        return False
    return not source.fault


def _resource_name(name: str, taken: set[str]) -> str:
    """A name that the specification allows, of its own: ``carried-2026-05-river``."""
    folder, _, file = name[:-4].lower().removeprefix("trips/").rpartition("/")
    stem = _STRANGE.sub("-", f"{file}-{folder}" if folder else file).strip("-")
    found, number = stem, 1
    while found in taken:
        number += 1
        found = f"{stem}-{number}"
    taken.add(found)
    return found


def _read(source: Source, resource: str) -> _File:
    table = BY_NAME[source.table]
    try:
        with source.path.open("rb") as file:
            data = file.read(_LOOKED_AT + 1)
        whole = len(data) <= _LOOKED_AT
        text, encoding = decoded(data if whole else _whole_lines(data))
    except (OSError, UnreadableError):
        return _File(source, resource)
    lines = split_lines(text.replace("\r\n", "\n").replace("\r", "\n"))
    header, _ = header_row(lines, set(known_headers(table)))
    layout, _ = read_layout(table, lines, source.name, bool(source.folder))
    if header is None or layout is None or _cannot_be_told(layout, header):
        return _File(source, resource)
    rows = list(records(lines, layout.delimiter, layout.first))
    return _File(source, resource, encoding, header.cells, layout, rows, whole)


def _whole_lines(data: bytes) -> bytes:
    """The beginning of a file up to the last end of a line in it, of whichever kind."""
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        text = codecs.getincrementaldecoder("utf-16")("replace").decode(data)
        return text[: max(text.rfind("\n"), text.rfind("\r")) + 1].encode("utf-16")
    return data[: max(data.rfind(b"\n"), data.rfind(b"\r")) + 1]


def _cannot_be_told(layout: Layout, header: Record) -> bool:
    """Whether columns are missing, nameless or of one name, as in a thermometer's own file."""
    return bool(layout.faults) or layout.unnamed or len(set(header.cells)) < len(header.cells)


def _resource(file: _File, files: Sequence[_File], settings: Settings) -> Descriptor:
    place: Descriptor = {"name": file.resource, "path": file.source.name}
    if file.layout is None or file.layout.header_line != 1:
        return {
            **place,
            "profile": "data-resource",
            "format": "text",
            "mediatype": "text/plain",
            "description": _OWN if file.layout is None else _LATER,
        }
    return {
        **place,
        "profile": "tabular-data-resource",
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": _ENCODINGS.get(file.encoding, file.encoding),
        "title": file.table.meaning,
        "dialect": {"delimiter": file.layout.delimiter, "header": True},
        "schema": _schema(file, file.layout, files, settings),
    }


def _schema(file: _File, layout: Layout, files: Sequence[_File], settings: Settings) -> Descriptor:
    in_folder, table = bool(file.source.folder), file.table
    known = {field.position: field for field in layout.fields}
    fields: list[Descriptor] = []
    for position, header in enumerate(file.header):
        if (field := known.get(position)) is None:
            told = "A column of its owner's own, which the program does not read."
            fields.append({"name": header, "type": "any", "description": told})
            continue
        fields.append(
            field_of_file(
                field.column,
                header,
                field.unit,
                required=needed(table, field.column, in_folder),
                comma=layout.decimal_comma,
                dates=_form(file, field.column.name, settings),
                cells=file.cells(field.column.name) if file.whole else None,
            )
        )
    schema: Descriptor = {"fields": fields, "missingValues": [""]}
    names = {f.column.name: file.header[f.position] for f in layout.fields}
    if key := key_of_file(table, set(names), in_folder):
        schema["primaryKey"] = [names[column] for column in key]
        if len(key) == 1:
            own = next(f for f in fields if f["name"] == names[key[0]])
            own["constraints"] = {**own.get("constraints", {}), "unique": True}
    if references := _references(file, names, files):
        schema["foreignKeys"] = references
    return schema


def _form(file: _File, column: str, settings: Settings) -> str:
    """The declared form of dates, where a column of a file is written in it or in nothing yet."""
    if not settings.dates or BY_NAME[file.table.name].column(column).kind not in ("date", "moment"):
        return ""
    cells = file.cells(column)
    year_first = cells and all(re.match(r"\d{4}-", cell) for cell in cells)
    return "" if year_first else settings.dates


def _references(file: _File, names: dict[str, str], files: Sequence[_File]) -> list[Descriptor]:
    """What a file's items and trips refer to.

    Only where that is one file: a reference cannot be to several. And only where no item was
    renamed: former files may call it by its former name, which a reference cannot say.
    """
    found = []
    for column, header in names.items():
        kind = file.table.column(column).kind
        target = {"item": ("gear", "item"), "trip": ("trip", "trip")}.get(kind)
        if target is None:
            continue
        homes = [each for each in files if each.source.table == target[0]]
        if len(homes) != 1 or not homes[0].described or target[1] not in homes[0].positions:
            continue
        if not homes[0].whole or homes[0].cells("formerly"):
            continue
        home = homes[0]
        there = {"resource": home.resource, "fields": home.header[home.positions[target[1]]]}
        found.append({"fields": header, "reference": there})
    return found
