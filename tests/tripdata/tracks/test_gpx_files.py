"""From bytes to points: both versions, odd encodings, cut and hostile files."""

import os
from datetime import UTC, datetime
from pathlib import Path

import pytest
import trackfiles as made
from tarebook.tripdata.tracks import TrackError, gpx, read_track
from tarebook.tripdata.tracks.gpx import gpx_bytes, parse_gpx
from tarebook.tripdata.tracks.reading import measure
from tarebook.tripdata.tracks.words import sentences

WALK = made.track(made.walk(5, heights=[500, 501, 502, 503, 504]))


@pytest.mark.parametrize("version", ["1.0", "1.1"])
def test_both_versions_give_the_same_points(version: str) -> None:
    # GPX 1.0 has speed and course in a point, 1.1 has them as extensions: either is passed over.
    inner = "<speed>1.4</speed>" if version == "1.0" else "<extensions><ele>9</ele></extensions>"
    file = parse_gpx(made.gpx(WALK.replace("</trkpt>", inner + "</trkpt>"), version=version))
    assert (file.tracks, file.routes, file.cut) == (1, 0, False)
    (points,) = file.segments
    assert [p.height_m for p in points] == [500, 501, 502, 503, 504]
    assert points[0].at == datetime(2026, 5, 1, 8, tzinfo=UTC)
    assert (points[4].latitude, points[4].longitude) == (47.0004, 8)


def test_a_file_without_a_namespace_or_with_a_prefix_is_read() -> None:
    bare = b'<gpx version="1.1">' + WALK.encode() + b"</gpx>"
    assert len(parse_gpx(bare).segments[0]) == 5
    prefixed = WALK.replace("<", "<g:").replace("<g:/", "</g:")
    whole = f'<g:gpx xmlns:g="{made.NAMESPACE}1/1">{prefixed}</g:gpx>'
    assert len(parse_gpx(whole.encode()).segments[0]) == 5


def test_elements_of_other_makers_are_not_ours() -> None:
    foreign = (
        '<x:time xmlns:x="urn:x">1999-01-01T00:00:00Z</x:time><x:ele xmlns:x="urn:x">1</x:ele>'
    )
    (points,) = parse_gpx(made.gpx(WALK.replace("<ele>", foreign + "<ele>"))).segments
    assert points[0].height_m == 500
    assert points[0].at == datetime(2026, 5, 1, 8, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "at"),
    [
        ("2026-05-01T08:00:00Z", datetime(2026, 5, 1, 8, tzinfo=UTC)),
        ("2026-05-01T10:00:00+02:00", datetime(2026, 5, 1, 8, tzinfo=UTC)),
        ("2026-05-01T08:00:00", datetime(2026, 5, 1, 8, tzinfo=UTC)),
        (" 2026-05-01T08:00:00.250Z\n", datetime(2026, 5, 1, 8, 0, 0, 250_000, tzinfo=UTC)),
        ("2016-12-31T23:59:60Z", datetime(2017, 1, 1, tzinfo=UTC)),
        ("1970-01-01T00:00:00Z", None),
        ("1980-01-06T00:00:00Z", None),
        ("9999-12-31T23:59:59-14:00", None),
        ("0001-01-01T00:00:00+14:00", None),
        ("2026-05-01", None),
        ("2026-13-01T08:00:00Z", None),
        ("yesterday, at eight o'clock", None),
        ("2026-05-01T08:00:00Z" * 9, None),
    ],
)
def test_times(text: str, at: datetime | None) -> None:
    point = made.Written("47", "8", "1", text)
    assert parse_gpx(made.gpx(made.track([point]))).segments[0][0].at == at


@pytest.mark.parametrize(
    ("text", "height"),
    [
        ("12.5", 12.5),
        ("-3", -3),
        ("0", None),
        ("0.0", None),
        ("-32768", None),
        ("9001", None),
        ("nan", None),
        ("1e999", None),
        ("12,5", None),
        ("12 m", None),
        ("٣", None),
        ("", None),
    ],
)
def test_heights(text: str, height: float | None) -> None:
    point = made.Written("47", "8", text, None)
    assert parse_gpx(made.gpx(made.track([point]))).segments[0][0].height_m == height


@pytest.mark.parametrize("lat", ["", "nan", "inf", "90.1", "47,5", "0x10", "47 N", "1_0", "1" * 99])
def test_a_point_without_a_good_position_is_counted(lat: str) -> None:
    points = made.walk(5)
    points[2] = points[2]._replace(lat=lat)
    result = read_track(made.gpx(made.track(points)))
    assert result.left_out == {"place": 1}
    assert (result.points_read, result.points_used) == (5, 4)


def test_a_point_without_attributes_is_counted() -> None:
    result = read_track(made.gpx("<trk><trkseg><trkpt/><trkpt lat='1'/></trkseg></trk>"))
    assert result.left_out == {"place": 2}
    assert result.points_used == 0


# Encodings: nothing but ASCII is read of a file, so a name in a wrong one spoils nothing.


@pytest.mark.parametrize(
    "encode",
    [
        lambda text: text.encode("utf-8-sig"),
        lambda text: text.encode("utf-16"),
        lambda text: text.encode("utf-16-be"),
        lambda text: text.encode("utf-16-le"),
        lambda text: text.encode("cp1252"),
        lambda text: text.replace("UTF-8", "UTF-16").encode("utf-8"),
        lambda text: text.replace("UTF-8", "ISO-8859-1").encode("latin-1"),
        lambda text: text.replace("UTF-8", "windows-1252").encode("cp1252"),
        lambda text: text.replace("UTF-8", "no-such-thing").encode("utf-8"),
        lambda text: text.replace("\n", "\r\n").encode("utf-8"),
    ],
)
def test_encodings_and_wrongly_named_ones(encode: object) -> None:
    text = made.gpx(WALK).decode().replace("a walk", "Grüße vom Fluß")
    assert callable(encode)
    assert len(parse_gpx(encode(text)).segments[0]) == 5


# Hostile files.

LAUGHS = (
    '<?xml version="1.0"?><!DOCTYPE lolz [<!ENTITY a "ha">'
    + "".join(
        f'<!ENTITY {b} "{f"&{a};" * 10}">' for a, b in zip("abcdefgh", "bcdefghi", strict=True)
    )
    + "]><gpx><trk><name>&i;</name></trk></gpx>"
)
REFUSED = "declares a document type (DOCTYPE), which no GPX file needs and some abuse; not read"


@pytest.mark.parametrize(
    "text",
    [
        LAUGHS,
        '<!DOCTYPE gpx SYSTEM "file:///etc/passwd"><gpx/>',
        '<!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/passwd">]><gpx>&x;</gpx>',
        '<!DOCTYPE gpx [<!ENTITY % x SYSTEM "http://127.0.0.1:9/x.dtd"> %x;]><gpx/>',
        "<!DOCTYPE gpx><gpx/>",
    ],
)
@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "utf-16-le"])
def test_document_types_and_entities_are_refused(text: str, encoding: str) -> None:
    with pytest.raises(TrackError) as caught:
        parse_gpx(text.encode(encoding))
    assert str(caught.value) == REFUSED


def test_an_entity_that_nobody_declared_is_damage() -> None:
    with pytest.raises(TrackError, match="is damaged at line 1"):
        parse_gpx(b"<gpx><trk><name>&boom;</name></trk></gpx>")


def test_deep_and_large_files_are_refused(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    with pytest.raises(TrackError, match="nested deeper than any GPX file"):
        parse_gpx(b"<gpx>" + b"<a>" * 100_000)
    monkeypatch.setattr(gpx, "_MOST_POINTS", 4)
    with pytest.raises(TrackError, match="has more than 4 points; export each day alone"):
        parse_gpx(made.gpx(WALK))
    monkeypatch.setattr(gpx, "LARGEST_FILE_BYTES", 1_000_000)
    large = b" " * 1_000_001
    (tmp_path / "large.gpx").write_bytes(large)
    for read in (lambda: parse_gpx(large), lambda: gpx_bytes(tmp_path / "large.gpx")):
        with pytest.raises(TrackError, match="is larger than 1 MB; export each day by itself"):
            read()


def test_a_long_text_in_a_point_is_no_height() -> None:
    file = parse_gpx(made.gpx(WALK.replace("<ele>500", "<ele>" + "5" * 5_000_000)))
    assert file.segments[0][0].height_m is None


# Cut, empty and other files.


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"", "is empty"),
        (b" \n ", "is empty"),
        (b"\x1f\x8b\x08\x00", "is compressed; unpack it first"),
        (b"PK\x03\x04", "is compressed; unpack it first"),
        (b"FIT\0\0\0", "is no GPX file; export the track as GPX"),
        (b"\xff\xfe<", "is no GPX file; export the track as GPX"),
        (b"<kml/>", 'is no GPX file (it begins with "kml"); export it as GPX'),
        (b"day,distance_km\n", "is no GPX file; export the track as GPX"),
        (b'{"type": "LineString"}', "is no GPX file; export the track as GPX"),
        (b"< what a walk", "is no GPX file; export the track as GPX"),
        (b"<!DOCTYPE html><p>", "is a web page, not a GPX file; download the GPX file itself"),
        (b"<html/>", 'is no GPX file (it begins with "html"); export it as GPX'),
        (b"<gpx version='2.0'/>", 'expected GPX 1.0 or 1.1, got version "2.0"'),
        (b"<gpx>\n<trk>\n</gpx>", "is damaged at line 3 (mismatched tag)"),
        (
            b"<gpx><trk>",
            "ends in the middle, before the first point of a track; export it again",
        ),
        (b"<gpx/><gpx/>", "is damaged at line 1 (junk after document element)"),
    ],
)
def test_what_is_no_track_is_said_in_one_line(content: bytes, message: str) -> None:
    with pytest.raises(TrackError) as caught:
        parse_gpx(content)
    assert str(caught.value) == message


def test_a_file_cut_anywhere_gives_what_stands_before_the_cut_or_is_refused() -> None:
    whole = made.gpx(WALK)
    counts = set()
    for end in range(len(whole)):
        before = whole[:end].count(b"</trkpt>")
        if not before:
            with pytest.raises(TrackError):
                parse_gpx(whole[:end])
            continue
        file = parse_gpx(whole[:end])
        assert file.cut
        assert sum(map(len, file.segments)) == before
        counts.add(before)
    assert counts == {1, 2, 3, 4, 5}
    assert not parse_gpx(whole).cut


def test_a_missing_file_is_one_line(tmp_path: Path) -> None:
    with pytest.raises(TrackError, match=r"cannot be read \(No such file or directory\)"):
        gpx_bytes(tmp_path / "none.gpx")


@pytest.mark.parametrize("kind", ["pipe", "device"])
def test_what_is_no_file_is_refused_and_not_waited_for(tmp_path: Path, kind: str) -> None:
    place = tmp_path / "pipe.gpx"
    if kind == "pipe":
        os.mkfifo(place)
    else:
        place.symlink_to("/dev/zero")
    with pytest.raises(TrackError, match=r"cannot be read \(a pipe or a device, not a file; save"):
        gpx_bytes(place)


def test_times_that_cannot_be_read_are_told_apart_from_missing_ones() -> None:
    points = [
        made.Written("47.0", "8.0", None, time)
        for time in ("8 o'clock", "1970-01-01T00:00:00Z", "", None, "2026-05-01T08:00:00Z")
    ]
    result = read_track(made.gpx(made.track(points)))
    assert (result.bad_times, result.bad_time) == (2, "8 o'clock")
    assert sentences(result, "km")[-2] == (
        '2 points have a time that cannot be read, such as "8 o\'clock", and are taken as without '
        "one."
    )
    none = read_track(made.gpx(made.track([point._replace(time=None) for point in points])))
    assert not [line for line in sentences(none, "km") if "cannot be read" in line]


def test_a_file_that_is_cut_is_named() -> None:
    whole = made.gpx(WALK)
    files = [parse_gpx(whole[:-30], "day 1.gpx"), parse_gpx(whole, "day 2.gpx")]
    assert measure(files).cut == ("day 1.gpx",)
    assert (
        '"day 1.gpx" ends in the middle. What comes before that is read; more may be missing.'
        in sentences(measure(files), "km")
    )


def test_a_route_is_no_track() -> None:
    route = (
        "<rte>" + '<rtept lat="1" lon="1"><time>2026-05-01T08:00:00Z</time></rtept>' * 9 + "</rte>"
    )
    result = read_track(made.gpx(route))
    assert (result.routes, result.route_points, result.days, result.points_read) == (1, 9, (), 0)
    both = read_track(made.gpx(route, WALK, route))
    assert (both.routes, both.route_points, both.points_read) == (2, 18, 5)
