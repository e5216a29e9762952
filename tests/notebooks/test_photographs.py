"""Photographs that an owner lays into trips' folders, in the pages of their trips."""

import re
import shutil
from base64 import b64decode
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from photographs_drawn import (
    NO_PICTURE,
    NOON_1_JUNE_2026,
    OTHER,
    TRIP,
    UPRIGHT,
    chosen,
    corners,
    drawn,
    folder_of,
    noted,
    secrets,
    stored,
)
from tarebook.notebooks import everything, runner
from tarebook.notebooks.output import check_out
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.errors import QuestionError
from tarebook.tripdata.store import ensure_current


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
    assert "<img" not in row[0]
    for name in ("b.jpg", "cover.jpg"):
        (again / "trips" / TRIP / name).unlink()
    everything.make({}, again).raise_failures()
    body = page_of(again, "index").partition("</head>")[2]
    assert 'class="trips"' in body
    assert "photograph" not in body
    assert "<img" not in body


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
    title = pictured.locator(".title a").bounding_box()
    picture = pictured.locator("img").bounding_box()
    assert title["x"] + title["width"] <= picture["x"]
    assert picture["x"] + picture["width"] == pytest.approx(18 + whole, abs=1)
    base = pictured.locator(".base").bounding_box()
    assert picture["y"] + picture["height"] <= base["y"] + 1


@pytest.mark.parametrize("width", [390, 720, 800, 920, 1280, 1920])
def test_the_list_of_trips_stays_within_its_column(look: Any, book: Path, width: int) -> None:
    seen = look(book / "reports" / "index.html", width).page
    table, picture = (seen.locator(f".trips{part}").bounding_box() for part in ("", " img"))
    column = seen.locator("#all-trips").bounding_box()
    assert table["width"] == pytest.approx(column["width"], abs=1)
    assert column["x"] <= picture["x"]
    assert picture["x"] + picture["width"] <= column["x"] + column["width"]
    rows = [row.bounding_box() for row in seen.locator(".trips tbody tr").all()]
    assert [row["width"] for row in rows] == pytest.approx([table["width"]] * len(rows), abs=1)


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
