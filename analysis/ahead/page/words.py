"""Sentences on a trip to come: amounts, batteries, weather, weights."""

from collections.abc import Sequence

from ...cold import words as cold_words
from ...cold.camps import CampsOff
from ...cold.mild_words import milder
from ...cold.trips import ColdAhead, SetAhead
from ...display.thing_names import in_marks
from ...display.words import (
    Display,
    count,
    days,
    degrees,
    listing,
    months,
    number,
    one_in,
    own_limit,
    quoted,
    sentence,
    temperature,
    thing_mass,
)
from ...store.scope import by_mode
from ...usage.missing_odds import wanted_at_most
from ...usage.verdict_words import leave_only_while, only_while
from ...wear.unmended import Unmended
from ...wear.words import not_mended
from ..before_trip import BeforeTrip
from ..lifelines import lifelines_first
from ..packing import PackedThing
from ..results import MayBeMissing, TripAhead
from ..stays_home import StaysHome, leaving_odds
from ..unlike import ENOUGH_ALIKE, are_alike, weight_of
from ..weather import ConditionAhead

FEW_TRIPS = 5
"""Fewer like trips are too few to say what is forgotten."""
_NEAREST = ("trips nearest to it", "trip nearest to it")


def trip_lines(ahead: TripAhead) -> tuple[str, ...]:
    """When it is, how long, how one travels and for how many."""
    trip = ahead.trip
    parts = [days(trip.start_on, trip.end_on), count(ahead.nights, "night")]
    if trip.mode:
        parts.append(by_mode(trip.mode))
    if ahead.people > 1:
        parts.append(f"for {count(ahead.people, 'person', 'people')}")
    return (" · ".join(parts),)


def leaving_price(home: StaysHome, ahead: TripAhead) -> str:
    """What leaving them at home may cost, how sure that is, and what is left alone beside another.

    "You would want one of them about once in 9 trips, very likely no more than once in 4. Leave
    “Umbrella” at home only while ..." A trip outside of all before has no such price: it is that
    of those trips, which are told.
    """
    odds = leaving_odds(home)
    names = {judged.about.item: judged.about.name for judged in home.things}
    beside = {names[item]: other for item, other in home.beside.items()}
    price = wanted_at_most(odds, len(home.things))
    if ahead.unlike is not None:
        trips = count(ahead.unlike.trips, "trip")
        when = months(ahead.unlike.range.months)
        those = f"trips like those before ({trips}, {when})"
        price = f"on {those} {price}; how often on one like this is not known"
    return " ".join((sentence(price), *_pooled(home), *leave_only_while(beside, beside)))


def _pooled(home: StaysHome) -> tuple[str, ...]:
    """Which things their own record alone says are used more often than that counts them for."""
    less = [
        judged
        for judged in home.things
        if judged.usage.rate.used
        and judged.usage.rate.value * judged.usage.rate.n < judged.usage.rate.used
    ]
    if not less:
        return ()
    told = listing(
        [
            f"{in_marks(judged.about.name)} was used on {number(judged.usage.rate.used)} of "
            f"{count(judged.usage.rate.n, 'occasion')}"
            for judged in less
        ],
        at_most=3,
    )
    return (f"By its own record {told}; that figure is pooled with other things, and lower.",)


def condition_name(each: ConditionAhead, display: Display) -> str:
    """ "wet days", "nights under 7 °C", "snow"."""
    if each.condition != "cold":
        return "wet days" if each.condition == "wet" else each.condition.replace("_", " ")
    if each.cold_below_c is None:
        return "cold"
    return f"nights under {temperature(each.cold_below_c, display)}"


def meant_and_stays(each: PackedThing, data: BeforeTrip, display: Display) -> str:
    """What a thing that could stay at home is meant for, and what of that stays on the list.

    "meant for wet days; “Rain jacket” and “Rain trousers” stay"; blank where it is for any weather.
    """
    meaning = each.meaning
    if not meaning.words:
        return ""
    conditions = listing(
        [
            condition_name(ConditionAhead(word, meaning.cold_below_c, None, None), display)
            for word in sorted(meaning.words)
        ],
        last="or",
    )
    others = [
        other.thing.name
        for other in data.packing.things
        if other.meaning.words & meaning.words and other.thing.item not in data.home.items
    ]
    if not others:
        return f"meant for {conditions}; nothing else on the list is"
    verb = "stays" if len(others) == 1 else "stay"
    return f"meant for {conditions}; {quoted(others, at_most=3)} {verb}"


def condition_odds_words(each: ConditionAhead, camps: CampsOff | None) -> str:
    """How likely a condition is, and by what: normals are shifted by colder ``camps``."""
    normals = "by the climate normals"
    if camps is not None and camps.colder:
        normals += " and how much colder your camps were"
    if each.rare:
        return f"rare there and then, {normals}"
    if each.chance is None:
        if each.condition == "cold" and each.cold_below_c is None:
            return "say in gear.csv below what low it is for (cold_below)"
        return "not known"
    if each.source == "normals":
        return f"{one_in(each.chance)}, {normals}"
    return f"{one_in(each.chance)}: so it was on {each.met} of {count(each.known, 'like trip')}"


def cold_in_short(cold: ColdAhead) -> str:
    """The chance of a too cold night in what is on the list; it must be known."""
    if cold.limit is None:
        raise ValueError("cold: expected a trip with a limit, got one without")
    bag = quoted([cold.limit.system.rated_name])
    nights = len(cold.chance.p_each) if cold.chance else 0
    night = "the night is" if nights == 1 else f"at least one of the {nights} nights is"
    chance, odds = f"The chance that {night} too cold in {bag}", cold_words.chance_in_short(cold)
    if cold.drawn:
        chance = (
            "This plan has no list of its own. In what like trips had, the chance that "
            f"{night} too cold"
        )
    return f"{chance} is {odds}."


def milder_before(cold: ColdAhead, display: Display) -> str:
    """The coldest night that was judged in it, where none was as cold as its limit; else blank."""
    if cold.limit is None or not cold.limit.mild:
        return ""
    return sentence(milder(cold.limit, display))


def by_normals_alone(cold: ColdAhead) -> str:
    """What the chance would be by the normals alone, where camps were colder; else blank."""
    if cold.camps is None or not cold.camps.colder or cold.by_normals is None:
        return ""
    return (
        f"By the climate normals alone it would be {one_in(cold.by_normals)}, but your camps were "
        "colder than these."
    )


def cold_in_what_is_owned(best: SetAhead) -> str:
    """The chance in the warmest set that is owned, of a plan without a list; it must be known."""
    if best.told is None:
        raise ValueError("best: expected a set with a chance, got one without")
    nights = len(best.told.p_each)
    night = "the night" if nights == 1 else f"at least one of the {nights} nights"
    return (
        f"This plan has no list of its own. In {quoted(best.limit.system.names, at_most=4)}, the "
        f"warmest that you own, the chance that {night} is too cold is "
        f"{one_in(best.told.p_any.value)}."
    )


def limit_from_rating(cold: ColdAhead, display: Display) -> str:
    """How a rating became another limit: by one's nights in other sets, or by what is assumed."""
    own = any(one.limit.basis == "own" for one in cold.sets)
    # Of a list that lacks a mat no limit is told: nights with a mat say nothing of one without.
    listed = None if cold.lacking or cold.unmended else cold.limit
    whole = (one.limit for one in cold.sets if not one.lacking and not one.unmended)
    for limit in (listed, *whole):
        if limit is None or limit.basis != "rated":
            continue
        rated, now = (
            temperature(c, display) for c in (limit.system.as_limit_c, limit.own_limit_c.value)
        )
        if rated != now:
            rated = degrees(limit.system.as_limit_c, display)
            now = own_limit(limit.own_limit_c.value, display)
            name = quoted([limit.system.rated_name])
            if not own:
                return (
                    f"{name} is rated {degrees(limit.system.rated_low_c, display)}, and its limit "
                    f"here is {now}: until your own nights say more, every other night is taken to "
                    "be too cold at a limit rating, and a limit here is where one in five is."
                )
            return (
                f"Where a limit rests on a rating, your nights in other sets shift it: that of "
                f"{name} from {rated} to {now}."
            )
    return ""


def cannot_tell(ahead: TripAhead) -> str:
    """Why the trips before say little of what may be forgotten."""
    if ahead.unlike is not None:
        return "What may be forgotten cannot be told: no trip before was like this one."
    listed = sum(trip.listed for trip in ahead.like)
    counts = number(weight_of(ahead.like), 1)
    return (
        f"What may be forgotten can hardly be told: the {listed} nearest trips together count "
        f"as only {counts} like it."
    )


def is_unlike(ahead: TripAhead) -> bool:
    """Whether the trip lies outside of all before, or many of them count for few like it."""
    listed = sum(trip.listed for trip in ahead.like)
    few_count = listed >= FEW_TRIPS and weight_of(ahead.like) < ENOUGH_ALIKE
    return ahead.unlike is not None or few_count


def what_else(ahead: TripAhead) -> str:
    """That more may be forgotten than is named, where like trips are too few to tell; or blank."""
    listed = sum(trip.listed for trip in ahead.like)
    if is_unlike(ahead):
        return cannot_tell(ahead).replace("What may be", "What else may be")
    if 0 < listed < FEW_TRIPS:
        tell = "trip tells" if listed == 1 else "trips tell"
        return f"Only {listed} like {tell} what else may be forgotten: too few to rely on."
    return ""


def rain_words(data: BeforeTrip) -> tuple[str, str]:
    """On how many like trips it rained, of those of which that is known; then what to do.

    Silence is told as silence.
    """
    rain, care = data.rain, "Look at the forecast; take rain gear all the same."
    alike = are_alike(data.ahead.like, data.ahead.unlike)
    trips, one = ("like trips", "like trip") if alike else _NEAREST
    if not rain.trips:
        return "That is not known: no trip before was like this one.", care
    if not rain.known and rain.partly:
        have = "has" if rain.partly == 1 else "have"
        which = f"the {one}" if rain.trips == 1 else f"{rain.partly} of the {rain.trips} {trips}"
        return f"That is not known: {which} {have} days noted as dry, and others not noted.", care
    if not rain.known:
        none = f"none of the {rain.trips} {trips} says" if rain.trips > 1 else f"the {one} says not"
        return f"That is not known: {none} whether it rained.", care
    did = "It rained" if rain.met == rain.known else "It did not rain"
    if rain.known == 1:
        return f"{did} on the one {one} with the weather noted.", care
    # Where it did, the caution beside it says enough.
    met, care = (number(rain.met), "") if rain.met else ("none", care)
    return f"It rained on {met} of the {rain.known} {trips} with the weather noted.", care


def missing_in_short(missing: Sequence[MayBeMissing]) -> str:
    """The first of what may be missing, by name; what is not owned only where nothing else is."""
    owned = [each for each in missing if each.item is not None]
    bare = [each.what for each in lifelines_first(owned) if each.lifeline]
    if bare:
        others = quoted([each.what for each in owned if not each.lifeline], at_most=3)
        it = "it is" if len(bare) == 1 else "they are"
        more = f" You may have forgotten {others}, too." if others else ""
        return f"You own {quoted(bare)}, and {it} not on the list.{more}"
    names = quoted([each.what for each in owned or missing], at_most=5)
    if not owned:
        verb = "was" if len(missing) == 1 else "were"
        return f"Only {names}, which you wished for and do not own, {verb} not on the list."
    it = "it is" if len(owned) == 1 else "they are"
    return f"You may have forgotten {names}: {it} not on the list."


def thing_name(each: PackedThing) -> str:
    """A thing and how many pieces of it: "Tent peg, 8 pieces"."""
    many = each.thing.quantity
    return each.thing.name if many == 1 else f"{each.thing.name}, {number(many)} pieces"


def thing_about(
    each: PackedThing, display: Display, broken: Unmended | None, home: StaysHome
) -> str:
    """What to know of a thing on the list, its weight first, how it failed last.

    ``home``: what the record would leave at home, and beside what alone.
    """
    about = []
    if each.row_g is not None:
        about.append(thing_mass(each.row_g, display))
    elif not each.is_amount_open:
        about.append("not weighed")
    if each.in_place_of is not None:
        about.append(f"in place of {in_marks(each.in_place_of)}")
    if each.owner is not None:
        about.append(f"borrowed from {each.owner}")
    if each.given_up is not None:
        about.append("given up: take another")
    item = each.thing.item
    if item in home.items:
        beside = home.beside.get(item)
        condition = f" {only_while(beside)}" if beside is not None else ""
        about.append(f"could stay at home{condition}")
    told = ", ".join(about)
    if broken is None:
        return told
    return f"{told}. {not_mended(broken)}" if told else not_mended(broken)
