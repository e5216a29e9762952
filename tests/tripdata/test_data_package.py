"""`datapackage.json` beside a logbook: another program reads it, and finds what is wrong."""

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from frictionless import Package, validate
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.contract import BY_NAME, TABLES
from tarebook.tripdata.data_package import describe_logbook, draw_package
from tarebook.tripdata.demo import write_demo
from tarebook.tripdata.start import new_logbook, new_trip
from tarebook.tripdata.store import load_logbook
from tarebook.tripdata.table_schema import PACKAGE_FILE, package_as_drawn

LAKES = Path(__file__).parents[1] / "logbooks" / "lakes"


def faults(folder: Path) -> list[tuple[str, str, int]]:
    """What the other program finds: kind, column and line of each fault."""
    report = validate(str(folder / PACKAGE_FILE))
    assert report.errors == []
    return [tuple(row) for row in report.flatten(["type", "fieldName", "rowNumber"])]


def resource(folder: Path, name: str) -> dict[str, Any]:
    package = json.loads((folder / PACKAGE_FILE).read_text("utf-8"))
    return next(each for each in package["resources"] if each["name"] == name)


def fields(folder: Path, name: str) -> dict[str, dict[str, Any]]:
    return {field["name"]: field for field in resource(folder, name)["schema"]["fields"]}


@pytest.fixture
def drawn(write: Callable[..., Path]) -> Callable[..., Path]:
    """Write a logbook beside the good files, and its package."""

    def make(files: dict[str, str | bytes]) -> Path:
        folder = write(files)
        assert draw_package(folder)
        return folder

    return make


@pytest.mark.parametrize(
    ("us", "dates"), [(False, ""), (True, "MM/DD/YYYY"), (False, "DD.MM.YYYY")]
)
def test_a_new_logbook_is_a_valid_package_with_every_column(
    tmp_path: Path, us: bool, dates: str
) -> None:
    folder = tmp_path / "mine"
    assert PACKAGE_FILE in new_logbook(folder, us, dates).made
    assert faults(folder) == []
    for name in ("gear", "weighings", "candidates", "trip"):
        columns = BY_NAME[name].columns
        described = list(fields(folder, name).values())
        assert [f["description"] for f in described] == [c.meaning for c in columns]
        assert all(f["name"] in c.headers for f, c in zip(described, columns, strict=True))
    findings = load_logbook(folder)
    assert findings.clean
    assert findings.warnings == []
    assert check_logbook(folder).warnings == []


def test_the_demo_is_a_valid_package_of_all_its_files(tmp_path: Path) -> None:
    write_demo(tmp_path)
    assert faults(tmp_path) == []
    package = Package(str(tmp_path / PACKAGE_FILE))
    files = {path.relative_to(tmp_path).as_posix() for path in tmp_path.rglob("*.csv")}
    assert len(files) > 150
    assert {each.path for each in package.resources} == files
    tables = [each for each in package.resources if each.schema.fields]
    kinds = {each.name.split("-")[0] for each in tables}
    assert kinds == {table.name for table in TABLES}


def test_rows_that_were_laid_out_in_advance_are_valid(tmp_path: Path) -> None:
    folder = tmp_path / "lakes"
    shutil.copytree(LAKES, folder)
    new_logbook(folder)
    shutil.rmtree(folder / "trips" / "2027-05-north")
    load_logbook(folder)
    before = (folder / PACKAGE_FILE).read_bytes()
    new_trip(folder, "2027-05-north")
    assert (folder / PACKAGE_FILE).read_bytes() != before
    assert faults(folder) == []
    days = Package(str(folder / PACKAGE_FILE)).get_resource("distances-2027-05-north")
    assert [row["distance_km"] for row in days.read_rows()] == [None] * 7


def test_columns_left_out_or_added_leave_both_programs_content(drawn: Callable[..., Path]) -> None:
    files = {"gear.csv": "item,system,weight_g,colour\ntarp,shelter,420,green\nmat,sleep,390,\n"}
    folder = drawn(files)
    assert faults(folder) == []
    assert list(fields(folder, "gear")) == ["item", "system", "weight_g", "colour"]
    assert fields(folder, "gear")["colour"]["type"] == "any"
    findings = check_logbook(folder)
    assert findings.problems == []
    assert [warning.column for warning in findings.warnings] == ["colour"]


GEAR = "item,system,weight_g,insurance,bought_on\n"
WRONG = {
    "an item twice": ("tarp,shelter,420,,\ntarp,shelter,1,,\n", "item"),
    "no name": (",shelter,420,,\n", "item"),
    "an unknown system": ("tarp,sail,420,,\n", "system"),
    "a weight below 0": ("tarp,shelter,-5,,\n", "weight_g"),
    "more than 100 kg": ("tarp,shelter,100001,,\n", "weight_g"),
    "a weight in words": ("tarp,shelter,light,,\n", "weight_g"),
    "neither yes nor no": ("tarp,shelter,420,perhaps,\n", "insurance"),
    "no day": ("tarp,shelter,420,,2026-02-30\n", "bought_on"),
}


@pytest.mark.parametrize("case", WRONG)
def test_what_is_wrong_with_a_cell_is_found_by_the_other_program_too(
    drawn: Callable[..., Path], case: str
) -> None:
    rows, column = WRONG[case]
    folder = drawn({"gear.csv": GEAR + "mat,sleep,390,no,2024-03-01\n" + rows})
    found = faults(folder)
    assert found
    assert {name for _, name, _ in found} <= {column, None}
    ours = check_logbook(folder)
    assert {each.column for each in (*ours.problems, *ours.warnings)} == {column}


def test_items_and_trips_that_are_not_there_are_found(drawn: Callable[..., Path]) -> None:
    gear = "item,system,weight_g\ntarp,shelter,420\n"
    trip = "trip,start_on,end_on\nriver,2026-05-01,2026-05-03\n"
    carried = "trip,item\nriver,tarp\nriver,tent\nlake,tarp\n"
    folder = drawn({"gear.csv": gear, "trip.csv": trip, "carried.csv": carried})
    assert faults(folder) == [("foreign-key", None, 3), ("foreign-key", None, 4)]


def test_a_renamed_item_breaks_no_reference(drawn: Callable[..., Path]) -> None:
    gear = "item,system,weight_g,formerly\ntarp,shelter,420,sheet\n"
    trip = "trip,start_on,end_on\nriver,2026-05-01,2026-05-03\n"
    folder = drawn({"gear.csv": gear, "trip.csv": trip, "carried.csv": "trip,item\nriver,sheet\n"})
    assert faults(folder) == []
    assert check_logbook(folder).clean


WAYS: dict[str, bytes] = {
    "commas": b"item,system,weight_kg\ntarp,shelter,0.42\n",
    "semicolons and decimal commas": b"item;system;weight_kg\ntarp;shelter;0,42\n",
    "tabs": b"item\tsystem\tweight_kg\ntarp\tshelter\t0,42\n",
    "a mark of UTF-8": b"\xef\xbb\xbfitem,system,weight_kg\ntarp,shelter,0.42\n",
    "UTF-16": "item,system,weight_kg\ntarp,shelter,0.42\n".encode("utf-16"),
    "Windows-1252": b"item,system,weight_kg,note\ntarp,shelter,0.42,gr\xfcn\n",
    "other line ends": b"item,system,weight_kg\r\ntarp,shelter,0.42\r\n",
    "another spelling": b"Item,System,Weight (kg)\ntarp,Shelter,.42\n",
}


@pytest.mark.parametrize("way", WAYS)
def test_both_programs_read_the_same_weight(drawn: Callable[..., Path], way: str) -> None:
    trip = "trip,start_on,end_on\nriver,2026-05-01,2026-05-03\n"
    folder = drawn({"gear.csv": WAYS[way], "trip.csv": trip, "carried.csv": "trip,item\n"})
    assert faults(folder) == []
    gear = Package(str(folder / PACKAGE_FILE)).get_resource("gear")
    (row,) = gear.read_rows()
    weight = next(name for name in row if name.lower().startswith("weight"))
    assert round(row[weight] * 1_000_000) == 420_000
    if way == "Windows-1252":
        assert row["note"] == "grün"


@pytest.mark.parametrize("first", ["sep=;\n", "\n\n"])
def test_a_header_that_is_not_the_first_line_is_said_to_be_no_table(
    drawn: Callable[..., Path], first: str
) -> None:
    trip = "trip,start_on,end_on\nriver,2026-05-01,2026-05-03\n"
    gear = f"{first}item;system;weight_kg\ntarp;shelter;0,42\n"
    folder = drawn({"gear.csv": gear, "trip.csv": trip, "carried.csv": "trip,item\nriver,tarp\n"})
    assert faults(folder) == []
    assert "is not its first line" in resource(folder, "gear")["description"]
    assert not {"schema", "dialect", "type"} & resource(folder, "gear").keys()
    references = resource(folder, "carried")["schema"]["foreignKeys"]
    assert [each["reference"]["resource"] for each in references] == ["trip"]


def test_the_words_are_those_of_version_1(drawn: Callable[..., Path]) -> None:
    """CSV Dialect 1.2, Data Resource and Table Schema 1 (specs.frictionlessdata.io)."""
    strange = {"weighings.csv": "item,weight_g\n", "gear.csv": "sep=;\nitem;system;weight_g\n"}
    folder = drawn({**strange, "trip.csv": "trip,start_on,end_on\n"})
    for each in json.loads((folder / PACKAGE_FILE).read_text("utf-8"))["resources"]:
        known = {"name", "path", "profile", "format", "mediatype", "encoding", "title"}
        assert each.keys() <= known | {"description", "dialect", "schema"}
        assert each.get("dialect", {}).keys() <= {"delimiter", "header"}


LONG = {
    "UTF-16": ("utf-16", "\n"),
    "UTF-16, big end first": ("utf-16-be", "\n"),
    "carriage returns": ("utf-8", "\r"),
    "both": ("utf-8", "\r\n"),
    "Windows-1252": ("cp1252", "\n"),
}


@pytest.mark.parametrize("way", LONG)
def test_a_file_that_is_not_read_to_its_end_is_described_by_its_beginning(
    drawn: Callable[..., Path], way: str
) -> None:
    encoding, end = LONG[way]
    note = "gr\u00fcn \u0a0a" if encoding.startswith("utf") else "gr\u00fcn"
    rows = [f"item-{n},shelter,1,{note * (n % 7)}" for n in range(60_000)]
    text = end.join(["item,system,weight_g,note", *rows, "last,Shelter,1,", ""])
    mark = "\ufeff" if encoding == "utf-16-be" else ""
    folder = drawn({"gear.csv": (mark + text).encode(encoding)})
    described = fields(folder, "gear")
    assert list(described) == ["item", "system", "weight_g", "note"]
    assert "enum" not in described["system"].get("constraints", {})
    assert faults(folder) == []


def test_dates_in_the_declared_form_are_those_days(drawn: Callable[..., Path]) -> None:
    folder = drawn(
        {
            "tarebook.toml": '[reading]\ndates = "DD/MM/YYYY"\n',
            "gear.csv": "item,system,weight_g,bought_on,retired_on\ntarp,shelter,1,01/02/2026,\n"
            "mat,sleep,1,3/4/2026,\n",
            "trip.csv": "trip,start_on,end_on\nriver,2026-05-01,2026-05-03\n",
        }
    )
    assert faults(folder) == []
    package = Package(str(folder / PACKAGE_FILE))
    bought = [row["bought_on"].isoformat() for row in package.get_resource("gear").read_rows()]
    assert bought == ["2026-02-01", "2026-04-03"]
    (trip,) = package.get_resource("trip").read_rows()
    assert trip["start_on"].isoformat() == "2026-05-01"


def test_what_a_person_changed_is_left_and_what_nobody_did_is_drawn_anew(tmp_path: Path) -> None:
    new_logbook(tmp_path)
    path = tmp_path / PACKAGE_FILE
    first = path.read_bytes()
    (tmp_path / "gear.csv").write_text("item,system,weight_g\n")
    again = new_logbook(tmp_path)
    assert PACKAGE_FILE not in (*again.made, *again.existing)
    assert list(fields(tmp_path, "gear")) == ["item", "system", "weight_g"]
    package = json.loads(first)
    package["title"] = "Mine"
    path.write_text(json.dumps(package))
    assert package_as_drawn(path) is None
    assert PACKAGE_FILE in new_logbook(tmp_path).existing
    assert json.loads(path.read_text())["title"] == "Mine"


def test_it_is_not_written_through_a_link(tmp_path: Path) -> None:
    folder, other = tmp_path / "mine", tmp_path / "other.json"
    new_logbook(folder)
    (folder / PACKAGE_FILE).rename(other)
    (folder / PACKAGE_FILE).symlink_to(other)
    before = other.read_bytes()
    (folder / "gear.csv").write_text("item,system,weight_g\n")
    new_logbook(folder)
    assert other.read_bytes() == before


@pytest.mark.parametrize(
    "text", ["", "[]", "{}", '{"drawn": 1}', '{"drawn": {"digest": 2}}', "[" * 5000, "\udcff"]
)
def test_another_file_of_that_name_is_not_ours(tmp_path: Path, text: str) -> None:
    path = tmp_path / PACKAGE_FILE
    path.write_bytes(text.encode("utf-8", "surrogateescape"))
    assert package_as_drawn(path) is None


def test_files_that_cannot_be_read_as_tables_are_named_without_columns(
    drawn: Callable[..., Path],
) -> None:
    folder = drawn(
        {
            "weighings.csv": "item,weight_g\n",
            "weighings-nul.csv": b"a\0b\n",
            "candidates.csv": "candidate,system,weight_g,weight_oz\n",
        }
    )
    assert faults(folder) == []
    for name in ("weighings", "weighings-nul", "candidates"):
        assert "schema" not in resource(folder, name)


def test_names_of_any_script_make_names_that_are_allowed_and_differ(
    drawn: Callable[..., Path],
) -> None:
    names = ("Überland", "überland", "поход", "поход-2", "a, b", "a-b")
    files: dict[str, str | bytes] = {f"trips/{n}/carried.csv": "item\n" for n in names}
    folder = drawn(files)
    given = [r["name"] for r in describe_logbook(folder)["resources"]]
    assert len(set(given)) == len(given) >= 6
    assert all(set(name) <= set("abcdefghijklmnopqrstuvwxyz0123456789._-") for name in given)
    assert faults(folder) == []


@pytest.mark.outside(
    "published",
    "NIST Handbook 44, appendix C",
    "100 kg is 220.46226218 lb; 60 °C is 140 °F, -60 °C is -76 °F",
)
def test_the_units_of_ranges_are_those_of_the_header(drawn: Callable[..., Path]) -> None:
    header = "item,system,weight_lb,rated_low_f\n"
    folder = drawn({"gear.csv": header + "tarp,shelter,220.4,-75\nmat,sleep,1,140\n"})
    assert faults(folder) == []
    described = fields(folder, "gear")
    # 100 kg and 60 °C: NIST Handbook 44, and the definition of the Fahrenheit scale.
    assert described["weight_lb"]["constraints"]["maximum"] == pytest.approx(220.46226218)
    assert described["rated_low_f"]["constraints"] == {"minimum": -76, "maximum": 140}
    assert described["rated_low_f"]["unit"] == "°F"
