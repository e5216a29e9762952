"""A logbook as plain records, and the many ways in which people write the same records down."""

import random
import unicodedata
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

import kit
from tarebook.tripdata.contract import BY_NAME, Column, Table

Record = dict[str, Any]
"""Column name to value: text, int, bool, date, Decimal of a base unit (mg, mm, °C, ...), None."""

# Base units in one written unit; the exact definitions of NIST Handbook 44 appendix C.
IN_BASE = {
    "mass": {"g": "1000", "kg": "1000000", "oz": "28349.523125", "lb": "453592.37"},
    "length": {"km": "1000000", "mi": "1609344"},
    "height": {"m": "1000", "ft": "304.8"},
    "rain": {"mm": "1", "in": "25.4"},
    "speed": {"kmh": "1", "mph": "1.609344"},
}
WORDS = (
    "tent",
    "Rain Jacket",
    "Käse",
    "straße",
    "ложка",
    "2nd-cup",
    "pot_v1.5",
    "Übergabe",
    "mug",
    "Sleeping bag",
    "चम्मच",
    "map",
    "first aid kit",
    "cord",
)
NOTES = (
    "a note",
    "with, comma",
    "semi; colon",
    'says "so"',
    "two\nlines",
    "tab\there",
    "ünïcode",
    "=1+1",
    "'quoted'",
    "🏕",
    "0",
    "- dash",
    "null",
)
GROUPS = ("Kit A", "kit b", "Straße", "cook set")
CONDITIONS = ("wet", "cold", "snow", "heat", "bugs", "river_ford")


def draw_value(rng: random.Random, column: Column) -> Any:
    """A value of a column in its base unit."""
    kind = column.kind
    if column.choices:
        return rng.choice(column.choices)
    if kind == "mass":
        return Decimal(rng.choice([rng.randint(1, 5_000), rng.randint(1, 100_000_000)]))
    if kind in ("length", "height"):
        return Decimal(rng.randint(0, 9_000_000))
    if kind == "temperature":
        return Decimal(rng.randint(-6000, 6000)) / 100
    if kind in ("rain", "speed"):
        return Decimal(rng.randint(0, 3000)) / 10
    if kind in ("number", "whole"):
        low, high = int(column.low or 0), int(column.high or 0)
        if kind == "whole":
            return rng.randint(low, high)
        return Decimal(rng.randint(low * 100, high * 100)) / 100
    if kind == "flag":
        return rng.random() < 0.5
    if kind == "use":
        return rng.choice([0, 1, 2, 17, 1000])
    if kind == "date":
        return date(2020, 1, 1) + timedelta(days=rng.randint(0, 3000))
    if kind == "words":
        return rng.sample(CONDITIONS, rng.randint(0 if column.name == "conditions" else 1, 3))
    return rng.choice(GROUPS if kind == "group" else NOTES)


@dataclass
class Logbook:
    """Records of every table; names as they were first written."""

    items: list[str]
    trips: dict[str, tuple[date, date]]
    records: dict[str, list[Record]]


def _row(rng: random.Random, table: Table, **fixed: Any) -> Record:
    row: Record = {}
    for column in table.columns:
        if column.name in fixed:
            row[column.name] = fixed[column.name]
        elif column.cell or rng.random() < 0.5:
            row[column.name] = draw_value(rng, column)
        else:
            row[column.name] = None
    return row


def draw_logbook(rng: random.Random) -> Logbook:
    """Records of every table that go together."""
    items = rng.sample(WORDS, rng.randint(2, 8))
    trips: dict[str, tuple[date, date]] = {}
    for name in rng.sample(["river", "High Alp", "Küste", "2026-05"], rng.randint(1, 3)):
        start = date(2024, 1, 1) + timedelta(days=rng.randint(0, 900))
        trips[name] = (start, start + timedelta(days=rng.choice([0, 1, 3, 9, 400])))
    book = Logbook(items, trips, {name: [] for name in BY_NAME})

    def add(table: str, **fixed: Any) -> None:
        book.records[table].append(_row(rng, BY_NAME[table], **fixed))

    for item in items:
        others = [i for i in items if i != item]
        add(
            "gear",
            item=item,
            needs=rng.sample(others, rng.randint(0, len(others))) or None,
            replaces=rng.choice([None, [others[0]]]),
            formerly=rng.choice([None, [f"old {item}"], [f"old {item}", f"was_{item}"]]),
        )
    for item in rng.sample(items, rng.randint(0, len(items))):
        days = rng.sample(range(1000), rng.randint(1, 3))
        for n in days:
            add("weighings", item=item, weighed_on=date(2023, 1, 1) + timedelta(days=n))
    for name in rng.sample(["new tent", "Neue Säge", "cup"], rng.randint(0, 3)):
        add("candidates", candidate=name, replaces=rng.choice([None, items[:2]]))
    for name, (start, end) in trips.items():
        add("trip", trip=name, start_on=start, end_on=end)
        _draw_trip(rng, book, name, start, end, add)
    return book


def _draw_trip(
    rng: random.Random, book: Logbook, name: str, start: date, end: date, add: Any
) -> None:
    days = [start + timedelta(days=n) for n in range(min((end - start).days + 1, 5))]
    carried = rng.sample(book.items, rng.randint(0, len(book.items)))
    for item in carried:
        for bag in rng.sample([None, *GROUPS], rng.randint(1, 3)):
            first = rng.choice([None, rng.choice(days)])
            last = rng.choice([None, *[d for d in days if first is None or d >= first]])
            add("carried", trip=name, item=item, bag=bag, from_day=first, until_day=last)
        for day in rng.sample([None, *days], rng.randint(0, 2)):
            add("used", trip=name, item=item, day=day)
    for _ in range(rng.randint(0, 2)):
        add("failures", trip=name, item=rng.choice(book.items), day=rng.choice(days))
        add("wished", trip=name, item=rng.choice([None, *book.items]), what=rng.choice(NOTES))
    for n in range(rng.choice([0, 3, 12])):
        at = datetime(start.year, start.month, start.day) + timedelta(minutes=37 * n)
        add("temperatures", trip=name, at=at + timedelta(seconds=rng.choice([0, 0, 30])))
    for day in days:
        if rng.random() < 0.5:
            add("distances", trip=name, day=day)
            add("weather", trip=name, day=day, wet=rng.random() < 0.5)
            for aspect in rng.sample(["sleep", "camp", "moving", "fun"], rng.randint(1, 3)):
                add("comfort", trip=name, day=day, aspect=aspect)


# --- writing -----------------------------------------------------------------------------------
def plain(value: Decimal) -> str:
    """A decimal without exponent."""
    return f"{value:f}"


@dataclass
class Dialect:
    """How one file is written."""

    rng: random.Random
    delimiter: str
    end: str
    comma: bool
    date_form: str

    def number(self, text: str) -> str:
        """Decimal text in the file's own mark."""
        text = text.replace("-", self.rng.choice(["-", "\u2212"]))
        return text.replace(".", ",") if self.comma else text

    def cell(self, column: Column, value: Any, unit: str) -> str:
        """The text of a value."""
        if value is None:
            return self.rng.choice(["", "", " "])
        rng = self.rng
        if isinstance(value, bool):
            words = ("yes", "Y", "true", "1", "X") if value else ("no", "N", "False", "0")
            return rng.choice(words)
        if isinstance(value, datetime):
            offset = rng.choice(["", "", "+02:00", "-0500"])
            return value.isoformat(rng.choice("T ")) + offset
        if isinstance(value, date):
            forms = ["%Y-%m-%d", self.date_form or "%Y-%m-%d"]
            return value.strftime(rng.choice(forms))
        if isinstance(value, list):
            return self._list(column, value)
        if isinstance(value, Decimal):
            return self.number(in_unit(column, value, unit))
        if isinstance(value, int):
            return self.number(
                str(value) + rng.choice(["", "", ".0"] if column.kind == "whole" else [""])
            )
        if column.choices:
            loose = [value, value.upper(), value.replace("_", " "), value.replace("_", "-")]
            return rng.choice(loose)
        return self.name(value) if column.kind in ("item", "trip") else str(value)

    def name(self, value: str) -> str:
        """A name as people write it the second time."""
        same = [value, value.upper(), value.casefold(), unicodedata.normalize("NFD", value)]
        return self.rng.choice([s.replace(" ", self.rng.choice([" ", "-"])) for s in same])

    def _list(self, column: Column, value: list[str]) -> str:
        if not value:
            return "none"
        items = [self.name(v) if column.kind == "items" else v for v in value]
        return self.rng.choice([";", "; ", " ;"]).join(items)


def in_unit(column: Column, value: Decimal, unit: str) -> str:
    """A base value written in a unit, with digits enough to come back the same."""
    if unit in ("", "c"):
        return plain(value)
    if unit == "f":
        return plain(value * 9 / 5 + 32)
    return plain((value / Decimal(IN_BASE[column.kind][unit])).quantize(Decimal("1e-13")))


def write_file(
    rng: random.Random, table: Table, rows: list[Record], trip: bool, form: str
) -> bytes:
    """Rows of one table as one file in a dialect drawn at random."""
    delimiter = rng.choice([",", ";", "\t"])
    dialect = Dialect(
        rng,
        delimiter,
        rng.choice(["\n", "\r\n", "\r"]),
        delimiter != "," and rng.random() < 0.7,
        form,
    )
    wanted = [
        c
        for c in table.columns
        if (c.required and (c.name != "trip" or trip or table.name == "trip"))
        or any(r[c.name] is not None for r in rows)
    ]
    wanted = [c for c in wanted if c.name != "trip" or trip or table.name == "trip"]
    rng.shuffle(wanted)
    units = {c.name: rng.choice(c.dimension.units) if c.dimension else "" for c in wanted}
    header = [_header(rng, c.name, units[c.name]) for c in wanted]
    body = [[dialect.cell(c, row[c.name], units[c.name]) for c in wanted] for row in rows]
    lines = [_line(rng, cells, dialect) for cells in [header, *body]]
    if rng.random() < 0.3:
        lines.insert(0, f"sep={delimiter}")
    for _ in range(rng.choice([0, 0, 2])):
        blank = rng.choice(["", "  ", delimiter * (len(header) - 1)])
        lines.insert(rng.randint(1, len(lines)) if "sep=" in lines[0] else len(lines), blank)
    text = dialect.end.join(line.replace("\n", dialect.end) for line in lines)
    return _bytes(rng, text + rng.choice(["", dialect.end]))


def _header(rng: random.Random, name: str, unit: str) -> str:
    name = rng.choice([name, name.upper(), name.replace("_", " "), f" {name.title()} "])
    written = {"kmh": "kmh", "c": "°C", "f": "°F"}.get(unit, unit)
    if not unit:
        return name
    return rng.choice([f"{name}_{unit}", f"{name} ({written})", f"{name} [{unit.upper()}]"])


def _line(rng: random.Random, cells: list[str], dialect: Dialect) -> str:
    out = []
    for cell in cells:
        odd = any(c in cell for c in (dialect.delimiter, '"', "\n", "\r"))
        if odd or rng.random() < 0.15:
            cell = '"' + cell.replace('"', '""') + '"'
        out.append(cell)
    while len(out) > 1 and not out[-1] and rng.random() < 0.5:
        out.pop()  # missing end cells are blank
    return dialect.delimiter.join(out)


def _bytes(rng: random.Random, text: str) -> bytes:
    codec = rng.choice(["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
    if codec == "cp1252":
        try:
            data = text.encode(codec)
        except UnicodeEncodeError:
            return text.encode("utf-8")
        # What happens to be UTF-8 as well would rightly be read as such.
        return data if data.isascii() or not _is_utf8(data) else text.encode("utf-8")
    mark = {"utf-16-le": b"\xff\xfe", "utf-16-be": b"\xfe\xff"}.get(codec, b"")
    return mark + text.encode(codec)


def _is_utf8(data: bytes) -> bool:
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def write_logbook(rng: random.Random, book: Logbook) -> kit.Files:
    """The records of a logbook as files, in parts, at the root and in trip folders."""
    files: kit.Files = {}
    form = ""
    if rng.random() < 0.5:
        form = rng.choice(["%d/%m/%Y", "%m/%d/%Y"])
        named = {"%d/%m/%Y": "DD/MM/YYYY", "%m/%d/%Y": "MM/DD/YYYY"}[form]
        files["tarebook.toml"] = f'[reading]\ndates = "{named}"\n'
    for table in BY_NAME.values():
        places: dict[str, list[Record]] = {f"{table.name}.csv": []}
        for row in book.records[table.name]:
            places.setdefault(_place(rng, table, row), []).append(row)
        for place, rows in places.items():
            if rows or rng.random() < 0.5 or place == "gear.csv":
                in_folder = place.startswith("trips/")
                files[place] = write_file(rng, table, rows, not in_folder, form)
    return files


def _place(rng: random.Random, table: Table, row: Record) -> str:
    part = rng.choice(["", "", "-2026", "-b"])
    extension = "csv"
    if "trip" in row and rng.random() < 0.6:
        folder = row["trip"]
        return f"trips/{folder}/{table.name}{part}.{extension}"
    return f"{table.name}{part}.{rng.choice(['csv', 'csv', 'CSV'])}"
