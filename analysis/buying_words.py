"""How the case for a candidate is told: verdict, the strongest reasons, what would change it."""

from collections.abc import Sequence

from tarebook.analysis import buying_verdict as rules
from tarebook.analysis.buying_results import Case, ColdReplay, ColdYear, Verdict
from tarebook.analysis.words import (
    Display,
    count,
    listing,
    mass,
    number,
    one_in,
    percent,
    sentence,
    temperature,
)

NOTHING_FOR = "nothing that this record can see"
_AT_MOST = 4


def money(amount: float, currency: str | None, decimals: int | None = None) -> str:
    """An amount in its currency as given: 300 USD, 3.33 USD."""
    places = decimals if decimals is not None else 0 if amount == round(amount) else 2
    figure = number(amount, places)
    return f"{figure} {currency}" if currency else figure


def heading(case: Case, display: Display) -> str:
    """The verdict in a few words."""
    kind = rules.verdict(case)
    if kind == "changes_nights":
        replay = case.replay
        if replay is not None and replay.avoided:
            spared = f"{replay.avoided} of your {count(replay.cold_votes, 'cold night')}"
            return f"Would have spared {spared}"
        return "Makes a cold night clearly less likely"
    if kind == "leave_first":
        grams = mass(case.alternative.let_go_g, display)
        return f"Not yet: leave {grams} at home first, for nothing"
    words: dict[Verdict, str] = {
        "matter_of_price": "A matter of price",
        "not_on_record": "Nothing in your record speaks for it",
        "too_early": "Too early to tell",
        "beyond_numbers": "Safety gear: not decided by numbers",
    }
    return words[kind]


def reason_for(case: Case, display: Display) -> str:
    """The strongest reason for it."""
    found = reasons_for(case, display)
    return found[0] if found else sentence(NOTHING_FOR)


def reasons_for(case: Case, display: Display) -> list[str]:
    """Reasons for it, the strongest first."""
    found = []
    if rules.spares_cold(case):
        found.append(sentence("; ".join([*_avoided(case.replay), *_chance(case.year)])))
    if case.saved_g is not None and case.saved_g > 0:
        part = ""
        if case.base is not None and case.base.now_g > 0:
            share = case.saved_g / case.base.now_g
            part = f", {percent(share)} of a base weight of {mass(case.base.now_g, display)}"
            part = part if share >= 0.005 else ""
        found.append(f"It saves {mass(case.saved_g, display)}{part}.")
    if rules.fails_less(case):
        found.append(_failures(case))
    replaced = [r for r in case.replaced if r.cost_per_night is not None]
    if len(replaced) == 1 and case.price_per_night is not None:
        before = replaced[0].cost_per_night or 0.0
        same = replaced[0].currency == case.candidate.currency
        if same and case.price_per_night < before:
            found.append(
                f"{money(case.price_per_night, case.candidate.currency, 2)} an expected night is "
                f"less than the {money(before, replaced[0].currency, 2)} that {replaced[0].name} "
                "cost a night so far."
            )
    return found


def reason_against(case: Case, display: Display) -> str:
    """The strongest reason against it."""
    found = reasons_against(case, display)
    return found[0] if found else "Nothing that this record can see, but its price is not given."


def reasons_against(case: Case, display: Display) -> list[str]:
    """Reasons against it, the strongest first."""
    found = []
    if rules.colder(case):
        found.append(_colder(case))
    if rules.leaving_does(case):
        found.append(_leaving(case, display))
    if case.saved_g is not None and case.saved_g < 0:
        found.append(_heavier(case, display))
    holds = [r.capacity_wh for r in case.replaced if r.capacity_wh is not None]
    own = case.candidate.capacity_wh
    if holds and own is not None and own < sum(holds):
        found.append(f"It holds {number(own)} Wh instead of {number(sum(holds))} Wh.")
    if case.candidate.price:
        found.append(_price(case))
    if case.saved_g is None:
        found.append(sentence(case.missing.get("weight_saved_g", "not weighed")))
    return found


def reversal(case: Case, display: Display) -> str:
    """What would change the verdict."""
    kind = rules.verdict(case)
    if kind == "leave_first":
        return (
            "When those things stay at home, or are used, the "
            f"{mass(case.saved_g, display)} are a matter of price: ask again then."
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
    if kind == "matter_of_price":
        return "A lower price, more nights with it, or less of it to carry for something else."
    if kind == "too_early":
        if case.saved_g is None:
            return "A scale: " + case.missing.get("weight_saved_g", "not weighed") + "."
        lacking = rules.FEWEST_VOTES - (case.replay.votes if case.replay else 0)
        nights = count(max(1, lacking), "more night")
        return f"{nights[:1].upper()}{nights[1:]} with a low and a warmth vote would tell."
    if kind == "beyond_numbers":
        return "Advice from those who know the danger it is for, and local rules."
    if rules.colder(case):
        return "Milder trips: it is for nights warmer than yours were."
    return (
        "What the record cannot see: company, room, pleasure. A note on trips where that was "
        "missed (wished.csv) would."
    )


def _avoided(replay: ColdReplay | None) -> list[str]:
    if replay is None or not replay.cold_votes:
        return []
    spared = f"about {replay.avoided} of {count(replay.cold_votes, 'night')} that felt too cold"
    spread = f"{replay.avoided_least} to {replay.avoided_most}"
    return [f"{spared} would not have been in it (very likely {spread})"]


def _chance(year: ColdYear | None) -> list[str]:
    if year is None:
        return []
    if one_in(year.now) == one_in(year.then):
        parts = f"stays at {one_in(year.now)}"
    else:
        verb = "falls" if year.then < year.now else "rises"
        parts = f"{verb} from {one_in(year.now)} to {one_in(year.then)}"
    return [f"the chance of a too cold night in a year like the last {parts}"]


def _colder(case: Case) -> str:
    parts = []
    more = rules.fewer_inside(case)
    if more > 0:
        parts.append(f"{count(more, 'night')} that the present rating covers fall below its own")
    return sentence("; ".join([*parts, *_chance(case.year)]))


def _leaving(case: Case, display: Display) -> str:
    other, own = case.alternative, case.candidate
    price = f" for {money(own.price, own.currency)}" if own.price else ""
    told = (
        f"It saves {mass(case.saved_g, display)}{price}, while "
        f"{mass(other.let_go_g, display)} of things that your record lets go stay in the bags: "
        f"{named(other.let_go_names)}. Leaving them costs nothing"
    )
    if other.same_g is not None and other.names and len(other.names) < len(other.let_go_names):
        told += f"; {named(other.names)} alone saves {mass(other.same_g, display)}"
    return told + "."


def _heavier(case: Case, display: Display) -> str:
    told = f"It is {mass(-(case.saved_g or 0), display)} heavier"
    base = case.base
    if base is not None and base.class_after and base.class_after != base.class_now:
        told += f", which makes a {base.class_now} base weight {base.class_after}"
    return told + "."


def _failures(case: Case) -> str:
    expected = case.failures
    return (
        f"Over {number(expected.nights)} nights {number(expected.then, 1)} failures are to be "
        f"expected of it, {number(expected.now, 1)} of what it replaces."
    )


def _price(case: Case) -> str:
    own = case.candidate
    told = f"It costs {money(own.price or 0.0, own.currency)}"
    if case.price_per_g is not None:
        told += f", {money(case.price_per_g, own.currency, 2)} for each gram saved"
    elif case.price_per_night is not None:
        told += f", {money(case.price_per_night, own.currency, 2)} for each expected night"
    return told + "."


def named(names: Sequence[str]) -> str:
    """Names in a row, the rest counted."""
    return listing(list(names), at_most=_AT_MOST)
