"""A table as Parquet: one file, or one a season in folders named ``season=2026-summer``.

Without rows the file of season=none is there, so that each table is in folders in any export, or in
none. A folder for rows without a season would have a name that some readers cannot take beside
others: only tables of which each row is of a trip go by season.

Rows come in batches and go out in groups of a fixed size, so that the bytes of a file depend on its
rows alone, and memory on neither: at most one group a season is held.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote

from ...tripdata.stamps import package_hash

ROWS_A_GROUP = 122_880
"""Rows in a group; it is that of DuckDB's own writer."""
PARTITION = "season"
_NO_SEASON = "none"


@dataclass(frozen=True, slots=True)
class Part:
    """A file that was written: its path below the export's folder, its rows, bytes and digest."""

    path: str
    rows: int
    size: int
    digest: str


class _File:
    """One file, to which whole groups are written as soon as they are there."""

    def __init__(self, path: Path, schema: Any) -> None:
        import pyarrow as pa  # type: ignore[import-untyped]
        from pyarrow import parquet

        path.parent.mkdir(parents=True, exist_ok=True)
        self.path, self.rows = path, 0
        self._held: list[Any] = []
        self._waiting = 0
        moments = [f.name for f in schema if pa.types.is_timestamp(f.type)]
        # Moments hardly repeat, and follow one another: as steps they take a third of the room.
        self._writer = parquet.ParquetWriter(
            path,
            schema,
            compression="zstd",
            use_dictionary=[name for name in schema.names if name not in moments],
            column_encoding=dict.fromkeys(moments, "DELTA_BINARY_PACKED"),
        )

    def add(self, rows: Any) -> None:
        self._held.append(rows)
        self._waiting += rows.num_rows
        self.rows += rows.num_rows
        if self._waiting >= ROWS_A_GROUP:
            self._write(self._waiting - self._waiting % ROWS_A_GROUP)

    def close(self) -> None:
        try:
            if self._waiting:
                self._write(self._waiting)
        finally:
            self._writer.close()

    def _write(self, count: int) -> None:
        import pyarrow as pa

        rows = pa.concat_tables(self._held)
        self._writer.write_table(rows.slice(0, count), row_group_size=ROWS_A_GROUP)
        rest = rows.slice(count)
        self._held, self._waiting = [rest] if rest.num_rows else [], rest.num_rows


def write_parts(
    batches: Iterable[Any],
    schema: Any,
    root: Path,
    place: str,
    seasons: Mapping[str, str] | None = None,
) -> tuple[Part, ...]:
    """Write a table in ``root``: ``PLACE.parquet``, or with ``seasons`` folders in ``PLACE``.

    Blanks of a season's name are dashes, as they are in a column of seasons. batches: record
    batches of Arrow, whose columns may come in other types that fit. seasons: by trip, of every
    trip; a table with a column of that name has its own. Raises OSError where a file cannot be
    written.
    """
    files: dict[str, _File] = {}

    def file_of(season: str) -> _File:
        if season not in files:
            folder = f"{place}/{PARTITION}={quote(spelt(season), safe='')}"
            name = f"{place}.parquet" if seasons is None else f"{folder}/part-0.parquet"
            files[season] = _File(root / name, schema)
        return files[season]

    try:
        for batch in batches:
            for season, rows in _apart(batch, seasons):
                file_of(season).add(_as_spelt(rows.select(schema.names).cast(schema)))
        if not files:
            file_of("" if seasons is None else _NO_SEASON)
    finally:
        for file in files.values():
            file.close()
    written = sorted(files.values(), key=lambda file: file.path)
    return tuple(
        Part(
            file.path.relative_to(root).as_posix(),
            file.rows,
            file.path.stat().st_size,
            package_hash(file.path),
        )
        for file in written
    )


def spelt(season: str) -> str:
    """A season as an export writes it, without blanks, which a folder's name does not take well."""
    return season.replace(" ", "-")


def _as_spelt(rows: Any) -> Any:
    """Rows with each column of seasons (season, from_season ...) as the folders' names have it."""
    import pyarrow.compute as pc  # type: ignore[import-untyped]

    for place, field in enumerate(rows.schema):
        if field.name.endswith(PARTITION):
            rows = rows.set_column(place, field, pc.replace_substring(rows[place], " ", "-"))
    return rows


def _apart(batch: Any, seasons: Mapping[str, str] | None) -> Iterator[tuple[str, Any]]:
    """The rows of a batch by season, in the order in which they stand; "" where that is no matter.

    Raises KeyError on a trip that is not known.
    """
    import pyarrow as pa
    import pyarrow.compute as pc

    rows = pa.Table.from_batches([batch])
    if seasons is None or not rows.num_rows:
        yield from [("", rows)] if seasons is None else []
        return
    if PARTITION in rows.column_names:
        of_rows = rows.column(PARTITION).combine_chunks().dictionary_encode()
        names = of_rows.dictionary.to_pylist()
    else:
        of_rows = rows.column("trip").combine_chunks().dictionary_encode()
        names = [seasons[trip] for trip in of_rows.dictionary.to_pylist()]
    places = {name: place for place, name in enumerate(dict.fromkeys(names))}
    which = pa.array([places[name] for name in names], pa.int32()).take(of_rows.indices)
    for name, place in places.items():
        yield name, rows if len(places) == 1 else rows.filter(pc.equal(which, place))
