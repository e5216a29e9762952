"""What is said of a list that is empty, not all weighed, or over its owner's limits."""

from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

from ...tripdata.names import folded
from ..display.thing_names import named
from ..display.words import (
    Display,
    Scale,
    count,
    large_mass,
    listing,
    mass,
    mass_apart,
    small_mass,
)
from .bags import BagLoad, Bags, VehicleLoad
from .results import WeighUp

StaysByBag = Mapping[str, Sequence[tuple[str, int]]]
"""What of each bag could stay at home: names and mg, the heaviest first, by the bag's name."""
NOTHING_STAYS: StaysByBag = MappingProxyType({})


_UNEVEN = 0.1


def total_scale(display: Display) -> Scale:
    """The scale of base weights and other totals: lb, as in the sentences, or g."""
    return large_mass(display) if display.mass == "oz" else small_mass(display)


def fixed_words(systems: Iterable[str]) -> str:
    """What is carried as vehicle, by its systems: "the bike and what is fixed to it"."""
    found = sorted({"bike", "boat"}.intersection(systems))
    if len(found) == 2:
        return "bike, boat and what is fixed to them"
    return f"the {found[0]} and what is fixed to it" if found else "what is fixed to bike or boat"


def nothing(weighed: WeighUp) -> str:
    """Why there is nothing to weigh."""
    if weighed.left_out:
        return "Everything on the list is left out, as you asked."
    if weighed.trip is None:
        return "There is nothing to weigh yet: nothing in gear.csv is yours."
    return (
        f"There is nothing to weigh yet: nothing on the list of “{weighed.trip.title}” is with you "
        "at its start."
    )


def not_weighed(weighed: WeighUp) -> tuple[str, ...]:
    """What is missing in the sums, a sentence each."""
    sentences = []
    if names := weighed.unweighed:
        verb = "is" if len(names) == 1 else "are"
        sentences.append(
            f"{named(names)} {verb} not weighed, so sums read “at least”. Put the weight into "
            "gear.csv."
        )
    if weighed.unread:
        verb = "is" if weighed.unread == 1 else "are"
        sentences.append(
            f"{count(weighed.unread, 'row')} of its list could not be read and {verb} missing in "
            "all sums."
        )
    return tuple(sentences)


def limit_words(bags: Bags, display: Display, stays: StaysByBag = NOTHING_STAYS) -> list[str]:
    """Which bags hold more than their owner's limit, and that a rack carries the bag, too.

    ``stays``: what of a bag could stay at home, by its name in lower case: that is named first, and
    that it counts as listed is said.
    """
    sentences = []
    for load in bags.loads:
        if load.limit_mg is None or not (load.over_mg or load.over_with_itself):
            continue
        limit = mass(load.limit_mg / 1000, display)
        # As its heading has it.
        name = f"{load.name[:1].upper()}{load.name[1:]}"
        holds = f"“{name}” holds {mass(load.contents_mg / 1000, display)} without its own weight"
        if folded(load.name) in stays:
            holds = f"{holds} as listed"
        if load.over_mg:
            over = mass_apart(load.contents_mg / 1000, load.limit_mg / 1000, display)
            sentences.append(f"{holds}, {over} over your limit of {limit}.")
        else:
            whole = mass((load.contents_mg + (load.itself_mg or 0)) / 1000, display)
            sentences.append(f"{holds} and {whole} with it: over your limit of {limit} on a rack.")
        sentences += _may_move(load, display, stays.get(folded(load.name), ()))
    return [*sentences, "A rack’s limit includes the bag."] if sentences else []


def _may_move(load: BagLoad, display: Display, stays: Sequence[tuple[str, int]]) -> list[str]:
    """What of a bag over its limit could stay at home, then what may ride in another one."""
    home = {name for name, _ in stays}
    ways = {
        "Could stay at home": stays,
        "Could move to another bag": [each for each in load.may_move if each[0] not in home],
    }
    return [
        f"{way}: {listing([f'“{name}” ({mass(mg / 1000, display)})' for name, mg in things])}."
        for way, things in ways.items()
        if things
    ]


def sides_words(one: BagLoad, other: BagLoad, display: Display) -> str:
    """Which of two bags of a pair holds more, and by how much, as their weights are shown."""
    lower = " at least" if one.unweighed or other.unweighed else ""
    difference = _apart(one, other, display)
    if not difference:
        return f"“{one.name}” and “{other.name}” hold{lower} the same."
    heavy, light = (one, other) if one.contents_mg > other.contents_mg else (other, one)
    return _more_in(heavy, light, mass(difference, display))


def uneven_sides(pairs: Iterable[tuple[BagLoad, BagLoad]], display: Display) -> list[str]:
    """Of each pair whose sides differ by more than a tenth of the heavier one, by how much.

    From there on it is told, which limits nothing (common practice, no published source). A side
    is its contents, with the bag itself where that is weighed; from 1 kg or 1 lb on what is told is
    the difference of what is shown of them.
    """
    sentences = []
    for pair in pairs:
        light, heavy = sorted(pair, key=_side_mg)
        light_mg, heavy_mg = _side_mg(light), _side_mg(heavy)
        if heavy_mg - light_mg > _UNEVEN * heavy_mg:
            apart = mass_apart(heavy_mg / 1000, light_mg / 1000, display)
            bare = light.itself_mg is None and heavy.itself_mg is None
            sentences.append(_more_in(heavy, light, apart, "holds" if bare else "weighs"))
    return sentences


def _more_in(heavy: BagLoad, light: BagLoad, apart: str, verb: str = "holds") -> str:
    """That one side holds or weighs more, as far as all of both is weighed."""
    if light.unweighed or heavy.unweighed:
        return (
            f"What is weighed in “{heavy.name}” is {apart} more than in “{light.name}”; not all of "
            "it is weighed."
        )
    return f"“{heavy.name}” {verb} {apart} more than “{light.name}”."


def _side_mg(load: BagLoad) -> int:
    return load.contents_mg + (load.itself_mg or 0)


def _apart(one: BagLoad, other: BagLoad, display: Display) -> float:
    """How much two bags differ, in g, as their weights are shown."""
    scale = total_scale(display)
    return abs(scale.difference(one.contents_mg / 1000, other.contents_mg / 1000))


def vehicle_words(each: VehicleLoad, display: Display) -> str:
    """What is packed on a bike or boat beside its owner's limit."""
    over = each.packed_mg - each.limit_mg
    apart = mass_apart(each.packed_mg / 1000, each.limit_mg / 1000, display)
    how = f"{apart} {'over' if over > 0 else 'under'}" if over else "just at"
    itself = f" and “{each.itself}”" if each.itself else ""
    return (
        f"All but what is worn{itself} weighs {mass(each.packed_mg / 1000, display)}: {how} your "
        f"limit of {mass(each.limit_mg / 1000, display)} for the {each.vehicle}."
    )


def over_limits(bags: Bags, display: Display, stays: StaysByBag = NOTHING_STAYS) -> tuple[str, ...]:
    """What is over its owner's limit: bags, then a bike or boat; ``stays`` as in `limit_words`."""
    vehicles = [each for each in bags.vehicles if each.packed_mg > each.limit_mg]
    return (
        *limit_words(bags, display, stays),
        *(vehicle_words(each, display) for each in vehicles),
    )


def borrowed(weighed: WeighUp, display: Display) -> tuple[str, ...]:
    """What is somebody else's and does not count, with its weight, in a sentence."""
    if not weighed.borrowed:
        return ()
    names = named(list(dict.fromkeys(row.name for row in weighed.borrowed)))
    verb = "is" if len(weighed.borrowed) == 1 else "are"
    known = [row.row_mg for row in weighed.borrowed if row.row_mg is not None]
    lower = len(known) < len(weighed.borrowed)
    weight = f" ({mass(sum(known) / 1000, display, at_least=lower)})" if known else ""
    return (f"{names} {verb} borrowed and not counted{weight}.",)
