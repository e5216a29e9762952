"""Tables as the command prints them, and reports as a person reads them, piece by piece.

The cells of the packaged notebooks run in this process, since a kernel takes seconds.
"""

import ast
import io
import json
import os
from collections.abc import Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager, nullcontext, redirect_stdout
from dataclasses import dataclass
from datetime import UTC, date, datetime
from html.parser import HTMLParser
from importlib import resources
from pathlib import Path
from typing import Any
from unittest.mock import patch

from tarebook.analysis.display.sections import Opening, Point
from tarebook.analysis.tables import entry
from tarebook.notebooks import writing
from tarebook.tripdata.errors import QuestionError

TODAY = date(2026, 11, 25)
RENDERER = "vl_convert.vegalite_to_svg"
Options = Mapping[str, object]


@contextmanager
def asking_of(folder: Path) -> Iterator[None]:
    """The environment of a command on a logbook, on the day of these tests."""
    noon = datetime(TODAY.year, TODAY.month, TODAY.day, 12, tzinfo=UTC)
    wanted = {"TAREBOOK_LOGBOOK": str(folder), "SOURCE_DATE_EPOCH": str(int(noon.timestamp()))}
    former = {name: os.environ.get(name) for name in wanted}
    os.environ.update(wanted)
    try:
        yield
    finally:
        for name, value in former.items():
            if value is None:
                del os.environ[name]
            else:
                os.environ[name] = value


def rows(folder: Path, table: str, options: Options | None = None) -> list[dict[str, Any]]:
    """The rows of a table as `tarebook table NAME --as json` prints them."""
    out = io.StringIO()
    with redirect_stdout(out):
        writing.write(entry(table), folder, "json", options=options)
    found: list[dict[str, Any]] = json.loads(out.getvalue())
    return found


def usual_lows(folder: Path, trip: str) -> tuple[float, ...]:
    """The usual low of each night of a plan, as the table outlook has it; none without normals."""
    try:
        return tuple(
            row["normal_low_c"] for row in rows(folder, "outlook", {"trip": trip, "below_c": 0.0})
        )
    except QuestionError:
        return ()


def drawn_if(drawn: bool) -> AbstractContextManager[Any]:
    """While sections are put together whose words alone are asked for, pictures need no drawing.

    What they are drawn from is worked out all the same; the drawing takes as long again.
    """
    return nullcontext() if drawn else patch(RENDERER, return_value="<svg></svg>")


@dataclass(frozen=True)
class Piece:
    """Some words of a page, and where they stand.

    kind: the element (answer: the first sentences of a section; aria: what a picture or one of its
    marks says to who cannot see it). under: the section's heading, then what else stands over it (a
    list's heading; a table's caption, its column and its row).
    """

    words: str
    kind: str
    under: tuple[str, ...] = ()

    @property
    def place(self) -> str:
        """Where it stands, for messages."""
        return " > ".join(self.under)


@dataclass(frozen=True)
class Page:
    """A page's words, and what it hands to the index."""

    name: str
    pieces: tuple[Piece, ...]
    title: str
    findings: tuple[Point, ...]

    @property
    def words(self) -> str:
        """All of them, a line a piece."""
        return "\n".join(piece.words for piece in self.pieces)


def shown_by(
    folder: Path, name: str, parameters: Options | None = None, *, drawn: bool = True
) -> tuple[list[Any], list[dict[str, Any]]]:
    """What the cells of a report's notebook show, and as what a notebook keeps each of them."""
    source = (resources.files("tarebook.notebooks") / f"{name}.ipynb").read_text("utf-8")
    code = ["".join(c["source"]) for c in json.loads(source)["cells"] if c["cell_type"] == "code"]
    room: dict[str, Any] = {}
    shown: list[Any] = []
    with asking_of(folder), nullcontext() if drawn else patch(RENDERER, return_value="<svg/>"):
        for number, cell in enumerate(code):
            tree = ast.parse(cell)
            last = tree.body[-1]
            if isinstance(last, ast.Expr):
                tree.body.pop()
            exec(compile(tree, name, "exec"), room)
            if isinstance(last, ast.Expr):
                shown.append(eval(compile(ast.Expression(last.value), name, "eval"), room))
            if not number:
                room |= dict(parameters or {})
        return shown, [each._repr_mimebundle_() for each in shown]


def page(folder: Path, name: str, parameters: Options | None = None, *, drawn: bool = True) -> Page:
    """A report as its notebook makes it.

    drawn: whether its pictures are drawn, so that what their marks say is read, too; it takes as
    long again.
    """
    shown, bundles = shown_by(folder, name, parameters, drawn=drawn)
    html = "".join(bundle.get("text/html", "") for bundle in bundles)
    parser = _Pieces()
    parser.feed(html)
    opening = next(s for s in shown if isinstance(s, Opening))
    first = sorted(opening.points, key=lambda point: not point.leads)
    return Page(name, tuple(parser.pieces), opening.title, tuple(first))


_TEXT = {
    "h1",
    "h2",
    "h3",
    "p",
    "li",
    "dt",
    "dd",
    "th",
    "td",
    "caption",
    "figcaption",
    "aside",
    "summary",
}


class _Pieces(HTMLParser):
    """Cuts a page into pieces; words within an inner element belong to that one."""

    def __init__(self) -> None:
        super().__init__()
        self.pieces: list[Piece] = []
        self._open: list[tuple[str, str, list[str]]] = []
        self._silent = False
        self._h2 = self._h3 = self._about = self._caption = ""
        self._columns: list[str] = []
        self._row = ""
        self._place = 0
        self._in_head = False

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        values = {key: value or "" for key, value in attributes}
        if tag in ("script", "style"):
            self._silent = True
        elif tag in _TEXT:
            self._open.append((tag, values.get("class", ""), []))
        if tag == "section":
            self._h2 = self._h3 = ""
        elif tag == "table":
            self._caption, self._columns = "", []
        elif tag == "tr":
            self._row, self._place = "", 0
        elif tag in ("thead", "tbody"):
            self._in_head = tag == "thead"
        if values.get("aria-label") and tag != "td":
            label = " ".join(values["aria-label"].replace("\u202f", " ").split())
            self.pieces.append(Piece(label, "aria", (self._h2,)))

    def handle_data(self, data: str) -> None:
        if self._open and not self._silent:
            self._open[-1][2].append(data)

    def handle_endtag(self, tag: str) -> None:
        if tag in ("script", "style"):
            self._silent = False
        elif tag in _TEXT and self._open and self._open[-1][0] == tag:
            kind, style, words = self._open.pop()
            self._keep(kind, style, " ".join("".join(words).replace("\u202f", " ").split()))

    def _keep(self, kind: str, style: str, words: str) -> None:
        under: tuple[str, ...] = (self._h2,)
        if kind == "h2":
            self._h2, self._h3 = words, ""
        elif kind == "h3":
            self._h3 = words
        elif kind == "caption":
            self._caption = words
        elif kind in ("th", "td"):
            if self._in_head:
                self._columns.append(words)
            else:
                column = self._columns[self._place] if self._place < len(self._columns) else ""
                self._row = self._row or words
                self._place += 1
                under = (self._h2, self._caption, column, self._row)
        elif kind == "li":
            under = (self._h2, self._h3)
        elif kind == "dt":
            self._about = words
        elif kind == "dd":
            under = (self._h2, self._about)
        self.pieces.append(Piece(words, "answer" if style == "answer" else kind, under))
