"""A trip of 70 things, three days and two nights, typed in a spreadsheet: cells counted."""

import csv
import io
from pathlib import Path

import pandas as pd
import pytest
from tarebook.analysis import open_logbook
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.start import new_logbook, new_trip
from tarebook.tripdata.store import load_logbook

TRIP = "2026-06-fell"
AT = f"trips/{TRIP}/"
FEW = 25
"""So many cells beyond the food and the days are little enough."""


class Sheet:
    """A CSV file as a spreadsheet shows it; every cell that is typed is counted."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.typed = 0
        with path.open(newline="") as file:
            self.header, *self.rows = list(csv.reader(file))

    def type(self, row: int, **cells: str) -> None:
        """Type these cells into a row, counted from 0; one beyond the last is a new row."""
        while len(self.rows) <= row:
            self.rows.append([""] * len(self.header))
        for column, text in cells.items():
            place = self.header.index(column)
            assert self.rows[row][place] != text
            self.rows[row][place] = text
            self.typed += 1

    def find(self, item: str) -> int:
        """The row of an item."""
        return next(n for n, row in enumerate(self.rows) if row[self.header.index("item")] == item)

    def save(self) -> int:
        """Write the file; how many cells were typed."""
        out = io.StringIO()
        csv.writer(out, lineterminator="\r\n").writerows([self.header, *self.rows])
        self.path.write_text(out.getvalue(), newline="")
        return self.typed


def book_of_seventy(folder: Path) -> None:
    """Gear of 70 things, 16 of them an emergency kit, and a former trip with a list."""
    new_logbook(folder)
    gear = Sheet(folder / "gear.csv")
    for n in range(54):
        systems = ("shelter", "sleep", "clothing", "cook", "leisure", "hygiene")
        gear.type(n, item=f"thing-{n}", system=systems[n % 6], weight_g=str(100 + n))
    for n in range(54, 68):
        gear.type(n, item=f"aid-{n}", system="first_aid", weight_g="20", kit="Emergency")
    for n, item in ((68, "food"), (69, "fuel")):
        gear.type(n, item=item, system="food", weight_g="1500", carried_as="consumable")
    gear.save()
    trips = Sheet(folder / "trip.csv")
    trips.type(0, trip="2026-05-moor", start_on="2026-05-01", end_on="2026-05-03", mode="foot")
    trips.save()
    load_logbook(folder)
    new_trip(folder, "2026-05-moor")
    load_logbook(folder)


def lay_out(folder: Path) -> int:
    """Enter the trip and lay its files out; how many cells were typed."""
    trips = Sheet(folder / "trip.csv")
    trips.type(1, trip=TRIP, start_on="2026-06-10", end_on="2026-06-12", mode="foot")
    typed = trips.save()
    load_logbook(folder)
    new_trip(folder, TRIP)
    return typed


def test_a_first_check_after_a_new_trip_has_nothing_to_complain_of(tmp_path: Path) -> None:
    book_of_seventy(tmp_path)
    lay_out(tmp_path)
    findings = check_logbook(tmp_path)
    assert (findings.problems, findings.warnings) == ([], [])
    laid_out = {n: c.laid_out for n, c in findings.files.items() if n.startswith(AT)}
    assert sum(laid_out.values()) == 3 + 3 + 2
    assert load_logbook(tmp_path).clean


def test_a_whole_trip_needs_few_cells_beyond_the_food_and_the_days(tmp_path: Path) -> None:
    book_of_seventy(tmp_path)
    typed = lay_out(tmp_path)
    trips = Sheet(tmp_path / "trip.csv")
    trips.type(1, use_record="all_but")
    carried = Sheet(tmp_path / AT / "carried.csv")
    assert len(carried.rows) == 70
    for n in range(0, 54, 6):  # nine things stayed packed, and the kit that nobody opened
        carried.type(carried.find(f"thing-{n}"), used="no")
    failures, wished = (Sheet(tmp_path / AT / f"{name}.csv") for name in ("failures", "wished"))
    failures.type(0, item="thing-3", severity="impaired", what="seam, torn")
    wished.type(0, what="a dry sock", how_much="much")
    wished.type(1, what="more salt")
    others = [trips, carried, failures, wished]
    # The food and the days are counted by themselves.
    food = Sheet(tmp_path / AT / "carried.csv")
    days = [Sheet(tmp_path / AT / f"{n}.csv") for n in ("distances", "weather", "comfort")]
    for n in range(3):
        days[0].type(n, distance_km=str(12 + n), ascent_m="400")
        days[1].type(n, low_c=str(6 + n), wet="no")
    for n in range(2):
        days[2].type(n, score="4", warmth="0")
    typed += sum(sheet.save() for sheet in others)
    for item, weight in (("food", "2100"), ("fuel", "230")):
        for sheet in (carried, food):
            row = sheet.find(item)
            sheet.type(row, weight_g=weight, brought_home_g="150")
    carried.save()
    assert food.typed == 4
    assert sum(sheet.save() >= 0 for sheet in days) == 3
    assert typed <= FEW

    findings = load_logbook(tmp_path)
    assert (findings.problems, findings.warnings) == ([], [])
    assert {c.laid_out for n, c in findings.files.items() if n.startswith(AT)} == {0}


def asked_of(folder: Path) -> dict[str, object]:
    """What the table of trips says of the trip."""
    rows = open_logbook(folder).table("trips").to_dict("records")
    return next(row for row in rows if row["trip"] == TRIP)


def test_what_was_typed_says_what_stayed_packed(tmp_path: Path) -> None:
    test_a_whole_trip_needs_few_cells_beyond_the_food_and_the_days(tmp_path)
    trip = asked_of(tmp_path)
    packed = sum(100 + n for n in range(0, 54, 6))
    assert trip["use_record"] == "all_but"
    assert (trip["items_carried"], trip["items_used"]) == (70, 70 - 9 - 14)
    assert trip["unused_g"] == packed + 14 * 20
    assert trip["unused_insurance_g"] == 14 * 20
    assert trip["distance_km"] == 12 + 13 + 14


@pytest.mark.parametrize("column", ["all", "none"])
def test_every_optional_column_may_be_blank_or_missing(tmp_path: Path, column: str) -> None:
    book_of_seventy(tmp_path)
    lay_out(tmp_path)
    for path in sorted(tmp_path.rglob("*.csv")):
        sheet = Sheet(path)
        filled = [n for n, _ in enumerate(sheet.header) if any(r[n] for r in sheet.rows)]
        if column == "none" and filled:
            sheet.header = [sheet.header[n] for n in filled]
            sheet.rows = [[row[n] for n in filled] for row in sheet.rows]
        needed = {"distances": "distance_km", "comfort": "score"}.get(path.stem)
        if needed and needed not in sheet.header:
            sheet.header.append(needed)
        sheet.save()
    findings = check_logbook(tmp_path)
    assert (findings.problems, findings.warnings) == ([], [])
    assert load_logbook(tmp_path).clean
    trip = asked_of(tmp_path)
    assert (trip["use_record"], trip["items_carried"]) == ("none", 70)
    assert all(pd.isna(trip[name]) for name in ("distance_km", "coldest_night_c", "unused_g"))
