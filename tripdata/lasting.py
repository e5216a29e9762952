"""Files and folders made so that they last, also where all stops right after."""

import hashlib
import os
from pathlib import Path


def digest(data: bytes) -> str:
    """The digest of some bytes."""
    return hashlib.sha256(data).hexdigest()


def digest_of(path: Path) -> str | None:
    """The digest of a file, None where there is none."""
    return digest(path.read_bytes()) if path.is_file() else None


def make_folder(folder: Path) -> None:
    """Make a folder and those above it, so that they last."""
    if not folder.is_dir():
        make_folder(folder.parent)
        folder.mkdir(exist_ok=True)
        sync_folder(folder.parent)


def write_new(path: Path, content: bytes, mode: int | None = None) -> None:
    """Make a file that lasts. Raises OSError, also where one of its name is there."""
    at_first = 0o666 if mode is None else 0o600
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, at_first)
    try:
        rest = memoryview(content)
        while rest:
            rest = rest[os.write(handle, rest) :]
        if mode is not None:
            path.chmod(mode)
        os.fsync(handle)
    finally:
        os.close(handle)


def sync_folder(folder: Path) -> None:
    """Let what was made, renamed or removed in a folder last."""
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
