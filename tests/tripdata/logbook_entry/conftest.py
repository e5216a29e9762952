"""A small logbook that tests of writings share."""

from collections.abc import Callable
from pathlib import Path

import pytest
from entries import CARRIED


@pytest.fixture
def river(write: Callable[..., Path]) -> Path:
    """A trip with two things along, of whose use nothing is said."""
    return write({CARRIED: "item,used\ntent,\nstove,\n"})
