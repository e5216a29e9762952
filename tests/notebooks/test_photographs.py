"""Photographs that an owner lays into trips' folders: shown small and stripped, or left out.

Pictures are drawn here; none is a photograph of anything.
"""

import io
import os
import re
import shutil
import socket
import struct
import zlib
from base64 import b64decode
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageCms, ImageDraw
from tarebook.notebooks import album, everything, runner, scaling
from tarebook.notebooks.output import check_out
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.errors import QuestionError
from tarebook.tripdata.photographs import LARGEST_PICTURE_BYTES, PhotographError, Photographs
from tarebook.tripdata.store import ensure_current

NOON_1_JUNE_2026 = "1780315200"  # POSIX time of 2026-06-01T12:00:00Z
TRIP, OTHER = "2025-09-ridge", "2024-06-islands"
MAKER, SERIAL, PLACE = "Invented Optics", "SN-778-1203", "47 deg 31 min"
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


# --- Which one ----------------------------------------------------------------------------------


def folder_of(tmp_path: Path, *names: str, trip: str = TRIP) -> Path:
    folder = tmp_path / "trips" / trip
    folder.mkdir(parents=True, exist_ok=True)
    for name in names:
        (folder / name).write_bytes(b"")
    return folder


def chosen(logbook: Path, trip: str = TRIP) -> str | None:
    found = Photographs(logbook).of(trip)
    return found.name.removeprefix("trips/") if found else None


@pytest.mark.parametrize(
    ("names", "first"),
    [
        (("b.jpg", "a.png", "c.webp"), "a.png"),
        (("a.jpg", "cover.webp"), "cover.webp"),
        (("a.jpg", "Cover.JPG"), "Cover.JPG"),
        (("cover.heic", "cover.png", "a.jpg"), "cover.png"),
        (("cover.heic", "a.jpg"), "cover.heic"),
        (("a.svg", "b.jpeg"), "b.jpeg"),
        (("IMG_2.jpg", "img_1.jpg"), "img_1.jpg"),
        (("a.svg",), "a.svg"),
        ((".hidden.jpg", "~a.jpg", "carried.csv", "jpg", "notes.txt"), None),
        ((), None),
    ],
)
def test_one_called_cover_comes_first_else_the_first_by_name(
    tmp_path: Path, names: tuple[str, ...], first: str | None
) -> None:
    folder_of(tmp_path, *names)
    (tmp_path / "trips" / TRIP / "0.jpg").mkdir()
    (tmp_path / "cover.jpg").write_bytes(b"")
    assert chosen(tmp_path) == (first and f"{TRIP}/{first}")


def test_the_folder_is_that_of_the_trip_by_the_rules_of_names(tmp_path: Path) -> None:
    folder_of(tmp_path, "a.jpg", trip="Été lake")
    assert chosen(tmp_path, "e\u0301te\u0301-LAKE") == "Été lake/a.jpg"
    assert chosen(tmp_path, "lake") is None
    assert chosen(tmp_path / "nowhere") is None


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


def secrets() -> list[bytes]:
    words = [MAKER, SERIAL, PLACE, "2025:09:12", "a comment of mine", "Author Invented"]
    return [*(word.encode() for word in words), b"Exif", b"xmp", b"XMP", b"ICC_PROFILE", b"GPS"]


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


# --- What is out to do harm ---------------------------------------------------------------------


def png_of(size: tuple[int, int]) -> bytes:
    """A PNG that says it has this size, and has next to no data."""
    return deep_png((1, 1), 0, [0]).replace(
        *(
            name + data + struct.pack(">I", zlib.crc32(name + data))
            for name in (b"IHDR",)
            for data in (
                struct.pack(">IIBBBBB", 1, 1, 16, 0, 0, 0, 0),
                struct.pack(">IIBBBBB", *size, 16, 0, 0, 0, 0),
            )
        )
    )


def jpeg_of_passes(passes: int) -> bytes:
    content = stored(drawn((64, 64)), progressive=True)
    start = content.index(b"\xff\xda")
    scan = content[start : content.index(b"\xff", start + 14)]
    return content[:start] + scan * passes + content[start:]


NO_PICTURE = "is no JPEG, PNG or WebP picture, whatever its name says; take it out or save it again"
CUT = "cannot be read to its end; copy it from the camera once more"
LARGE = "has more than 65 million pixels; save a smaller copy in its place"
BROKEN = {
    "a text": (b"Dear diary, it rained.", NO_PICTURE),
    "nothing": (b"", NO_PICTURE),
    "a script": (b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>", NO_PICTURE),
    "another kind": (stored(drawn((60, 40)), "GIF"), NO_PICTURE),
    "100 megapixels": (png_of((10_000, 10_000)), LARGE),
    "a gigapixel": (png_of((40_000, 40_000)), LARGE),
    "cut short": (stored(drawn(), quality=95)[:9000], CUT),
    "a cut PNG": (stored(drawn(), "PNG")[:900], CUT),
    "a cut WebP": (stored(drawn(), "WEBP")[:900], CUT),
    "endless passes": (jpeg_of_passes(200), "is a JPEG of very many passes; save it again"),
}


@pytest.mark.parametrize("case", BROKEN)
def test_what_is_no_picture_is_refused_with_the_reason(case: str) -> None:
    content, why = BROKEN[case]
    for scale in (scaling.large, scaling.small):
        with pytest.raises(scaling.NoPictureError) as stop:
            scale(content)
        assert str(stop.value) == why


def test_a_hundred_megapixels_are_never_decoded(monkeypatch: pytest.MonkeyPatch) -> None:
    from PIL import ImageFile

    def decoded(*_: Any) -> None:
        raise AssertionError("decoded")

    monkeypatch.setattr(ImageFile.ImageFile, "load", decoded)
    with pytest.raises(scaling.NoPictureError, match="65 million"):
        scaling.large(png_of((10_000, 10_000)))


def refusal(logbook: Path) -> str:
    found = Photographs(logbook).of(TRIP)
    assert found is not None
    with pytest.raises(PhotographError) as stop:
        found.content()
    assert album.Album(logbook).large(TRIP, TITLE) == ("", str(stop.value))
    assert album.Album(logbook).small(TRIP, TITLE) == ""
    return str(stop.value).removeprefix(f"trips/{TRIP}/")


def test_files_that_are_none_and_links_out_are_refused(tmp_path: Path) -> None:
    book, elsewhere = tmp_path / "book", tmp_path / "private.jpg"
    elsewhere.write_bytes(stored(drawn()))
    place = folder_of(book) / "a.jpg"
    place.symlink_to(elsewhere)
    out = "a.jpg: not shown, since it is a link out of the logbook; put the picture itself there"
    assert refusal(book) == out
    place.unlink()
    place.symlink_to(tmp_path / "gone.jpg")
    assert refusal(book) == (
        "a.jpg: not shown, since it is a link to a file that is not there; mend or remove it"
    )
    place.unlink()
    place.symlink_to(place)
    assert refusal(book).startswith("a.jpg: not shown, since it cannot be opened (")
    place.unlink()
    os.mkfifo(place)
    no_file = "a.jpg: not shown, since it is not a file; move it out of the logbook or rename it"
    assert refusal(book) == no_file
    place.unlink()
    with socket.socket(socket.AF_UNIX) as made:
        here = Path.cwd()
        os.chdir(place.parent)  # The path of a socket may be hardly a hundred letters long.
        try:
            made.bind("a.jpg")
        finally:
            os.chdir(here)
        assert refusal(book).startswith("a.jpg: not shown, since it cannot be opened (")
    place.unlink()
    with place.open("wb") as file:
        file.truncate(LARGEST_PICTURE_BYTES + 1)
    assert refusal(book) == (
        "a.jpg: not shown, since it is larger than 40 MB; save a smaller copy in its place"
    )
    place.rename(place.with_suffix(".heic"))
    assert refusal(book) == (
        "a.heic: not shown, since it is a kind of picture that pages do not show; "
        "save it as JPEG, PNG or WebP"
    )


def test_a_link_within_the_logbook_is_followed_a_folder_elsewhere_is_not(tmp_path: Path) -> None:
    book = tmp_path / "book"
    (book / "pictures").mkdir(parents=True)
    (book / "pictures" / "one.jpg").write_bytes(stored(drawn()))
    (folder_of(book) / "a.jpg").symlink_to(book / "pictures" / "one.jpg")
    assert album.Album(book).large(TRIP, TITLE)[1] == ""
    linked = tmp_path / "linked"
    linked.symlink_to(book)
    assert album.Album(linked).large(TRIP, TITLE) == album.Album(book).large(TRIP, TITLE)
    (tmp_path / "away").mkdir()
    (tmp_path / "away" / "b.jpg").write_bytes(stored(drawn()))
    (book / "trips" / OTHER).symlink_to(tmp_path / "away")
    assert "is a link out of the logbook" in album.Album(book).large(OTHER, TITLE)[1]


def test_a_title_stays_text_beside_its_photograph(tmp_path: Path) -> None:
    (folder_of(tmp_path) / "a.jpg").write_bytes(stored(drawn()))
    shown, complaint = album.Album(tmp_path).large(TRIP, TITLE)
    assert complaint == ""
    assert 'alt="Up &quot;there&quot; &lt;b&gt;&amp;" width="960" height="720">' in shown
    assert shown.count("<") == 3  # the figure and its picture


@pytest.mark.parametrize("note", ["", "Rain </p><img> & “wind”.", "ריח של אורן"])
def test_it_stands_below_the_note_whatever_that_says(note: str) -> None:
    from tarebook.analysis.display.sections import Opening, Point

    head = Opening(TITLE, ("1 night <b>", "7 km"), ("Set aside.",), (Point("All", "Fine."),))
    above, below = replace(head, note=note).html().split('<dl class="points">')
    assert album.placed(f"{above}<dl>{below}", "PICTURE") == f"{above}PICTURE<dl>{below}"
    assert album.placed(f"{above}<dl>{below}", "") == f"{above}<dl>{below}"


# --- In pages -----------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def noon() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SOURCE_DATE_EPOCH", NOON_1_JUNE_2026)
        patch.setattr(runner, "available", lambda: ("debrief",))
        yield


@pytest.fixture(scope="module")
def book(
    logbook: Callable[[str], Path], tmp_path_factory: pytest.TempPathFactory, noon: None
) -> Path:
    """A logbook with a debrief of every trip; one trip has photographs, one a text called so.

    Of reports there is the debrief alone.
    """
    folder = tmp_path_factory.mktemp("photographs") / "lakes"
    shutil.copytree(logbook("lakes"), folder)
    for name in ("b.jpg", "cover.jpg"):
        content = stored(drawn(), exif=noted(), comment=b"a comment of mine")
        (folder / "trips" / TRIP / name).write_bytes(content)
    (folder / "trips" / OTHER / "note.jpg").write_bytes(b"Dear diary")
    everything.make({}, folder).raise_failures()
    return folder


@pytest.fixture
def again(book: Path, tmp_path: Path) -> Path:
    """A copy of it, to be changed."""
    shutil.copytree(book, tmp_path / "lakes")
    return tmp_path / "lakes"


def page_of(book: Path, name: str) -> str:
    return (book / "reports" / f"{name}.html").read_text("utf-8")


PHOTOGRAPH = re.compile(r'<img src="data:image/jpeg;base64,([^"]+)" alt="([^"]*)"')


def test_it_stands_in_its_debrief_and_its_row_and_nowhere_else(book: Path) -> None:
    title = "The ridge again, in autumn"
    found = {
        path.stem: PHOTOGRAPH.findall(path.read_text("utf-8"))
        for path in (book / "reports").glob("*.html")
    }
    names = {name: [alt for _, alt in each] for name, each in found.items() if each}
    (in_debrief,) = {*names} - {"index"}
    assert in_debrief == f"debrief-{TRIP}"
    (large,), (small,) = found[in_debrief], found["index"]
    assert large[1] == small[1] == title
    for content in (b64decode(large[0]), b64decode(small[0])):
        assert [secret for secret in secrets() if secret in content] == []
        assert corners(content) == UPRIGHT
    text = page_of(book, in_debrief)
    assert text.index("<h1>") < text.index("<img") < text.index('<dl class="points">')
    assert "cover.jpg" not in text + page_of(book, "index")


def test_none_is_a_blank_and_never_a_hole(book: Path, again: Path) -> None:
    for name in (f"debrief-{OTHER}", "debrief"):
        text = page_of(book, name).partition("</head>")[2]
        assert "photograph" not in text
        assert "<img" not in text
    row = re.search(rf"<tr>(?:(?!</tr>).)*debrief-{OTHER}\.html.*?</tr>", page_of(book, "index"))
    assert row is not None
    assert row[0].endswith('<td class="photograph"></td></tr>')
    for name in ("b.jpg", "cover.jpg"):
        (again / "trips" / TRIP / name).unlink()
    everything.make({}, again).raise_failures()
    body = page_of(again, "index").partition("</head>")[2]
    assert 'class="trips"' in body
    assert "photograph" not in body
    assert "pictured" not in body


def test_what_cannot_be_shown_is_said_where_reports_are_made(
    again: Path, run: Callable[..., tuple[int, str, str]], noon: None
) -> None:
    said = f"tarebook: trips/{OTHER}/note.jpg: not shown, since it {NO_PICTURE}"
    (again / "reports" / "index.html").unlink()
    for _ in range(2):  # Made anew or not, it is said.
        status, _, err = run("report", "debrief", again, "--trip", "all")
        assert status == 0
        assert err.splitlines().count(said) == 1
    assert "no pages made; " in err


def test_photographs_are_no_files_that_a_load_complains_of(book: Path) -> None:
    findings = check_logbook(book)
    assert not [each for each in findings.warnings if ".jpg" in str(each)]
    assert not any(".jpg" in name for name in findings.files)


def added(book: Path) -> str:
    (book / "trips" / "2025-05-ridge" / "a.png").write_bytes(stored(drawn(), "PNG"))
    return "2025-05-ridge"


def changed(book: Path) -> str:
    (book / "trips" / TRIP / "cover.jpg").write_bytes(stored(drawn((800, 800))))
    return TRIP


def renamed(book: Path) -> str:
    (book / "trips" / TRIP / "cover.jpg").rename(book / "trips" / TRIP / "a.jpg")
    return TRIP


def removed(book: Path) -> str:
    for name in ("b.jpg", "cover.jpg"):
        (book / "trips" / TRIP / name).unlink()
    return TRIP


def mended(book: Path) -> str:
    (book / "trips" / OTHER / "note.jpg").unlink()
    return OTHER


@pytest.mark.parametrize("change", [added, changed, renamed, removed, mended])
def test_another_photograph_makes_its_debrief_and_the_list_anew(
    again: Path, started: list[str], change: Callable[[Path], str]
) -> None:
    everything.make({}, again)
    assert started == []
    before = PHOTOGRAPH.findall(page_of(again, "index"))
    trip = change(again)
    assert ensure_current(again) is None, "nothing is loaded anew for a photograph"
    everything.make({}, again)
    assert started == [f"debrief-{trip}"]
    # Of a debrief that cannot be made now the former page stands; the list goes on.
    after = PHOTOGRAPH.findall(page_of(again, "index"))
    assert (after != before) is (change not in (renamed, mended))
    assert len(after) == len(before) + {added: 1, removed: -1}.get(change, 0)


def test_another_photograph_of_the_folder_makes_nothing_anew(
    again: Path, started: list[str]
) -> None:
    (again / "trips" / TRIP / "z.jpg").write_bytes(stored(drawn()))
    (again / "trips" / TRIP / "b.jpg").unlink()
    everything.make({}, again)
    assert started == []


def test_a_page_whose_links_changed_keeps_its_photograph(again: Path, started: list[str]) -> None:
    name = f"debrief-{TRIP}"
    before, photographs = page_of(again, name), PHOTOGRAPH.findall(page_of(again, name))
    (again / "reports" / "index.html").unlink()
    made = runner.make(("debrief",), {"trip": "all"}, again / "reports", logbook=again)
    assert (started, made.failures) == ([], ())
    assert page_of(again, name) != before
    assert PHOTOGRAPH.findall(page_of(again, name)) == photographs


def test_a_table_is_never_written_over_a_photograph(book: Path) -> None:
    with pytest.raises(QuestionError, match="is one of the files that the logbook is read from"):
        check_out(book / "trips" / TRIP / "cover.jpg", book)
    check_out(book / "cover.jpg", book)
    check_out(book / "reports" / "cover.jpg", book)


@pytest.mark.parametrize("width", [320, 390, 760, 800, 940, 1280])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_photographs_fit_their_page(look: Any, book: Path, width: int, scheme: str) -> None:
    for name, most in ((f"debrief-{TRIP}", 360), ("index", 60)):
        seen = look(book / "reports" / f"{name}.html", width)
        seen.page.emulate_media(color_scheme=scheme)
        assert seen.page.evaluate("document.documentElement.scrollWidth") <= width
        picture = seen.page.locator("img")
        box = picture.bounding_box()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= width
        assert box["width"] / box["height"] == pytest.approx(4 / 3 if most > 60 else 1.5, rel=0.03)
        assert 25 < box["height"] <= most
        assert picture.evaluate("e => e.naturalWidth") > 100
        assert seen.fetched == []
        assert seen.complaints == []


def test_on_a_phone_a_row_without_one_has_the_whole_width(look: Any, book: Path) -> None:
    seen = look(book / "reports" / "index.html", 390).page
    rows = seen.locator(".trips tbody tr:not(.season)")
    bare = rows.filter(has=seen.locator(f'a[href="debrief-{OTHER}.html"]'))
    pictured = rows.filter(has=seen.locator("img"))
    whole = bare.bounding_box()["width"]
    assert bare.locator(".title").bounding_box()["width"] == pytest.approx(whole, abs=1)
    assert bare.locator(".photograph").is_hidden()
    title = pictured.locator(".title").bounding_box()
    picture = pictured.locator("img").bounding_box()
    assert title["x"] + title["width"] <= picture["x"]
    base = pictured.locator(".base").bounding_box()
    assert picture["y"] + picture["height"] <= base["y"] + 1


def test_beside_the_list_of_trips_sorting_and_rules_stay_whole(look: Any, book: Path) -> None:
    seen = look(book / "reports" / "index.html", 1280).page
    table = seen.locator(".trips").bounding_box()
    picture = seen.locator(".trips img").bounding_box()
    assert picture["x"] + picture["width"] == pytest.approx(table["x"] + table["width"], abs=1)
    for row in seen.locator(".trips tr").all():
        assert row.bounding_box()["width"] == pytest.approx(table["width"], abs=1)


def test_axe_finds_nothing_serious(look: Any, book: Path) -> None:
    from importlib import resources

    axe = pytest.importorskip("axe_playwright_python")
    script = resources.files(axe).joinpath("axe.min.js").read_text("utf-8")
    for name in (f"debrief-{TRIP}", "index"):
        seen = look(book / "reports" / f"{name}.html", 1280).page
        seen.locator("img").scroll_into_view_if_needed()
        found = seen.evaluate(
            # By the console of its own page: the page's policy lets no other script in.
            f"() => {{ {script}; return axe.run('main', {{resultTypes: ['violations']}}); }}"
        )
        worst = [
            f"{each['id']}: {each['nodes'][0]['html'][:120]}"
            for each in found["violations"]
            if each["impact"] in ("serious", "critical")
        ]
        assert worst == []
