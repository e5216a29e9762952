"""The copy of a photograph that a page holds: small, upright, and with nothing of its camera."""

import io
import struct
from typing import Any

import pytest
from photographs_drawn import (
    MAKER,
    UPRIGHT,
    corners,
    deep_png,
    drawn,
    noted,
    secrets,
    stored,
)
from PIL import Image, ImageCms
from tarebook.notebooks import scaling

# --- What comes out -----------------------------------------------------------------------------


def test_a_large_one_is_whole_and_a_small_one_is_its_middle() -> None:
    content = stored(drawn((4000, 3000)), quality=90)
    large, small = scaling.large(content), scaling.small(content)
    assert (large.width, large.height) == (960, 720)
    assert (small.width, small.height) == (168, 112)
    for made in (large, small):
        read = Image.open(io.BytesIO(made.content))
        assert (read.format, read.mode, read.size) == ("JPEG", "RGB", (made.width, made.height))
        assert corners(made.content) == UPRIGHT
    assert scaling.large(content) == large
    assert scaling.small(content) == small


@pytest.mark.parametrize("size", [(300, 200), (1, 1), (5000, 100), (700, 1400)])
def test_a_small_one_stays_as_it_is_and_no_side_is_too_long(size: tuple[int, int]) -> None:
    made = scaling.large(stored(drawn(size), "PNG"))
    assert made.width <= 960
    assert made.height <= 720
    assert made.width / made.height == pytest.approx(size[0] / size[1], rel=0.1)
    if size[0] <= 960 and size[1] <= 720:
        assert (made.width, made.height) == size
    assert scaling.small(stored(drawn(size), "PNG")).width == 168


def test_no_picture_costs_more_than_its_share() -> None:
    # The worst for a JPEG: nothing but noise. A debrief has a third of a megabyte.
    noise = Image.merge("RGB", [Image.effect_noise((1600, 1200), 90) for _ in range(3)])
    content = stored(noise, quality=95)
    assert len(scaling.large(content).content) < 160_000
    assert len(scaling.small(content).content) < 12_000
    assert len(scaling.large(stored(drawn(), quality=95)).content) < 40_000
    assert len(scaling.small(stored(drawn(), quality=95)).content) < 4_000


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_it_is_the_right_way_up(kind: str, orientation: int) -> None:
    # How the sensor must have held what is upright: the turn that Exif asks for, taken back.
    held = {
        1: drawn(),
        2: drawn().transpose(Image.Transpose.FLIP_LEFT_RIGHT),
        3: drawn().transpose(Image.Transpose.ROTATE_180),
        4: drawn().transpose(Image.Transpose.FLIP_TOP_BOTTOM),
        5: drawn().transpose(Image.Transpose.TRANSPOSE),
        6: drawn().transpose(Image.Transpose.ROTATE_90),
        7: drawn().transpose(Image.Transpose.TRANSVERSE),
        8: drawn().transpose(Image.Transpose.ROTATE_270),
    }[orientation]
    content = stored(held, kind, exif=noted(orientation))
    made = scaling.large(content)
    assert (made.width, made.height) == (960, 720)
    assert corners(made.content) == UPRIGHT
    assert corners(scaling.small(content).content) == UPRIGHT


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_nothing_is_left_of_camera_and_place(kind: str) -> None:
    from PIL.PngImagePlugin import PngInfo

    text = PngInfo()
    text.add_text("Comment", "a comment of mine")
    text.add_itxt("Author", "Author Invented")
    packet = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><a>Author Invented</a></x:xmpmeta>'
    more: dict[str, Any] = {
        "JPEG": {"comment": b"a comment of mine", "xmp": packet},
        "PNG": {"pnginfo": text},
        "WEBP": {"xmp": packet},
    }[kind]
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    content = stored(drawn(), kind, exif=noted(6), icc_profile=profile, dpi=(311, 311), **more)
    assert any(secret in content for secret in secrets()), "the picture holds something to strip"
    assert MAKER.encode() in content
    for made in (scaling.large(content), scaling.small(content)):
        assert [secret for secret in secrets() if secret in made.content] == []
        read = Image.open(io.BytesIO(made.content))
        assert not read.getexif()
        assert {*read.info} <= {
            "jfif", "jfif_version", "jfif_unit", "jfif_density", "progressive", "progression"
        }  # fmt: skip
        assert read.info["jfif_density"] == (1, 1)


def middle(content: bytes) -> tuple[int, ...]:
    image = Image.open(io.BytesIO(content)).convert("RGB")
    pixel = image.getpixel((image.width // 2, image.height // 2))
    assert isinstance(pixel, tuple)
    return pixel


@pytest.mark.parametrize(
    ("content", "colour"),
    [
        (deep_png((30, 20), 0, [0x8000]), (128, 128, 128)),
        (deep_png((30, 20), 2, [0xFFFF, 0x8000, 0x1000]), (255, 128, 16)),
        (deep_png((30, 20), 6, [0x4000, 0x4000, 0x4000, 0]), (255, 255, 255)),
        (stored(Image.new("CMYK", (30, 20), (0, 255, 255, 0))), (255, 0, 0)),
        (stored(Image.new("L", (30, 20), 90)), (90, 90, 90)),
        (stored(Image.new("1", (30, 20), 1), "PNG"), (255, 255, 255)),
        (stored(Image.new("LA", (30, 20), (0, 0)), "PNG"), (255, 255, 255)),
        (stored(Image.new("RGBA", (30, 20), (0, 0, 0, 0)), "WEBP"), (255, 255, 255)),
        (stored(Image.new("RGB", (30, 20), (0, 0, 200)), icc_profile=b"no profile"), (0, 0, 200)),
    ],
)
def test_other_kinds_of_pixels_come_out_as_they_look(
    content: bytes, colour: tuple[int, ...]
) -> None:
    assert middle(scaling.large(content).content) == pytest.approx(colour, abs=6)
    assert middle(scaling.small(content).content) == pytest.approx(colour, abs=6)


@pytest.mark.parametrize(("kind", "how"), [("WEBP", {}), ("PNG", {})])
def test_of_one_that_moves_the_first_picture_stands(kind: str, how: dict[str, Any]) -> None:
    later = Image.new("RGB", (1600, 1200), "white")
    content = stored(drawn(), kind, save_all=True, append_images=[later] * 3, **how)
    assert corners(scaling.large(content).content) == UPRIGHT


def test_long_notes_of_a_camera_harm_nothing() -> None:
    exif = noted(6).tobytes()
    body = stored(drawn().transpose(Image.Transpose.ROTATE_90))
    # Further segments that say they are Exif and hold nothing, as many as fit into 20 MB.
    segment = b"\xff\xe1" + struct.pack(">H", 65_535) + b"Exif\0\0" + b"\0" * 65_527
    first = b"\xff\xe1" + struct.pack(">H", len(exif) + 2) + exif
    assert corners(scaling.large(body[:2] + first + body[2:]).content) == UPRIGHT
    made = scaling.large(body[:2] + segment * 300 + body[2:])
    assert (made.width, made.height) == (540, 720)
