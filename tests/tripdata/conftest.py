"""Fixtures that write a logbook, read it, and prove the sums of every reading."""

import os
from collections.abc import Callable
from pathlib import Path

import kit
import pytest
from demo_readback import Book, read_back
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.demo import write_demo
from tarebook.tripdata.load import Loader
from tarebook.tripdata.problems import Findings
from tarebook.tripdata.store import load_logbook, store_path

# How often more examples are drawn than in the suite, whose profiles are in `tests/conftest.py`.
THOROUGH = int(os.environ.get("TAREBOOK_THOROUGH", "0"))


@pytest.fixture(scope="session")
def times() -> Callable[[int], int]:
    """How many examples or rounds: the given number in the suite, more when asked for."""
    return lambda number: number * max(THOROUGH, 1)


@pytest.fixture(scope="session")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    """The demo logbook as written, read back."""
    folder = tmp_path_factory.mktemp("demo")
    write_demo(folder)
    return read_back(folder)


@pytest.fixture
def write(tmp_path: Path) -> Callable[..., Path]:
    """Write a logbook: the good gear.csv and trip.csv, and the given files over them."""

    def make(files: kit.Files, good: bool = True, folder: str = "logbook") -> Path:
        return kit.write(tmp_path / folder, (kit.GOOD if good else {}) | files)

    return make


@pytest.fixture
def check(write: Callable[..., Path]) -> Callable[..., Findings]:
    """Write a logbook and check it; its sums are proved."""

    def run(files: kit.Files, good: bool = True) -> Findings:
        findings = check_logbook(write(files, good))
        kit.prove_sums(findings)
        return findings

    return run


@pytest.fixture
def read(write: Callable[..., Path]) -> Callable[..., tuple[Findings, kit.Kept]]:
    """Write a logbook and read it into memory; its sums are proved."""

    def run(files: kit.Files, good: bool = True) -> tuple[Findings, kit.Kept]:
        folder = write(files, good)
        kept = kit.Kept()
        loader = Loader(folder, None, folder)
        loader._sink = kept  # type: ignore[assignment]
        findings = loader.run()
        kit.prove_sums(findings)
        return findings, kept

    return run


@pytest.fixture
def load() -> Callable[[Path], tuple[Findings, kit.Store]]:
    """Load a logbook; its sums and the store's own account of them are proved."""

    def run(folder: Path) -> tuple[Findings, kit.Store]:
        findings = load_logbook(folder)
        kit.prove_sums(findings)
        store = kit.Store(store_path(folder))
        kit.prove_store(store, findings)
        checked = check_logbook(folder)
        assert [str(p) for p in checked.problems] == [str(p) for p in findings.problems]
        assert checked.files == findings.files
        return findings, store

    return run


@pytest.fixture
def loaded(
    write: Callable[..., Path], load: Callable[[Path], tuple[Findings, kit.Store]]
) -> Callable[..., tuple[Findings, kit.Store]]:
    """Write a logbook and load it."""
    return lambda files, good=True: load(write(files, good))
