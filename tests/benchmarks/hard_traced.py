"""System calls of a whole command, seen and disturbed by strace, where that is installed."""

import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from hard_commands import Ended

STRACE = shutil.which("strace")
CALLS = (
    "openat", "write", "pwrite64", "fsync", "fdatasync", "rename", "mkdir", "unlink", "unlinkat",
    "rmdir", "link", "ftruncate", "fallocate", "fchmod", "chmod",
)  # fmt: skip
_LINE = re.compile(r"(?P<pid>\d+) +(?P<call>\w+)\(")


def traced(
    words: Sequence[object],
    inject: str = "",
    call: str = "",
    environment: dict[str, str] | None = None,
) -> tuple[Ended, str]:
    """A command under strace, and what strace wrote; ``inject`` as its option takes it."""
    assert STRACE is not None
    with tempfile.NamedTemporaryFile(prefix="hard-trace-") as log:
        command = [STRACE, "-f", "--seccomp-bpf", "-qq", "-y", "-s", "0", "-o", log.name]
        command += ["-e", f"trace={call or ','.join(CALLS)}"]
        command += ["-e", f"inject={inject}"] if inject else []
        command += [sys.executable, "-m", "tarebook.notebooks.cli", *map(str, words)]
        done = subprocess.run(
            command,
            env={**os.environ, **(environment or {})},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            timeout=600,
        )
        wrote = Path(log.name).read_text("utf-8", "replace")
    return Ended(done.returncode, done.stdout, done.stderr, 0.0), wrote


def calls_inside(wrote: str, folder: Path) -> list[tuple[str, int]]:
    """Each call about a folder: its name, and which one of its name it is in its thread."""
    counted: Counter[tuple[str, str]] = Counter()
    found = []
    for line in wrote.splitlines():
        if told := _LINE.match(line):
            key = told["pid"], told["call"]
            counted[key] += 1
            if str(folder) in line:
                found.append((told["call"], counted[key]))
    return list(dict.fromkeys(found))
