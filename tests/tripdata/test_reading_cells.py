"""Choices, yes and no, use, words, names: what cells may hold and how loosely they are matched."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import kit
import pytest
from tarebook.tripdata.problems import Findings

Check = Callable[..., Findings]
Read = Callable[..., tuple[Findings, kit.Kept]]
Loaded = Callable[..., tuple[Findings, kit.Store]]
SYSTEMS = (
    "shelter, sleep, clothing, rain, bags, cook, water, food, first_aid, safety, repair, "
    "navigation, light, fire, hygiene, power, leisure, bike, boat, other"
)


@pytest.mark.parametrize(
    ("table", "header", "text", "stored"),
    [
        ("gear", "system", "first_aid", "first_aid"),
        ("gear", "system", "First aid", "first_aid"),
        ("gear", "system", " FIRST-AID ", "first_aid"),
        ("gear", "system", "firstaid", "first_aid"),
        ("gear", "carried_as", "Worn", "worn"),
        ("gear", "rated_as", "Comfort", "comfort"),
        ("trip", "mode", "e-bike", "ebike"),
        ("trip", "mode", "E bike", "ebike"),
        ("trip", "use_record", "FULL", "full"),
        ("failures", "severity", "lost use", "lost_use"),
        ("failures", "severity", "Lost_Use", "lost_use"),
        ("temperatures", "spot", "Trail", "trail"),
        ("comfort", "aspect", "FUN", "fun"),
        ("wished", "how_much", "Badly", "badly"),
        ("used", "used_for", "First Aid", "first_aid"),
    ],
)
def test_choices_are_matched_as_loosely_as_headers(
    read: Read, table: str, header: str, text: str, stored: str
) -> None:
    findings, kept = read(kit.one_cell(table, header, text))
    assert findings.clean
    assert kept.rows(table, header)[-1] == (stored,)


@pytest.mark.parametrize(
    ("table", "header", "text", "message"),
    [
        ("gear", "system", "shelters", f'expected one of {SYSTEMS}, got "shelters"; did you mean '
         '"shelter"?'),
        ("gear", "system", "zzz", f'expected one of {SYSTEMS}, got "zzz"'),
        ("candidates", "carried_as", "wear", 'expected one of base, worn, consumable, vehicle, got '
         '"wear"'),
        ("carried", "carried_as", "worm", 'expected one of base, worn, consumable, vehicle, got '
         '"worm"; did you mean "worn"?'),
        ("failures", "severity", "bad", 'expected one of nuisance, impaired, lost_use, unsafe, got '
         '"bad"'),
        ("temperatures", "spot", "tent", 'expected one of camp, shelter, trail, got "tent"'),
        ("comfort", "aspect", "sleeping", 'expected one of sleep, camp, moving, fun, got '
         '"sleeping"; did you mean "sleep"?'),
        ("wished", "how_much", "lots", 'expected one of little, much, badly, got "lots"'),
        ("distances", "mode", "car", 'expected one of foot, bike, ebike, paddle, mixed, got "car"'),
        ("weather", "wet", "maybe", 'expected yes or no, got "maybe"'),
        ("weather", "wet", "2", 'expected yes or no, got "2"'),
    ],
)  # fmt: skip
def test_other_values_are_refused_with_the_nearest(
    check: Check, table: str, header: str, text: str, message: str
) -> None:
    findings = check(kit.one_cell(table, header, text))
    assert [str(p) for p in findings.problems] == [f"{kit.file_of(table)}:2: {header}: {message}"]


YES = ["yes", "y", "true", "1", "x", "Yes", "Y", "TRUE", "X"]
NO = ["no", "n", "false", "0", "No", "N", "FALSE"]


@pytest.mark.parametrize(("text", "stored"), [(t, True) for t in YES] + [(t, False) for t in NO])
def test_yes_and_no(read: Read, text: str, stored: bool) -> None:
    findings, kept = read(
        kit.one_cell("weather", "wet", text) | kit.one_cell("carried", "used", text)
    )
    assert findings.clean
    assert kept.rows("weather", "wet") == [(stored,)]
    assert kept.rows("carried", "used") == [(int(stored),)]


@pytest.mark.parametrize(
    ("text", "stored"), [("2", 2), ("1000", 1000), ("3.0", 3), ("1e1", 10), ("+4", 4)]
)
def test_use_may_be_a_number_of_times(read: Read, text: str, stored: int) -> None:
    findings, kept = read(kit.one_cell("carried", "used", text))
    assert findings.clean
    assert kept.rows("carried", "used") == [(stored,)]


@pytest.mark.parametrize(
    ("table", "column", "stored"),
    [
        ("gear", "carried_as", "base"),
        ("gear", "name", "spoon"),
        ("gear", "meant_for", ["any"]),
        ("gear", "rated_as", "maker"),
        ("gear", "weight_mg", 10_000),
        ("gear", "replaces", None),
        ("candidates", "carried_as", "base"),
        ("candidates", "name", "tarp"),
        ("trip", "plan", False),
        ("trip", "people", 1),
        ("trip", "use_record", None),
        ("carried", "quantity", 1),
        ("carried", "carried_as", None),
        ("carried", "used", None),
        ("used", "times", 1),
        ("used", "day", None),
        ("temperatures", "spot", "camp"),
        ("weather", "wet", None),
        ("weather", "conditions", None),
        ("comfort", "aspect", "sleep"),
    ],
)
def test_a_blank_cell_is_the_default(read: Read, table: str, column: str, stored: Any) -> None:
    without, kept = read(
        kit.one_cell(
            table, next(iter(kit.GOOD_ROWS[table])), next(iter(kit.GOOD_ROWS[table].values()))
        )
    )
    assert without.clean
    assert kept.rows(table, column)[-1] == (stored,)
    header = next(c for c in kit.BY_NAME[table].columns if c.stored == column).headers[0]
    if header not in kit.GOOD_ROWS[table]:
        blank, kept = read(kit.one_cell(table, header, "  "))
        assert blank.clean
        assert kept.rows(table, column)[-1] == (stored,)


def test_a_blank_is_kept_apart_from_a_no(read: Read) -> None:
    text = "item,system,weight_g,insurance,essential\na,fire,1,,\nb,fire,1,y,y\nc,fire,1,n,n\n"
    findings, kept = read({"gear-more.csv": text})
    assert findings.clean
    assert kept.rows("gear", "insurance", "essential")[-3:] == [
        (None, None),
        (True, True),
        (False, False),
    ]


CONDITIONS: list[tuple[str, list[str] | None]] = [
    ("", None),
    ("none", []),
    ("None", []),
    ("snow", ["snow"]),
    ("Snow; heat ;bugs", ["snow", "heat", "bugs"]),
    ("snow;;snow;", ["snow"]),
    ("river ford", ["river_ford"]),
    (";", []),
]


def test_conditions_are_words(loaded: Loaded) -> None:
    start = date(2026, 7, 1)
    days = [(start + timedelta(days=n)).isoformat() for n in range(len(CONDITIONS))]
    rows = [[day, "15", cell] for day, (cell, _) in zip(days, CONDITIONS, strict=True)]
    findings, store = loaded(
        {
            "trip-2.csv": "trip,start_on,end_on\nalp,2026-07-01,2026-07-31\n",
            "trips/alp/weather.csv": kit.csv_text([["day", "high_c", "conditions"], *rows]),
        }
    )
    assert findings.clean
    assert store.rows("weather", "conditions") == [(words,) for _, words in CONDITIONS]


def test_meant_for_are_words(loaded: Loaded) -> None:
    text = "item,system,weight_g,meant_for\na,cook,1,Wet; cold\nb,cook,1,any\nc,cook,1,none\n"
    findings, store = loaded({"gear-more.csv": text})
    assert findings.clean
    assert store.rows("gear", "meant_for")[-3:] == [(["wet", "cold"],), (["any"],), (["any"],)]


def test_text_is_trimmed_and_kept_as_typed(loaded: Loaded) -> None:
    note = 'Said "so", on\ntwo lines; =1+1, ÄÖ 🏕'
    row = {"item": "spoon", "system": "cook", "weight_g": "1", "note": f"  {note} ", "kit": "Kit A"}
    findings, store = loaded({"gear-more.csv": kit.csv_text([row, row.values()])})
    assert findings.clean
    assert store.rows("gear", "note", "kit")[-1] == (note, "Kit A")


# --- names -------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("text", "stored"),
    [
        ("spoon", "spoon"),
        ("  spoon ", "spoon"),
        ("Rain  Jacket", "Rain-Jacket"),
        ("rain\u00a0jacket", "rain-jacket"),
        ("2nd-spoon_v1.5", "2nd-spoon_v1.5"),
        ("Käse", "Käse"),
        ("Ka\u0308se", "Käse"),  # decomposed is the same text: Unicode Standard Annex 15
        ("चम्मच", "चम्मच"),
        ("ложка", "ложка"),
        ("٣-spoon", "٣-spoon"),
        ("console", "console"),
        ("com10", "com10"),
    ],
)
def test_names_that_are_slugs(read: Read, text: str, stored: str) -> None:
    row = {"item": text, "system": "cook", "weight_g": "1"}
    findings, kept = read({"gear-more.csv": kit.csv_text([row, row.values()])})
    assert findings.clean
    assert kept.rows("gear", "item", "name")[-1] == (stored, text.strip())


START = "expected a name that starts with a letter or digit"
ONLY = 'expected only letters, digits, "-", "_" and "." in a name, not '
RESERVED = "this name is reserved by some file systems; choose another"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("../../x", f'{START}, got "../../x"'),
        (".hidden", f'{START}, got ".hidden"'),
        ("-x", f'{START}, got "-x"'),
        ("_x", f'{START}, got "_x"'),
        ("\u0301x", f'{START}, got "\u0301x"'),
        ("🏕", f'{START}, got "🏕"'),
        ("²x", f'{START}, got "²x"'),
        ("'; drop table gear; --", f'{START}, got "\'; drop table gear; --"'),
        ("a/b", f'{ONLY}"/", got "a/b"'),
        ("a\\b", f'{ONLY}"\\", got "a\\b"'),
        ("x'; drop table", f'{ONLY}"\'", got "x\'; drop table"'),
        ("a:b", f'{ONLY}":", got "a:b"'),
        ("a*", f'{ONLY}"*", got "a*"'),
        ("a\u200db", f'{ONLY}"\\u200d", got "a\\u200db"'),
        ("a.", 'expected a name that does not end with a dot, got "a."'),
        ("CON", f'{RESERVED}, got "CON"'),
        ("nul.txt", f'{RESERVED}, got "nul.txt"'),
        ("Com1", f'{RESERVED}, got "Com1"'),
        ("lpt9.x.y", f'{RESERVED}, got "lpt9.x.y"'),
        ("aux", f'{RESERVED}, got "aux"'),
    ],
)
def test_names_that_are_none(check: Check, text: str, message: str) -> None:
    files: kit.Files = {}
    for table in ("gear", "candidates", "trip"):
        files |= kit.one_cell(table, kit.BY_NAME[table].key[0], text)
    assert [str(p) for p in check(files).problems] == [
        f"gear-more.csv:2: item: {message}",
        f"candidates-more.csv:2: candidate: {message}",
        f"trip-more.csv:2: trip: {message}",
    ]


@pytest.mark.parametrize(
    ("defined", "written"),
    [
        ("Straße", "STRASSE"),
        ("STRASSE", "straße"),
        ("Käse", "KA\u0308SE"),
        ("Rain Jacket", "rain-jacket"),
        ("rain-jacket", "RAIN JACKET"),
        ("ΣΟΦΟΣ", "σοφος"),
        ("ǰ", "J\u030c"),
    ],
)
def test_names_match_by_case_folding_and_show_as_first_defined(
    read: Read, defined: str, written: str
) -> None:
    import unicodedata

    row = {"item": defined, "system": "cook", "weight_g": "1", "needs": written}
    again = {"item": written, "system": "cook", "weight_g": "2", "needs": ""}
    findings, kept = read(
        {
            "gear-more.csv": kit.csv_text([row, row.values(), again.values()]),
            "trips/river/carried.csv": kit.csv_text([["item"], [written]]),
        }
    )
    shown = unicodedata.normalize("NFC", defined).replace(" ", "-")
    assert [str(p) for p in findings.problems] == [
        "gear-more.csv:3: item: repeats gear-more.csv:2; the first one stands"
    ]
    assert kept.rows("gear", "item", "needs")[-1] == (shown, [shown])
    assert kept.rows("carried", "item") == [(shown,)]


def test_unknown_items_and_trips_name_the_nearest(check: Check) -> None:
    findings = check(
        {
            "carried.csv": "trip,item\nrivr,tent\nriver,tnet\nriver,zzz\nriver,\n",
            "weighings.csv": "item,weighed_on,weight_g\nstov,2026-01-01,5\n",
        }
    )
    assert [str(p) for p in findings.problems] == [
        'weighings.csv:2: item: expected an item of gear.csv, got "stov"; did you mean "stove"?',
        'carried.csv:2: trip: expected a trip of trip.csv, got "rivr"; did you mean "river"?',
        'carried.csv:3: item: expected an item of gear.csv, got "tnet"; did you mean "tent"?',
        'carried.csv:4: item: expected an item of gear.csv, got "zzz"',
        "carried.csv:5: item: expected a value, the cell is blank; fill it in or delete the row",
    ]


def test_unknown_items_in_needs_and_replaces_only_warn(loaded: Loaded) -> None:
    findings, store = loaded(
        {
            "gear-more.csv": "item,system,weight_g,needs,replaces\n"
            "pot,cook,1,STOVE; stov;;Stove,Old Pot\n",
            "candidates.csv": "candidate,system,weight_g,replaces\nnew,cook,1,tnet;TENT\n",
        }
    )
    assert findings.clean
    assert [str(w) for w in findings.warnings] == [
        'gear-more.csv:2: replaces: "Old-Pot" is not an item of gear.csv; did you mean "pot"?',
        'gear-more.csv:2: needs: "stov" is not an item of gear.csv; did you mean "stove"?',
        'candidates.csv:2: replaces: "tnet" is not an item of gear.csv; did you mean "tent"?',
    ]
    assert store.rows("gear", "needs", "replaces")[-1] == (["stove", "stov"], ["Old-Pot"])
    assert store.rows("candidates", "replaces") == [(["tnet", "tent"],)]


def test_wished_names_a_thing_or_an_item(check: Check) -> None:
    findings = check({"trips/river/wished.csv": "what,item,note\n,,only a note\nsocks,,\n,tent,\n"})
    assert [str(p) for p in findings.problems] == [
        "trips/river/wished.csv:2: what: expected what was missed, or the item left at home"
    ]
