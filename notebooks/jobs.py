"""Which notebooks are to be run, with which parameters, and what their files are called."""

import hashlib
import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from importlib import resources
from importlib.resources.abc import Traversable
from typing import TYPE_CHECKING

from ..tripdata.errors import QuestionError
from ..tripdata.names import folded, guess, shown, slug
from . import cleaning
from .parameters import Value, checked, declared, unknown
from .reports import NAMED_IN_FILES

if TYPE_CHECKING:
    from nbformat import NotebookNode

PACKAGED = resources.files("tarebook.notebooks")
DEBRIEF, AHEAD = "debrief", "before_trip"
EVERY_TRIP = "all"
"""What `--trip` says for a debrief of every trip."""
_FAILED = ".failed"


@dataclass(frozen=True)
class Job:
    """A notebook to run. stem: of its files. trip: the one that it is about, as the log has it."""

    name: str
    source: "NotebookNode"
    parameters: Mapping[str, Value]
    stem: str
    trip: str = ""


def available(folder: Traversable = PACKAGED) -> tuple[str, ...]:
    """Return the names of the notebooks in a folder, sorted."""
    names = [entry.name for entry in folder.iterdir() if entry.name.endswith(".ipynb")]
    return tuple(sorted(name.removesuffix(".ipynb") for name in names))


def load(name: str, folder: Traversable = PACKAGED) -> "NotebookNode":
    """Return a notebook as it is before it runs. Raises QuestionError where there is none."""
    names = available(folder)
    if name not in names:
        advice = guess(name, names, f"there are {', '.join(names) or 'none'}")
        raise QuestionError(f"no report {shown(name)}; {advice}")
    return cleaning.parse((folder / f"{name}.ipynb").read_text("utf-8"))


def file_stem(name: str, values: Iterable[Value] = ()) -> str:
    """Return NAME or NAME-VALUE as a file name without its ending, safe on every file system."""
    text = unicodedata.normalize("NFC", "-".join([name, *map(str, values)]))
    safe = "".join(
        each if each in "-_." or unicodedata.category(each)[0] in "LMN" else "-" for each in text
    )
    safe = re.sub(r"-{2,}", "-", re.sub(r"\.{2,}", ".", safe)).strip("-.")
    return safe.encode()[:150].decode(errors="ignore").rstrip("-.") or "report"


def trip_stems(trips: Iterable[str], name: str = DEBRIEF) -> dict[str, str]:
    """Return what the files of each trip's report are called, no two alike by any file system.

    A trip whose name cannot stand in a file name as it is has some of its digest behind it.
    """
    stems: dict[str, str] = {}
    taken: set[str] = set()
    for trip in sorted(trips, key=lambda each: (_altered(each, name), each)):
        plain, digest = file_stem(name, [trip]), hashlib.sha256(trip.encode()).hexdigest()
        length = 8 if _altered(trip, name) else 0
        stem = f"{plain}-{digest[:length]}" if length else plain
        while _one_file(stem) in taken:
            length += 8
            stem = f"{plain}-{digest[:length]}"
        taken.add(_one_file(stem))
        stems[trip] = stem
    return stems


def _altered(trip: str, name: str) -> bool:
    stem = file_stem(name, [trip])
    return stem != f"{name}-{trip}" or stem.endswith(_FAILED)


def _one_file(stem: str) -> str:
    """Two stems are one file to some file system where these are alike."""
    return unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", stem).casefold())


def jobs(
    names: Sequence[str],
    given: Mapping[str, Value],
    folder: Traversable = PACKAGED,
    trips: Sequence[str] = (),
    every_trip: bool = False,
    plans: Sequence[str] = (),
) -> list[Job]:
    """Return what is to be run; every debrief but the latest's comes after everything else.

    trips: those that took place, the latest last. every_trip: a debrief of each of them, beside the
    one of the latest. plans: those that have a page each, the first to begin under the plain name.

    Raises QuestionError where a name, a parameter or a value is wrong.
    """
    sources = {name: load(name, folder) for name in names}
    takes = {name: declared(source) for name, source in sources.items()}
    several = len(sources) > 1
    if several:
        everywhere = {key: each for own in takes.values() for key, each in own.items()}
        for key in given:
            if key not in everywhere:
                raise QuestionError(unknown("reports", key, everywhere))
    stems, found = trip_stems(trips), []
    for name, own in takes.items():
        mine = {key: value for key, value in given.items() if key in own or not several}
        values = checked(name, own, mine)
        told = {key: value for key, value in values.items() if value != own[key].default}
        if name != DEBRIEF:
            ahead = plans if name == AHEAD and "trip" not in told else ()
            stem = file_stem(name, _telling(name, told))
            found.append(Job(name, sources[name], values, stem, "".join(ahead[:1])))
            stems_ahead = trip_stems(ahead, name)
            for plan in ahead[1:]:
                one = {**values, "trip": plan}
                found.append(Job(name, sources[name], one, stems_ahead[plan], plan))
            continue
        wanted = _named(str(values.get("trip", "")), trips)
        if "trip" in told and wanted in stems:
            values["trip"] = told["trip"] = wanted
        found.append(_debrief(sources[name], values, told, stems, wanted))
        if every_trip:
            for trip in trips:
                one = {"trip": trip}
                told_one = {**told, **one}
                found.append(_debrief(sources[name], {**values, **one}, told_one, stems, trip))
    return sorted(found, key=lambda job: job.name == DEBRIEF and "trip" in job.parameters)


def _named(text: str, trips: Sequence[str]) -> str:
    """The trip of a name, however it is written; the latest where there is no name."""
    if not text.strip():
        return trips[-1] if trips else ""
    known = {folded(trip): trip for trip in trips}
    return known.get(folded(slug(text)), text)


def _debrief(
    source: "NotebookNode",
    values: Mapping[str, Value],
    told: Mapping[str, Value],
    stems: Mapping[str, str],
    trip: str,
) -> Job:
    stem = file_stem(DEBRIEF, _telling(DEBRIEF, told))
    if set(told) == {"trip"}:
        stem = stems.get(trip, stem)
    elif told and _one_file(stem) in {_one_file(each) for each in stems.values()}:
        stem += f"-{hashlib.sha256(stem.encode()).hexdigest()[:8]}"
    return Job(DEBRIEF, source, dict(values), stem, trip)


def _telling(name: str, told: Mapping[str, Value]) -> list[Value]:
    named = NAMED_IN_FILES.get(name, ())
    return [
        f"{key.rstrip('_').replace('_', '-')}-{value}" if key in named else value
        for key, value in told.items()
    ]
