"""Files that a person names and that lie outside of the logbook."""

import errno
import stat
from pathlib import Path


def bytes_of(path: Path, most: int) -> bytes:
    """The content of a file, cut after one byte more than ``most``.

    Raises OSError where it cannot be read, also of a pipe or a device, which may never end.
    """
    mode = path.stat().st_mode
    if not (stat.S_ISREG(mode) or stat.S_ISDIR(mode)):
        raise OSError(errno.EINVAL, "a pipe or a device, not a file; save it as a file first")
    with path.open("rb") as file:
        return file.read(most + 1)
