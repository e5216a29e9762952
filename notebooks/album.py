"""The photographs of trips as they stand in pages: a large one in a debrief, a small one in a list.

Pages hold them themselves. What cannot be shown leaves no trace in a page; why is said where a
report is made.
"""

import base64
import hashlib
import re
from collections.abc import Callable
from pathlib import Path

from ..analysis.display.markup import escape
from ..tripdata.photographs import PhotographError, Photographs
from . import scaling

_ABOVE = re.compile(
    r'<header class="tarebook-opening[^"]*"><h1>[^<]*</h1>(?:<p class="subtitle">[^<]*</p>)*'
    r"(?:<blockquote><p>(?:<bdi>)?[^<]*(?:</bdi>)?</p></blockquote>)?"
)
"""The opening of a page as far as the note: text in it is escaped, so it holds no tag."""


class Album:
    """The photographs of a logbook; a file is read when it is asked for."""

    def __init__(self, logbook: Path) -> None:
        self._photographs = Photographs(logbook)

    def digest(self, trip: str) -> str:
        """A digest of a trip's photograph: its name, size and bytes; empty where there is none."""
        photograph = self._photographs.of(trip) if trip else None
        if photograph is None:
            return ""
        whole = hashlib.sha256(photograph.name.encode())
        try:
            content = photograph.content()
            whole.update(f"\0{len(content)}\0".encode() + content)
        except PhotographError as error:
            whole.update(f"\0{error}".encode())
        return whole.hexdigest()

    def large(self, trip: str, title: str) -> tuple[str, str]:
        """The photograph of a trip for its debrief, as HTML, and why it is not shown; often both
        are empty."""
        return self._shown(trip, title, scaling.large, '<figure class="photograph">{}</figure>')

    def small(self, trip: str, title: str) -> str:
        """The same for a list; empty where there is none to be shown."""
        return self._shown(trip, title, scaling.small, "{}")[0]

    def _shown(
        self, trip: str, title: str, scale: Callable[[bytes], scaling.Jpeg], frame: str
    ) -> tuple[str, str]:
        photograph = self._photographs.of(trip) if trip else None
        if photograph is None:
            return "", ""
        try:
            made = scale(photograph.content())
        except PhotographError as error:
            return "", str(error)
        except scaling.NoPictureError as error:
            return "", str(photograph.refused(str(error)))
        data = base64.b64encode(made.content).decode()
        return frame.format(
            f'<img src="data:image/jpeg;base64,{data}" alt="{escape(title)}" '
            f'width="{made.width}" height="{made.height}">'
        ), ""


def placed(main: str, photograph: str) -> str:
    """Return the HTML of a page with a photograph in its opening, below the owner's note."""
    return _ABOVE.sub(lambda above: above[0] + photograph, main, count=1) if photograph else main
