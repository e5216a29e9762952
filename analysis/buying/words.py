"""How the case for a candidate is told: verdict, the strongest reasons, what would change it."""

from collections.abc import Mapping, Sequence

from ...tripdata.contract import INSURANCE_SYSTEMS
from ...tripdata.units import OZ_G
from ..display.words import (
    Display,
    count,
    listing,
    mass,
    money,
    number,
    one_in,
    percent,
    quoted,
    sentence,
    temperature,
    wanted,
)
from ..usage.missing_odds import wanted_at_most
from ..usage.verdict_words import leave_only_while
from ..wear.failures import Failures
from ..wear.words import failure_record, times
from . import verdict as rules
from .cautions import lost
from .results import Alternative, AtHome, Case, CaseVerdict, ColdReplay, ColdYear, Wishes

_HEADINGS: Mapping[CaseVerdict, str] = {
    "matter_of_price": "A matter of price",
    "colder": "Colder than what you have",
    "not_on_record": "Nothing in your record speaks for it",
    "too_early": "Too early to say",
    "beyond_numbers": "Safety gear: not decided by numbers",
}
_PRICE = "A lower price, more nights with it, or less of it to carry for something else."
_CHANGES: Mapping[CaseVerdict, str] = {
    "failed_unsafely": "A mend by someone who knows, and nights without a failure after it.",
    "matter_of_price": _PRICE,
    "wished_for": _PRICE,
    "beyond_numbers": "Advice from those who know the danger it is for, and local rules.",
    "colder": "Milder trips: it is for nights warmer than yours were.",
    "not_on_record": (
        "What the record cannot see: company, room, pleasure. Note it where you miss that on a "
        "trip (wished.csv)."
    ),
}
NOTHING_FOR = "nothing that this record can see"
NOT_WEIGHED_AGAINST = "What keeps you safe is not weighed against grams or money."
_AT_MOST = 4


def heading(case: Case, display: Display) -> str:
    """The verdict in a few words."""
    kind = rules.verdict(case)
    if kind == "changes_nights":
        replay = case.replay
        if replay is not None and replay.avoided:
            warm = f"{would_or_may(replay)} have been warm enough{spread(replay)}"
            nights = cold_nights(case, replay)
            return f"{nights[:1].upper()}{nights[1:]} {warm}"
        return "Makes a cold night clearly less likely"
    if kind == "leave_first":
        grams = mass(case.alternative.let_go_g, display)
        price = let_go_price(case.alternative)
        return (
            f"Not yet: {grams} of your gear could stay at home without spending anything; {price}"
        )
    if kind == "failed_unsafely":
        names = some([r.name for r in rules.failed_unsafely(case)])
        return f"{names} failed in an unsafe way: mend or replace it"
    if kind == "not_on_record" and case.wishes.alike:
        return perhaps_wished(case.wishes)
    if kind == "wished_for":
        return f"You wished for it on {count(case.wishes.trips, 'trip')}: a matter of price"
    if kind == "matter_of_price" and case.losses.warmth:
        return f"{_HEADINGS[kind]}, if it is as warm"
    if kind == "beyond_numbers" and case.candidate.system not in INSURANCE_SYSTEMS:
        return "Not decided by numbers: what it replaces keeps you safe"
    return _HEADINGS[kind]


def perhaps_wished(wishes: Wishes) -> str:
    """Wishes that may mean it: "You wished for “A tent” once, on “Round the lake”; ..."."""
    notes = [(f"\u201c{what}\u201d", f"\u201c{title}\u201d") for what, title in wishes.alike]
    told = listing([f"{what} on {title}" for what, title in notes], at_most=_AT_MOST)
    if len(notes) == 1:
        told = f"{notes[0][0]} once, on {notes[0][1]}"
    return f"You wished for {told}; only you know whether this is what you meant"


def would_or_may(replay: ColdReplay) -> str:
    """How sure it is that it would have spared cold nights."""
    return "would" if replay.avoided_least else "may"


def spared_words(case: Case, replay: ColdReplay, about: str = "") -> str:
    """Return the cold nights spared, with the range, in what they were slept in.

    "4 of the 8 nights that were too cold in “Summer quilt” (very likely 1 to 8)".
    """
    return f"{cold_nights(case, replay, about)}{spread(replay)}"


def cold_nights(case: Case, replay: ColdReplay, about: str = "") -> str:
    """Return the same without the range."""
    had = [r.name for r in case.replaced if r.system == case.candidate.system]
    cold, where = replay.cold_votes, f"too cold{f' in {some(had)}' if had else ''}"
    if replay.avoided < cold:
        return f"{about}{replay.avoided} of the {cold} nights that were {where}"
    nights = "the one night that was" if cold == 1 else f"all {cold} nights that were"
    return f"{nights} {where}"


def spread(replay: ColdReplay | AtHome) -> str:
    """The range of a count of nights spared, in brackets; empty where it is one number."""
    if replay.avoided_least == replay.avoided_most:
        return ""
    return f" (very likely {replay.avoided_least} to {replay.avoided_most})"


def reason_for(case: Case, display: Display) -> str:
    """The strongest reason for it."""
    beyond = rules.verdict(case) == "beyond_numbers"
    nothing = NOT_WEIGHED_AGAINST if beyond else sentence(NOTHING_FOR)
    return next(iter(reasons_for(case, display)), nothing)


def reasons_for(case: Case, display: Display) -> list[str]:
    """Reasons for it, the strongest first; what is beyond numbers is not argued by weight."""
    beyond = rules.verdict(case) == "beyond_numbers"
    unsafe = [r.failures for r in rules.failed_unsafely(case) if r.failures]
    often = [
        r.failures for r in rules.often_failed(case) if r.failures and r.failures not in unsafe
    ]
    reasons = [_failed(f) for f in unsafe]
    gone = some([r.name for r in case.replaced if r.given_up])
    if gone:
        reasons.append(f"You gave up {gone}: it would take that place.")
    if rules.spares_cold(case):
        reasons.append(sentence("; ".join([*_avoided(case.replay), *_chance(case.year)])))
    if case.wishes.notes:
        reasons.append(_wished(case.wishes))
    if case.wishes.alike:
        reasons.append(sentence(perhaps_wished(case.wishes)))
    reasons += [_failed(f) for f in often]
    held = rules.capacities(case)
    if held is not None and rules.holds_more(case):
        reasons.append(f"It holds {number(held[1])} Wh instead of {number(held[0])} Wh.")
    if case.saved_g is not None and case.saved_g > 0 and not beyond:
        reasons.append(_lighter(case, case.saved_g, display))
    if rules.fails_less(case):
        reasons.append(_failures(case))
    if rules.cheaper_nights(case) and not beyond:
        reasons.append(_cheaper(case))
    return reasons


def _failed(failures: Failures) -> str:
    return f"\u201c{failures.name}\u201d failed {failure_record(failures)}."


def _wished(wishes: Wishes) -> str:
    known = ((wishes.badly, "badly"), (wishes.much, "much"), (wishes.little, "a little"))
    parts = [f"{times(n)} {how}" for n, how in known if n]
    how_badly = f": {listing(parts)}" if parts else ""
    return f"You noted on {count(wishes.trips, 'trip')} that you missed it{how_badly}."


def _lighter(case: Case, saved_g: float, display: Display) -> str:
    base, part = case.base, ""
    if base is not None and base.now_g > 0 and saved_g / base.now_g >= 0.005:
        part = f", {percent(saved_g / base.now_g)} of a base weight of {mass(base.now_g, display)}"
    return f"It saves {mass(saved_g, display)}{part}."


def _cheaper(case: Case) -> str:
    before = next(r for r in case.replaced if r.cost_per_night is not None)
    now = money(case.price_per_night or 0.0, case.candidate.currency, 2)
    return (
        f"At {now} per expected night it costs less than \u201c{before.name}\u201d has so far: "
        f"{money(before.cost_per_night or 0.0, before.currency, 2)} per night."
    )


def reason_against(case: Case, display: Display) -> str:
    """The strongest reason against it."""
    reasons = [*lost(case, display), *reasons_against(case, display)]
    return next(iter(reasons), "Nothing that this record can see, but its price is not given.")


def reasons_against(case: Case, display: Display) -> list[str]:
    """Reasons against it beside what would be lost (`cautions.lost`), the strongest first."""
    reasons = []
    if rules.colder(case):
        reasons.append(_colder(case))
    if rules.leaving_does(case) and rules.verdict(case) != "beyond_numbers":
        reasons.append(_leaving(case, display))
    if case.saved_g is not None and case.saved_g < 0:
        reasons.append(_heavier(case, display))
    if case.candidate.price:
        reasons.append(_price(case, display))
    if case.saved_g is None:
        reasons.append(sentence(case.missing.get("weight_saved_g", "not weighed")))
    return reasons


def what_would_change_it(case: Case, display: Display) -> str:
    """What would change the verdict."""
    kind = rules.verdict(case)
    if kind == "leave_first":
        warm = " and of whether it is as warm" if case.losses.warmth else ""
        return (
            "Once those things stay at home, or are used, the "
            f"{mass(case.saved_g, display)} are a matter of price{warm}: ask again then."
        )
    if kind == "changes_nights":
        replay = case.replay
        if replay is not None and replay.limit_now_c is not None:
            return (
                "Its rating is not yours: the answer would turn if it slept no warmer than "
                f"{temperature(replay.limit_now_c, display, 1)}, your limit in what you have. A "
                "night or two in a borrowed one near home would tell."
            )
        return "A night or two in a borrowed one near home would tell more than its rating."
    if kind == "too_early":
        if case.saved_g is None:
            return "A scale: " + case.missing.get("weight_saved_g", "not weighed") + "."
        lacking = rules.FEWEST_VOTES - (case.replay.votes if case.replay else 0)
        nights = count(max(1, lacking), "more night")
        return f"{nights[:1].upper()}{nights[1:]} with a low and a warmth vote would tell."
    if kind == "not_on_record" and case.wishes.alike:
        return (
            "If that is what you meant, note the wish by the candidate’s name (in that trip’s "
            "wished.csv)."
        )
    return _CHANGES[kind]


def _avoided(replay: ColdReplay | None) -> list[str]:
    if replay is None or not replay.cold_votes:
        return []
    every = replay.avoided == replay.cold_votes > 1
    few = f"all {replay.cold_votes}" if every else f"about {replay.avoided} of {replay.cold_votes}"
    nights = f"{few} {'night' if replay.cold_votes == 1 else 'nights'} that felt too cold"
    reach = f"{replay.avoided_least} to {replay.avoided_most}"
    return [f"{nights} would have been warm enough in it (very likely {reach})"]


def _chance(year: ColdYear | None) -> list[str]:
    if year is None:
        return []
    now, then = one_in(year.now), one_in(year.then)
    moves = f"{'falls' if year.then < year.now else 'rises'} from {now} to {then}"
    if now == then:
        moves = f"stays at {now}"
    counted = "a year like the last, with the nights that you would spend in other beds,"
    return [f"the chance of a too cold night in {counted} {moves}"]


def _colder(case: Case) -> str:
    parts = _chance(case.year)
    fewer = rules.fewer_inside(case)
    if fewer > 0:
        nights = f"{count(fewer, 'night')} that the present rating covers"
        parts = [f"{nights} fall below its own", *parts]
    return sentence("; ".join(parts))


def let_go_price(other: Alternative) -> str:
    """How often one of all that could stay at home would be wanted, and how often at most."""
    things = len(other.let_go_names)
    if other.let_go_odds is None:
        return wanted(other.let_go_misses, things)
    return wanted_at_most(other.let_go_odds, things)


def price_of_leaving(names: Sequence[str], misses: float, other: Alternative) -> str:
    """What it may cost to leave these at home, and what is left beside another thing alone."""
    whole = tuple(names) == other.let_go_names
    price = sentence(f"The price: {let_go_price(other) if whole else wanted(misses, len(names))}")
    return " ".join((price, *leave_only_while(names, other.beside)))


def _leaving(case: Case, display: Display) -> str:
    other, own = case.alternative, case.candidate
    price = f" for {money(own.price, own.currency)}" if own.price else ""
    alone = ""
    if other.same_g is not None and other.names and len(other.names) < len(other.let_go_names):
        alone = f" {some(other.names)} alone would save {mass(other.same_g, display)}."
    return (
        f"It saves {mass(case.saved_g, display)}{price}, while {mass(other.let_go_g, display)} "
        f"of your gear could stay at home without spending anything: {some(other.let_go_names)}. "
        f"{price_of_leaving(other.let_go_names, other.let_go_misses, other)}{alone}"
    )


def _heavier(case: Case, display: Display) -> str:
    base, makes = case.base, ""
    if base is not None and base.class_after and base.class_after != base.class_now:
        makes = f", which makes a {base.class_now} base weight {base.class_after}"
    return f"It is {mass(-(case.saved_g or 0), display)} heavier{makes}."


def _failures(case: Case) -> str:
    expected = case.failures
    return (
        f"Over {count(expected.nights, 'night')} about {number(expected.then, 1)} failures are to "
        f"be expected of it, {number(expected.now, 1)} of what it replaces."
    )


def _price(case: Case, display: Display) -> str:
    own, each = case.candidate, ""
    if case.price_per_g is not None and rules.verdict(case) != "beyond_numbers":
        each = f", {price_each(case, display)} for each {unit(display)} saved"
    elif case.price_per_night is not None:
        each = f", {money(case.price_per_night, own.currency, 2)} for each expected night"
    return f"It costs {money(own.price or 0.0, own.currency)}{each}."


def cost(amount: float | None, currency: str | None, decimals: int | None = None) -> str | None:
    """An amount in its currency; None where there is none."""
    return None if amount is None else money(amount, currency, decimals)


def unit(display: Display) -> str:
    """The small weight by which prices are told: gram or ounce."""
    return "gram" if display.mass == "g" else "ounce"


def price_each(case: Case, display: Display) -> str | None:
    """The price for each gram or ounce saved; None where nothing is."""
    if case.price_per_g is None:
        return None
    grams = 1.0 if display.mass == "g" else OZ_G
    return money(case.price_per_g * grams, case.candidate.currency, 2)


def some(names: Sequence[str]) -> str:
    """Names in a row in quotation marks, the rest counted."""
    return quoted(names, at_most=_AT_MOST)
