"""A logbook whose store is current, exported: every table, then what describes them all."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from ...analysis.store.opening import open_store
from ...analysis.store.settings import settings_of
from ...tripdata.errors import QuestionError
from ...tripdata.names import printable_json
from ...tripdata.stamps import content_digest
from ...tripdata.store import store_path
from ...tripdata.table_schema import PACKAGE_FILE, package_text
from ...tripdata.today import made_on
from ...tripdata.version import VERSION
from .described import Written, describe_export
from .outgoing import Outgoing, arrow_schema, outgoing
from .parquet_files import ROWS_A_GROUP, write_parts
from .placing import check_place, put_whole

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection, DuckDBPyRelation

_KEY = "tarebook"
"""Under this name each file says what it is and what it was drawn from."""


class Exported(NamedTuple):
    """What was written, why other tables were not, by name, and where what stood there lies now."""

    written: tuple[Written, ...]
    left_out: dict[str, str]
    aside: Path | None


def export(
    logbook: Path,
    folder: Path,
    force: bool = False,
    step: Callable[[str], None] = lambda _: None,
) -> Exported:
    """Write every table of a logbook into a folder, which then holds all of it or what it held.

    ``step`` hears of each table. The same logbook gives the same bytes, but for the day. Raises
    QuestionError where the folder may not be written to or cannot be.
    """
    place = check_place(folder, logbook, force)
    left_out: dict[str, str] = {}
    written: list[Written] = []
    try:
        with put_whole(place) as work, open_store(store_path(logbook)) as store:
            inputs = content_digest(logbook)
            seasons = dict(store.view("stg_trips").select("trip", "season").fetchall())
            for table in outgoing():
                step(table.name)
                if reason := _unasked(table):
                    left_out[table.name] = reason
                else:
                    written.append(_write(table, store, work.folder, seasons, inputs))
            drawn: dict[str, Any] = {"inputs": inputs, "on": made_on().isoformat()}
            if left_out:
                drawn["left_out"] = left_out
            title = settings_of(store).title or ""
            text = package_text(describe_export(written, drawn, title))
            (work.folder / PACKAGE_FILE).write_text(text, encoding="utf-8", newline="\n")
    except OSError as error:
        raise QuestionError(f"{folder}: cannot be written ({error.strerror or error})") from error
    return Exported(tuple(written), left_out, work.aside)


def _unasked(table: Outgoing) -> str:
    """Why a table has no rows without a question of one's own; empty where it has."""
    return table.entry.fault({}, lambda name: name) if table.entry else ""


def _write(
    table: Outgoing,
    store: "DuckDBPyConnection",
    work: Path,
    seasons: Mapping[str, str],
    inputs: str,
) -> Written:
    batches: Iterable[Any] = ()
    try:
        relation, remarks = _answer(table, store)
        batches = relation.to_arrow_reader(ROWS_A_GROUP)
    except QuestionError as error:
        # A young logbook cannot answer everything: the table is there, and says why it is empty.
        remarks = (str(error),)
    schema = arrow_schema(table.filed, {_KEY: _about(table, remarks, inputs)})
    place = f"{table.folder}/{table.name}"
    parts = write_parts(batches, schema, work, place, seasons if table.by_season else None)
    return Written(table, parts, remarks)


def _answer(
    table: Outgoing, store: "DuckDBPyConnection"
) -> "tuple[DuckDBPyRelation, tuple[str, ...]]":
    return table.entry.answer(store) if table.entry else (store.table(table.name), ())


def _about(table: Outgoing, remarks: Sequence[str], inputs: str) -> str:
    """What a file says of itself: what drew it from what, and unit and meaning of its columns."""
    columns = [{"name": c.name, "unit": c.unit, "meaning": c.meaning} for c in table.filed]
    about = {
        "table": table.name,
        "row": table.row,
        "program": f"tarebook {VERSION}",
        "inputs": inputs,
        "remarks": list(remarks),
        "columns": columns,
    }
    return printable_json(about)
