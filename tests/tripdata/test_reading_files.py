"""Files as bytes: encodings, delimiters, line ends, quotes, long lines, headers."""

import time
from collections.abc import Callable

import kit
import pytest
from tarebook.tripdata.problems import Findings

Check = Callable[..., Findings]
Read = Callable[..., tuple[Findings, kit.Kept]]
Loaded = Callable[..., tuple[Findings, kit.Store]]
WISHED = "trips/river/wished.csv"
TEXT = "what,note\nsocks,für Käthe – naß\nhat,\n"
ROWS = [("socks", "für Käthe – naß"), ("hat", None)]


@pytest.mark.parametrize(
    ("codec", "mark"),
    [
        ("utf-8", b""),
        ("utf-8", b"\xef\xbb\xbf"),
        ("utf-16-le", b"\xff\xfe"),
        ("utf-16-be", b"\xfe\xff"),
        ("cp1252", b""),
    ],
)
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_encodings_and_line_ends(read: Read, codec: str, mark: bytes, end: str) -> None:
    findings, kept = read({WISHED: mark + TEXT.replace("\n", end).encode(codec)})
    assert findings.clean
    assert not findings.warnings
    assert kept.rows("wished", "what", "note") == ROWS


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (
            TEXT.encode("utf-16-le"),
            "is not a text file (it holds NUL bytes); export it as CSV again",
        ),
        (
            b"what,note\nso\0cks,\n",
            "is not a text file (it holds NUL bytes); export it as CSV again",
        ),
        (
            b"\xff\xfe" + TEXT.encode("utf-16-le")[:-1],
            "looks like UTF-16 but is damaged; save it again",
        ),
        (
            b"\xff\xfe\x00\x00" + TEXT.encode("utf-32-le"),
            "is not a text file (it holds NUL characters); export it again",
        ),
        (
            b"what,note\n\x81\x8d,\n",
            "is neither UTF-8, UTF-16 nor Windows-1252 text; save it as CSV UTF-8",
        ),
        (
            b"PK\x03\x04\x14\x00\x06\x00",
            "is not a text file (it holds NUL bytes); export it as CSV again",
        ),
        (b"", "is empty; a header line is expected"),
        (b"\n \n\t\n", "is empty; a header line is expected"),
        (b"\xef\xbb\xbf", "is empty; a header line is expected"),
        (b"sep=;\n", "is empty; a header line is expected"),
        (b",,,\n,\n", "is empty; a header line is expected"),
    ],
)
def test_unreadable_files_are_counted_and_named(check: Check, data: bytes, message: str) -> None:
    findings = check({WISHED: data})
    assert [str(p) for p in findings.problems] == [f"{WISHED}: {message}"]
    count = findings.files[WISHED]
    assert (count.unreadable, count.read) == (True, 0)
    assert not findings.clean


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("first", ["", "sep={}\n", "SEP={}\n", "\n\n", ",,,\n"])
def test_delimiters(read: Read, delimiter: str, first: str) -> None:
    head = first.format(delimiter).replace(",", delimiter)
    text = head + "what,note\nsocks,x\nhat,\n".replace(",", delimiter)
    findings, kept = read({WISHED: text})
    assert findings.clean
    assert not findings.warnings
    assert kept.rows("wished", "what", "note") == [("socks", "x"), ("hat", None)]


def test_the_delimiter_is_the_one_with_the_most_known_headers(read: Read) -> None:
    text = "what;note, if any;how_much\nsocks;x, y;much\n"
    findings, kept = read({WISHED: text})
    assert findings.clean
    assert kept.rows("wished", "what", "how_much") == [("socks", "much")]
    assert [str(w) for w in findings.warnings] == [
        f"{WISHED}:1: note, if any: no such column in wished; it was ignored"
    ]


def test_a_declared_separator_is_obeyed(read: Read) -> None:
    findings, kept = read({WISHED: "sep=|\nwhat|note\nsocks|a;b,c\n"})
    assert findings.clean
    assert kept.rows("wished", "what", "note") == [("socks", "a;b,c")]
    for odd in ('sep="\n', "sep=\n", "sep= \n", "sep=;;\n", "sep=x\n"):
        findings, kept = read({WISHED: odd + "what,note\nsocks,x\n"})
        kit.prove_sums(findings)


def test_quoted_cells_may_hold_delimiters_quotes_and_newlines(loaded: Loaded) -> None:
    text = 'what,note\r\n"a ""b"", c","two\r\nlines"\r\n"hat",""\r\n"x\ny",z\r\n,,\r\nend,e\r\n'
    findings, store = loaded({WISHED: text})
    assert findings.clean
    assert store.rows("wished", "what", "note") == [
        ('a "b", c', "two\nlines"),
        ("hat", None),
        ("x\ny", "z"),
        ("end", "e"),
    ]


def test_lines_are_physical_lines(check: Check) -> None:
    text = 'item,note\ntent,"one\ntwo\nthree"\n\n   \nnone,x\n"stove","a\n\nb"\nnix,\n'
    findings = check({"trips/river/carried.csv": text})
    assert [(p.line, p.value) for p in findings.problems] == [(7, "none"), (11, "nix")]
    assert findings.files["trips/river/carried.csv"].read == 4


QUOTE = "a quote opens here and is not closed before the next cell; close or remove it"


@pytest.mark.parametrize(
    ("rows", "bad", "good"),
    [
        ('socks,"x\nhat,y\n', [2], ["hat"]),
        ('"socks,x\nhat,y\nmat,z\n', [2], ["hat", "mat"]),
        ('socks,"x"y\nhat,\n', [2], ["hat"]),
        ('socks,"x\nhat,"y\nmat,z\n', [2, 3], ["mat"]),
        ('socks,6" peg\nhat,a "b" c\n', [], ["socks", "hat"]),
        ('socks, "x"\nhat,\n', [], ["socks", "hat"]),
        ('socks,x\nhat,"', [3], ["socks"]),
    ],
)
def test_a_quote_that_goes_wrong_costs_its_own_line_only(
    read: Read, rows: str, bad: list[int], good: list[str]
) -> None:
    findings, kept = read({WISHED: "what,note\n" + rows})
    assert [str(p) for p in findings.problems] == [f"{WISHED}:{line}: {QUOTE}" for line in bad]
    assert [row[0] for row in kept.rows("wished", "what")] == good


def test_an_unclosed_quote_in_the_header(check: Check) -> None:
    findings = check({WISHED: 'what,"note\nsocks,x\nhat,y\n'})
    assert [str(p) for p in findings.problems] == [
        f"{WISHED}:1: {QUOTE}",
        f"{WISHED}:1: 2 records set aside with it, until it is mended",
    ]


def test_many_unclosed_quotes_do_not_take_for_ever(check: Check) -> None:
    text = "what,note\n" + "".join(f'thing {n},"x\n' for n in range(5_000))
    begun = time.process_time()
    findings = check({WISHED: text})
    assert findings.files[WISHED].set_aside == 5_000
    assert time.process_time() - begun < 10


@pytest.mark.parametrize(("size", "cells"), [(100_001, 1), (150_000, 2), (3_000_000, 50_000)])
def test_a_line_of_another_kind_of_file_is_one_fault(loaded: Loaded, size: int, cells: int) -> None:
    line = ("x" * (size // cells - 1) + ",") * cells
    findings, store = loaded({WISHED: f"what,note\nsocks,x\n{line}\nhat,y\n"})
    assert [str(p) for p in findings.problems] == [
        f"{WISHED}:3: expected a row, got a line of {len(line):,} characters; are the line ends "
        "lost, or is this another kind of file?"
    ]
    assert store.rows("wished", "what") == [("socks",), ("hat",)]
    assert [len(row[0]) for row in store.rows("set_aside", "raw")] == [10_000]


def test_a_line_of_40_megabytes_is_one_fault(check: Check) -> None:
    data = b"trip,item\n" + b"x" * 40_000_000
    findings = check({"carried.csv": data})
    assert [p.line for p in findings.problems] == [2]
    assert len(findings.records[0].raw) == 10_000


# --- headers -----------------------------------------------------------------------------------
def test_headers_match_without_case_and_marks_and_in_any_order(read: Read) -> None:
    text = "Note , HOW much,--What--\nn,much,socks\n"
    findings, kept = read({WISHED: text})
    assert findings.clean
    assert kept.rows("wished", "what", "how_much", "note") == [("socks", "much", "n")]


def test_unknown_columns_are_named_with_the_nearest_and_ignored(loaded: Loaded) -> None:
    text = "item,system,weight_g,Colour,cold_belw_c,r value,kits\nspoon,cook,1,red,5,2,K\n"
    findings, store = loaded({"gear-more.csv": text})
    assert findings.clean
    assert [str(w) for w in findings.warnings] == [
        "gear-more.csv:1: Colour: no such column in gear; it was ignored",
        "gear-more.csv:1: cold_belw_c: no such column in gear; it was ignored; did you mean "
        '"cold_below_c"?',
        'gear-more.csv:1: kits: no such column in gear; it was ignored; did you mean "kit"?',
    ]
    assert store.rows("gear", "r_value", "kit")[-1] == (2.0, None)


def test_a_column_without_a_header_is_told_where_it_holds_something(loaded: Loaded) -> None:
    findings, _ = loaded({WISHED: "what,,note,\nsocks,,x,\nhat,y,,\n"})
    assert findings.clean
    assert [str(w) for w in findings.warnings] == [
        f"{WISHED}:1: column 2: has no header; its cells were ignored"
    ]


SET_ASIDE = "set aside with it, until it is mended"


@pytest.mark.parametrize(
    ("header", "column", "message"),
    [
        (
            "item,system,weight",
            "weight_g",
            '"weight" has no unit; name the column weight_g or weight_kg or weight_oz or weight_lb',
        ),
        (
            "item,system,Weight (stone)",
            "weight_g",
            "expected a column weight_g or weight_kg or weight_oz or weight_lb, and there is none; "
            'did you mean "weight_stone"?',
        ),
        (
            "item,system,wieght_g",
            "weight_g",
            "expected a column weight_g or weight_kg or weight_oz or weight_lb, and there is none; "
            'did you mean "wieght_g"?',
        ),
        (
            "item,system,weight_g,weight_oz",
            "weight_oz",
            'expected one unit for weight, got "weight_g" and "weight_oz"; keep one',
        ),
        (
            "item,system,weight_g,Weight (g)",
            "weight_g",
            'expected one column "weight_g", got two; rename or remove one',
        ),
        (
            "item,item,weight_g,system",
            "item",
            'expected one column "item", got two; rename or remove one',
        ),
        ("name,system,weight_g", "item", "expected a column item, and there is none"),
        ("item,name,weight_g", "system", "expected a column system, and there is none"),
    ],
)
def test_a_header_that_is_wrong_sets_its_file_aside_and_is_told_once(
    check: Check, header: str, column: str, message: str
) -> None:
    rows = ",".join(["x"] * (header.count(",") + 1))
    findings = check({"gear-more.csv": f"{header}\n{rows}\n{rows}\n"})
    assert [str(p) for p in findings.problems] == [
        f"gear-more.csv:1: {column}: {message}",
        f"gear-more.csv:1: {column}: 2 records {SET_ASIDE}",
    ]
    assert findings.files["gear-more.csv"].set_aside == 2


def test_several_faults_of_a_header_are_all_told(check: Check) -> None:
    findings = check({"trips/river/distances.csv": "Day,Distance,day\n2026-05-01,5,x\n"})
    places = [(p.column, p.line) for p in findings.problems]
    assert places[:2] == [("day", 1), ("distance_km", 1)]
    assert set(places[2:]) <= set(places[:2])


def test_a_table_at_the_root_needs_a_trip_column(check: Check) -> None:
    findings = check({"weather.csv": "day,rain_mm\n2026-05-01,5\n"})
    assert [str(p) for p in findings.problems] == [
        "weather.csv:1: trip: expected a column trip, and there is none",
        f"weather.csv:1: trip: 1 record {SET_ASIDE}",
    ]


def test_header_only_is_no_problem(loaded: Loaded) -> None:
    findings, _ = loaded({WISHED: "what,note\n", "candidates.csv": "candidate,system,weight_g"})
    assert findings.clean
    assert findings.files[WISHED].read == 0


def test_missing_end_cells_are_blank_and_extra_ones_a_problem(loaded: Loaded) -> None:
    text = "what,item,how_much\nsocks\nhat,,much,,\nmat,,,x\ncap,,much, ,y\n"
    findings, store = loaded({WISHED: text})
    extra = "more cells than the header has; is a comma inside a cell not in quotes?"
    assert [str(p) for p in findings.problems] == [f"{WISHED}:4: {extra}", f"{WISHED}:5: {extra}"]
    assert [p.value for p in findings.problems] == ["x", "y"]
    assert store.rows("wished", "what", "how_much") == [("socks", None), ("hat", "much")]


def test_a_missing_required_end_cell(check: Check) -> None:
    findings = check({"trips/river/comfort.csv": "day,warmth,score\n2026-05-01,0\n,,3\n"})
    blank = "expected a value, the cell is blank; fill it in or delete the row"
    assert [str(p) for p in findings.problems] == [
        f"trips/river/comfort.csv:2: score: {blank}",
        f"trips/river/comfort.csv:3: day: {blank}",
    ]
