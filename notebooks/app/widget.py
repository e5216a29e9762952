"""The form's Python side: answers what the front end asks, and writes when it is told to."""

import logging
import os
from base64 import b64decode, b64encode
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from ...tripdata.errors import QuestionError, TarebookError
from ...tripdata.logbook_entry import (
    ChangedMeanwhileError,
    Dropped,
    TripEntry,
    Writing,
    begin,
    draft,
    drop_draft,
    keep_draft,
    prepare,
    read_entry,
    recover,
    set_draft_aside,
    write,
)
from ...tripdata.own_files import own_text
from ...tripdata.today import made_on
from .beginning import begun, doubt
from .codec import NotAnEntryError, as_json, entry_of
from .dropped import MOST_BYTES, kind_of, made_of_thermometer, made_of_tracks
from .merging import merged
from .offered import offered, read_book
from .saying import Said, said
from .showing import sheet, typed
from .use import list_ticks, use_in_words

_FRONT = ("parts.js", "choosing.js", "packed.js", "days.js", "lists.js", "outcome.js", "form.js")
_VERSION = 1


def front_end() -> str:
    """The front end as one module: the files of `front` share one scope."""
    return "\n".join(own_text(__package__, "front", name) for name in _FRONT)


class TripForm(anywidget.AnyWidget):
    """The form on a logbook, opened on a trip or on the choice of one.

    A question of the front end is ``{id, ask, ...}``, its answer ``{id, ...}``; with ``refused`` it
    is a sentence to show.
    """

    _esm = front_end()
    _css = own_text(__package__, "front", "form.css")
    offered = traitlets.Dict().tag(sync=True)
    first = traitlets.Unicode().tag(sync=True)

    def __init__(self, folder: Path, trip: str = "", notice: str | None = None) -> None:
        self._folder = folder
        self._files: dict[str, Dropped] = {}
        self._tracks: list[Dropped] = []
        self._shown: Writing | None = None
        self._book = read_book(folder)
        known = self._book.trip(trip) if trip else None
        notices = [] if notice is None else [notice]
        super().__init__(
            offered=offered(self._book, made_on(), notices), first=known.trip if known else trip
        )
        self.on_msg(self._asked)

    def _asked(self, _: Any, question: Mapping[str, Any], buffers: Sequence[Any]) -> None:
        answers: dict[str, Callable[..., dict[str, Any]]] = {
            "offer": self._offer,
            "open": self._open,
            "begin": self._begin,
            "keep": self._keep,
            "file": self._file,
            "forget": self._forget,
            "show": self._show,
            "write": self._write,
            "look": self._look,
            "afresh": self._afresh,
            "throw": self._throw,
            "beat": lambda *_: {},
        }
        try:
            answer = answers[question["ask"]](question, buffers)
        except TarebookError as error:
            answer = {"refused": str(error)}
        except Exception as error:  # the form stays open whatever happens; the draft is kept
            logging.getLogger("tarebook").exception("the form could not answer")
            answer = {"refused": f"That went wrong, and it is not your fault: {error!r}"}
        self.send({"id": question["id"], **answer})

    def _offer(self, *_: Any) -> dict[str, Any]:
        """The trips as they are by now."""
        self._book = read_book(self._folder)
        return {"offered": offered(self._book, made_on())}

    def _open(self, question: Mapping[str, Any], _: Any) -> dict[str, Any]:
        trip = question["trip"]
        self._files = {}
        kept = draft(self._folder, trip)
        if kept is not None and kept.get("version") == _VERSION:
            try:
                base = entry_of(kept["base"])
            except NotAnEntryError:
                kept = None
            else:
                self._files = {
                    name: Dropped(name, b64decode(content), "thermometer")
                    for name, content in kept.get("files", {}).items()
                }
                opened = self._opened(base)
                opened["typed"] |= kept["typed"]
                return opened | {"taken_up": True}
        entry = read_entry(self._folder, trip)
        known = self._book.trip(trip)
        if known is None or not known.noted:
            entry = begin(self._folder, trip)  # its list may be missing
        return self._opened(entry)

    def _opened(self, entry: TripEntry) -> dict[str, Any]:
        self._shown = None
        self._tracks = []
        return {
            "base": as_json(entry),
            "sheet": sheet(entry, self._book),
            "typed": typed(entry, self._book),
            "not_shown": entry.not_shown,
        }

    def _begin(self, question: Mapping[str, Any], _: Any) -> dict[str, Any]:
        entry, problems = begun(question["typed"], self._book)
        if entry is None:
            return {"problems": problems}
        asks = doubt(question["typed"], self._book)
        if asks and not question["typed"].get("sure"):
            return {"sure": asks}
        self._files = {}
        return self._opened(entry)

    def _afresh(self, question: Mapping[str, Any], buffers: Any) -> dict[str, Any]:
        """Give a draft up, kept aside, and open what the files say."""
        set_draft_aside(self._folder, question["trip"])
        if self._book.trip(question["trip"]) is None:
            return {"gone": True}
        return self._open(question, buffers)

    def _throw(self, question: Mapping[str, Any], _: Any) -> dict[str, Any]:
        """Give a draft up, kept aside; the trips as they are then."""
        set_draft_aside(self._folder, question["trip"])
        return self._offer()

    def _keep(self, question: Mapping[str, Any], _: Any) -> dict[str, Any]:
        self._store_draft(question)
        return {}

    def _store_draft(self, question: Mapping[str, Any]) -> None:
        files = {each.name: b64encode(each.content).decode() for each in self._files.values()}
        data = {"version": _VERSION, "base": question["base"], "typed": question["typed"]}
        keep_draft(self._folder, question["base"]["trip"], {**data, "files": files})

    def _said(self, question: Mapping[str, Any]) -> Said:
        files = tuple(self._files.values())
        return said(entry_of(question["base"]), question["typed"], self._book, made_on(), files)

    def _file(self, question: Mapping[str, Any], buffers: Sequence[Any]) -> dict[str, Any]:
        content, name = b"".join(bytes(part) for part in buffers), str(question["name"])
        if len(content) > MOST_BYTES:
            return {"refused": f"{name} is larger than a track or a thermometer's file is."}
        file = Dropped(name, content, kind_of(name, content))
        entry = self._said(question).entry
        if file.kind == "track":
            self._tracks = [*(each for each in self._tracks if each.name != name), file]
            made = made_of_tracks(entry, self._tracks, self._book)
        else:
            made = made_of_thermometer(entry, file, self._book)
            if made.keep:
                self._files[name] = file
        return {"made": asdict(made) | {"kind": file.kind}}

    def _forget(self, question: Mapping[str, Any], _: Any) -> dict[str, Any]:
        self._files.pop(str(question["name"]), None)
        return {}

    def _show(self, question: Mapping[str, Any], _: Any) -> dict[str, Any]:
        """What would be written, or what is wrong and at which field."""
        told = self._said(question)
        self._shown = None
        if told.problems:
            # What is not known yet may be added to gear.csv meanwhile, then chosen.
            problems = [asdict(problem) for problem in told.problems]
            return {"problems": problems} | self._offer()
        ticks = list_ticks(entry_of(question["base"]), question["typed"], self._book)
        if ticks.by_hand and not question["typed"]["went"] and not question["typed"].get("unsaid"):
            return {"ask_went": asdict(ticks)}
        writing = prepare(self._folder, told.entry)
        if writing.problems and told.entry.seen != _seen_now(self._folder, told.entry):
            return {"meanwhile": True}
        self._shown = None if writing.problems else writing
        return {
            "changes": [
                {
                    "path": change.path,
                    "existed": change.existed,
                    "added": change.added,
                    "changed": change.changed,
                    "removed": change.removed,
                    "lines": list(change.lines),
                }
                for change in writing.changes
            ],
            "faults": list(writing.problems),
            "remarks": list(writing.remarks),
            "paste": writing.paste,
            "use": use_in_words(told.entry, ticks.went, self._book),
        }

    def _write(self, question: Mapping[str, Any], _: Any) -> dict[str, Any]:
        if self._shown is None:
            return {"refused": "Look at what will be written first."}
        try:
            paths = write(self._folder, self._shown)
        except ChangedMeanwhileError as error:
            self._shown = None
            self._store_draft(question)
            return {"meanwhile": str(error)}
        trip = self._shown.trip
        drop_draft(self._folder, trip)
        self._files = {}
        written = {"written": [_inside(path, self._folder) for path in paths], "trip": trip}
        return written | self._opened(read_entry(self._folder, trip))

    def _look(self, question: Mapping[str, Any], _: Any) -> dict[str, Any]:
        """The files as they are now, under what is typed."""
        self._book = read_book(self._folder)
        before = entry_of(question["base"])
        now = _now(self._folder, before)
        return self._opened(now) | {"typed": merged(before, question["typed"], now, self._book)}


def _now(folder: Path, entry: TripEntry) -> TripEntry:
    """What the form would be opened on now, also where the trip has no row yet.

    Raises QuestionError where its row has a mistake.
    """
    try:
        return read_entry(folder, entry.trip)
    except QuestionError:
        return begin(folder, entry.trip, None, entry.start_on, entry.end_on, entry.mode)


def _seen_now(folder: Path, entry: TripEntry) -> tuple[tuple[str, str], ...]:
    """The rows that would be shown then."""
    try:
        return _now(folder, entry).seen
    except QuestionError:
        return ()


def _inside(path: Path, folder: Path) -> str:
    inside = path.relative_to(folder) if path.is_relative_to(folder) else path
    return inside.as_posix()


def open_form() -> TripForm:
    """The form on the logbook that the environment names, as the notebook shows it."""
    folder = Path(os.environ.get("TAREBOOK_LOGBOOK", "."))
    notice = recover(folder)
    return TripForm(folder, os.environ.get("TAREBOOK_TRIP", ""), notice)
