"""Opening a store: read-only, with its views, or one clear line."""

from pathlib import Path

import duckdb
import pytest
from tarebook.analysis.catalogue.views import ENTRIES
from tarebook.analysis.store import opening
from tarebook.analysis.store.opening import open_store, views
from tarebook.tripdata.contract import BY_NAME
from tarebook.tripdata.errors import StoreError
from tarebook.tripdata.schema import store_ddl
from tarebook.tripdata.store import store_path


def built(path: Path) -> Path:
    with duckdb.connect(path) as connection:
        connection.execute(store_ddl())
    return path


def test_a_store_opens_read_only_with_every_view(tmp_path: Path) -> None:
    path = built(tmp_path / "store.duckdb")
    with open_store(path) as store:
        for name in views():
            assert store.view(name).fetchall() == [], name
        for table in ENTRIES:
            assert table.frame(store).empty
        with pytest.raises(duckdb.Error, match="read-only"):
            store.execute("DELETE FROM gear")
    with duckdb.connect(path) as again:
        again.execute("DELETE FROM gear")


@pytest.mark.parametrize("kept", [True, False], ids=["worked out", "declared"])
def test_one_view_and_those_behind_it_give_what_all_views_give(
    demo_folder: Path, monkeypatch: pytest.MonkeyPatch, kept: bool
) -> None:
    monkeypatch.setattr(opening, "ROWS_KEPT", opening.ROWS_KEPT if kept else 0)
    path = store_path(demo_folder)
    with open_store(path) as store:
        wanted = {table.view: table.relation(store).fetchall() for table in ENTRIES}
    for table in ENTRIES:
        behind = opening.views_behind(table.view)
        assert list(behind)[-1] == table.view
        with open_store(path, table.view) as store:
            assert table.relation(store).fetchall() == wanted[table.view]
            with pytest.raises(duckdb.Error):
                store.view(next(name for name in views() if name not in behind)).fetchall()


def test_a_missing_store_says_what_to_do(tmp_path: Path) -> None:
    path = tmp_path / "store.duckdb"
    with pytest.raises(StoreError) as told, open_store(path):
        pass
    assert str(told.value) == f"{path}: expected a store, found no file; run `tarebook load`"


def test_what_is_no_store_is_told_in_one_line(tmp_path: Path) -> None:
    path = tmp_path / "store.duckdb"
    path.write_text("item,weight_g\n" * 1000)
    with (
        pytest.raises(StoreError, match="expected a store that can be read") as told,
        open_store(path),
    ):
        pass
    assert "\n" not in str(told.value)


def test_a_store_of_another_version_is_told_and_closed(tmp_path: Path) -> None:
    path = tmp_path / "store.duckdb"
    with duckdb.connect(path) as connection:
        connection.execute("CREATE TABLE gear (item VARCHAR)")
    with (
        pytest.raises(StoreError, match="expected a store built by this version"),
        open_store(path),
    ):
        pass
    with duckdb.connect(path) as connection:
        connection.execute("DROP TABLE gear")


def test_a_view_stands_after_those_it_reads_from() -> None:
    order = list(views())
    assert order.index("stg_carried") < order.index("carried_rows") < order.index("trips")
    assert order.index("nights") < order.index("trips")


def test_what_is_kept_on_opening_is_what_the_views_give(
    demo_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def answers() -> dict[str, tuple[list[str], list[str], list[object]]]:
        with open_store(store_path(demo_folder)) as store:
            relations = {name: store.view(name) for name in views()}
            return {
                name: (each.columns, [str(t) for t in each.types], sorted(each.fetchall(), key=str))
                for name, each in relations.items()
            }

    kept = answers()
    monkeypatch.setattr(opening, "ROWS_KEPT", 0)
    assert answers() == kept
    assert len(kept["trips"][2]) > 20


def test_only_a_small_store_keeps_them(demo_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def kept() -> int:
        with open_store(store_path(demo_folder)) as store:
            of = "SELECT count(*) FROM duckdb_tables() WHERE schema_name = 'kept'"
            return int(store.execute(of).fetchall()[0][0])

    assert kept() == len(views())
    with open_store(store_path(demo_folder)) as store:
        counts = (store.table(name).shape[0] for name in BY_NAME)
        rows = sum(counts)
    monkeypatch.setattr(opening, "ROWS_KEPT", rows - 1)
    assert kept() == 0


def test_where_one_cannot_be_worked_out_the_others_answer(
    demo_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    broken = views() | {"trip_ranges": "SELECT error('no ranges') AS trip"}
    monkeypatch.setattr(opening, "views", lambda: broken)
    with open_store(store_path(demo_folder)) as store:
        assert store.view("items").fetchall()
        with pytest.raises(duckdb.Error, match="no ranges"):
            store.view("trip_ranges").fetchall()
