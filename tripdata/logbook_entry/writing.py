"""Writes what was prepared, whole or not at all."""

from pathlib import Path

from .entry import Writing


def write(folder: Path, writing: Writing) -> tuple[Path, ...]:
    """Write what was prepared."""
    raise NotImplementedError

