"""The weigh-up: every sum once more in pandas, what wishes mean, and cases worked by hand."""

from datetime import date
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from marts_by_hand import CLASSES, KINDS, LB_MG, Book
from store_drawing import SYSTEMS, Row, Tables, carried, empty_store, fill, gear, logbooks, trip
from tarebook.analysis.store.opening import open_store
from tarebook.analysis.tables import entry
from tarebook.analysis.weigh_up.weighing import weigh_up
from tarebook.tripdata.errors import QuestionError
from tarebook.tripdata.store import load_logbook, store_path

TODAY = date(2020, 2, 1)
START = date(2020, 1, 10)
GROUPS = ("bag", "carried_as", "item", "kit", "system")


@pytest.fixture(scope="module")
def connection() -> Any:
    with empty_store() as made:
        yield made


def rows_of(store: Any, **options: str) -> list[Row]:
    relation = entry("weigh_up").relation(store, today=TODAY, **options)
    return [dict(zip(relation.columns, row, strict=True)) for row in relation.fetchall()]


def of(rows: list[Row], group: str, name: str) -> Row:
    (row,) = [r for r in rows if (r["group"], r["name"]) == (group, name)]
    return row


# --- a second computation ----------------------------------------------------------------------


def latest_mg(book: Book, item: str, day: date) -> int | None:
    """What an item weighs on a day: by its latest weighing up to then, else by gear."""
    weighed = [
        (row["weighed_on"], row["weight_mg"])
        for row in book.weighings.to_dict("records")
        if row["item"] == item and row["weighed_on"] <= day
    ]
    if weighed:
        return int(max(weighed)[1])
    own = book.gear.set_index("item").loc[item, "weight_mg"]
    return None if own is None else int(own)


def texts(frame: pd.DataFrame) -> pd.DataFrame:
    """The frame with None for a blank kit or bag."""
    for column in ("kit", "bag"):
        frame[column] = frame[column].astype(object).where(frame[column].notna(), None)
    return frame


def listed(book: Book, name: str) -> pd.DataFrame:
    """The list that is weighed: of a trip, or all that is owned on TODAY."""
    about = book.gear.set_index("item")
    if name:
        rows = book.rows[(book.rows["trip"] == name) & book.rows["on_me"].astype(bool)]
        found = [
            {"item": r["item"], "kind": r["kind"], "mg": r["mg"], "bag": r["bag"]}
            for r in rows.to_dict("records")
        ]
    else:
        found = [
            {"item": i, "kind": g["carried_as"], "mg": latest_mg(book, i, TODAY), "bag": None}
            for i, g in about.iterrows()
            if g["retired_on"] is None or g["retired_on"] > TODAY
        ]
    frame = pd.DataFrame(found, columns=["item", "kind", "mg", "bag"], dtype=object)
    frame["system"] = [about.loc[i, "system"] for i in frame["item"]]
    frame["kit"] = [about.loc[i, "kit"] for i in frame["item"]]
    return texts(frame)


def close(book: Book, names: list[str], row: Any) -> int:
    """2 where one of the names means the row's item, 1 where its kit, system or bag, else 0."""
    items = {i.lower(): i for i in book.gear["item"]}
    found = 0
    for name in names:
        if name.lower() in items:
            found = max(found, 2 * (items[name.lower()] == row["item"]))
            continue
        calls = [row["system"], *(x.lower() for x in (row["kit"], row["bag"]) if x is not None)]
        found = max(found, int(name.lower() in calls))
    return found


def counted(book: Book, name: str, without: list[str], added: list[str]) -> pd.DataFrame:
    """The list less what is left out and plus what is added; the closer name wins."""
    rows = listed(book, name).to_dict("records")
    until = book.trips[name]["start_on"] if name else TODAY
    for item, g in book.gear.set_index("item").iterrows():
        if item in [r["item"] for r in rows]:
            continue
        row = {"item": item, "kind": g["carried_as"], "bag": None, "kit": g["kit"] or None}
        row |= {"system": g["system"], "mg": latest_mg(book, item, until)}
        given_up = g["retired_on"] is not None and g["retired_on"] <= until
        if close(book, added, row) > int(given_up):
            rows.append(row)
    kept = [r for r in rows if close(book, without, r) <= close(book, added, r)]
    columns = ["item", "kind", "mg", "bag", "kit", "system"]
    return texts(pd.DataFrame(kept, columns=columns, dtype=object))


def class_of(mg: int) -> str:
    return next((name for lb, name in CLASSES if mg < lb * LB_MG), "traditional")


def by_hand(frame: pd.DataFrame) -> list[Row]:
    """The table once more, group by group."""
    weighed = frame["mg"].notna()
    base = frame["kind"] == "base"
    all_mg = int(frame.loc[weighed, "mg"].sum())
    found = []
    for group in GROUPS:
        cells = frame["kind" if group == "carried_as" else group]
        keys = [c.lower() if c and group in ("kit", "bag") else (c or "") for c in cells]
        for key in sorted(set(keys)):
            mine = pd.Series([k == key for k in keys], index=frame.index, dtype=bool)
            rest = frame[~mine & base]
            mg = {
                k: int(frame.loc[mine & weighed & (frame["kind"] == k), "mg"].sum()) for k in KINDS
            }
            rest_mg = int(rest["mg"].dropna().sum())
            found.append(
                {
                    "group": group,
                    "name": min(
                        (c for c, k in zip(cells, keys, strict=True) if k == key and c), default=""
                    ),
                    "items": frame.loc[mine, "item"].nunique(),
                    **{f"{k}_g": mg[k] / 1000 for k in KINDS},
                    "carried_g": sum(mg.values()) / 1000,
                    "share": sum(mg.values()) / all_mg if all_mg else None,
                    "base_without_g": rest_mg / 1000,
                    "class_without": None
                    if rest["mg"].isna().any() or not rest_mg
                    else class_of(rest_mg),
                    "unweighed": frame.loc[mine & ~weighed, "item"].nunique(),
                }
            )
    return sorted(found, key=lambda row: (row["group"], row["name"]))


NAMES = (*SYSTEMS, "Odds", "odds", "left bag", "TOP", "tarp", "BAG", "soup.2", "plaster")


def known(book: Book, names: list[str]) -> list[str]:
    """Of these names those that mean something in the logbook."""
    there = {*book.gear["item"], *book.gear["kit"].dropna(), *book.carried["bag"].dropna()}
    return [n for n in names if n in SYSTEMS or n.lower() in {x.lower() for x in there}]


@settings(
    max_examples=25,
    phases=(Phase.generate,),  # a whole logbook takes minutes to make small
)
@given(logbooks(), st.data())
def test_every_sum_equals_a_second_computation_to_the_milligram(
    connection: Any, tables: Tables, data: st.DataObject
) -> None:
    for row in tables["gear"]:
        row["retired_on"] = data.draw(st.sampled_from((None, None, TODAY, date(2020, 6, 1))))
    fill(connection, tables)
    book = Book(tables)
    names = st.lists(st.sampled_from(NAMES), max_size=2).map(lambda drawn: known(book, drawn))
    for name in ("", *book.trips):
        without, added = data.draw(names), data.draw(names)
        frame = counted(book, name, without, added)
        rows = rows_of(connection, trip=name, without="; ".join(without), with_=";".join(added))
        assert rows == by_hand(frame)
        plain, there = rows_of(connection, trip=name), listed(book, name)
        assert plain == by_hand(there)
        every_mg = int(there["mg"].dropna().sum())
        for group in GROUPS:
            # To the milligram the whole, whichever way it is grouped.
            whole = sum(round(r["carried_g"] * 1000) for r in plain if r["group"] == group)
            assert whole == every_mg


@settings(max_examples=20)
@given(logbooks())
def test_a_trip_weighs_what_the_table_of_trips_says(connection: Any, tables: Tables) -> None:
    fill(connection, tables)
    for name, *kinds in connection.sql(
        "SELECT trip, base_g, worn_g, consumable_g, vehicle_g FROM trips"
    ).fetchall():
        found = {
            r["name"]: r["carried_g"]
            for r in rows_of(connection, trip=name)
            if r["group"] == "carried_as"
        }
        for kind, grams in zip(KINDS, kinds, strict=True):
            assert found.get(kind, 0) == (grams or 0)


# --- by hand -----------------------------------------------------------------------------------


def write(folder: Path, **files: str) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        path = folder / name.replace("__", "/").replace("_dot_", ".")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")
    load_logbook(folder)
    return store_path(folder)


OUNCES = """item,system,weight_oz,carried_as
tent,shelter,48,
quilt,sleep,32,
rucksack,bags,32,
packraft,boat,96,vehicle
"""


@pytest.mark.outside(
    "published",
    "NIST Handbook 44, appendix C",
    "16 oz = 1 lb = 453.59237 g: 112 oz are 7 lb",
)
def test_112_ounces_are_7_pounds_and_13_with_a_boat_of_6(tmp_path: Path) -> None:
    """Arithmetic: 48 + 32 + 32 oz = 112 oz = 7 lb; 96 oz = 6 lb."""
    with open_store(write(tmp_path, gear_dot_csv=OUNCES)) as store:
        plain, raft = rows_of(store), rows_of(store, as_carried="boat=base")
        packed = weigh_up(store, as_carried="boat=base", today=TODAY)
        weighed = weigh_up(store, today=TODAY)
    lb_g = 453.59237
    assert of(plain, "carried_as", "base")["base_g"] == pytest.approx(7 * lb_g, abs=0.002)
    assert of(plain, "system", "boat")["class_without"] == "ultralight"
    assert of(raft, "carried_as", "base")["base_g"] == pytest.approx(13 * lb_g, abs=0.002)
    assert {r["name"] for r in raft if r["group"] == "carried_as"} == {"base"}
    assert of(raft, "system", "boat")["class_without"] == "ultralight"
    totals = {t.name: (t.grams / lb_g, t.class_name) for t in weighed.fair_totals()}
    assert "Base weight without the boat and its things" not in totals
    without = {t.name: t for t in packed.fair_totals()}[
        "Base weight without the boat and its things"
    ]
    assert (without.grams / lb_g, without.class_name) == (pytest.approx(7, abs=1e-5), "ultralight")
    assert totals["Base weight"] == (pytest.approx(7, abs=1e-5), "ultralight")
    assert totals["Base weight if the boat counted"] == (
        pytest.approx(13, abs=1e-5),
        "lightweight",  # under 20 lb
    )
    assert totals["Base weight without bags"][0] == pytest.approx(5, abs=1e-5)
    assert totals["From the skin out"][0] == pytest.approx(7, abs=1e-5)
    assert totals["All, bike and boat included"][0] == pytest.approx(13, abs=1e-5)


def test_four_columns_and_nothing_weighed(tmp_path: Path) -> None:
    text = "item,name,system,weight_oz\ntent,Tent,shelter,\nmug,Mug,cook,\n"
    with open_store(write(tmp_path, gear_dot_csv=text)) as store:
        rows = rows_of(store)
        with pytest.raises(QuestionError) as refused:
            rows_of(store, without="tennt")
    assert {r["carried_g"] for r in rows} == {0}
    assert {r["share"] for r in rows} == {None}
    assert of(rows, "carried_as", "base")["unweighed"] == 2
    # Without the kind itself nothing is left that is not weighed.
    assert of(rows, "carried_as", "base")["class_without"] is None
    assert of(rows, "item", "mug")["class_without"] is None
    assert str(refused.value) == (
        "without: expected an item, kit, system or bag of this logbook, "
        'got "tennt"; did you mean "Tent"?'
    )


def test_a_plan_without_rows_has_no_sums_and_a_weight_of_another_day_does_not_count(
    connection: Any,
) -> None:
    fill(
        connection,
        {
            "gear": [gear("tarp"), gear("mug", "cook", 80_000)],
            "trip": [trip("bare", START, 1, plan=True), trip("full", START, 1)],
            "carried": [carried("full", "mug", quantity=2)],
            "weighings": [
                {"item": "mug", "weighed_on": START, "weight_mg": 70_000},
                {"item": "mug", "weighed_on": date(2020, 1, 12), "weight_mg": 60_000},
            ],
        },
    )
    _, remarks = entry("weigh_up").answer(connection, trip="bare", today=TODAY)
    assert rows_of(connection, trip="bare") == []
    assert [r.split(":")[0] for r in remarks] == ["There is nothing to weigh yet"]
    assert of(rows_of(connection, trip="bare", with_="mug"), "item", "mug")["base_g"] == 70
    assert of(rows_of(connection, trip="Full"), "item", "mug")["base_g"] == 140
    assert of(rows_of(connection), "item", "mug")["base_g"] == 60


def test_everything_owned_is_what_is_ones_own_today(connection: Any) -> None:
    """Neither what is borrowed, nor bought later, nor by a weighing still to come."""
    fill(
        connection,
        {
            "gear": [
                gear("mug", "cook", 80_000),
                gear("canoe", "boat", 20_000_000, owner="the club", kit="Boat"),
                gear("paddle", "boat", None, owner="the club"),
                gear("tent", "shelter", 900_000, bought_on=date(2020, 2, 2), kit="Boat"),
                gear("tarp", "shelter", 400_000, bought_on=TODAY),
            ],
            "weighings": [{"item": "mug", "weighed_on": date(2020, 2, 2), "weight_mg": 1_000}],
        },
    )
    rows, remarks = entry("weigh_up").answer(connection, today=TODAY)
    frame = {row[1]: row for row in rows.fetchall() if row[0] == "item"}
    assert set(frame) == {"mug", "tarp"}
    assert of(rows_of(connection), "carried_as", "base")["base_g"] == 480
    (told,) = [r for r in remarks if "borrowed" in r]
    assert told == "“Canoe” and “Paddle” are borrowed and not counted (at least 20.00\u202fkg)."
    # Without the boat itself its oars would stand for it.
    fill(
        connection,
        {
            "gear": [
                gear("canoe", "boat", 20_000_000, owner="the club", carried_as="vehicle"),
                gear("oars", "boat", 900_000, carried_as="vehicle"),
            ]
        },
    )
    totals = [t.name for t in weigh_up(connection, today=TODAY).fair_totals()]
    assert "Base weight if the boat counted" not in totals
    both = weigh_up(connection, added="canoe", today=TODAY)
    (counted,) = [t for t in both.fair_totals() if t.name == "Base weight if the boat counted"]
    assert counted.grams == 20_900


def test_what_is_borrowed_or_comes_later_counts_by_its_own_name(connection: Any) -> None:
    fill(
        connection,
        {
            "gear": [
                gear("mug", "cook", 80_000),
                gear("canoe", "boat", 20_000_000, owner="the club", kit="Boat"),
                gear("tent", "shelter", 900_000, bought_on=date(2020, 2, 2), kit="Boat"),
                gear("tarp", "shelter", 400_000, bought_on=TODAY),
            ],
        },
    )
    # A kit or system brings along only what is owned and there.
    own = rows_of(connection, with_="canoe; tent")
    assert of(own, "carried_as", "base")["base_g"] == 480 + 20_000 + 900
    assert of(rows_of(connection, with_="boat"), "carried_as", "base")["base_g"] == 480


def test_a_kit_is_one_however_its_letters_fold(connection: Any) -> None:
    things = [gear("a", kit="Straße"), gear("b", kit="STRASSE"), gear("c", kit="strasse")]
    fill(connection, {"gear": things})
    kits = [r for r in rows_of(connection) if r["group"] == "kit"]
    assert [(r["name"], r["items"], r["base_g"]) for r in kits] == [("STRASSE", 3, 300)]
    assert [r for r in rows_of(connection, without="strasse") if r["group"] == "kit"] == []


def test_nothing_is_no_super_ultralight(connection: Any) -> None:
    fill(connection, {"gear": [gear("bike", "bike", 20_000_000, carried_as="vehicle")]})
    weighed = weigh_up(connection, today=TODAY)
    assert (weighed.base.grams, weighed.base.class_name) == (0, None)


def test_nothing_at_all_has_no_class(connection: Any) -> None:
    worn = gear("hat", "clothing", 1_000, carried_as="worn")
    fill(connection, {"gear": [gear("tent", "shelter", 900_000), worn]})
    rows = {row["name"]: row for row in rows_of(connection) if row["group"] == "item"}
    assert (rows["tent"]["base_without_g"], rows["tent"]["class_without"]) == (0.0, None)
    assert rows["hat"]["class_without"] == "super-ultralight"


def test_nothing_at_all(connection: Any) -> None:
    fill(connection, {})
    assert rows_of(connection) == []


@pytest.mark.outside(
    "common practice",
    "lines between classes of base weight: common practice, no published source",
    "from 20 lb on it is the heaviest class",
)
def test_only_the_heaviest_class_is_certain_while_something_is_not_weighed(connection: Any) -> None:
    """20 lb is 9.07 kg; what is not weighed can only add."""
    for mg, name in ((9_072_000, "traditional"), (9_071_000, None)):
        fill(connection, {"gear": [gear("tent", "shelter", mg), gear("mug", "cook", None)]})
        assert weigh_up(connection, today=TODAY).base.class_name == name


def test_the_demo_is_weighed_to_the_last_gram(demo: Any) -> None:
    whole = demo.sql(
        """
        SELECT sum(coalesce(w.weight_mg, g.weight_mg)) / 1000
        FROM stg_gear AS g
        LEFT JOIN (
          SELECT item, arg_max(weight_mg, weighed_on) AS weight_mg
          FROM stg_weighings WHERE weighed_on <= DATE '2020-02-01' GROUP BY item
        ) AS w ON w.item = g.item
        WHERE coalesce(g.retired_on > DATE '2020-02-01', true)
          AND coalesce(g.bought_on <= DATE '2020-02-01', true) AND g.owner IS NULL
        """
    ).fetchall()[0][0]
    for group in GROUPS:
        found = sum(round(r["carried_g"] * 1000) for r in rows_of(demo) if r["group"] == group)
        assert found / 1000 == whole
