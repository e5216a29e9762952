"""The demo logbook, loaded once for all tests of the analysis."""

from collections.abc import Iterator
from typing import Any

import pytest
from tarebook.analysis.store.opening import open_store
from tarebook.tripdata.demo import write_demo
from tarebook.tripdata.store import load_logbook, store_path


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    """The store of the demo logbook, open for reading."""
    folder = tmp_path_factory.mktemp("demo")
    write_demo(folder)
    load_logbook(folder)
    with open_store(store_path(folder)) as connection:
        yield connection
