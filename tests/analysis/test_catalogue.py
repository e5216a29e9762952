"""The one catalogue: every table with its columns, every option once, both held to what is made."""

import inspect
from collections.abc import Callable
from datetime import date
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from tarebook.analysis import tables
from tarebook.analysis.base_weight import outputs as base_weight
from tarebook.analysis.catalogue.options import OPTIONS, by_flag, check_together
from tarebook.analysis.catalogue.terms import ColumnsError, columns_of, read_columns
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.tables import TABLES, entry
from tarebook.analysis.wear.rates import FEWEST_KM, FEWEST_NIGHTS
from tarebook.notebooks.reports import REPORTS
from tarebook.tripdata.contract import MODES
from tarebook.tripdata.errors import QuestionError
from tarebook.tripdata.store import load_logbook, store_path

TODAY = date(2026, 11, 25)
HEADER = "table,column,kind,unit,nullable,meaning\n"
KINDS = {
    "text": ("VARCHAR",),
    "whole": ("INTEGER", "BIGINT"),
    "number": ("DOUBLE",),
    "flag": ("BOOLEAN",),
    "date": ("DATE",),
}
DTYPES = {
    "text": "string",
    "whole": "Int64",
    "number": "float64",
    "flag": "boolean",
    "date": "datetime64[s]",
}
GIVEN: dict[str, dict[str, Any]] = {
    "outlook": {"trip": "2027-04-old-weir-meadow"},
    "cull": {"save_g": 300.0},
    "cull_frontier": {"save_g": 300.0},
}
"""What the demo is asked with, where a table needs it or would be empty."""
ROOMS = [path.name for path in files("tarebook.analysis").iterdir() if path.is_dir()]


def outputs_of(room: str) -> Any:
    """The module that declares the tables of a room; None where it has none."""
    from importlib import import_module

    name = "views" if room == "catalogue" else "outputs"
    if not (files("tarebook.analysis") / room / f"{name}.py").is_file():
        return None
    return import_module(f"tarebook.analysis.{room}.{name}")


def answered(name: str, store: Any) -> Any:
    today = {"today": TODAY} if "today" in TABLES[name].options else {}
    return TABLES[name].frame(store, **GIVEN.get(name, {}), **today)


LEAVING = ("Where going without a thing could hurt someone, take it", "nothing of your route")
CAUTIONS = {
    "trip_needs": ("A reserve for delay, cold and detours is on top", "Water is not forecast"),
    "forgotten": ("what never came along is never named", "Go through warmth, rain"),
    "cold_by_set": ("look at the forecast", "Cold can injure and kill"),
    "usage": LEAVING,
    "cull": LEAVING,
    "cull_frontier": LEAVING,
    "next_swap": ("on mild trips near home", "warm, dry, lit, found, fed, healed or afloat"),
}


def test_every_table_of_every_room_is_gathered_once() -> None:
    declared = {room: outputs_of(room).ENTRIES for room in ROOMS if outputs_of(room)}
    assert len(declared) == 11
    assert sorted(e.name for each in declared.values() for e in each) == sorted(TABLES)
    for room, entries in declared.items():
        assert {e.room for e in entries} == {room}
        assert [e.name for e in entries] == list(columns_of(room))
        assert all(bool(e.view) != bool(e.rows) for e in entries)


def test_no_other_room_has_columns() -> None:
    having = [r for r in ROOMS if (files("tarebook.analysis") / r / "columns.csv").is_file()]
    assert sorted(having) == sorted(room for room in ROOMS if outputs_of(room))


@pytest.mark.parametrize("name", TABLES)
def test_a_table_is_as_it_is_declared(name: str, demo: Any) -> None:
    table = TABLES[name]
    frame = answered(name, demo)
    assert tuple(frame.columns) == table.column_names
    assert len(frame) > 0 or name == "set_aside"
    for term in table.columns:
        assert str(frame[term.name].dtype) == DTYPES[term.kind], term
        assert term.nullable or not frame[term.name].isna().any(), term
    if table.sorted_by:
        key = list(frame.iloc[:, : table.sorted_by].itertuples(index=False, name=None))
        assert key == sorted(key)
    assert frame.attrs["table"] == name
    assert frame.attrs["units"] == {term.name: term.unit for term in table.columns}
    assert frame.attrs["meanings"].keys() == set(table.column_names)
    # Of what is owned the weigh-up names what is borrowed, which it does not count.
    told = (*CAUTIONS, "outlook", "weigh_up")
    assert bool(frame.attrs["remarks"]) == (name in told)


@pytest.mark.parametrize("name", CAUTIONS)
def test_a_table_that_names_what_may_stay_at_home_says_take_care(name: str, demo: Any) -> None:
    """In the words of the pages."""
    *_, caution = answered(name, demo).attrs["remarks"]
    assert caution == TABLES[name].caution
    for words in CAUTIONS[name]:
        assert words in caution


def test_every_column_holds_something_in_some_logbook(
    demo: Any, logbook: Callable[[str], Path]
) -> None:
    """So that a column which its rows forget does not come out empty for ever."""
    empty = {
        (name, term.name)
        for name in TABLES
        for term, blank in zip(TABLES[name].columns, answered(name, demo).isna().all(), strict=True)
        if blank
    }
    for book in ("spreadsheets", "lakes"):
        load_logbook(logbook(book))
        with open_store(store_path(logbook(book))) as store:
            for name, column in sorted(empty):
                if answered(name, store)[column].notna().any():
                    empty.remove((name, column))
    assert empty == {
        # Only a file of normals in the logbook has these.
        *(("normals", name) for name in ("completeness", "years", "file")),
        # Of a plan of a season not seen, or of what never came home: here of neither.
        ("trip_needs", "at_least"),
        # Of a system whose things failed often enough, on none of these trips.
        *(("item_life", name) for name in ("life_low", "life_high")),
    }


def test_every_option_is_taken_and_is_there() -> None:
    by_tables = {option for table in TABLES.values() for option in table.options}
    by_reports = {option for options in REPORTS.values() for option in options}
    assert by_tables | by_reports == OPTIONS.keys()
    flags = [option.flag for option in OPTIONS.values() if option.flag]
    assert len(set(flags)) == len(flags) == len(OPTIONS) - 1  # the day comes from the environment
    for option in OPTIONS.values():
        assert option.help.endswith(".")
        assert not option.flag or option.flag.startswith("--")
        assert bool(option.metavar) == (option.kind != "flag")
    assert all(mode in OPTIONS["mode"].help for mode in MODES)


@pytest.mark.parametrize(
    ("name", "options"),
    [
        ("usage", {"since": "2025-01-01", "until": "2026-12-31", "mode": "Foot"}),
        ("usage", {"season": "summer  2026", "coming": "2027-04-old-weir-meadow", "today": TODAY}),
        ("cull", {"target_g": 9000, "undecided": True, "since": date(2025, 1, 1)}),
        ("cull_frontier", {"until": "2026-06-30", "mode": "foot", "save_g": 200}),
        ("base_weight", {"since": "2025-01-01", "until": "2026-12-31", "mode": "foot"}),
        ("base_weight_trend", {"since": "2025-01-01", "system": "Sleep"}),
        ("base_weight_change", {"from_season": "2024", "to_season": "2026", "system": "sleep"}),
        ("buying_case", {"today": "2025-01-01"}),
        (
            "outlook",
            {
                "latitude": 47.5,
                "longitude": -122,
                "elevation_m": 300,
                "start_on": "2027-01-02",
                "end_on": date(2027, 1, 5),
                "below_c": -2,
            },
        ),
    ],
)
def test_options_reach_the_rows(name: str, options: dict[str, Any], demo: Any) -> None:
    narrowed = entry(name).frame(demo, **options)
    assert tuple(narrowed.columns) == entry(name).column_names
    assert not narrowed.equals(answered(name, demo))


def test_rows_take_the_options_of_their_entry_and_no_other() -> None:
    for table in TABLES.values():
        if table.rows is None:
            assert table.options == ()
            continue
        named = inspect.signature(table.rows).parameters.values()
        if not any(p.kind is p.VAR_KEYWORD for p in named):
            assert {p.name for p in named} == {"store", *table.options}, table.name


@pytest.mark.parametrize(
    ("name", "options", "message"),
    [
        ("usage", {"save_g": 5}, "save_g goes with the tables cull, cull_frontier, not usage"),
        (
            "trips",
            {"trip": "x"},
            "trip goes with the tables weigh_up, trip_needs, forgotten, outlook, cold_by_set, not",
        ),
        ("trips", {"candidate": "x"}, "candidate goes with no table"),
        ("usage", {"sinc": 5}, 'usage: no option sinc; did you mean "since"?'),
        ("usage", {"zzz": 5}, "usage: no option zzz; it takes since, until, mode, season, "),
        ("trips", {"sinc": 5}, "trips: no option sinc; it takes none"),
        ("usage", {"since": "1.5."}, 'since: expected a day as YYYY-MM-DD, got "1.5."'),
        ("usage", {"since": 5}, "since: expected a day as YYYY-MM-DD, got 5"),
        ("usage", {"mode": "fot"}, "mode: expected one of foot, bike, ebike, paddle, mixed, got"),
        ("usage", {"season": "spring 1999"}, "season: expected one of this logbook, e.g. "),
        ("cull", {"save_g": "5"}, 'save_g: expected a number, got "5"'),
        ("cull", {"save_g": True}, "save_g: expected a number, got True"),
        ("cull", {"save_g": float("nan")}, "save_g: expected a number, got nan"),
        ("cull", {"save_g": -3}, "save_g: expected grams above 0 to 100000, got -3"),
        ("cull", {"save_g": 3, "target_g": 3}, "one of target_g and save_g, not both"),
        ("cull", {"undecided": "no"}, 'undecided: expected True or False, got "no"'),
        (
            "base_weight",
            {"since": "2026-05-02", "until": "2026-05-01"},
            "until: expected a day from 2026-05-02 on, got 2026-05-01; swap the two",
        ),
        ("base_weight", {"system": "slep"}, 'system: expected a system of gear.csv, got "slep"'),
        ("outlook", {}, "outlook: expected trip, or a place and dates; latitude, longitude, "),
        (
            "outlook",
            {"trip": "x", "latitude": 4},
            "outlook: latitude does not go with trip",
        ),
    ],
)
def test_a_wrong_option_is_refused(
    name: str, options: dict[str, Any], message: str, demo: Any
) -> None:
    with pytest.raises(QuestionError) as refused:
        entry(name).frame(demo, **options)
    assert str(refused.value).startswith(message)


def test_what_is_left_out_or_blank_is_not_asked_for() -> None:
    values = entry("base_weight").read({"since": None, "until": " ", "mode": "", "system": "Sleep"})
    assert values == {"system": "sleep"}
    assert entry("usage").read({}).keys() == {"today"}


def test_complaints_spell_options_as_they_are_typed() -> None:
    with pytest.raises(QuestionError, match=r"^--from goes with the table base_weight_change, "):
        entry("base_weight").read({"from_season": "2025"}, by_flag)
    with pytest.raises(QuestionError, match=r"^one of --target-g and --save-g, not both$"):
        check_together({"target_g": 1.0, "save_g": 1.0}, by_flag)


def test_a_column_that_is_not_declared_is_no_part_of_a_table(demo: Any) -> None:
    with pytest.raises(KeyError, match="next_swap: no column weight"):
        entry("next_swap").relation_of(demo, [{"rank": 1, "weight": 2}])


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("table,column\n", "x.csv:1: expected table,column,kind,unit,nullable,meaning"),
        (HEADER + "a,b,text,,no\n", "x.csv:2: expected table,column,"),
        (HEADER + "a,b,text,,no,m\na,b,text,,no,m\n", "x.csv:3: a has b twice"),
        (HEADER + "a,b,text,,no,m\nc,b,text,,no,m\na,d,text,,no,m\n", "x.csv:4: a is in two"),
        (HEADER + "a,b,txt,,no,m\n", "x.csv:2: kind: expected one of text, whole, number, "),
        (HEADER + "a,b,text,g,no,m\n", "x.csv:2: unit: a text has none"),
        (HEADER + "a,b,number,g,maybe,m\n", "x.csv:2: nullable: expected yes or no, got maybe"),
        (HEADER + "a,b,number,g,no,\n", "x.csv:2: table, column and meaning may not be empty"),
        (HEADER + "a,b,number,g,no, m\n", "x.csv:2: a cell begins or ends with a blank"),
        (HEADER + '"a,b,text,,no,m\n', "x.csv:2: expected table,column,"),
    ],
)
def test_a_mistake_in_a_columns_file_is_told_with_its_line(text: str, complaint: str) -> None:
    with pytest.raises(ColumnsError) as told:
        read_columns(text, "x.csv")
    assert str(told.value).startswith(complaint)


@pytest.mark.parametrize("name", TABLES)
def test_columns_say_what_they_mean(name: str) -> None:
    shares = {"p_below", "p_any_below", "p_any_low", "p_any_high", "p_helps"}
    for term in TABLES[name].columns:
        assert term.meaning[-1] not in ".,"
        bare = shares | {"prior_share", "ease_share", "expected_regret"}
        if name == "trip_needs":  # of food in g, of a battery in Wh: the column unit says which
            bare |= {"expected", "low", "high", "take_for_9_in_10", "at_least", "on_list"}
        assert term.kind != "number" or term.unit or term.name in bare, term


def test_the_least_nights_and_distance_of_a_rate_are_those_of_the_model() -> None:
    meanings = {term.name: term.meaning for term in entry("failure_rates").columns}
    assert meanings["rate_low"].endswith(f"missing under {FEWEST_NIGHTS} nights")
    assert meanings["rate_per_1000_km"].endswith(
        f"missing under {FEWEST_KM} km and under {FEWEST_NIGHTS} nights"
    )


def test_a_table_is_the_same_by_whatever_way_it_is_had() -> None:
    assert tables.entry("Base weight").options == base_weight.ENTRIES[0].options
