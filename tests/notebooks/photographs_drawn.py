"""Pictures drawn for tests; none is a photograph of anything."""

import io
import struct
import zlib
from pathlib import Path
from typing import Any

from PIL import Image, ImageDraw
from tarebook.tripdata.photographs import Photographs

NOON_1_JUNE_2026 = "1780315200"  # POSIX time of 2026-06-01T12:00:00Z
TRIP, OTHER = "2025-09-ridge", "2024-06-islands"
MAKER, SERIAL, PLACE = "Invented Optics", "SN-778-1203", "47 deg 31 min"
NO_PICTURE = "is no JPEG, PNG or WebP picture, whatever its name says; take it out or save it again"
TITLE = 'Up "there" <b>&'


def drawn(size: tuple[int, int] = (1600, 1200), mode: str = "RGB") -> Image.Image:
    """Red at the left above, blue at the right below, on green."""
    image = Image.new("RGB", size, (40, 150, 60))
    draw = ImageDraw.Draw(image)
    draw.rectangle((0, 0, size[0] // 3, size[1] // 3), (220, 30, 30))
    draw.rectangle((2 * size[0] // 3, 2 * size[1] // 3, *size), (30, 30, 220))
    return image.convert(mode)


def stored(image: Image.Image, kind: str = "JPEG", **more: Any) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **more)
    return out.getvalue()


def noted(orientation: int = 1) -> Image.Exif:
    """What a camera notes beside the pixels: tags of Exif 2.32, place data among them."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x010F] = MAKER
    exif[0x9286] = SERIAL
    exif.get_ifd(0x8769)[0xA431] = SERIAL
    exif.get_ifd(0x8825).update({1: "N", 2: (47.0, 31.0, 12.0), 29: "2025:09:12", 27: PLACE})
    return exif


def corners(content: bytes) -> list[str]:
    """The colour that leads at each corner, from the left above clockwise."""
    image = Image.open(io.BytesIO(content)).convert("RGB")
    wide, high = image.size
    names = []
    for x, y in ((0.1, 0.1), (0.9, 0.1), (0.9, 0.9), (0.1, 0.9)):
        pixel = image.getpixel((int(x * wide), int(y * high)))
        assert isinstance(pixel, tuple)
        names.append(("red", "green", "blue")[pixel.index(max(pixel))])
    return names


UPRIGHT = ["red", "green", "blue", "green"]


def folder_of(tmp_path: Path, *names: str, trip: str = TRIP) -> Path:
    folder = tmp_path / "trips" / trip
    folder.mkdir(parents=True, exist_ok=True)
    for name in names:
        (folder / name).write_bytes(b"")
    return folder


def chosen(logbook: Path, trip: str = TRIP) -> str | None:
    found = Photographs(logbook).of(trip)
    return found.name.removeprefix("trips/") if found else None


def secrets() -> list[bytes]:
    words = [MAKER, SERIAL, PLACE, "2025:09:12", "a comment of mine", "Author Invented"]
    return [*(word.encode() for word in words), b"Exif", b"xmp", b"XMP", b"ICC_PROFILE", b"GPS"]


def deep_png(size: tuple[int, int], colour: int, samples: list[int]) -> bytes:
    """A PNG of 16 bits a sample by the PNG specification: every pixel the same."""
    row = b"\0" + struct.pack(f">{len(samples)}H", *samples) * size[0]
    parts = [
        (b"IHDR", struct.pack(">IIBBBBB", *size, 16, colour, 0, 0, 0)),
        (b"IDAT", zlib.compress(row * size[1])),
        (b"IEND", b""),
    ]
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        for name, data in parts
    )
