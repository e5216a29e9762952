"""Commands of the program as harnesses give them: quick, killed, or with a step that fails."""

import hashlib
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from hard_tally import Tally

HERE = Path(__file__).parent
DERIVED = (".tarebook", "reports")


@dataclass(frozen=True)
class Ended:
    """How a command ended: status (negative: by a signal), what it printed, its steps."""

    status: int
    out: str
    err: str
    seconds: float
    steps: list[str] = field(default_factory=list)

    @property
    def killed(self) -> bool:
        """Whether it did not come to its end."""
        return self.status < 0


class Commands:
    """A server of commands; its scratch folders lie in a folder of their own."""

    def __init__(self, room: Path, pages: bool = False) -> None:
        """``room``: an empty folder of a short name. ``pages``: reports are made, too."""
        self.scratch = room / "tmp"
        self.scratch.mkdir()
        self._said = room / "said"
        self._said.mkdir()
        self._environment = {
            **{k: v for k, v in os.environ.items() if k != "TAREBOOK_LOGBOOK"},
            "TMPDIR": str(self.scratch),
            "OMP_NUM_THREADS": "1",
            "SOURCE_DATE_EPOCH": "1795564800",
        }
        self._process = subprocess.Popen(
            [sys.executable, str(HERE / "hard_server.py"), *["pages"] * pages],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            env=self._environment,
            start_new_session=True,  # whoever stops this process lets what runs come to its end
        )
        self._answer()

    def _answer(self) -> dict[str, Any]:
        assert self._process.stdout is not None
        answer: dict[str, Any] = json.loads(self._process.stdout.readline())
        return answer

    def __call__(self, *words: object, **request: Any) -> Ended:
        """Give a command line; ``request`` as `hard_server` reads it."""
        assert self._process.stdin is not None
        out, err = self._said / "out", self._said / "err"
        asked = {"words": [*map(str, words)], "out": str(out), "err": str(err), **request}
        self._process.stdin.write(json.dumps(asked) + "\n")
        self._process.stdin.flush()
        told = self._answer()
        said = [path.read_text("utf-8", "replace") for path in (out, err)]
        return Ended(told["status"], said[0], said[1], told["seconds"], told["steps"])

    def close(self) -> None:
        """End the server."""
        assert self._process.stdin is not None
        self._process.stdin.close()
        self._process.wait(60)


@contextmanager
def commands(pages: bool = False) -> Iterator[tuple[Commands, Path]]:
    """A server, and a folder to work in."""
    with tempfile.TemporaryDirectory(prefix="hard-", ignore_cleanup_errors=True) as made:
        room = Path(made).resolve()
        (room / "work").mkdir()
        served = Commands(room, pages)
        try:
            yield served, room / "work"
        finally:
            served.close()


def contents(folder: Path, leave_out: Iterable[str] = DERIVED) -> dict[str, str]:
    """Digest of every file of a folder by its path in it, but for those of some folders of it."""
    found = {}
    for path in sorted(folder.rglob("*")):
        inside = path.relative_to(folder)
        if inside.parts[0] not in leave_out and path.is_file():
            found[inside.as_posix()] = hashlib.sha256(path.read_bytes()).hexdigest()
    return found


KEPT_BESIDE = {"load.lock", "store.duckdb", "store.seal", "before", "demo.json"}
"""What may stand in a logbook's `.tarebook` when no command is at work."""


def leftovers(logbook: Path, scratch: Path) -> list[str]:
    """What a command left that no command needs."""
    own = logbook / ".tarebook"
    found = [p.name for p in own.iterdir() if p.name not in KEPT_BESIDE] if own.is_dir() else []
    found += [p.name for p in logbook.rglob("*.part")]
    found += [p.name for p in logbook.rglob(".tarebook-*")]
    return sorted({*found, *(p.name for p in scratch.iterdir())})


def one_line(ended: Ended) -> str:
    """What is wrong with how a command that could not do its work ended; empty where nothing is."""
    if "Traceback" in ended.err or "a fault in Tarebook" in ended.err:
        return "a traceback or a fault of the program"
    if ended.status != 1:
        return f"status {ended.status}"
    lines = [line for line in ended.err.splitlines() if line.startswith("tarebook: ")]
    return "" if lines and ended.err.splitlines()[-1] == lines[-1] else "no line that says why"


def compare(tally: Tally, kind: str, found: Mapping[str, str], wanted: Mapping[str, str]) -> None:
    """Count a fault where files differ from what they must be."""
    wrong = [n for n in {*found, *wanted} if found.get(n) != wanted.get(n)]
    tally.expect(not wrong, kind, ", ".join(sorted(wrong)[:5]))
