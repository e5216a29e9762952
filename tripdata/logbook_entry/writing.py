"""Writes what was prepared, whole or not at all."""

from pathlib import Path

from .entry import Writing


def write(folder: Path, writing: Writing) -> tuple[Path, ...]:
    """Write what was prepared."""
    raise NotImplementedError


def recover(folder: Path) -> str | None:
    """Finish or take back what was cut off."""
    raise NotImplementedError
