"""Pictures that are none, too large or elsewhere are left out; titles and notes stay text."""

import os
import socket
import struct
import zlib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from photographs_drawn import (
    NO_PICTURE,
    OTHER,
    TITLE,
    TRIP,
    deep_png,
    drawn,
    folder_of,
    stored,
)
from tarebook.notebooks import album, scaling
from tarebook.tripdata.photographs import LARGEST_PICTURE_BYTES, PhotographError, Photographs

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
