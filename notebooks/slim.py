"""Drawings without what nobody sees: digits below a hundredth of a pixel, words for each mark.

A drawing is told as a whole, in words of its own; what the renderer would have read aloud of every
mark is out of reach behind these.
"""

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from nbformat import NotebookNode

_DRAWING = re.compile(r"<svg\b.*?</svg>", re.DOTALL)
_TAG = re.compile(r"<[^>]*>")
_ALOUD = re.compile(r' (?:aria-[a-z]+|role)="[^"]*"')
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
    return _TAG.sub(
        lambda tag: _SHAPE.sub(lambda shape: _LONG.sub(_short, shape[0]), _ALOUD.sub("", tag[0])),
        svg,
    )


def _short(number: re.Match[str]) -> str:
    rounded = round(float(number[0]), 2) + 0.0  # no minus nothing
    return f"{rounded:.2f}".rstrip("0").rstrip(".")
