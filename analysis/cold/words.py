"""Limits and chances of cold in plain words, the same on every page."""

from collections.abc import Sequence
from dataclasses import replace

from ..display.words import (
    SPACE,
    Display,
    Scale,
    count,
    degrees,
    one_in,
    own_limit,
    percent,
    quoted,
    temperature_step,
)
from ..stats.estimate import Estimate
from ..wear.chores import first_try
from ..wear.words import not_mended
from .chance import TooColdChance
from .limit import ColdLimit, SleepSystem
from .mild_words import milder
from .ratings import RATING_KINDS
from .sets import Lacking
from .trips import ColdAhead

RATED_AS = {"comfort": "comfort rating", "limit": "limit rating", "maker": "maker’s rating"}
FEW_JUDGED = 10
"""Under so many judged nights a limit rests on little."""
TAKE_WARMER = 0.1
"""From such a chance of a too cold night on a warmer set that is at home is to come along; as
likely a cold night keeps all that warms on a list (common practice, no published source)."""

TOO_WIDE = 0.5
"""From so wide a range on a chance is told with it, and that it says little."""


def rating(system: SleepSystem, display: Display) -> str:
    """ "comfort rating of 3 °C, taken as a limit of −2 °C"."""
    given = f"{RATED_AS[system.rated_as]} of {degrees(system.rated_low_c, display)}"
    if not RATING_KINDS[system.rated_as].shift_c:
        return given
    return f"{given}, taken as a limit of {degrees(system.as_limit_c, display)}"


def basis(limit: ColdLimit, display: Display) -> str:
    """What a limit rests on: own nights, or the rating and the name of its kind."""
    if limit.mild:
        return f"its {rating(limit.system, display)}: {milder(limit, display)}"
    if limit.basis == "rated":
        with_what = "it alone" if len(limit.system.items) == 1 else "just this set"
        return f"its {rating(limit.system, display)}: you have judged no night in {with_what}"
    own = f"your own limit of {own_limit(limit.own_limit_c.value, display)}"
    nights = count(limit.nights, "judged night")
    if limit.nights < FEW_JUDGED:
        return f"{own}, which rests on only {nights}: too early to say"
    return f"{own} ({nights})"


def chance(ahead: ColdAhead, display: Display) -> str:
    """How likely a night of a trip is too cold, and what that rests on; its chance must be known.

    "How likely it is that at least one of the 5 nights is too cold in “Bag”: about 1 in 20 ...".
    """
    known, limit = ahead.chance, ahead.limit
    if known is None or limit is None:
        raise ValueError("ahead: expected a trip with a chance, got one without")
    nights = len(known.p_each)
    which = "the night is" if nights == 1 else f"at least one of the {nights} nights is"
    return (
        f"How likely it is that {which} too cold in {quoted([limit.system.rated_name])}: "
        f"{one_in(known.p_any.value)} ({percent_range(known.p_any)}), "
        f"going by {basis(limit, display)}."
    )


def chance_of_trip(ahead: ColdAhead) -> str:
    """ "The chance that at least one of its 3 nights is too cold in “Bag” is about 1 in 6".

    It must be known.
    """
    if ahead.told is None or ahead.limit is None:
        raise ValueError("ahead: expected a trip with a chance, got one without")
    nights = len(ahead.told.p_each)
    which = "its night is" if nights == 1 else f"at least one of its {nights} nights is"
    bag = quoted([ahead.limit.system.rated_name])
    return f"The chance that {which} too cold in {bag} is {chance_in_short(ahead)}"


def chance_in_short(ahead: ColdAhead) -> str:
    """The chance in a few words, with what it rests on where that is little; it must be known."""
    if ahead.chance is None:
        raise ValueError("ahead: expected a trip with a chance, got one without")
    told = ahead.chance.p_any
    odds, reach = one_in(told.value), percent_range(told)
    wide = ", too wide to rely on" if told.high - told.low > TOO_WIDE else ""
    if ahead.basis == "rated":
        rests = "That rests on the bag’s rating, not on your nights"
        return f"{odds} (very likely {reach}{wide}). {rests}"
    nights = count(ahead.judged_nights, "judged night")
    if ahead.judged_nights >= FEW_JUDGED:
        return f"{odds} (very likely {reach}{wide}, by {nights})"
    return f"{odds} ({reach}) by only {nights}, too early to say"


def chance_that(told: TooColdChance, limit: ColdLimit) -> str:
    """ "about 6 in 10 (very likely 33 % to 81 %) that at least one night is too cold in “Bag”"."""
    which = "the night" if len(told.p_each) == 1 else "at least one night"
    odds = one_in(told.p_any.value)
    odds = f"a chance {odds}" if odds.startswith("rarer") else odds
    odds = f"{odds} (very likely {percent_range(told.p_any)})"
    return f"{odds} that {which} is too cold in {quoted([limit.system.rated_name])}"


def warmer_set(ahead: ColdAhead) -> tuple[str, str] | None:
    """The name of the warmest set that is owned, and its chance; None where it is no warmer."""
    best = next((one for one in ahead.sets if one.told is not None), None)
    if ahead.told is None or ahead.limit is None or best is None or best.told is None:
        return None
    odds, bag = one_in(best.told.p_any.value), best.limit.system.rated_name
    less = best.told.p_any.value < ahead.told.p_any.value
    if not less or odds == one_in(ahead.told.p_any.value) or bag == ahead.limit.system.rated_name:
        return None
    return quoted([bag]), odds


def in_warmer_set(ahead: ColdAhead) -> str:
    """The same after a blank; blank where none is warmer, or nothing is known of the list's."""
    warmer = in_warmest_owned(ahead) if warmer_set(ahead) is not None else ""
    return f" {warmer}" if warmer else ""


def warmer_to_take(ahead: ColdAhead) -> str | None:
    """The name of a warmer set at home that is to come along; None where the list's will do.

    What a list lacks a mat for, or has broken, is judged as if it were whole: it is no warmer.
    """
    judged = _as_whole(ahead)
    best = next((one for one in judged.sets if one.told is not None), None)
    if warmer_set(judged) is None or best is None or best.on_list or judged.told is None:
        return None
    likely = judged.told.p_any.value >= TAKE_WARMER
    return best.limit.system.rated_name if likely else None


def _as_whole(ahead: ColdAhead) -> ColdAhead:
    """The same trip as if its list lacked nothing and all of it were sound."""
    if ahead.told is not None or ahead.if_whole is None:
        return ahead
    return replace(ahead, chance=ahead.if_whole, lacking=(), unmended=())


def in_warmest_owned(ahead: ColdAhead) -> str:
    """The same with its range and what it rests on, also where nothing is known of the list's.

    "Take your own “Bag”: in it about 1 in 30 (very likely 1 % to 9 %), by its rating."
    Where the list's will do: "In your own “Bag” it would be ...".
    """
    best = next((one for one in ahead.sets if one.told is not None), None)
    if best is None or best.told is None or best.on_list:
        return ""
    if ahead.told is not None and warmer_set(ahead) is None:
        return ""
    rests = "by its rating" if best.limit.basis == "rated" else ""
    if best.limit.basis == "own":
        rests = f"by {count(best.limit.nights, 'judged night')}"
    bag, odds = quoted([best.limit.system.rated_name]), one_in(best.told.p_any.value)
    reach = percent_range(best.told.p_any)
    of_it = f"would be {odds} (very likely {reach}), {rests}."
    if warmer_to_take(ahead) is not None:
        return f"Take your own {bag}: in it {of_it.removeprefix('would be ')}"
    return f"In your own {bag} it {of_it}"


def warmer_than_whole(ahead: ColdAhead) -> str:
    """The warmest set at home where a list is barred of any chance, and would be colder whole.

    A list that lacks a mat, or on which something is broken, has no chance of its own; what it
    would be with nothing lacking and all sound is what the set at home must be warmer than. Blank
    where it is not, or not at home.
    """
    best = next((one for one in ahead.sets if one.told is not None), None)
    if ahead.told is not None or ahead.if_whole is None or best is None or best.told is None:
        return ""
    same = ahead.bedding is not None and best.limit.system.rated_item in ahead.bedding.items
    odds, whole = best.told.p_any.value, ahead.if_whole.p_any.value
    if same or odds >= whole or one_in(odds) == one_in(whole):
        return ""
    return in_warmest_owned(ahead)


def rests_on_little(ahead: ColdAhead) -> str:
    """That a chance rests on a rating or on few nights; blank where it rests on many."""
    if ahead.basis == "rated":
        return "That rests on the bag’s rating, not on your nights."
    if ahead.judged_nights >= FEW_JUDGED:
        return ""
    return f"That rests on only {count(ahead.judged_nights, 'judged night')}: too early to say."


def chance_sentences(ahead: ColdAhead, display: Display) -> tuple[str, ...]:
    """The chance, then what it would be by the normals alone where camps were colder than these."""
    camps = ahead.camps
    if camps is None or not camps.colder or ahead.by_normals is None:
        return (chance(ahead, display),)
    step = temperature_step(display)
    return (
        chance(ahead, display),
        f"Your camps were colder than such normals, so the nights are taken to be "
        f"{step.text(-camps.taken_c)} colder. By the normals alone the chance would be "
        f"{one_in(ahead.by_normals)}.",
    )


def lacking_sentences(missing: Sequence[Lacking]) -> tuple[str, ...]:
    """What a list lacks of the sets that were slept in; nothing where it lacks nothing."""
    sentences = []
    for one in missing:
        if one.thing is None:
            sentences.append("Nothing on the list is known to lie under you.")
            continue
        name = f"“{one.thing.name}”"
        why = {
            "left_out": "is not on the list",
            "given_up": "was given up since",
            "given_up_on_list": "is on the list although it was given up",
        }.get(one.why, "")
        if one.is_mat and one.why == "left_out":
            sentences.append("No mat is on the list.")
        else:
            first = "No mat comes along" if one.is_mat else "The sleep set is not complete"
            sentences.append(f"{first}: {name} {why}.")
        if one.successor is not None:
            sentences.append(f"What took over from it, “{one.successor}”, is not on the list.")
    return tuple(sentences)


def lacking_notes(missing: Sequence[Lacking]) -> tuple[str, ...]:
    """On how many nights what a list lacks was along; nothing where no night is known."""
    notes = []
    for one in missing:
        if not one.of_nights or one.thing is None:
            continue
        where = f" in “{one.rated_name}”" if one.rated_name is not None else ""
        of = count(one.of_nights, "night")
        note = f"“{one.thing.name}” was along on {one.nights} of the {of}{where}"
        if one.apart:
            verb = "is" if one.apart == 1 else "are"
            note += f" ({one.apart} more, when gear had failed, {verb} not counted)"
        notes.append(f"{note}.")
    return tuple(notes)


def barred_sentences(ahead: ColdAhead) -> tuple[str, ...]:
    """Why no chance is told for a list that lacks a mat or relies on what is broken; else nothing.

    That one will be colder stands after it, then the chance with a sound and complete set, and
    what to do.
    """
    lacks = lacking_sentences(ahead.lacking)
    broken = [not_mended(one, quoted([one.name])) for one in ahead.unmended]
    return (*lacks, *broken, if_whole(ahead)) if lacks or broken else ()


def colder_than_known(ahead: ColdAhead) -> str:
    """That without what it lacks, or in what is broken, one will be colder than any figure."""
    lacks = ahead.lacking
    told = ahead.basis == "own" or any(one.of_nights for one in lacks)
    than = "your record can say" if told else "a rating can say"
    mats = bool(lacks) and all(one.is_mat for one in lacks)
    without = "Without a mat" if any(one.thing is None for one in lacks) else "Without one"
    return (
        f"{without if mats else 'As it is'} you {'will' if mats else 'may'} be colder than {than}."
    )


def if_whole(ahead: ColdAhead) -> str:
    """That one will be colder as it is, the chance if nothing were lacking or broken, what to do.

    The list must lack something, or rely on something broken.
    """
    lacks, broken = ahead.lacking, ahead.unmended
    mats = bool(lacks) and all(one.is_mat for one in lacks)
    sentences = [colder_than_known(ahead)]
    pack = [
        one.successor or (one.thing.name if one.thing and one.why == "left_out" else "")
        for one in lacks
    ]
    names = quoted([name for name in pack if name])
    if ahead.if_whole is not None:
        if broken:
            with_what = "With a complete and sound set" if lacks else "With it sound"
        elif mats and len(lacks) == 1 and lacks[0].thing and not lacks[0].successor:
            bed = ahead.bedding.names if ahead.bedding is not None else ()
            with_what = f"With {quoted([lacks[0].thing.name, *bed], at_most=4)}"
        else:
            with_what = "With a sound mat" if mats else "With a complete set"
        sentences.append(f"{with_what} {_would_be(ahead.if_whole)}.")
    if ahead.to_try:
        sentences += [first_try(each, quoted([each.name])) for each in ahead.to_try]
        if ahead.if_whole is not None:
            sentences.append("These odds are for one that holds.")
    if lacks:
        sound = "a sound mat" if mats else "what is sound in its place"
        sentences.append(f"Pack {names if all(pack) else sound}.")
    if broken:
        sentences.append("Mend what is broken, or take another.")
    return " ".join(sentences)


def with_what_it_lacks(ahead: ColdAhead) -> str:
    """ "with a sound mat": with what a chance is judged of a list without; blank if it is whole."""
    if ahead.unmended:
        return "with a complete and sound set" if ahead.lacking else "once it is mended"
    if not ahead.lacking:
        return ""
    mats = all(one.is_mat for one in ahead.lacking)
    return "with a sound mat" if mats else "with a complete set"


def _would_be(chance: TooColdChance) -> str:
    """ "the chance that at least one night is too cold would be about 1 in 6 (2 to 40 in 100)"."""
    which = "the night" if len(chance.p_each) == 1 else "at least one night"
    odds = one_in(chance.p_any.value)
    if odds.startswith("about"):
        odds = f"{odds} ({hundred_range(chance.p_any)})"
    return f"the chance that {which} is too cold would be {odds}"


def span(scale: Scale, estimate: Estimate) -> str:
    """ "3 to 8 °C"."""
    return f"{scale.number(estimate.low)} to {scale.text(estimate.high)}"


def hundred_range(chance: Estimate) -> str:
    """ "2 to 40 in 100", "under 1 to 19 in 100"."""
    low, high = (
        "under 1" if end < 0.005 else f"{100 * end:.0f}" for end in (chance.low, chance.high)
    )
    return f"{low} to {high} in 100"


def percent_range(chance: Estimate) -> str:
    """ "under 1 % to 19 %": an end that rounds to nothing is no nothing."""
    ends = (chance.low, chance.high)
    low, high = (f"under 1{SPACE}%" if end < 0.005 else percent(end) for end in ends)
    return f"{low} to {high}"
