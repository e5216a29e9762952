"""Why a thing must not be advised against, and what its owner may say about it, in plain words."""

from collections.abc import Mapping

from ...tripdata.contract import ESSENTIAL_SYSTEMS
from ..display.thing_names import listed
from ..display.words import Display, count, day, sentence
from .guard_words import keeps_a_boat_safe, may_protect
from .items import Item, ItemUsage
from .keep_rules import FEWEST_JUDGED, OPEN_SYSTEMS, Hold, HoldWhy
from .trip_range import Outside

_FEW = ("no", "one", "two", "three", "four", "five")[FEWEST_JUDGED]
_REASONS: Mapping[HoldWhy, str] = {
    "given_up": "given up on {given_up_on}",
    "insurance": "insurance, carried in the hope of not needing it",
    "essential": "essential, so never left at home on the numbers alone",
    "borrowed": "borrowed from {owner}, so not yours to leave",
    "bound": "it goes with {trips}, and some of your trips were such trips, or may have been",
    "not_stated": "you have not said what it is for, and staying packed does not prove that it is "
    "never needed",
    "occasion_unseen": "{unseen}, too few to tell",
    "outside": "its record does not reach as far: “{by}” {how}",
    "too_cold_before": "it may keep you warm, and at least one in ten of the nights that you "
    "judged was too cold",
    "too_cold_ahead": "it may keep you warm, and the chance of a too cold night on “{by}” is over "
    "one in ten",
    "bed_wanting": "it may keep you warm, and what you sleep in on “{by}” lacks something or is "
    "not mended",
    "few_nights_judged": "it is meant for cold, and you judged the warmth of fewer than {few} "
    "nights",
    "needed": "{users} cannot do without it",
    "packed": "it was the bag of {contents}",
}
_REVERSALS: Mapping[HoldWhy, str] = {
    "given_up": "",
    "insurance": "Only your own word: insurance = no in gear.csv.",
    "essential": "Only your own word: essential = no in gear.csv.",
    "borrowed": "Giving it back.",
    "bound": "Nothing, as long as trips with that vehicle are among those looked back on.",
    "occasion_unseen": "{seeing}",
    "outside": "A trip like “{by}” on which it stays packed.",
    "too_cold_before": "It stays as long as at least one in ten of the nights that you judged was "
    "too cold.",
    "too_cold_ahead": "A warmer bed for “{by}”.",
    "bed_wanting": "A complete and sound bed on the list of “{by}”.",
    "few_nights_judged": "Noting in comfort.csv how warm you slept (warmth) on {few} nights or "
    "more.",
    "packed": "It stays as long as something travels in it.",
}
_PROTECTING = frozenset(
    (
        *ESSENTIAL_SYSTEMS,
        *("clothing", "light", "navigation", "food", "cook", "first_aid", "safety", "fire"),
    )
)
"""What keeps warm, dry, lit, found, fed or healed: of it no page says how to let it go."""
_OUTSIDE: Mapping[Outside, str] = {
    "mode": "is travelled in a way of which {whose} record knows nothing",
    "mode_not_noted": "does not say in trip.csv how it is travelled (mode)",
    "month": "is at a time of year of which {whose} record knows nothing",
    "nights": "has more nights than any trip of {whose} record",
    "low": "is usually colder than the coldest night of {whose} record",
    "low_not_known": "may be colder than any night of {whose} record: not all lows are known",
}
_UNSEEN = {
    "rain": "it is known of {trips} with it that there was rain",
    "shelter": "it is known of {trips} with it that there was rain and a night out",
    "sleep": "{trips} with it had a night out",
}
_SEEING = {
    "rain": "Saying that it is for rain (meant_for = wet in gear.csv), and more wet trips on which "
    "it stays packed, noted in weather.csv.",
    "shelter": "Saying which days it is for (meant_for in gear.csv), and more wet nights on which "
    "it stays packed, noted in weather.csv.",
}
_WEATHER = ("cold", "wet")
_TRIPS = {"bike": "trips by bike", "boat": "trips by boat"}
_NO = "essential = no, if its record alone may decide"


def hold_sentence(used: ItemUsage, held: Hold) -> str:
    """Return why it must not be advised against, in one sentence."""
    return sentence(hold_reason(used, held))


def hold_reason(used: ItemUsage, held: Hold) -> str:
    """Return the same without capital and full stop."""
    about = used.about
    return _REASONS[held.why].format(
        given_up_on=day(about.retired_on, weekday=False),
        owner=about.owner,
        trips=_TRIPS.get(about.system, "trips by bike or boat"),
        by=held.by[0] if held.by else "",
        how=beyond(held.how),
        few=_FEW,
        unseen=_UNSEEN.get(about.system, "its use is known of {trips}").format(
            trips=count(used.occasions, "trip") if used.occasions else "no trip"
        ),
        users=listed(held.by),
        contents=listed(held.by[:3]) or "things that stay",
    )


def beyond(how: Outside | None, whose: str = "its") -> str:
    """Return how a trip to come lies outside of what was seen: "has more nights than ..."."""
    return _OUTSIDE[how or "month"].format(whose=whose)


def question(about: Item) -> str:
    """Return the one question whose answer would settle what a thing is for."""
    if about.system in OPEN_SYSTEMS:
        return "How bad is it to go without it?"
    if about.system == "clothing":
        return "Is it for cold nights, for rain, or not essential at all?"
    if about.system == "cook":
        return "Can you cook, eat and drink as well without it?"
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
    if about.system == "cook":
        return f"{_NO}; or meant_for = a word that you use in weather.conditions"
    return f"meant_for = wet, cold or a word that you use in weather.conditions; or {_NO}"


def as_long_as(users: tuple[str, ...]) -> str:
    """Return that a thing stays while what needs it does, by the names of that."""
    verb = "comes" if len(users) == 1 else "come"
    return f"It stays as long as {listed(users)} {verb} along."


def hold_reversal(about: Item, held: Hold, display: Display) -> str:
    """Return what would end its being held back, in one sentence; empty for what is given up."""
    if held.why == "not_stated":
        return f"{question(about)} In gear.csv: {typing(about, display)}."
    if held.why == "needed":
        return as_long_as(held.by)
    if held.why == "packed" and not held.by:
        return "Nothing that is known."
    if held.why in ("insurance", "essential") and protects(about):
        return "It stays."
    seeing = _SEEING.get(about.system, "More trips on which it stays packed.")
    return _REVERSALS[held.why].format(by=held.by[0] if held.by else "", few=_FEW, seeing=seeing)


def protects(about: Item) -> bool:
    """Whether it keeps warm, dry, lit, found, fed, healed or afloat, by system, purpose or name."""
    by_name = may_protect(about.item, about.name) or keeps_a_boat_safe(about.item, about.name)
    return about.system in _PROTECTING or not about.meaning.words.isdisjoint(_WEATHER) or by_name


def let_go_word(about: Item) -> str:
    """Return the word of its owner by which the record may let a thing go; blank where none is.

    What it is meant for, where that is said, is told elsewhere.
    """
    if about.meaning.words:
        return ""
    if about.essential_stated is False:
        return "you said that it is not essential"
    if about.going_without is not None:
        how = "an annoyance" if about.going_without <= 1 else f"{about.going_without:g} of 10"
        return f"you said that going without is {how}"
    return "leisure" if about.system == "leisure" else ""
