"""Person-written text on its way into HTML and charts: the one place where it is made harmless."""

import html
import json
import re
import unicodedata
from typing import Any

# Explicit direction marks can reorder the words around a name; scripts written from right to left
# need none of them.
_DIRECTION = re.compile("[\u061c\u200b\u200e\u200f\u202a-\u202e\u2060-\u206f\ufeff]")
_LINES = re.compile(r"[\t\n\v\f\r\x85\u2028\u2029]+")
_CONTROLS = re.compile(r"[\x00-\x1f\x7f-\x9f]")
_LONE_SURROGATES = re.compile(r"[\ud800-\udfff]")


def clean(text: object) -> str:
    """Return text on one line, without control and direction characters.

    Lone surrogates, which UTF-8 cannot write, become U+FFFD.
    """
    line = _LINES.sub(" ", str(text))
    line = _DIRECTION.sub("", _CONTROLS.sub("", line))
    return _LONE_SURROGATES.sub("\ufffd", line)


def escape(text: object) -> str:
    """Return text that is safe between HTML tags and inside a quoted attribute."""
    return html.escape(clean(text), quote=True)


def isolate(text: object) -> str:
    """Return escaped text; one with right-to-left letters is kept apart from what is around it."""
    safe = escape(text)
    if any(unicodedata.bidirectional(letter) in ("R", "AL") for letter in safe):
        return f"<bdi>{safe}</bdi>"
    return safe


def fold(title: object, body: str) -> str:
    """Return HTML that shows its title alone until it is opened; nothing where it has no body.

    Only an opened one is printed, unless the reader asks for all of it at the foot of the page.
    """
    summary = f"<summary>{escape(title)}</summary>"
    return f'<details class="tarebook-fold">{summary}{body}</details>' if body else ""


def embed_json(value: Any) -> str:
    """Return JSON that cannot end or comment out the script element it stands in."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return (
        text.replace("<", "\\u003c")
        .replace(">", "\\u003e")
        .replace("&", "\\u0026")
        .replace("\u2028", "\\u2028")
        .replace("\u2029", "\\u2029")
    )


def slug(text: object) -> str:
    """Return an identifier of a to z, 0 to 9 and hyphens, that starts with a letter."""
    plain = unicodedata.normalize("NFKD", clean(text)).encode("ascii", "ignore").decode().lower()
    name = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")
    return name if name[:1].isalpha() else f"x-{name}".rstrip("-")
