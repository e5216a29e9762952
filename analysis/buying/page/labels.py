"""Where the names of dots stand: clear of upright lines, of each other, and within the picture."""

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

BREAK = "\ue000"
"""Ends a line within a label; no line break passes from data into a chart."""
_LETTER_PX, _LINE_PX, _DOT_PX, _CLEAR_PX = 6.3, 15.0, 10.0, 4.0
"""How wide a letter is on average, how high a line, how far from its dot a name begins, and how far
from a line it stays."""
_LETTERS = (44, 36, 28, 22, 18, 15, 13)


@dataclass(frozen=True, slots=True)
class Placed:
    """A name as it is drawn, its lines ended by `BREAK`, and whether it stands left of its dot.

    ``up_px``: how far its first line stands above the dot.
    """

    text: str
    to_left: bool
    up_px: float


@dataclass(frozen=True, slots=True)
class _Box:
    left: float
    right: float
    top: float
    bottom: float

    def meets(self, other: "_Box") -> bool:
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )


def beside(px: int, to_left: bool) -> dict[str, Any]:
    """Where text stands that begins, or ends, so far from its mark."""
    return {"align": "right", "dx": -px} if to_left else {"align": "left", "dx": px}


def placed(
    dots: Sequence[tuple[str, float, float]], lines: Sequence[float], width: float
) -> list[Placed]:
    """The place of each name, in the order given.

    dots: name and px from the left and the top. lines: upright ones, in px from the left. width: of
    the picture in px. Broad names come first; of equally clear places the one with fewer lines.
    """
    taken = [_Box(x - _DOT_PX / 2, x + _DOT_PX / 2, y - 5, y + 5) for _, x, y in dots]
    chosen: list[Placed] = []
    for place, (name, x, y) in enumerate(dots):
        others = [box for at, box in enumerate(taken) if at != place]

        def faults(option: tuple[Placed, _Box], others: Sequence[_Box] = tuple(others)) -> int:
            _, box = option
            outside = box.left < 0 or box.right > width
            struck = sum(box.left - _CLEAR_PX < line < box.right + _CLEAR_PX for line in lines)
            return 4 * outside + 2 * struck + sum(box.meets(other) for other in others)

        best, box = min(_options(name, x, y), key=faults)
        taken.append(box)
        chosen.append(best)
    return chosen


def _options(name: str, x: float, y: float) -> Iterator[tuple[Placed, _Box]]:
    for letters in _LETTERS:
        rows = textwrap.wrap(name.replace(BREAK, " "), letters) or [""]
        wide, more = max(map(len, rows)) * _LETTER_PX, (len(rows) - 1) * _LINE_PX
        for to_left in (False, True):
            left = x - _DOT_PX - wide if to_left else x + _DOT_PX
            for up in dict.fromkeys((0.0, more)):
                top = y - up - _LINE_PX / 2
                box = _Box(left, left + wide, top, top + more + _LINE_PX)
                yield Placed(BREAK.join(rows), to_left, up), box
