"""Why a thing must not be advised against, and what its owner may say about it, in plain words."""

from ..display.thing_names import listed
from ..display.words import Display, day, sentence
from .items import Item, ItemUsage
from .keep_rules import FEWEST_JUDGED, OPEN_SYSTEMS, Hold
from .trip_range import Outside

_OUTSIDE = {
    "mode": "is travelled in a way of which {whose} record knows nothing",
    "mode_not_noted": "does not say in trip.csv how it is travelled (mode)",
    "month": "is at a time of year of which {whose} record knows nothing",
    "nights": "has more nights than any trip of {whose} record",
    "low": "is usually colder than the coldest night of {whose} record",
    "low_not_known": "may be colder than any night of {whose} record: not all lows are known",
}
_NO = "essential = no, if its record alone may decide"


def hold_sentence(used: ItemUsage, held: Hold) -> str:
    """Return why it must not be advised against, in one sentence."""
    return sentence(hold_reason(used, held))


def hold_reason(used: ItemUsage, held: Hold) -> str:
    """Return the same without capital and full stop."""
    about = used.about
    match held.why:
        case "given_up":
            return f"given up on {day(about.retired_on, weekday=False)}"
        case "insurance":
            return "insurance, carried in the hope of not needing it"
        case "essential":
            return "essential, so never left at home on the numbers alone"
        case "borrowed":
            return f"borrowed from {about.owner}, so not yours to leave"
        case "bound":
            return f"it goes with {_vehicle(about)}, and some of these trips were, or may have been"
        case "not_stated":
            return (
                "you have not said what it is for, and staying packed does not prove that it is "
                "never needed"
            )
        case "outside":
            return f"its record does not reach as far: “{held.by[0]}” {beyond(held.how)}"
        case "too_cold_before":
            return (
                "it may keep you warm, and at least one in ten of the nights that you judged was "
                "too cold"
            )
        case "too_cold_ahead":
            return (
                f"it may keep you warm, and the chance of a too cold night on “{held.by[0]}” is "
                "over one in ten"
            )
        case "few_nights_judged":
            return f"it is meant for cold, and you judged the warmth of fewer than {_FEW} nights"
        case "needed":
            return f"{listed(held.by)} cannot do without it"
    if not held.by:
        return "it was the bag of things that stay"
    return f"it was the bag of {listed(held.by[:3])}"


_FEW = ("no", "one", "two", "three", "four", "five")[FEWEST_JUDGED]


def _vehicle(about: Item) -> str:
    ways = {"bike": "trips by bike", "boat": "trips by boat"}
    return ways.get(about.system, "trips by bike or boat")


def beyond(how: Outside | None, whose: str = "its") -> str:
    """Return how a trip to come lies outside of what was seen: "has more nights than ..."."""
    return _OUTSIDE[how or "month"].format(whose=whose)


def question(about: Item) -> str:
    """Return the one question whose answer would settle what a thing is for."""
    if about.system in OPEN_SYSTEMS:
        return "How bad is it to go without it?"
    if about.system == "clothing":
        return "Is it for cold nights, for rain, or not essential at all?"
    return "Which days is it for?"


def typing(about: Item, display: Display) -> str:
    """Return what its owner may type in its row of gear.csv to answer that."""
    if about.system in OPEN_SYSTEMS:
        return f"going_without = 1, an annoyance, up to 10, danger; or {_NO}"
    if about.system == "clothing":
        return (
            f"meant_for = cold with cold_below_{display.temperature}, the night low under which "
            f"you want it; meant_for = wet; or {_NO}"
        )
    return f"meant_for = wet, cold or a word that you use in weather.conditions; or {_NO}"


def settling(about: Item, display: Display) -> str:
    """Return the question and what to type."""
    return f"{question(about)} In gear.csv: {typing(about, display)}."


def hold_reversal(about: Item, held: Hold, display: Display) -> str:
    """Return what would end its being held back, in one sentence; empty for what is given up."""
    match held.why:
        case "given_up":
            return ""
        case "insurance":
            return "Only you: insurance = no in gear.csv."
        case "essential":
            return "Only you: essential = no in gear.csv."
        case "borrowed":
            return "Giving it back."
        case "bound":
            return "Nothing, as long as trips of that kind are looked back on."
        case "not_stated":
            return settling(about, display)
        case "outside":
            return f"A trip like “{held.by[0]}” on which it stays packed."
        case "too_cold_before":
            return "Warmer nights: fewer than one in ten too cold."
        case "too_cold_ahead":
            return f"A warmer bed for “{held.by[0]}”."
        case "few_nights_judged":
            return f"Noting in comfort.csv how warm you slept (warmth) on {_FEW} nights or more."
        case "needed":
            verb = "comes" if len(held.by) == 1 else "come"
            return f"It stays as long as {listed(held.by)} {verb} along."
    return "It stays as long as something travels in it." if held.by else "Nothing that is known."
