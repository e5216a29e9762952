"""Files drawn at random: rows that are right, cells that are tricky, lines that are odd."""

import random
from datetime import date, datetime, timedelta

import kit
from tarebook.tripdata.bulk import BULK_TABLES
from tarebook.tripdata.contract import BY_NAME, Column

GEAR = kit.GEAR + "Käse,,food,400,\nlost,,nonsense,1,\n"
# A trip so long that every row may have a day of its own, so that no key repeats by itself.
TRIP = kit.TRIP + "gone,2026-07-01,,foot\nlong,2025-06-01,2026-07-05,foot\n"


NUMBERS = [
    "5", "1.5", "0", "12", " 5", "5 ", "5.", ".5", "-5", "+5", "+-5", "\u22125", "1e2", "1E-2",
    "1e+1", "1_0", "nan", "NaN", "inf", "-Infinity", "1,5", ",5", "5,", "1,234",
    "1.234,5", "5\u00a0",
    "5\t", "٣", "５", "5g", "0x10", "1e400", "1e-400", "-0", "0001", "1.0", "60", "-60",
    "60.0000000000001", "140", "-76", "1000", "1000.0000001", "100000",
    "100000.0004", "100000.0006",
    "0.0005", "0.0015", "0.00049999999999999999", "0.00050000000000000001", "2.0005", "0.4999999",
    "1.23456789012345678901234567890123456789", "9" * 45, "", " ", "x", "--5", "1e", "5e5e5",
    "3527.3961", "3527.396195", "0.00001", "5;", "1 000",
]  # fmt: skip
WHOLES = [
    "1", "2", "3", "5", "-3", "0", "1.0", "01", "+1", "-1", "-0", "1000", "1001",
    "1e1", "99999999999",
    "x", "", " 2", "2 ", "\u22123", "6", "1_0", "two", "1.5",
]  # fmt: skip
DATES = [
    "2026-05-01", "2026-05-02", "2026-05-04", "2026-06-10", "2026-05-05", "2026-04-30", "2026-5-1",
    "26-05-01", "01/05/2026", "05/01/2026", "02/05/2026", "46143",
    "2/5/2026", "02.05.2026", "3.5.2026", "2026-02-29",
    "infinity", "epoch", " 2026-05-02", "2026-05-02 ", "2026-05-01T00:00", "0000-01-01", "",
    "9999-12-31", "２０２６-05-01",
    "2026-05-01 (BC)", "total", "20260501", "31/02/2026",
]  # fmt: skip
MOMENTS = [
    "2026-05-01 21:30", "2026-05-02T06:00", "2026-05-02 06:00:30", "2026-05-03T06:00:30.5",
    "2026-05-03 06:00:30,25", "2026-05-01  2:30", "2026-05-01 2:30", "2026-05-01 24:00",
    "2026-05-01 23:60", "2026-05-01 21:30Z", "2026-05-01 21:30+02:00", "2026-05-01 21:30 +02",
    "01/05/2026 21:30", "1/5/2026 9:30", "1.5.2026 09:30", "2026-05-01", "", " 2026-05-01 21:30",
    "2026-05-01 21:30 ", "2026-02-30 10:00",
    "0000-01-01 00:00", "1066-10-14 09:00", "infinity", "now", "2026-05-01 21:30:00.123456789", "x",
    "2026-05-01\u00a021:30", "2026-05-01 21:30:60", "2025-05-01 00:00", "2026-05-1  21:30",
]  # fmt: skip
FLAGS = ["yes", "no", "true", "false", "1", "0", "Yes", "Y", "x", "TRUE", "", "maybe", " yes", "2"]
USES = [*FLAGS, "3", "1000", "1001", "1.5", "1e1", "+2", "-1", "-0", "00", "2 ", "1_0", "1e999"]
TEXTS = [
    "note", "", "  padded ", "ünï çödé", "a,b", "a;b", "it's", "=1+1", "\u00a0nbsp\u00a0", "null",
    "NULL", "-", "\u200bx", "e\u0301", "\u2028", "a\tb", "~", "!", "x\u3000", "[", "[a", "0",
    "日本",
]  # fmt: skip
BAGS = ["", "A", "a", "straße", "STRASSE", "pannier", "Pannier ", "b", "ǅ", "ß", "SS"]
WORDS = [
    "snow",
    "snow;heat",
    "Snow",
    "snow; heat",
    "none",
    "nonesuch",
    "snow;snow",
    ";",
    "snow;",
    "a_b",
    "ü",
    "",
    "bugs",
    "heat;none",
    "7",
    " snow",
]
ITEMS = ["tent", "stove", "food", "Tent", "TENT ", "unknown", "tnet", "", "Total", "Käse", "KÄSE",
         "Ka\u0308se", " stove", "quilt", "jacket", "lost"]  # fmt: skip
TRIPS = ["long", "river", "coast", "LONG", "River", "rivr", "", "sum", " river", "gone"]


def cells_for(column: Column) -> list[str]:
    """Good and tricky texts for a column."""
    if column.choices:
        good = list(column.choices[:6])
        return [*good, good[0].upper(), f" {good[-1]}", "first aid", "e-bike", "bogus", ""]
    if column.kind in ("number", "whole") or column.dimension:
        return WHOLES if column.kind == "whole" else NUMBERS
    return {
        "item": ITEMS,
        "trip": TRIPS,
        "date": DATES,
        "moment": MOMENTS,
        "flag": FLAGS,
        "use": USES,
        "text": TEXTS,
        "group": BAGS,
        "words": WORDS,
    }[column.kind]


def good_cell(column: Column, n: int) -> str:
    """A text that is right, different from row to row where it makes the key."""
    if column.kind == "item":
        return ("tent", "stove", "food", "quilt", "jacket", "Käse")[n % 6]
    if column.kind == "date":
        return (date(2025, 6, 1) + timedelta(days=n % 400)).isoformat()
    if column.kind == "moment":
        return (datetime(2026, 5, 1, 18) + timedelta(minutes=15 * n)).isoformat(" ", "minutes")
    if column.kind == "group":
        return f"bag {n}"
    if column.kind in ("number", "whole") or column.dimension:
        return str(1 + n % 5)
    good = {"trip": "long", "flag": "yes", "use": "2", "text": "note", "words": "snow;heat"}
    return column.choices[n % len(column.choices)] if column.choices else good[column.kind]


def written(cell: str, delimiter: str, quote: bool) -> str:
    if quote or any(c in cell for c in (delimiter, '"', "\n")):
        return '"' + cell.replace('"', '""') + '"'
    return cell


def a_file(rng: random.Random, table: str) -> str:
    """A file of one table: a header, rows good and tricky, in one dialect, with odd lines."""
    columns = [c for c in BY_NAME[table].columns if c.kind != "trip"]
    chosen = [c for c in columns if c.required or rng.random() < 0.5]
    chosen = [BY_NAME[table].columns[0], *chosen]
    rng.shuffle(chosen)
    headers = [rng.choice(c.headers) for c in chosen]
    delimiter = rng.choice([",", ",", ";", "\t"])
    odd = rng.choice([0, 0, 4, 12, 40])  # in a hundred cells
    rows = []
    for n in range(rng.randint(0, 40)):
        row = [
            rng.choice(cells_for(c)) if rng.randint(1, 100) <= odd else good_cell(c, n)
            for c in chosen
        ]
        shape = rng.randint(1, 100) if odd else 50
        if shape <= 3:
            row = row[: rng.randint(1, len(row))]
        elif shape <= 6:
            row += rng.choices(["", "", " ", "x"], k=rng.randint(1, 5))
        rows.append(row)
    quoting = rng.choice([0, 0, 0, 10, 100])
    lines = [
        delimiter.join(written(c, delimiter, rng.randint(1, 100) <= quoting) for c in row)
        for row in [headers, *rows]
    ]
    if odd:
        for _ in range(rng.randint(0, 2)):
            line = rng.choice(["", " ", delimiter, delimiter * 3, "\u00a0", '"', "x"])
            lines.insert(rng.randint(0, len(lines)), line)
    end = rng.choice(["\n", "\n", "\r\n", "\r"])
    return end.join(lines) + rng.choice([end, "", end * 2])


def encoded(rng: random.Random, text: str) -> bytes:
    """The text in one of the encodings, now and then with a byte or two gone wrong."""
    codec = rng.choice(["utf-8", "utf-8", "utf-8-sig", "utf-16", "cp1252"])
    data = text.encode(codec, "replace")
    for _ in range(rng.choice([0, 0, 0, 0, 1, 3])):
        at = rng.randint(0, max(len(data) - 1, 0))
        new = rng.choice([b"", b'"', b",", b"\n", b"\r", b"\xff", b"\0", b"\t", b"9"])
        data = data[:at] + new + data[at + rng.randint(0, 1) :]
    return data


def a_logbook(rng: random.Random) -> kit.Files:
    """Gear, trips and files of the large tables, at the root, in parts and in trip folders."""
    found: kit.Files = {"gear.csv": GEAR, "trip.csv": TRIP}
    tables = rng.sample(BULK_TABLES, rng.randint(1, 2))
    for table in {*tables, *(["carried"] if "used" in tables else [])}:
        places = [f"{table}.csv", f"{table}-b.csv", f"trips/long/{table}.csv"]
        for place in rng.sample(places, rng.randint(1, 3)):
            found[place] = encoded(rng, a_file(rng, table))
    if rng.random() < 0.5:
        form = rng.choice(["DD/MM/YYYY", "MM/DD/YYYY", "DD.MM.YYYY"])
        found["tarebook.toml"] = f'[reading]\ndates = "{form}"\n'
    return found


def tricky(table: str, days: bool = True) -> str:
    """Every tricky cell of every column of a table, each in a row that is good but for it.

    Without ``days`` the cells of the column day are good, so that no key repeats.
    """
    columns = BY_NAME[table].columns
    rows = [[c.headers[0] for c in columns]]
    for place, column in enumerate(columns):
        for text in cells_for(column) if days or column.name != "day" else []:
            row = [good_cell(c, len(rows)) for c in columns]
            row[place] = text
            rows.append(row)
    return kit.csv_text(rows)
