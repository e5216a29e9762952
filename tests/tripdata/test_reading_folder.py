"""Which files belong to a logbook, in which order they are read, and what is said of others."""

import os
from collections.abc import Callable
from pathlib import Path

import kit
import pytest
from kit import is_current
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.errors import LogbookError, StoreError
from tarebook.tripdata.problems import Findings
from tarebook.tripdata.store import load_logbook

Check = Callable[..., Findings]
Load = Callable[[Path], tuple[Findings, kit.Store]]


def test_reading_order(check: Check) -> None:
    row = "trip,item,note\nriver,tent,{}\n"
    findings = check(
        {
            "carried-2026.csv": row.format(2),
            "carried-10.csv": row.format(1),
            "carried.csv": row.format(0),
            "trips/river/carried-z.csv": "item\ntent\n",
            "trips/river/carried.csv": "item\ntent\n",
            "trips/coast/carried-a.CSV": "item\ntent\n",
        }
    )
    assert [f for f in findings.files if "carried" in f] == [
        "carried.csv",
        "carried-10.csv",
        "carried-2026.csv",
        "trips/coast/carried-a.CSV",
        "trips/river/carried.csv",
        "trips/river/carried-z.csv",
    ]


@pytest.mark.parametrize("name", ["gear.CSV", "gear.Csv", "gear-2026.CSV", "gear-a b;c'd.csv"])
def test_extensions_in_any_case_and_parts_of_any_name(check: Check, name: str) -> None:
    findings = check({name: "item,system,weight_g\nspoon,cook,1\n"})
    assert findings.files[name].read == 1
    assert findings.clean


@pytest.mark.parametrize(
    "name",
    [".gear.csv", "~$gear.csv", "~gear.csv", "gear.csv~", "gear.csv.bak", "gear.txt", ".csv"],
)
def test_hidden_locked_and_other_files_are_not_read(check: Check, name: str) -> None:
    findings = check({name: "nonsense\n", f"trips/river/{name}": "nonsense\n"})
    assert findings.clean
    named = [name, f"trips/river/{name}"] if "~" in name else []
    assert [w.file for w in findings.warnings] == named
    assert set(findings.files) == {"gear.csv", "trip.csv"}


@pytest.mark.parametrize(
    ("name", "near"),
    [
        ("trips.csv", "trip.csv"),
        ("Gear.csv", "gear.csv"),
        ("weights.csv", "weighings.csv"),
        ("carried_2026.csv", "carried.csv"),
        ("trips/river/tempratures.csv", "temperatures.csv"),
        ("zzz.csv", ""),
    ],
)
def test_any_other_csv_is_named_with_its_nearest_table(check: Check, name: str, near: str) -> None:
    findings = check({name: "nonsense\n"})
    hint = f'; did you mean "{near}"?' if near else ""
    assert [str(w) for w in findings.warnings] == [
        f"{name}: not a file of a logbook; it was not read{hint}"
    ]
    assert findings.clean
    assert name not in findings.files


@pytest.mark.parametrize("table", ["gear", "weighings", "candidates"])
def test_gear_stands_at_the_root_only(check: Check, table: str) -> None:
    findings = check({f"trips/river/{table}-x.csv": "nonsense\n"})
    assert [str(w) for w in findings.warnings] == [
        f"trips/river/{table}-x.csv: {table} files belong in the logbook's top folder; this one "
        "was not read"
    ]


def test_other_folders_are_not_looked_into(check: Check) -> None:
    findings = check(
        {
            "reports/gear.csv": "x\n",
            "normals/notes/USW00094728.csv": "x\n",
            ".tarebook/gear.csv": "x\n",
            "trips/.hidden/carried.csv": "x\n",
            "trips/~river/carried.csv": "x\n",
            "trips/river/photos/carried.csv": "x\n",
            "trips/loose.csv": "x\n",
        }
    )
    assert findings.clean
    assert set(findings.files) == {"gear.csv", "trip.csv"}


def test_both_homes_of_a_table_may_be_mixed(check: Check) -> None:
    findings = check(
        {
            "weather.csv": "trip,day,wet\nriver,2026-05-01,y\ncoast,2026-06-10,n\n",
            "trips/river/weather.csv": "day,wet\n2026-05-02,n\n",
        }
    )
    assert findings.clean
    assert kit.records_read(findings) == 5 + 2 + 3


@pytest.mark.parametrize(
    ("files", "message"),
    [
        ({}, "no gear.csv here; is this a logbook? `tarebook new DIR` makes an empty one"),
        (
            {"Gear.csv": "item\n"},
            'no gear.csv here (is it "Gear.csv"?); is this a logbook? '
            "`tarebook new DIR` makes an empty one",
        ),
    ],
)
def test_a_folder_without_gear_is_no_logbook(
    write: Callable[..., Path], files: kit.Files, message: str
) -> None:
    folder = write({"notes.txt": ""} | files, good=False)
    with pytest.raises(LogbookError) as raised:
        check_logbook(folder)
    assert str(raised.value) == f"{folder}: {message}"


def test_no_folder_is_no_logbook(tmp_path: Path) -> None:
    with pytest.raises(LogbookError, match="there is no such folder"):
        check_logbook(tmp_path / "none")
    (tmp_path / "file").write_text("x")
    with pytest.raises(LogbookError, match="there is no such folder"):
        check_logbook(tmp_path / "file")


def test_a_part_alone_is_a_logbook(check: Check) -> None:
    files = {"gear-a.csv": kit.GEAR, "trip.csv": kit.TRIP}
    assert check(files, good=False).clean


def test_files_that_cannot_be_opened_are_unreadable(write: Callable[..., Path], load: Load) -> None:
    folder = write({})
    (folder / "weighings.csv").symlink_to(folder / "nowhere")
    (folder / "candidates.csv").mkdir()
    os.mkfifo(folder / "weather.csv")
    (folder / "trips").mkdir()
    (folder / "trips" / "river").symlink_to(folder / "nowhere")
    findings, _ = load(folder)
    assert [str(p) for p in findings.problems] == [
        "weighings.csv: is a link to a file that is not there; mend or remove it",
        "candidates.csv: is not a file; move it out of the logbook or rename it",
        "weather.csv: is not a file; move it out of the logbook or rename it",
        "trips/river: is a link to a folder that is not there; mend or remove it",
    ]
    assert sum(f.unreadable for f in findings.files.values()) == 4


def test_links_to_files_and_folders_are_followed(
    write: Callable[..., Path], load: Load, tmp_path: Path
) -> None:
    folder = write({"trips/coast/wished.csv": "what\nx\n"})
    kit.write(tmp_path, {"far/wished.csv": "what\nsocks\n"})
    (folder / "trips" / "river").symlink_to(tmp_path / "far")
    findings, store = load(folder)
    assert findings.clean
    assert store.rows("wished", "trip") == [("coast",), ("river",)]


def test_names_that_are_no_text_are_read_and_shown(write: Callable[..., Path], load: Load) -> None:
    folder = write({})
    for name in (b"wished-\xff.csv", b"wished-\xfe.csv", b"other-\xff.csv"):
        with open(os.path.join(os.fsencode(folder), name), "w") as out:  # noqa: PTH118, PTH123
            out.write("trip,what\nriver,socks\nriver,\n")
    os.mkdir(os.path.join(os.fsencode(folder), b"trips"))  # noqa: PTH102, PTH118
    os.mkdir(os.path.join(os.fsencode(folder), b"trips", b"riv\xe9re"))  # noqa: PTH102, PTH118
    with open(os.path.join(os.fsencode(folder), b"trips/riv\xe9re/wished.csv"), "w") as out:  # noqa: PTH118, PTH123
        out.write("what\nsocks\n")
    findings, store = load(folder)
    assert [(p.file, p.line) for p in findings.problems if p.column == "what"] == [
        ("wished-\\udcfe.csv", 3),
        ("wished-\\udcff.csv", 3),
    ]
    assert "trips/riv\\udce9re/wished.csv" in findings.files
    assert len(store.rows("wished")) == 2
    for problem in findings.problems + findings.warnings:
        str(problem).encode("utf-8")


@pytest.mark.parametrize(
    "name",
    [
        "my logbook",
        'it\'s "mine"',
        "Tagebuch Käthe 🏕",
        "a*b?c[d]e",
        "[2026]",
        "~home",
        "year=2026",
        "100%;--",
        "$HOME",
        "-rf",
        "new\nline",
    ],
)
def test_a_logbook_may_be_called_anything(
    write: Callable[..., Path], load: Load, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = write({"trips/river/carried.csv": "item\ntent\n"}, folder=name)
    findings, store = load(folder)
    assert findings.clean
    assert store.rows("carried", "item") == [("tent",)]
    monkeypatch.chdir(folder.parent)
    assert load_logbook(Path(name)).clean
    assert is_current(Path(name))
    monkeypatch.chdir(folder)
    assert is_current(Path())


def test_a_backslash_in_a_folders_name_is_refused_with_advice(write: Callable[..., Path]) -> None:
    folder = write({}, folder="a\\b")
    assert check_logbook(folder).clean
    with pytest.raises(StoreError) as raised:
        load_logbook(folder)
    assert str(raised.value) == (
        f"{folder / '.tarebook'}: a store cannot stand below a folder with a backslash in its "
        "name; rename the folder"
    )
    assert not (folder / ".tarebook").exists()
