"""What must never be advised against, worked out from a logbook's text alone.

A second implementation, in its own words, of what may not be left at home: it reads the rows as
typed and nothing of the program. Where the definition leaves a case open it holds nothing back, so
that whatever it does hold back is certain.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cached_property

from advice_books import Book, Row

HOPE = {"first_aid", "safety", "navigation", "fire", "repair"}
ALWAYS = {"shelter", "sleep", "water", "rain"}
SILENT = {"clothing", "light", "power", "food", "cook", "hygiene"}
ODD = {"bags", "bike", "boat", "other"}
WAYS = {"bike": {"bike", "ebike"}, "boat": {"paddle"}}
UNTOLD = {"", "any"}
Lows = Mapping[str, tuple[float, ...]]
"""The usual lows of the nights of each plan, by trip; none where no normals serve it."""


@dataclass(frozen=True)
class Reason:
    """Why a thing stays: the rule that holds it, and what of the logbook sets it off."""

    rule: str
    why: str


@dataclass(frozen=True)
class Scene:
    """A logbook as it is looked back on, and the trips to come that were named."""

    book: Book
    mode: str = ""
    coming: tuple[str, ...] = ()
    usual: Lows = field(default_factory=dict)

    @cached_property
    def gear(self) -> dict[str, Row]:
        """What is owned, by item."""
        return {row["item"]: row for row in self.book.rows("gear")}

    @cached_property
    def trips(self) -> dict[str, Row]:
        """The trips looked back on."""
        return {
            row["trip"]: row
            for row in self.book.rows("trip")
            if row.get("plan") != "yes" and (not self.mode or row.get("mode") == self.mode)
        }

    @cached_property
    def plans(self) -> list[Row]:
        """The named trips to come."""
        return [row for row in self.book.rows("trip") if row["trip"] in self.coming]

    @cached_property
    def carried(self) -> list[Row]:
        """What came along on them."""
        return [row for row in self.book.rows("carried") if row["trip"] in self.trips]

    @cached_property
    def along(self) -> set[str]:
        """The things that came along at all."""
        return {row["item"] for row in self.carried}

    def fact(self, item: str, column: str) -> str:
        """A cell of gear.csv; empty where it is blank or its column is missing."""
        return self.gear[item].get(column, "").strip().lower()

    def words(self, item: str, column: str) -> list[str]:
        """A cell's words, set apart by semicolons."""
        return [w.strip() for w in self.fact(item, column).split(";") if w.strip()]


def held(scene: Scene) -> dict[str, list[Reason]]:
    """Every thing that may not be advised against, with why."""
    found: dict[str, list[Reason]] = {item: [] for item in scene.gear}
    for item in scene.gear:
        for rule in (_hoped, _kept, _unsaid, _beyond, _too_cold):
            reason = rule(scene, item)
            if reason:
                found[item].append(reason)
    _with_what_stays(scene, found)
    return {item: reasons for item, reasons in found.items() if reasons}


def _insured(scene: Scene, item: str) -> bool:
    own = scene.fact(item, "insurance")
    return own == "yes" if own else scene.fact(item, "system") in HOPE


def _vehicle(scene: Scene, item: str) -> bool:
    return scene.fact(item, "carried_as") == "vehicle"


def is_insurance(scene: Scene, item: str) -> bool:
    """By its own cell or system, or because at least half of its kit is."""
    if _insured(scene, item) or scene.fact(item, "insurance"):
        return _insured(scene, item)
    kit = scene.fact(item, "kit")
    if not kit or _vehicle(scene, item):
        return False
    members = [i for i in scene.gear if scene.fact(i, "kit") == kit and not _vehicle(scene, i)]
    return len(members) >= 2 and 2 * sum(_insured(scene, i) for i in members) >= len(members)


def _hoped(scene: Scene, item: str) -> Reason | None:
    if not is_insurance(scene, item):
        return None
    passed_on = "" if _insured(scene, item) else ", passed on by its kit"
    return Reason("1", f"insurance{passed_on}")


def _kept(scene: Scene, item: str) -> Reason | None:
    essential = scene.fact(item, "essential")
    if essential == "yes" or (not essential and scene.fact(item, "system") in ALWAYS):
        return Reason("2", "essential")
    if scene.fact(item, "owner"):
        return Reason("2", "borrowed")
    ways = WAYS.get(scene.fact(item, "system"), set())
    modes = {trip.get("mode", "") for trip in scene.trips.values()}
    if ways & modes and not spare_battery(scene, item):
        return Reason("2", "bound to a mode in the scope")
    return None


def spare_battery(scene: Scene, item: str) -> bool:
    """A battery beside another one of the bike or boat."""

    def drives(each: str) -> bool:
        ridden = scene.fact(each, "system") in WAYS or _vehicle(scene, each)
        return bool(scene.fact(each, "capacity_wh")) and ridden

    return drives(item) and any(drives(i) for i in scene.along - {item})


def _unsaid(scene: Scene, item: str) -> Reason | None:
    system = scene.fact(item, "system")
    hope = system in HOPE and scene.fact(item, "insurance") == "no"
    if system in SILENT or hope:
        meant = any(word not in UNTOLD for word in scene.words(item, "meant_for"))
        said = meant or scene.fact(item, "essential") == "no"
    elif system in ODD:
        said = any(scene.fact(item, c) for c in ("meant_for", "going_without", "essential"))
    else:
        return None
    return None if said else Reason("3", "its owner has not said what it is for")


def _known_use(scene: Scene, row: Row) -> bool:
    record = scene.trips[row["trip"]].get("use_record", "")
    if record == "none":
        return False
    any_cell = any(r.get("used") for r in scene.carried if r["trip"] == row["trip"])
    full = record in ("full", "all_but") or (not record and any_cell)
    return full or bool(row.get("used"))


def _days(trip: Row) -> list[date]:
    start, end = (date.fromisoformat(trip[k]) for k in ("start_on", "end_on"))
    return [start + timedelta(n) for n in range((end - start).days + 1)]


def _beyond(scene: Scene, item: str) -> Reason | None:
    """Outside of what the trips behind a verdict have seen; leisure apart."""
    if scene.fact(item, "system") == "leisure":
        return None
    seen = {r["trip"] for r in scene.carried if r["item"] == item and _known_use(scene, r)}
    for plan in scene.plans:
        why = _outside(scene, [scene.trips[t] for t in sorted(seen)], plan)
        if why:
            return Reason("5", f"{plan['trip']}: {why}")
    return None


def _outside(scene: Scene, seen: list[Row], plan: Row) -> str:
    if plan.get("mode") and plan["mode"] not in {t.get("mode", "") for t in seen}:
        return f"by {plan['mode']}, not seen"
    months = {day.month for t in seen for day in _days(t)}
    ahead = {day.month for day in _days(plan)}
    near = {(m - 1 + step) % 12 + 1 for m in months for step in (-1, 0, 1)}
    if not ahead & near:
        return f"month {min(ahead)}, seen {sorted(months)}"
    if len(_days(plan)) > max((len(_days(t)) for t in seen), default=0):
        return "more nights than any seen"
    nights = {(t["trip"], day.isoformat()) for t in seen for day in _days(t)[:-1]}
    lows = [
        float(row["low_c"])
        for row in scene.book.rows("weather")
        if row.get("low_c") and (row["trip"], row["day"]) in nights
    ]
    usual = scene.usual.get(plan["trip"], ())
    if lows and usual:
        return "usual low under the coldest seen" if max(usual) < min(lows) - 0.2 else ""
    return "" if ahead & months else "lows not known, and that month not seen"


def _too_cold(scene: Scene, item: str) -> Reason | None:
    votes = [
        int(row["warmth"])
        for row in scene.book.rows("comfort")
        if row["trip"] in scene.trips and row.get("warmth") and row.get("aspect") == "sleep"
    ]
    cold = sum(vote <= -2 for vote in votes)
    for_cold = "cold" in scene.words(item, "meant_for")
    warms = for_cold or scene.fact(item, "system") in ("clothing", "sleep")
    if warms and votes and cold >= 0.1 * len(votes):
        return Reason("6", f"{cold} of {len(votes)} nights were too cold")
    if for_cold and len(votes) < 5:
        return Reason("6", f"meant for cold, {len(votes)} nights judged")
    if warms and not votes and _colder_than_rated(scene):
        return Reason("6", "usual lows of a trip to come lie well under every rating")
    return None


TO_LIMIT_C = {"limit": 0.0, "comfort": -5.0, "maker": -5.0}
"""What brings a rating to a limit at least; a maker's own figure by its wide margin, too."""


def _colder_than_rated(scene: Scene) -> bool:
    """Whether a usual night of a plan is 3 °C and more under the limit of all sleep gear.

    No night is judged then, so that ratings decide; at its limit one night in five is too cold.
    """
    limits = [
        float(scene.fact(item, "rated_low_c")) + TO_LIMIT_C[scene.fact(item, "rated_as") or "maker"]
        for item in scene.along
        if scene.fact(item, "system") == "sleep" and scene.fact(item, "rated_low_c")
    ]
    nights = [max(scene.usual[p["trip"]]) for p in scene.plans if scene.usual.get(p["trip"])]
    return bool(limits and nights) and min(nights) <= min(limits) - 3


def _with_what_stays(scene: Scene, found: dict[str, list[Reason]]) -> None:
    """What a thing needs stays with it, and so does the bag that held it."""
    grew = True
    while grew:
        grew = False
        for keeper, other, why in _ties(scene):
            if found.get(keeper) and not found[other]:
                found[other].append(Reason("2", why))
                grew = True


def _ties(scene: Scene) -> Iterable[tuple[str, str, str]]:
    """Pairs of which the second stays where the first does: needs, and bags of what they held."""
    for item in scene.gear:
        for needed in scene.words(item, "needs"):
            if item in scene.along and needed in scene.along:
                yield item, needed, f"needed by {item}, which stays"
    names = {row["name"].lower(): item for item, row in scene.gear.items()}
    for row in scene.carried:
        label = row.get("bag", "").strip().lower()
        bag = label if label in scene.gear else names.get(label)
        if bag in scene.along and bag != row["item"] and row["item"] in scene.gear:
            yield row["item"], str(bag), f"held {row['item']}, which stays"


def torn(scene: Scene, left: set[str]) -> list[tuple[str, str]]:
    """What a set to be left breaks: a need or bag of what stays, or the last of its kind."""
    broken = {
        (other, why)
        for item, other, why in _ties(scene)
        if item not in left
        and other in left
        and scene.fact(item, "carried_as") in ("", "base", "worn")
    }
    for system in sorted(ALWAYS):
        owned = {i for i in scene.along if scene.fact(i, "system") == system}
        if owned and owned <= left:
            broken |= {(item, f"the last of {system}") for item in owned}
    return sorted(broken)
