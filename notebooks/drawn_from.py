"""What pages were drawn from, kept beside them, so that only what changed is made anew.

A digest covers everything that a page could depend on: the program with its templates, the
libraries that draw, the whole logbook (an answer on one trip often rests on all of them), the
options, the photograph of its trip, and the day it was made on, since it shows that.
"""

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, field, fields
from datetime import date
from functools import cache
from importlib import metadata, resources
from pathlib import Path
from typing import Any

from ..analysis.display.sections import Point
from ..tripdata.stamps import content_digest
from ..tripdata.version import VERSION
from .jobs import Job

FILE = ".pages.json"
_LAYOUT = 1
_PARTS = ("tripdata", "analysis", "notebooks")
_SOURCES = {".py", ".sql", ".csv", ".ipynb", ".css", ".js", ".j2", ".json"}
_LIBRARIES = (
    "altair", "duckdb", "ipykernel", "nbconvert", "numpy", "pandas", "papermill", "pillow",
    "pyarrow", "scipy", "vl-convert-python",
)  # fmt: skip


@dataclass(frozen=True)
class Kept:
    """What is known of a page that was made.

    drawn_from: digest of what its notebook was run on; site: of the links it was given. html,
    notebook: digests of the two files. script: the file of the script that it loads, or empty. The
    rest is what it had to say.
    """

    name: str
    trip: str
    drawn_from: str
    site: str
    html: str
    notebook: str
    script: str = ""
    title: str = ""
    sentence: str = ""
    findings: tuple[Point, ...] = ()
    for_index: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()


@dataclass
class Pages:
    """The pages of a folder by the stem of their files; what is no longer there is not among them.

    A file that is not as it was written (changed by hand, cut short) is not there.
    """

    folder: Path
    known: dict[str, Kept] = field(default_factory=dict)

    @classmethod
    def of(cls, folder: Path) -> "Pages":
        """Read what is known of a folder; nothing where that cannot be read."""
        try:
            stored = json.loads((folder / FILE).read_text("utf-8"))
            if stored["layout"] != _LAYOUT:
                return cls(folder)
            known = {stem: _kept(values) for stem, values in stored["pages"].items()}
        except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
            return cls(folder)
        pages = cls(folder, known)
        pages.known = {stem: each for stem, each in known.items() if pages._whole(stem, each)}
        return pages

    def text(self) -> str:
        """What is to be written into the file."""
        pages = {stem: asdict(each) for stem, each in sorted(self.known.items())}
        return json.dumps({"layout": _LAYOUT, "pages": pages}, ensure_ascii=True, indent=1) + "\n"

    def _whole(self, stem: str, kept: Kept) -> bool:
        files = {f"{stem}.html": kept.html}
        if kept.notebook:  # the first page has none
            files[f"{stem}.ipynb"] = kept.notebook
        if any("/" in name or "\\" in name for name in (*files, kept.script)):
            return False
        there = not kept.script or (self.folder / kept.script).is_file()
        return there and all(file_digest(self.folder / n) == d for n, d in files.items())


def _kept(values: Mapping[str, Any]) -> Kept:
    points = tuple(Point(**each) for each in values["findings"])
    lists = {name: tuple(values[name]) for name in ("for_index", "remarks")}
    kept = Kept(**{**values, "findings": points, **lists})
    texts = [getattr(kept, each.name) for each in fields(kept) if each.type is str]
    if not all(isinstance(each, str) for each in (*texts, *kept.for_index, *kept.remarks)):
        raise TypeError("expected text")
    return kept


def digest(text: str) -> str:
    """The digest of a file that holds this text."""
    return hashlib.sha256(text.encode()).hexdigest()


def file_digest(path: Path) -> str:
    """The digest of a file; empty where it cannot be read."""
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""


@cache
def program_digest() -> str:
    """A digest of the program as it is installed, its templates and the libraries that draw."""
    whole = hashlib.sha256(VERSION.encode())
    for library in _LIBRARIES:
        whole.update(f"\0{library} {_version(library)}".encode())
    for name, content in _sources():
        whole.update(f"\0{name}\0".encode() + hashlib.sha256(content).digest())
    return whole.hexdigest()


def _version(library: str) -> str:
    try:
        return metadata.version(library)
    except metadata.PackageNotFoundError:
        return "none"


def _sources() -> Iterator[tuple[str, bytes]]:
    for part in _PARTS:
        with resources.as_file(resources.files(f"tarebook.{part}")) as folder:
            for path in sorted(folder.rglob("*")):
                if path.suffix in _SOURCES and "__pycache__" not in path.parts:
                    yield f"{part}/{path.relative_to(folder)}", path.read_bytes()


def base_digest(logbook: Path, on: date) -> str:
    """A digest of what all reports of a logbook have in common, on the day they are made."""
    return digest("\0".join((program_digest(), content_digest(logbook), on.isoformat())))


def job_digest(base: str, job: Job, photograph: str = "") -> str:
    """A digest of all that one page is made of; photograph: the digest of its trip's."""
    from .cleaning import dump

    asked = json.dumps(dict(job.parameters), sort_keys=True)
    return digest(
        "\0".join((base, job.name, job.stem, job.trip, asked, dump(job.source), photograph))
    )
