"""Drawings without what nobody sees: digits below a hundredth of a pixel, words for each mark,
names of parts, one font said at every label.

A drawing is told as a whole, in words of its own; what the renderer would have read aloud of every
mark is out of reach behind these.
"""

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from nbformat import NotebookNode

_DRAWING = re.compile(r"<svg\b.*?</svg>", re.DOTALL)
_TAG = re.compile(r"<[^>]*>")
_UNSEEN = re.compile(r' (?:aria-[a-z]+|role|class|pointer-events)="[^"]*"| opacity="1"')
_EMPTY = re.compile(r'<path(?: [a-z-]+="[^"]*")*? d="(?:M0,0h0v0h0Z)?"(?: [a-z-]+="[^"]*")*/>')
_FONT = re.compile(r' font-family="[^"]*"')
_SHAPE = re.compile(r' (?:d|transform|x|y|x1|x2|y1|y2|width|height|points)="[^"]*"')
_LONG = re.compile(r"-?\d+\.\d{3,}(?:e-?\d+)?")


def without_excess(notebook: "NotebookNode") -> None:
    """Thin out the drawings of an executed notebook, in place."""
    for cell in notebook.cells:
        for output in cell.get("outputs", ()):
            data = output.get("data", {})
            if "<svg" in data.get("text/html", ""):
                data["text/html"] = _DRAWING.sub(lambda svg: slimmed(svg[0]), data["text/html"])


def slimmed(svg: str) -> str:
    """Return a drawing that looks the same to a hundredth of a pixel."""
    thin = _EMPTY.sub("", _TAG.sub(_thin, svg))
    fonts = {font for tag in _TAG.findall(thin) for font in _FONT.findall(tag)}
    if len(fonts) != 1:
        return thin
    # What is inside inherits it.
    without = _TAG.sub(lambda tag: _FONT.sub("", tag[0]), thin)
    return without.replace("<svg", f"<svg{fonts.pop()}", 1)


def _thin(tag: re.Match[str]) -> str:
    return _SHAPE.sub(lambda shape: _LONG.sub(_short, shape[0]), _UNSEEN.sub("", tag[0]))


def _short(number: re.Match[str]) -> str:
    rounded = round(float(number[0]), 2) + 0.0  # no minus nothing
    return f"{rounded:.2f}".rstrip("0").rstrip(".")
