"""Opening a store: read-only, with its views, or one clear line."""

from pathlib import Path

import duckdb
import pytest
from tarebook.analysis.catalogue.views import ENTRIES
from tarebook.analysis.store.opening import open_store, views
from tarebook.tripdata.errors import StoreError
from tarebook.tripdata.schema import store_ddl


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
