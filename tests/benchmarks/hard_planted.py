"""Faults put into the program in a child of `hard_server`, to see that the harnesses find them."""

from pathlib import Path
from typing import Any


def stale() -> None:
    """A command takes any store for current."""
    from tarebook.tripdata import store

    store.store_state = lambda _: "current"  # type: ignore[assignment]


def leaves_its_workshop() -> None:
    """Nothing is cleared away."""
    import shutil

    shutil.rmtree = lambda *_, **__: None  # type: ignore[assignment]


def not_beside() -> None:
    """Pages are written into their place, not beside it."""
    from tarebook.notebooks import runner

    def write_whole(target: Path, text: str) -> None:
        with target.open("w", encoding="utf-8") as out:
            out.write(text[:10])
            out.flush()
            out.write(text[10:])

    runner.write_whole = write_whole  # type: ignore[assignment]


def unworded() -> None:
    """A store that cannot be written is no error of a kind that is worded."""
    from tarebook.tripdata import store

    def fails(*_: Any) -> None:
        raise ValueError("no room")

    really = store._build

    def build(*more: Any) -> Any:
        try:
            return really(*more)
        except OSError:
            fails()

    store._build = build
