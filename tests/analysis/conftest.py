"""The demo logbook, loaded once for all tests of the analysis."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from tarebook.analysis.store.opening import open_store
from tarebook.tripdata.store import store_path


@pytest.fixture(scope="session")
def demo(demo_folder: Path) -> Iterator[Any]:
    """The store of the demo logbook, open for reading."""
    with open_store(store_path(demo_folder)) as connection:
        yield connection
