"""Which photograph of a trip's folder is shown, and its bytes; what is in them is not looked at."""

import os
import stat
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from .discover import entries_there, is_a, readable, skipped
from .errors import TarebookError
from .names import folded, slug

ENDINGS = (".jpg", ".jpeg", ".png", ".webp")
"""How the names of photographs end that pages can show, in small letters."""
NOT_SHOWN = (".heic", ".heif", ".avif", ".gif", ".tif", ".tiff", ".bmp", ".svg")
"""How those of other pictures end."""
LARGEST_PICTURE_BYTES = 40_000_000
_FIRST = "cover"


class PhotographError(TarebookError):
    """A photograph cannot be shown; a line that names its file and says what to do."""


@dataclass(frozen=True, slots=True)
class Photograph:
    """A file of a trip's folder. ``name``: as in messages; ``home``: the logbook it must lie in."""

    path: Path
    name: str
    home: Path

    def content(self) -> bytes:
        """The bytes of the file, at most `LARGEST_PICTURE_BYTES`.

        Raises PhotographError where it is no file of the logbook, too large, or of a kind that
        pages cannot show.
        """
        if self.path.suffix.lower() not in ENDINGS:
            raise self.refused(
                "is a kind of picture that pages do not show; save it as JPEG, PNG or WebP"
            )
        try:
            place = self.path.resolve(strict=True)
            if not place.is_relative_to(self.home):
                raise self.refused("is a link out of the logbook; put the picture itself there")
            return self._read(place)
        except FileNotFoundError:
            raise self.refused("is a link to a file that is not there; mend or remove it") from None
        except (OSError, RuntimeError) as error:
            why = getattr(error, "strerror", None) or error
            raise self.refused(f"cannot be opened ({why})") from None

    def _read(self, place: Path) -> bytes:
        # Opened without waiting, and only then looked at: a pipe would never end.
        handle = os.open(place, os.O_RDONLY | _NO_WAIT)
        with os.fdopen(handle, "rb") as file:
            if not stat.S_ISREG(os.fstat(handle).st_mode):
                raise self.refused("is not a file; move it out of the logbook or rename it")
            content = file.read(LARGEST_PICTURE_BYTES + 1)
        if len(content) > LARGEST_PICTURE_BYTES:
            raise self.refused("is larger than 40 MB; save a smaller copy in its place")
        return content

    def refused(self, why: str) -> PhotographError:
        """The error that says why it is not shown."""
        return PhotographError(f"{self.name}: not shown, since it {why}")


_NO_WAIT = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0)


def is_photograph(name: str) -> bool:
    """Whether a file of a trip's folder may be meant as the photograph of that trip."""
    return not skipped(name) and os.path.splitext(name)[1].lower() in ENDINGS  # noqa: PTH122


class Photographs:
    """The photographs of a logbook by trip; folders are looked into when they are asked for."""

    def __init__(self, logbook: Path) -> None:
        self._home = logbook.resolve()

    def of(self, trip: str) -> Photograph | None:
        """The one to be shown of a trip, None where there is none.

        One called ``cover`` comes first, then what pages can show, then the first by name.
        """
        found = [
            (self._rank(entry.name), Photograph(Path(entry.path), name, self._home))
            for folder in self._folders.get(folded(slug(trip)), ())
            for entry in entries_there(folder)
            if (name := self._named(entry)) and not is_a("folder", entry)
        ]
        return min(found, key=lambda each: (each[0], each[1].name))[1] if found else None

    @cached_property
    def _folders(self) -> dict[str, list[Path]]:
        """The folders of each trip; there are two where their names differ in case alone."""
        folders: dict[str, list[Path]] = {}
        for entry in entries_there(self._home / "trips"):
            if not skipped(entry.name) and is_a("folder", entry):
                key = folded(slug(readable(entry.name)))
                folders.setdefault(key, []).append(Path(entry.path))
        return folders

    def _named(self, entry: os.DirEntry[str]) -> str:
        """The name of a picture in messages; empty where a file is none."""
        ending = os.path.splitext(entry.name)[1].lower()  # noqa: PTH122
        if skipped(entry.name) or ending not in (*ENDINGS, *NOT_SHOWN):
            return ""
        return readable(os.path.relpath(entry.path, self._home).replace(os.sep, "/"))

    def _rank(self, name: str) -> tuple[bool, bool, str]:
        stem, ending = os.path.splitext(name.lower())  # noqa: PTH122
        return stem != _FIRST, ending not in ENDINGS, name.casefold()
