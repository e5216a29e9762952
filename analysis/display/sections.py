"""The pieces of a report: an opening, and sections that answer first and show second."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from .checklist import Checklist, Sheet
from .figure import Figure
from .markup import clean, escape, fold, isolate, slug
from .tables import Table

if TYPE_CHECKING:
    import pandas as pd

FINDINGS = "application/vnd.tarebook.findings+json"
"""The MIME type under which a report's pieces hand what they found to whoever runs a notebook.

An opening gives ``title``, ``sentence`` and ``points``, each the fields of a `Point`; a section its
``answer`` and what it has ``for_index``.
"""

OVER_ALL = "over-all-trips"
"""The place in a page of the section that has a sentence over all trips."""
NOTES = "How this was worked out, and its limits"
"""What notes are folded under."""

# Letters of two lines or so, which take hardly more room than the line they would be folded under.
_SHORT_NOTES = 200

# A notebook's formula typesetter leaves elements of these classes alone, so that a name with a
# dollar sign stays a name.
_NO_FORMULAS = "mathjax_ignore tex2jax_ignore"


@dataclass(frozen=True)
class Point:
    """One line of an opening: what it is about, the answer, and what goes with it.

    leads: whether it is among what comes first where there is room for little. The answer of a
    section as a point is about nothing.
    """

    about: str
    answer: str
    more: str = ""
    leads: bool = False

    def text(self) -> str:
        """Return the line in plain text."""
        colon = "" if self.about.endswith(("?", "!", ".")) else ":"
        about = f"{self.about}{colon} " if self.about else ""
        return clean(f"{about}{self.answer} {self.more}".rstrip())


@dataclass(frozen=True)
class Opening:
    """The head of a report: its title, a line or two below it, and what the reader must know.

    points: the answer in short. sentence: the answer in one whole sentence, for a page that names
    many reports; it stands in no page of its own. note: what its owner wrote. caution: what can
    hurt someone here; it stands right after the first ``care_after`` points, or after all of them.
    """

    title: str
    lines: tuple[str, ...] = ()
    notices: tuple[str, ...] = ()
    points: tuple[Point, ...] = ()
    sentence: str = ""
    note: str = ""
    caution: str = ""
    care_after: int | None = None

    def _repr_mimebundle_(self, **_: Any) -> dict[str, Any]:
        points = [
            {"about": clean(p.about), "answer": clean(p.answer), "more": clean(p.more)}
            | {"leads": p.leads}
            for p in self.points
        ]
        findings: dict[str, Any] = {"title": clean(self.title), "points": points}
        if self.sentence:
            findings["sentence"] = clean(self.sentence)
        return {"text/html": self.html(), "text/plain": self.text(), FINDINGS: findings}

    def html(self) -> str:
        """Return heading, lines, the owner's note, the points, the caution and the notices."""
        lines = "".join(f'<p class="subtitle">{escape(line)}</p>' for line in self.lines)
        note = f"<blockquote><p>{isolate(self.note)}</p></blockquote>" if self.note else ""
        notices = "".join(f"<li>{escape(notice)}</li>" for notice in self.notices)
        listed = f'<ul class="notices">{notices}</ul>' if notices else ""
        first, rest = _points(self.points[: self.care_after]), ""
        if self.care_after is not None:
            rest = _points(self.points[self.care_after :])
        return (
            f'<header class="tarebook-opening {_NO_FORMULAS}"><h1>{escape(self.title)}</h1>'
            f"{lines}{note}{first}{_care(self.caution)}{rest}{listed}</header>"
        )

    def text(self) -> str:
        """Return the same in plain text."""
        points = [point.text() for point in self.points]
        note = (f"\u201c{self.note}\u201d",) if self.note else ()
        care = (f"Take care. {self.caution}",) if self.caution else ()
        first = points[: self.care_after]
        told = (*first, *care, *points[len(first) :])
        lines = (self.title, *self.lines, *note, *told, *self.notices)
        return "\n".join(clean(line) for line in lines)


def _points(points: Sequence[Point]) -> str:
    told = "".join(
        f"<div><dt>{escape(point.about)}</dt><dd><strong>{escape(point.answer)}</strong>"
        f"{f' <span>{escape(point.more)}</span>' if point.more else ''}</dd></div>"
        for point in points
    )
    return f'<dl class="points">{told}</dl>' if told else ""


def _care(caution: str | None) -> str:
    if not caution:
        return ""
    told = f"<strong>Take care.</strong> {escape(caution)}"
    return f'<aside class="caution" role="note">{told}</aside>'


@dataclass(frozen=True)
class Section:
    """One question and its answer.

    answer: sentences, the first of which is the answer itself. caution: what can hurt someone
    here. missing: why there is nothing to show; such a section renders nothing, and its reason is
    given once for all of them. for_index: a sentence over all trips, which the page that links all
    reports repeats. fold: what stands below the answer is folded under these words, the caution
    never; empty: nothing is. Notes of more than two lines or so are folded of themselves.
    """

    heading: str
    answer: tuple[str, ...] = ()
    figure: Figure | None = None
    table: Table | None = None
    notes: tuple[str, ...] = ()
    caution: str | None = None
    missing: str | None = None
    more: tuple[Table | Checklist | Sheet | Figure, ...] = field(default=())
    for_index: str = ""
    fold: str = ""

    def __post_init__(self) -> None:
        if isinstance(self.answer, str):
            raise TypeError(f"section {self.heading}: answer must be a tuple of sentences")
        if self.missing is None and not self.answer:
            raise ValueError(f"section {self.heading}: needs an answer, or what is missing")

    @classmethod
    def empty(cls, heading: str, missing: str) -> "Section":
        """Return a section with nothing to show and the reason for it."""
        return cls(heading, missing=missing)

    def _repr_mimebundle_(self, **_: Any) -> dict[str, Any]:
        shown: dict[str, Any] = {"text/html": self.html(), "text/plain": self.text()}
        if self.missing:
            return shown
        findings = {"answer": clean(self.answer[0])}
        if self.for_index:
            findings["for_index"] = clean(self.for_index)
        return shown | {FINDINGS: findings}

    def html(self) -> str:
        """Return the section, or nothing where it is empty."""
        if self.missing is not None:
            return ""
        first, *rest = self.answer
        parts = [
            f'<section class="tarebook-section {_NO_FORMULAS}" id="{slug(self.heading)}">',
            f"<h2>{escape(self.heading)}</h2>",
            # The first page repeats what holds over all trips, and links here.
            f'<span id="{OVER_ALL}"></span>' if self.for_index else "",
            f'<p class="answer">{escape(first)}</p>',
        ]
        lines = "".join(f"<p>{escape(line)}</p>" for line in rest)
        care = _care(self.caution)
        shown = self.figure.html() if self.figure else ""
        shown += "".join(each.html() for each in (self.table, *self.more) if each)
        below = shown + self._notes()
        parts += [care, fold(self.fold, lines + below)] if self.fold else [lines, care, below]
        return "".join([*parts, "</section>"])

    def _notes(self) -> str:
        if not self.notes:
            return ""
        listed = "".join(f"<li>{escape(note)}</li>" for note in self.notes)
        notes = f'<ul class="notes">{listed}</ul>'
        short = self.fold or sum(map(len, self.notes)) <= _SHORT_NOTES
        return notes if short else fold(NOTES, notes)

    def text(self) -> str:
        """Return heading and answer in plain text."""
        if self.missing is not None:
            return ""
        care = (f"Take care. {self.caution}",) if self.caution else ()
        lists = (each.text() for each in self.more if isinstance(each, Checklist | Sheet))
        tasks = (line for text in lists for line in text.splitlines())
        lines = (*self.answer, *care, *tasks, *self.notes)
        return "\n".join([clean(self.heading), "", *(clean(line) for line in lines)])

    def frame(self) -> "pd.DataFrame | None":
        """Return the first of its tables as a data frame (`Table.frame`); None where it has none.

        Further ones are among ``more``.
        """
        tables = (each for each in (self.table, *self.more) if isinstance(each, Table))
        first = next(tables, None)
        return None if first is None else first.frame()
