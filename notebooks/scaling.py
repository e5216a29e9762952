"""A photograph made small for a page: turned upright, in sRGB, and without a word about itself.

What comes out is a JPEG of the pixels alone. Whatever else a file holds (place, day, camera, serial
number, colour profile, a preview of its own) stays behind, since the pixels are put onto a fresh
ground. The same bytes give the same bytes.
"""

import io
import warnings
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL.Image import Image, Transpose

MOST_PIXELS = 65_000_000
"""As a telephone's camera of 64 megapixels; what says that it has more is not decoded."""
_FORMATS = ("JPEG", "PNG", "WEBP")
_LARGE = (960, 720)
_SMALL = (168, 112)
_LARGE_BYTES = 85_000
_QUALITIES = (82, 74, 66, 58, 50, 42, 34)
_SMALL_QUALITY = 74
_PASSES = 100
"""A JPEG's data may come in passes, and thousands of empty ones would take hours."""


class NoPictureError(ValueError):
    """The bytes cannot be shown; why, as the end of a sentence about them."""


@dataclass(frozen=True, slots=True)
class Jpeg:
    """A picture ready for a page; ``width`` and ``height`` in pixels."""

    content: bytes
    width: int
    height: int


def large(content: bytes) -> Jpeg:
    """As it stands in a debrief: whole, at most 960 by 720 pixels.

    Raises NoPictureError where the bytes are no picture, or too large a one.
    """
    image = _upright(content)
    image.thumbnail(_LARGE)
    made = b""
    for quality in _QUALITIES:
        made = _jpeg(image, quality)
        if len(made) <= _LARGE_BYTES:
            break
    return Jpeg(made, *image.size)


def small(content: bytes) -> Jpeg:
    """As it stands in a list: the middle of it, 168 by 112 pixels. Raises as `large`."""
    from PIL import ImageOps

    image = ImageOps.fit(_upright(content), _SMALL)
    return Jpeg(_jpeg(image, _SMALL_QUALITY), *image.size)


def _jpeg(image: "Image", quality: int) -> bytes:
    out = io.BytesIO()
    image.save(out, "JPEG", quality=quality, optimize=True, progressive=True)
    return out.getvalue()


def _upright(content: bytes) -> "Image":
    """The first picture of a file in sRGB, the right way up, hardly larger than is wanted."""
    from PIL import Image, UnidentifiedImageError

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # Of what is odd about a file: it is shown, or it is not.
        try:
            with Image.open(io.BytesIO(content), formats=_FORMATS) as image:
                return _read(image, content)
        except (NoPictureError, MemoryError) as error:
            raise NoPictureError(str(error) or _TOO_LARGE) from None
        except Image.DecompressionBombError:
            raise NoPictureError(_TOO_LARGE) from None
        except UnidentifiedImageError:
            raise NoPictureError(
                "is no JPEG, PNG or WebP picture, whatever its name says; take it out or save it "
                "again"
            ) from None
        except Exception:
            # A decoder raises almost anything at bytes that are out to harm it.
            raise NoPictureError(
                "cannot be read to its end; copy it from the camera once more"
            ) from None


_TOO_LARGE = "has more than 65 million pixels; save a smaller copy in its place"


def _read(image: "Image", content: bytes) -> "Image":
    from PIL import Image

    if image.width * image.height > MOST_PIXELS:
        raise NoPictureError(_TOO_LARGE)
    if image.format in ("JPEG", "MPO"):
        if content.count(b"\xff\xda") > _PASSES:
            raise NoPictureError("is a JPEG of very many passes; save it again")
        side = 2 * max(_LARGE)
        image.draft(None, (side, side))  # A half, a quarter or an eighth is decoded at once.
    image.load()
    turn = _turn(image)
    plain = _in_srgb(image)
    ground = Image.new("RGB", plain.size, "white")
    ground.paste(plain, mask=plain.getchannel("A") if plain.mode == "RGBA" else None)
    smaller = min(ground.size) // (2 * min(_LARGE))
    if smaller > 1:
        ground = ground.reduce(smaller)
    return ground if turn is None else ground.transpose(turn)


def _turn(image: "Image") -> "Transpose | None":
    """How a camera that was held otherwise wants its picture turned (tag 274 of Exif 2.32)."""
    from PIL.Image import Transpose as To

    turns = {
        2: To.FLIP_LEFT_RIGHT,
        3: To.ROTATE_180,
        4: To.FLIP_TOP_BOTTOM,
        5: To.TRANSPOSE,
        6: To.ROTATE_270,
        7: To.TRANSVERSE,
        8: To.ROTATE_90,
    }
    try:
        return turns.get(image.getexif().get(274, 1))
    except Exception:
        return None  # Notes that cannot be read say nothing.


def _in_srgb(image: "Image") -> "Image":
    """The same in RGB, or in RGBA where it lets something through."""
    from PIL import Image

    if image.mode.startswith("I"):  # 16 bits of grey, of which pages show eight
        import numpy as np

        return Image.fromarray((np.asarray(image).astype("int64") >> 8).astype("uint8")).convert(
            "RGB"
        )
    profile = image.info.get("icc_profile")
    if profile and image.mode in ("RGB", "CMYK"):
        from PIL import ImageCms

        try:
            own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            made = ImageCms.profileToProfile(
                image, own, ImageCms.createProfile("sRGB"), outputMode="RGB"
            )
        except (ImageCms.PyCMSError, OSError, TypeError, ValueError):
            made = None  # A profile that cannot be read changes no colour.
        if made is not None:
            return made
    return image.convert("RGBA" if image.has_transparency_data else "RGB")
