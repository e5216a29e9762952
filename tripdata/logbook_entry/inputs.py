"""What a logbook looks like from outside, to be compared later."""

import hashlib
from pathlib import Path

from ..stamps import fingerprint


def inputs_of(folder: Path) -> str:
    """A digest of path, size and time of every input."""
    return hashlib.sha256(fingerprint(folder).encode("utf-8", "surrogateescape")).hexdigest()
