"""The Data Package of an export: each table with its files, columns, units, meanings and keys."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ...tripdata.table_schema import Descriptor, title_of
from .outgoing import Outgoing, OutgoingColumn
from .parquet_files import PARTITION, Part

_TYPES = {
    "text": "string",
    "whole": "integer",
    "number": "number",
    "flag": "boolean",
    "date": "date",
    "moment": "datetime",
    "list": "array",
}
_MEDIATYPE = "application/vnd.apache.parquet"
_AS_FILED = {"whole": "whole number, may be missing", "list": "list of texts"}
_SEASON = (
    "meteorological season of the trip's start and its year, as in 2026-summer; it stands in the "
    "folder's name, season=..., and is no column within the files"
)
_ABOUT = (
    "What a trip logbook holds (records) and what is made of it (tables), as Parquet files. Units "
    "stand in the columns' names and with each column. What is not known is missing, never 0. A "
    "record is no advice: that something was not used on the trips that were noted says nothing of "
    "trips that are colder, wetter or longer, and is no reason to leave at home what keeps warm, "
    "dry, lit, found, fed, healed or afloat."
)


@dataclass(frozen=True, slots=True)
class Written:
    """A table that was written, and what must be known with its rows."""

    table: Outgoing
    parts: Sequence[Part]
    remarks: Sequence[str]

    @property
    def rows(self) -> int:
        """How many rows it has in all its files."""
        return sum(part.rows for part in self.parts)


def describe_export(written: Sequence[Written], drawn: Mapping[str, Any], title: str) -> Descriptor:
    """The Data Package of an export. drawn: what it was drawn from."""
    package: Descriptor = {"profile": "data-package", "name": "logbook-export"}
    if title:
        package["title"] = title
    package["description"] = _ABOUT
    package["resources"] = [_resource(each) for each in written]
    package["drawn"] = dict(drawn)
    return package


def _resource(written: Written) -> Descriptor:
    table, parts = written.table, written.parts
    paths = [part.path for part in parts]
    resource: Descriptor = {
        "name": table.name,
        "profile": "data-resource",
        "path": paths if table.by_season else paths[0],
        "format": "parquet",
        "mediatype": _MEDIATYPE,
        "title": table.row,
    }
    if written.remarks:
        resource["description"] = " ".join(written.remarks)
    if table.by_season:
        resource["partition"] = {"name": PARTITION, "description": _SEASON}
    resource["files"] = [
        {"path": p.path, "rows": p.rows, "bytes": p.size, "hash": p.digest} for p in parts
    ]
    resource["schema"] = table_schema(table)
    return resource


def table_schema(table: Outgoing) -> Descriptor:
    """The columns within a table's files as Table Schema."""
    # Missing is missing in these files, and a blank text is one: no text stands for missing.
    schema: Descriptor = {"fields": [_field(column) for column in table.filed], "missingValues": []}
    if table.key:
        schema["primaryKey"] = list(table.key)
    references = [
        {"fields": column.name, "reference": {"resource": target[0], "fields": target[1]}}
        for column in table.filed
        if (target := column.refers_to)
    ]
    if references:
        schema["foreignKeys"] = references
    return schema


def _field(column: OutgoingColumn) -> Descriptor:
    field: Descriptor = {
        "name": column.name,
        "type": _type(column),
        "title": title_of(column.name),
        "description": column.meaning,
    }
    if column.unit:
        field["unit"] = column.unit
    if field["type"] != _TYPES[column.kind]:
        field["filed"] = _AS_FILED[column.kind]
    constraints: Descriptor = {"required": True} if column.required else {}
    if column.choices:
        constraints["enum"] = list(column.choices)
    if constraints:
        field["constraints"] = constraints
    return field


def _type(column: OutgoingColumn) -> str:
    """A column's type as readers of Table Schema find it in Parquet.

    They get a whole number as a fraction where one may be missing, and a list not as JSON's.
    """
    if column.kind == "list":
        return "any"
    return "number" if column.kind == "whole" and not column.required else _TYPES[column.kind]
