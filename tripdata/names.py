"""How names are compared: headers, values and slugs, and the nearest known name."""

import difflib
import json
import re
import unicodedata
from collections.abc import Iterable
from functools import lru_cache
from typing import Any

_RESERVED = {"con", "prn", "aux", "nul"} | {f"{d}{n}" for d in ("com", "lpt") for n in range(10)}
_ENGLISH_TOTALS = {"total", "totals", "sum", "subtotal", "grand-total", "sub-total", "total-weight"}
_TOTALS = _ENGLISH_TOTALS | {"summe", "gesamt", "somme", "suma", "totale", "totaal"}
_PLAIN = re.compile(r"[a-zA-Z0-9][a-zA-Z0-9_.-]*")
"""Most slugs; what is none may still be a good one in another script."""
_UNPRINTED = re.compile(
    "[\x7f-\x9f\u00ad\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ud800-\udfff\ufeff]"
)
"""What JSON may hold as it is, but a terminal obeys or does not show: controls, direction marks."""
_NEAREST_POOL = 5000
_NEAREST_WORK = 200_000
"""Names compared in one load before the search for near ones is given up."""


@lru_cache(maxsize=4096)
def normalised(text: str) -> str:
    """A header or value as it is matched: ``Weight (oz)`` is ``weight_oz``.

    Case is folded; every run of anything but letters and digits reads as one `_`; outer ones are
    dropped.
    """
    folded = unicodedata.normalize("NFC", unicodedata.normalize("NFC", text).casefold())
    return re.sub(r"[\W_]+", "_", folded).strip("_")


def squeezed(text: str) -> str:
    """A value without its separators, so that `e-bike` finds `ebike`."""
    return normalised(text).replace("_", "")


def slug(text: str) -> str:
    """A slug as typed, in NFC, with inner blanks read as `-`."""
    if _PLAIN.fullmatch(text):
        return text
    return re.sub(r"\s+", "-", unicodedata.normalize("NFC", text.strip()))


@lru_cache(maxsize=1 << 16)
def folded(slug_text: str) -> str:
    """What two slugs are compared by: NFC and case folding."""
    return unicodedata.normalize("NFC", slug_text.casefold())


def _good_letter(char: str) -> bool:
    return unicodedata.category(char)[0] in "LM" or unicodedata.category(char) == "Nd"


def slug_fault(slug_text: str) -> str:
    """Why a slug is refused, in words; empty where it is good."""
    if not _PLAIN.fullmatch(slug_text):
        first = slug_text[:1]
        if not (first and _good_letter(first) and unicodedata.category(first)[0] != "M"):
            return "expected a name that starts with a letter or digit"
        bad = next((c for c in slug_text if not (_good_letter(c) or c in "-_.")), "")
        if bad:
            return f'expected only letters, digits, "-", "_" and "." in a name, not {shown(bad)}'
    if slug_text.endswith("."):
        return "expected a name that does not end with a dot"
    if folded(slug_text).split(".")[0] in _RESERVED:
        return "this name is reserved by some file systems; choose another"
    return ""


def looks_like_total(slug_text: str) -> bool:
    """Whether a name is that of a totals row."""
    return folded(slug_text).rstrip(":") in _TOTALS


def inert(cell: str) -> str:
    """Text that a spreadsheet shows rather than runs: a leading = + - @ gets an apostrophe."""
    return "'" + cell if cell.startswith(("=", "+", "-", "@", "\t", "\r")) else cell


def printable(text: str) -> str:
    """Text with control and other unprintable characters made visible, on one line."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


def printable_json(value: Any, indent: int | None = None) -> str:
    """A value as JSON, in which control and other unprintable characters are escaped.

    It says the same, and a terminal obeys none of it. Raises ValueError for what is no number.
    """
    text = json.dumps(value, ensure_ascii=False, allow_nan=False, indent=indent)
    return _UNPRINTED.sub(lambda found: f"\\u{ord(found[0]):04x}", text)


def shown(text: str, limit: int = 60) -> str:
    """What a person wrote, quoted for a message: one line, printable, not too long."""
    clipped = text if len(text) <= limit else text[: limit - 1] + "…"
    return f'"{printable(clipped)}"'


def nearest(text: str, known: Iterable[str]) -> str:
    """The known name most like ``text``, empty where none is near."""
    pool = {folded(k): k for k in known}
    if len(pool) > _NEAREST_POOL or len(text) > 200:
        near = [k for k in pool if k[:2] == folded(text)[:2]][:_NEAREST_POOL]
    else:
        near = list(pool)
    best = difflib.get_close_matches(folded(slug(text)), near, n=1, cutoff=0.6)
    return pool[best[0]] if best else ""


def guess(text: str, known: Iterable[str], otherwise: str = "") -> str:
    """What to say of a name that is none: the nearest known one, quoted, else ``otherwise``."""
    near = nearest(text, known)
    return f'did you mean "{near}"?' if near else otherwise


class Names:
    """Slugs that a file defined, matched by NFC and case folding, shown as first defined.

    A slug may have other names; one of them stands for it where no other slug has it too.
    """

    def __init__(self) -> None:
        self._by_fold: dict[str, str] = {}
        self._others: dict[str, dict[str, None]] = {}
        self._by_text: dict[str, str | None] = {}
        self._nearest: dict[str, str] = {}
        self._work = 0

    def define(self, slug_text: str) -> bool:
        """Add a slug; False where it is defined already."""
        self._by_text.clear()
        return self._by_fold.setdefault(folded(slug_text), slug_text) is slug_text

    def also(self, other: str, slug_text: str) -> None:
        """Add another name of a slug."""
        self._by_text.clear()
        self._others.setdefault(folded(slug(other)), {})[slug_text] = None

    def meant(self, text: str) -> list[str]:
        """The slugs that ``text`` may mean: the one so called, else all that have it beside."""
        key = folded(slug(text))
        own = self._by_fold.get(key)
        return list(self._others.get(key, ())) if own is None else [own]

    def find(self, text: str) -> str | None:
        """The slug as first defined that ``text`` alone names, None where there is none."""
        try:
            return self._by_text[text]
        except KeyError:
            meant = self.meant(text)
            name = self._by_text[text] = meant[0] if len(meant) == 1 else None
            return name

    def nearest(self, text: str) -> str:
        """The defined slug most like ``text``, empty where none is near.

        After very many different texts the search is given up: where thousands of names are
        unknown, it is not spelling that is wrong, and looking for each would take hours.
        """
        if text not in self._nearest:
            if self._work > _NEAREST_WORK:
                return ""
            self._work += min(len(self._by_fold), _NEAREST_POOL)
            self._nearest[text] = nearest(text, self._by_fold.values())
        return self._nearest[text]
