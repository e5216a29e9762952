"""Draws the picture that stands for a photograph in the demo: nobody has been there.

`python tests/tripdata/landscape.py tripdata/demo/data/evening.png` draws it anew.
"""

import math
import random
import sys
from itertools import pairwise
from pathlib import Path

from PIL import Image, ImageDraw

SIZE = (1080, 720)
_FINE = 2
"""It is drawn this many times as large, so that edges come out smooth."""
_SKY = (
    (0.0, (62, 92, 134)),
    (0.18, (128, 148, 172)),
    (0.32, (226, 186, 150)),
    (0.42, (246, 212, 158)),
    (1.0, (246, 212, 158)),
)
_SHORE = 0.6


def _sky(height: float) -> tuple[int, int, int]:
    for (low, below), (high, above) in pairwise(_SKY):
        if height <= high:
            part = (height - low) / (high - low)
            return tuple(round(a + part * (b - a)) for a, b in zip(below, above, strict=True))  # type: ignore[return-value]
    return _SKY[-1][1]


def landscape() -> Image.Image:
    """An evening over a sound: hills, still water, a ferry, reeds. 1080 by 720 pixels."""
    wide, high = SIZE[0] * _FINE, SIZE[1] * _FINE
    image = Image.new("RGB", (wide, high))
    draw = ImageDraw.Draw(image)
    shore, draws = int(_SHORE * high), random.Random(7)
    band = high // 90
    for y in range(0, shore, band):
        colour = _sky(y / high)
        draw.rectangle((0, y, wide, y + band), colour)
        # Water gives the sky back, darker.
        draw.rectangle(
            (0, 2 * shore - y - band, wide, 2 * shore - y), tuple(int(0.82 * c) for c in colour)
        )
    sun = (int(0.66 * wide), int(0.335 * high), int(0.035 * high))
    for y, fade in ((sun[1], 1.0), (2 * shore - sun[1], 0.86)):
        box = (sun[0] - sun[2], y - sun[2], sun[0] + sun[2], y + sun[2])
        draw.ellipse(box, tuple(int(fade * c) for c in (255, 243, 214)))
    for top, rough, colour in (
        (0.40, 0.050, (122, 128, 146)),
        (0.47, 0.035, (88, 101, 115)),
        (0.54, 0.022, (52, 70, 74)),
    ):
        ridge, waves = [], [(draws.uniform(1.5, 9), draws.uniform(0, 6)) for _ in range(4)]
        for x in range(0, wide + 1, 8):
            swing = sum(math.sin(n * 2 * math.pi * x / wide + at) / n**0.6 for n, at in waves)
            ridge.append((x, int(high * (top - rough * swing / 2))))
        draw.polygon([(0, shore), *ridge, (wide, shore)], colour)
        mirrored = [(x, 2 * shore - y) for x, y in ridge]
        draw.polygon([(0, shore), *mirrored, (wide, shore)], tuple(int(0.8 * c) for c in colour))
    for _ in range(26):
        y = int(shore + high * draws.uniform(0.02, 0.34))
        x, long = draws.randrange(wide), draws.randrange(wide // 30, wide // 7)
        draw.line((x, y, x + long, y), _sky(0.4), 2)
    _ferry(draw, int(0.17 * wide), int(0.665 * high), int(0.26 * wide))
    _shore(draw, wide, high, draws)
    return image.reduce(_FINE)


def _ferry(draw: ImageDraw.ImageDraw, left: int, water: int, long: int) -> None:
    """A ferry, the same at both ends, and below it what the water shows of it."""
    deck = long // 14
    for way, fade in ((1, 0.72), (-1, 1.0)):

        def box(at: float, to: float, low: float, top: float, way: int = way) -> tuple[float, ...]:
            ends = sorted((water + way * low * deck, water + way * top * deck))
            return (left + at * long, ends[0], left + to * long, ends[1])

        white, dark, band = (
            tuple(int(fade * c) for c in each)
            for each in ((236, 230, 218), (54, 66, 84), (40, 92, 84))
        )
        draw.rectangle(box(0.06, 0.94, 1, 2.1), white)
        draw.rectangle(box(0.16, 0.84, 2.1, 3.1), white)
        for part in range(13):
            draw.rectangle(box(0.2 + 0.047 * part, 0.225 + 0.047 * part, 2.35, 2.8), dark)
        for at in (0.2, 0.72):
            draw.rectangle(box(at, at + 0.08, 3.1, 3.9), white)
            draw.rectangle(box(at + 0.01, at + 0.07, 3.4, 3.7), dark)
        draw.rectangle(box(0.46, 0.54, 3.1, 4.3), band)
        draw.polygon(
            [
                (left, water + way * 1.2 * deck),
                (left + 0.07 * long, water),
                (left + 0.93 * long, water),
                (left + long, water + way * 1.2 * deck),
            ],
            band,
        )


def _shore(draw: ImageDraw.ImageDraw, wide: int, high: int, draws: random.Random) -> None:
    """Grass in front, and reeds."""
    front = [
        (x, int(high * (0.93 - 0.06 * math.sin(2.2 * x / wide + 0.4))))
        for x in range(0, wide + 1, 8)
    ]
    draw.polygon([(0, high), *front, (wide, high)], (32, 44, 40))
    for _ in range(150):
        x = draws.randrange(wide)
        if draws.random() < 0.75:  # most of them on the right
            x = int(wide * (1 - draws.random() ** 1.7 * 0.5))
        foot, tall = int(high * draws.uniform(0.9, 1.0)), high * draws.uniform(0.08, 0.3)
        lean = draws.uniform(-0.18, 0.26) * tall
        tip = (int(x + lean), int(foot - tall))
        draw.line((x, foot, *tip), (44, 58, 44), 5)
        if draws.random() < 0.4:
            draw.ellipse((tip[0] - 7, tip[1] - 30, tip[0] + 7, tip[1] + 12), (84, 62, 44))


if __name__ == "__main__":
    landscape().quantize(96, dither=Image.Dither.NONE).save(Path(sys.argv[1]), optimize=True)
