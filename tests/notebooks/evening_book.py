"""A logbook for the form: seventy things that came along on a former trip, a plan that is over."""

from pathlib import Path

HOSTILE = (
    "\"Tarp\" <script>document.title='owned'</script>",
    "O'Mug & <img src=x onerror=document.title='owned'>",
    "Rope\u2028line {{7*7}} ${1}",
    "\u05d7\u05d1\u05dc 10 \u05de\u05f3",
)
"""Names that are text and nothing else; the last one runs from right to left."""

_KITS = {
    "Cook kit": ("cook", "Stove;Windscreen;Pot;Mug;Long spoon;Lighter;Pot gripper;Sponge"),
    "Emergency kit": ("first_aid", "Plasters;Bandage;Pain relief;Blister pads;Tick tool;Gloves"),
    "Repair kit": ("repair", "Multi-tool;Tape;Patches;Needle and thread;Spare cord"),
    "Wash kit": ("hygiene", "Toothbrush;Toothpaste;Soap;Towel;Trowel;Paper;Sun cream"),
}
_SYSTEMS = {
    "shelter": "Tarp;Pegs;Guy lines;Ground sheet;Bug net",
    "sleep": "Quilt;Mat;Pillow;Sleep socks",
    "clothing": "Fleece;Down jacket;Sun shirt;Spare socks;Spare shirt;Warm hat;Sun hat;Mittens",
    "rain": "Rain jacket;Rain trousers;Overshoes",
    "bags": "Rucksack;Liner;Ditty bag;Dry bag",
    "water": "Filter;Bottle one;Bottle two;Water bag",
    "safety": "Whistle;Emergency blanket",
    "navigation": "Map;Compass",
    "light": "Head lamp;Spare lamp",
    "power": "Power bank;Cable",
    "leisure": "Book;Chess set;Note book",
}
_FOOD = "Oats;Noodles;Nuts;Chocolate;Coffee"
_AT_HOME = "Umbrella;Camp chair;Second book;Old mat"


def _item(name: str) -> str:
    return name.lower().replace(" ", "-")


def write_book(folder: Path, names: dict[str, str] | None = None) -> Path:
    """Write it; ``names`` are other names by which things of it are called."""
    gear = [("item", "name", "system", "weight_g", "kit", "carried_as")]
    for kit, (system, things) in _KITS.items():
        gear += [(_item(t), t, system, "40", kit, "") for t in things.split(";")]
    for system, things in _SYSTEMS.items():
        weight = "700" if system == "sleep" else "150"
        gear += [(_item(t), t, system, weight, "", "") for t in things.split(";")]
    gear += [(_item(t), t, "food", "", "", "consumable") for t in _FOOD.split(";")]
    along = [row[0] for row in gear[1:]]
    assert len(along) == 70
    gear += [(_item(t), t, "leisure", "300", "", "") for t in _AT_HOME.split(";")]
    called = names or {}
    rows = [(i, called.get(i, n), *more) for i, n, *more in gear]
    _csv(folder / "gear.csv", rows)
    trips = "trip,title,start_on,end_on,mode,use_record,plan\n"
    trips += "2026-05-river,Down the river,2026-05-01,2026-05-03,foot,all_but,\n"
    trips += "2026-08-bay,Round the bay,2026-08-01,2026-08-02,foot,,\n"
    trips += "2026-09-fen,Through the fen,2026-09-05,2026-09-07,foot,,\n"
    trips += "2026-10-moor,Over the moor,2026-10-02,2026-10-04,foot,,yes\n"
    (folder / "trip.csv").write_text(trips, "utf-8")
    former = folder / "trips" / "2026-05-river"
    former.mkdir(parents=True)
    food = {_item(t) for t in _FOOD.split(";")}
    _csv(
        former / "carried.csv",
        [("item", "weight_g", "used")]
        + [(i, "400" if i in food else "", "no" if i == "chess-set" else "") for i in along],
    )
    (former / "distances.csv").write_text("day,distance_km\n2026-05-01,14\n", "utf-8")
    return folder


def _csv(path: Path, rows: list[tuple[str, ...]]) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    quoted = (",".join('"' + c.replace('"', '""') + '"' if c else "" for c in row) for row in rows)
    path.write_text("\n".join(quoted) + "\n", "utf-8")
