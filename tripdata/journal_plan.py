"""What the journal of a writing says: its files, and how far it has come."""

import json
import re
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any, Literal

from .errors import LogbookError
from .lasting import sync_folder, write_new

JOURNAL = "writing.json"
_MOMENT = re.compile(r"[0-9-]{10,60}", re.ASCII)
WritingState = Literal["staging", "moving", "back"]


@dataclass(frozen=True, slots=True)
class Step:
    """A file as the journal knows it: digests of its former (None: none) and its new bytes.

    ``made``: its folder is made for it.
    """

    path: str
    before: str | None
    after: str
    made: bool


@dataclass(frozen=True, slots=True)
class Plan:
    """What the journal holds."""

    moment: str
    state: WritingState
    steps: tuple[Step, ...]

    def in_state(self, state: WritingState) -> "Plan":
        """The same plan, come so far."""
        return Plan(self.moment, state, self.steps)


def _parts_of(path: str) -> list[str]:
    """The parts of a path of a CSV file of a logbook. Raises LogbookError where it is none."""
    parts = path.split("/")
    plain = all(part and not part.startswith(".") and not set("\\\0") & set(part) for part in parts)
    where = len(parts) == 1 or (len(parts) == 3 and parts[0] == "trips")
    if not (plain and where and path[-4:].lower() == ".csv"):
        raise LogbookError(f"{path}: is no file of a logbook that may be written")
    return parts


def place_in(logbook: Path, path: str) -> Path:
    """Where a file of a logbook lies.

    Raises LogbookError where the path is none of a CSV file of a logbook, or leads by a link.
    """
    place = logbook
    for part in _parts_of(path):
        place = place / part
        if place.is_symlink():
            raise LogbookError(
                f"{place}: is a link, and nothing is written through one; "
                "put the file or folder itself here"
            )
    return place


def write_plan(own: Path, plan: Plan) -> None:
    """Keep a plan in the place of the former one. Raises OSError."""
    journal = own / JOURNAL
    fresh = journal.with_suffix(".new")
    fresh.unlink(missing_ok=True)
    write_new(fresh, json.dumps(asdict(plan), indent=1).encode())
    fresh.replace(journal)
    sync_folder(own)


def read_plan(journal: Path) -> Plan:
    """What a journal says. Raises ValueError where it is none, OSError where it is out of reach."""
    try:
        data: Any = json.loads(journal.read_bytes())
        steps = tuple(Step(**step) for step in data["steps"])
        plan = Plan(data["moment"], data["state"], steps)
        texts: Iterable[object] = (t for s in steps for t in (s.path, s.after, s.before or ""))
        good = all(isinstance(text, str) for text in texts) and bool(_MOMENT.fullmatch(plan.moment))
        for step in steps if good else ():
            _parts_of(step.path)
    except (
        *(FileNotFoundError, IsADirectoryError, KeyError, TypeError, RecursionError),
        LogbookError,
    ) as error:
        raise ValueError(str(error)) from error
    if not good or plan.state not in ("staging", "moving", "back"):
        raise ValueError(journal.name)
    return plan
