"""What makes less typing: rows laid out in advance, marks in `used`, names as they are shown."""

from collections.abc import Callable
from pathlib import Path

import duckdb
import kit
import pytest
from tarebook.tripdata.load import Loader
from tarebook.tripdata.problems import Findings
from tarebook.tripdata.store import memory_store

Check = Callable[..., Findings]
Loaded = Callable[..., tuple[Findings, kit.Store]]

DAYS = ("2026-05-01", "2026-05-02", "2026-05-03", "2026-05-04")


def laid_out(findings: Findings) -> dict[str, int]:
    """Rows not filled in yet, by the name of their file."""
    return {c.file.rpartition("/")[2]: c.laid_out for c in findings.files.values() if c.laid_out}


# --- rows laid out in advance --------------------------------------------------------------------
LAID_OUT: kit.Files = {
    "trips/river/distances.csv": "day,mode,distance_km,ascent_m\n"
    + "".join(f"{day},foot,,\n" for day in DAYS),
    "trips/river/weather.csv": "day,wet,low_c,conditions\n" + "".join(f"{d},,,\n" for d in DAYS),
    "trips/river/comfort.csv": "day,aspect,score,note\n"
    + "".join(f"{d},sleep,,\n" for d in DAYS[:3]),
}


def test_rows_laid_out_in_advance_are_no_records_and_no_fault(loaded: Loaded) -> None:
    findings, store = loaded(LAID_OUT)
    assert findings.clean
    assert findings.warnings == []
    assert laid_out(findings) == {"distances.csv": 4, "weather.csv": 4, "comfort.csv": 3}
    assert {c.read for c in findings.files.values() if c.laid_out} == {0}
    for table in ("distances", "weather", "comfort"):
        assert store.rows(table, "day") == []
    counted = store.ask("SELECT laid_out FROM files WHERE laid_out > 0 ORDER BY laid_out")
    assert counted == [(3,), (4,), (4,)]


def test_a_row_with_anything_beyond_its_key_is_a_record(check: Check) -> None:
    files: kit.Files = {
        "trips/river/distances.csv": "day,mode,distance_km,ascent_m\n2026-05-01,foot,,300\n"
        "2026-05-02,foot,0,\n2026-05-03,,,\n",
        "trips/river/weather.csv": "day,wet,conditions\n2026-05-01,no,\n2026-05-02,,none\n,,\n",
        "trips/river/comfort.csv": "day,score,note\n2026-05-01,,slept like a log\n2026-05-02,,\n",
    }
    findings = check(files)
    assert laid_out(findings) == {"distances.csv": 1, "comfort.csv": 1}
    told = {(p.file.rpartition("/")[2], p.line, p.column) for p in findings.problems}
    assert told == {("distances.csv", 2, "distance_km"), ("comfort.csv", 2, "score")}
    assert kit.records_read(findings) == 5 + 2 + 2 + 2 + 1


def test_cells_beyond_the_header_are_no_laid_out_row(check: Check) -> None:
    findings = check({"trips/river/weather.csv": "day,wet\n2026-05-01,,dry\n"})
    assert [p.column for p in findings.problems] == [""]
    assert laid_out(findings) == {}


def test_a_repeated_row_laid_out_in_advance_leaves_the_other_as_it_is(check: Check) -> None:
    weather = "day,wet\n2026-05-01,\n2026-05-01,no\n2026-05-01,\n"
    findings = check({"trips/river/weather.csv": weather})
    assert findings.clean
    assert laid_out(findings) == {"weather.csv": 2}


def test_a_file_without_a_needed_column_is_told_of_whatever_its_rows_hold(check: Check) -> None:
    findings = check({"trips/river/distances.csv": "day,mode\n2026-05-01,foot\n"})
    assert not findings.clean
    assert laid_out(findings) == {}


def test_a_carried_row_of_the_item_alone_is_a_record(loaded: Loaded) -> None:
    findings, store = loaded(
        {"trips/river/carried.csv": "item,used\ntent,\n", "trips/river/used.csv": "item\ntent\n"}
    )
    assert findings.clean
    assert laid_out(findings) == {}
    assert store.rows("carried", "item") == store.rows("used", "item") == [("tent",)]


def read_by_either_way(folder: Path, work: Path, bulk_bytes: int | None) -> tuple[Findings, object]:
    """What one way of reading says, and the rows that it loads."""
    with memory_store() as connection:
        findings = Loader(folder, connection, work, bulk_bytes=bulk_bytes).run()
        return findings, kit.tables(connection)


def test_large_files_count_rows_laid_out_alike(write: Callable[..., Path], tmp_path: Path) -> None:
    more = "day,wet,low_c\n2026-05-01,no,\n2026-05-02, ,\n2026-05-03,,\n2026-05-04,,3\n"
    folder = write(LAID_OUT | {"trips/river/weather.csv": more})
    small, small_rows = read_by_either_way(folder, tmp_path, None)
    large, large_rows = read_by_either_way(folder, tmp_path, 0)
    assert laid_out(small) == {"distances.csv": 4, "weather.csv": 2, "comfort.csv": 3}
    assert large.files == small.files
    assert large_rows == small_rows


# --- marks in `used` -----------------------------------------------------------------------------
USED = [
    ("✓", "; write yes"),
    ("2x", "; write 2"),
    ("2 times", "; write 2"),
    ("x3", "; write 3"),
    ("used", "; write yes"),
    ("✗", "; write no"),
    *((t, "") for t in ("often", "1.5", "-1", "1001", "1e999999999", f"1e-{'9' * 20}", "nan")),
]


@pytest.mark.parametrize(("text", "advice"), USED)
def test_a_bad_used_cell_is_blanked_and_the_row_counts(
    loaded: Loaded, text: str, advice: str
) -> None:
    carried = f"item,weight_g,used\ntent,1100,yes\nfood,2000,{text}\n"
    findings, store = loaded({"trips/river/carried.csv": carried})
    assert findings.clean
    assert [str(w) for w in findings.warnings] == [
        "trips/river/carried.csv:3: used: expected yes, no or a number of times up to 1000, got "
        f'"{text}"{advice}; the rest of the row counts, its use is not known'
    ]
    assert store.rows("carried", "item", "weight_mg", "used") == [
        ("tent", 1_100_000, 1),
        ("food", 2_000_000, None),
    ]
    assert store.rows("use_not_read") == [("river", "food")]


def test_other_bad_cells_of_a_carried_row_still_set_it_aside(loaded: Loaded) -> None:
    carried = (
        "item,quantity,weight_g,from_day,used\nfood,2,x,,✓\ntent,0,,,✓\nstove,,,2027-01-01,✓\n"
    )
    findings, store = loaded({"trips/river/carried.csv": carried})
    assert [p.column for p in findings.problems] == ["weight_g", "quantity", "from_day"]
    assert store.rows("use_not_read") == []
    assert store.rows("carried") == []


def test_large_files_blank_a_bad_used_cell_alike(
    write: Callable[..., Path], tmp_path: Path
) -> None:
    folder = write({"trips/river/carried.csv": "item,used\ntent,yes\nquilt,✓\nstove,2x\n"})
    small, small_rows = read_by_either_way(folder, tmp_path, None)
    large, large_rows = read_by_either_way(folder, tmp_path, 0)
    assert large_rows == small_rows
    assert large.use_not_read == small.use_not_read
    assert [unread.item for unread in small.use_not_read] == ["quilt", "stove"]
    assert [str(w) for w in large.warnings] == [str(w) for w in small.warnings]


@pytest.mark.parametrize(
    ("cell", "expected"),
    [
        ("5O", 'expected a number, got "5O"'),
        ("500", 'expected at most 60 °C, got "500"'),
        ("five", 'expected a number, got "five"'),
    ],
)
def test_a_cold_limit_that_is_none_is_told_and_the_store_keeps_what_was_typed(
    loaded: Loaded, cell: str, expected: str
) -> None:
    gear = (
        "item,name,system,weight_g,rated_low_c,meant_for,cold_below_c\n"
        f"bag,Bag,sleep,1200,{cell},,\ncoat,Coat,clothing,300,,cold,{cell}\nmat,Mat,sleep,400,,,\n"
    )
    findings, store = loaded({"gear.csv": gear})
    told = [str(warning) for warning in findings.warnings]
    assert len(told) == 2
    assert told[0].startswith(f"gear.csv:2: rated_low_c: {expected}")
    assert told[1].startswith(f"gear.csv:3: cold_below_c: {expected}")
    assert all("the cell was left blank" in each for each in told)
    assert store.rows("cells_not_read") == [
        ("bag", "rated_low", cell),
        ("coat", "cold_below", cell),
    ]
    assert store.rows("gear", "item", "rated_low_c") == [
        ("bag", None),
        ("coat", None),
        ("mat", None),
    ]


@pytest.mark.parametrize(
    "line",
    ['[limits]\npannier = "5O00"', '[person]\nbody_kg = "7O"', '[goals]\nbase_weight_g = "5O"'],
)
def test_a_limit_of_the_settings_that_is_none_is_told(loaded: Loaded, line: str) -> None:
    findings, _ = loaded(
        {"gear.csv": "item,name,system\ntent,Tent,shelter\n", "tarebook.toml": line}
    )
    told = [str(warning) for warning in findings.warnings if warning.file == "tarebook.toml"]
    assert any("expected a number" in each and "O" in each for each in told)


def test_the_store_says_of_what_the_use_is_not_known(loaded: Loaded) -> None:
    _, store = loaded({"trips/river/carried.csv": "item,used\ntent,yes\nfood,✓\nfood,\n"})
    with duckdb.connect(str(store.path), read_only=True) as connection:
        rows = connection.execute("SELECT trip, item FROM use_not_read").fetchall()
    assert rows == [("river", "food")]


# --- names as they are shown, and as they were ---------------------------------------------------
NAMES: kit.Files = {
    "gear.csv": "item,name,system,weight_g,formerly\n"
    "tent,Ridge tent,shelter,1200,old-tent;Zelt\n"
    "rain-jacket,Rain Jacket,rain,250,anorak\n"
    "poncho,Rain jacket,rain,300,cape\n"
    "cape,Cape,rain,200,\n"
    "quilt,Tent,sleep,800,\n"
    "mug,Mug,cook,60,cup\n"
    "bowl,Bowl,cook,70,cup\n"
    "pot,,cook,90,\n"
    "sock-a,Wool socks,clothing,80,\nsock-b,wool  socks,clothing,85,\n",
    "trip.csv": kit.TRIP,
}


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("tent", "tent"),  # an item's own name comes before another's display name
        ("Ridge tent", "tent"),
        ("RIDGE  TENT", "tent"),
        ("Old-Tent", "tent"),
        ("zelt", "tent"),
        ("anorak", "rain-jacket"),
        ("cape", "cape"),  # and before another's former name
        ("pot", "pot"),
    ],
)
def test_other_names_lead_to_the_item_wherever_one_is_named(
    loaded: Loaded, text: str, item: str
) -> None:
    at = "trips/river/"
    files: kit.Files = NAMES | {
        "weighings.csv": f"item,weighed_on,weight_g\n{text},2026-04-01,100\n",
        at + "carried.csv": f"item\n{text}\n",
        at + "used.csv": f"item\n{text}\n",
        at + "failures.csv": f"item,severity\n{text},nuisance\n",
        at + "wished.csv": f"item\n{text}\n",
    }
    findings, store = loaded(files)
    assert findings.clean
    for table in ("weighings", "carried", "used", "failures", "wished"):
        assert store.rows(table, "item") == [(item,)]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("Rain jacket", ""),  # read as rain-jacket, which is an item
        ("Wool socks", '"Wool socks" means more than one item; write "sock-a" or "sock-b"'),
        ("cup", '"cup" means more than one item; write "mug" or "bowl"'),
        ("Ridge", 'expected an item of gear.csv, got "Ridge"'),
    ],
)
def test_a_name_of_several_items_is_none(check: Check, text: str, message: str) -> None:
    findings = check(NAMES | {"trips/river/carried.csv": f"item\n{text}\n"})
    assert [p.problem for p in findings.problems] == ([message] if message else [])


def test_two_rows_of_one_item_under_two_names_are_a_repeat(check: Check) -> None:
    findings = check(NAMES | {"trips/river/carried.csv": "item\ntent\nZelt\n"})
    assert [p.problem for p in findings.problems] == [
        "repeats trips/river/carried.csv:2; the first one stands"
    ]


def test_a_former_name_that_leads_elsewhere_is_warned_of(check: Check) -> None:
    told = [(w.line, w.column, w.problem) for w in check(NAMES).warnings]
    assert told == [
        (4, "formerly", '"cape" does not lead here: "cape" is the item of that name'),
        (7, "formerly", '"cup" does not lead here: "bowl" has it, too'),
        (8, "formerly", '"cup" does not lead here: "mug" has it, too'),
    ]


def test_what_is_replaced_or_needed_may_be_called_by_another_name(loaded: Loaded) -> None:
    gear = "item,name,system,weight_g,replaces,needs,formerly\n"
    gear += "tarp,Big tarp,shelter,400,old tent,Pegs 8,\ntent,,shelter,900,,,old-tent\n"
    gear += "pegs,Pegs 8,shelter,80,,,\n"
    findings, store = loaded({"gear.csv": gear})
    assert findings.warnings == []
    assert store.rows("gear", "replaces", "needs")[0] == (["tent"], ["pegs"])
    assert store.rows("gear", "formerly")[1] == (["old-tent"],)


def test_large_files_know_other_names_alike(write: Callable[..., Path], tmp_path: Path) -> None:
    carried = "item,used\ntent,yes\nanorak,no\nRidge tent,\ncup,yes\nMUG,2\n"
    folder = write(NAMES | {"trips/river/carried.csv": carried})
    small, small_rows = read_by_either_way(folder, tmp_path, None)
    large, large_rows = read_by_either_way(folder, tmp_path, 0)
    assert large_rows == small_rows
    assert [str(p) for p in large.problems] == [str(p) for p in small.problems]
    assert len(small.problems) == 2
