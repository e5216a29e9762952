"""The head of a trip to come: the answers in plain words, and what narrows them."""

from dataclasses import replace
from typing import TYPE_CHECKING

from ...climate.station_choice import NoStation
from ...cold import limit_words
from ...cold import words as cold_words
from ...cold.unrated_words import unrated_sentences
from ...display.cautions import BIKE_LOAD_CARE, BOAT_LOAD_CARE, WEATHER_CARE
from ...display.sections import Opening, Point
from ...display.thing_names import in_marks, named
from ...display.words import Display, count, day, quoted, sum_mass
from ...wear.words import not_mended
from ...weigh_up.words import fixed_words, over_limits
from ..before_trip import BeforeTrip
from ..kept_words import take_as_too_low
from ..lifelines import lifelines_first
from ..results import Need
from ..uncounted import uncounted_words
from ..unlike import may_be_colder, of_trips_before, unlike_sentence
from . import amount_words as much
from . import battery_words
from . import words as say
from .lists import READY, ready_lists, to_do
from .stays_section import stays_by_bag

if TYPE_CHECKING:
    from .page import BeforeTripPage

TITLE = "Before the next trip"
_BROKEN_TOLD = 2
"""So many broken things are told in full; the others by name."""
_NO_RATED = (
    "No sleep gear with a rating is on the list, so the chance of a too cold night is not known."
)
_FIRST = ("food", "cook", "fire")


def nothing_planned(notices: tuple[str, ...]) -> Opening:
    """The head where no trip lies ahead: one line of what to do."""
    what_to_do = Point(
        "No plan",
        "No planned trip lies ahead: give a coming trip its row in trip.csv, with plan = yes.",
        "Then the command “tarebook new” lays out its list, from the latest trip of its kind. "
        "Meanwhile the report “What it all weighs” has the weight of all that you own.",
        leads=True,
    )
    return Opening(TITLE, notices=notices, points=(what_to_do,))


def before_trip_opening(
    page: "BeforeTripPage", data: BeforeTrip, notices: tuple[str, ...]
) -> Opening:
    """What may be missing, how cold, what is over a limit; then weight, amounts, what to do."""
    display = page.display
    missing, rest = _missing(data), [_weight(data, display)]
    over = (
        over_limits(data.load.bags, display, stays_by_bag(data))
        if data.load.bags is not None
        else ()
    )
    risks = [missing] if missing is not None and missing.leads else []
    risks += [*_broken(data), *_cold(data, display)]
    rain = Point("Will it rain?", *say.rain_words(data))
    if over:
        risks.append(Point("Your limits", over[0], " ".join(over[1:])))
    if missing is not None and not missing.leads:
        rest.append(missing)
    rest += _amounts(page.needs, data, display)
    rest += _batteries(data, display)
    if ready_lists(page):
        rest.append(Point(READY, to_do(page)))
    if data.home.things:
        names = named([judged.about.name for judged in data.home.things])
        price = say.leaving_price(data.home, data.ahead)
        rest.append(Point("Could stay at home", f"{names} could stay at home.", price))
    # Where no risk can be told, what it weighs is the answer.
    first = risks or rest[:1]
    return Opening(
        f"Before “{data.ahead.trip.title}”",
        say.trip_lines(data.ahead),
        (*notices, *_notices(page, data)),
        (*first, rain, *(rest if risks else rest[1:])),
        caution=_care(data, over=bool(over)),
        # A limit of one's own can wait until that is read.
        care_after=max(len(first) - bool(over), 1),
    )


def _care(data: BeforeTrip, *, over: bool) -> str:
    """What can hurt someone, of what the points tell; each section has its own in full."""
    cares = [WEATHER_CARE]
    if over:
        cares.append(BOAT_LOAD_CARE if data.ahead.trip.mode == "paddle" else BIKE_LOAD_CARE)
    return " ".join(cares)


def _weight(data: BeforeTrip, display: Display) -> Point:
    load, about = data.load, "What it weighs"
    if not load.carried_g:
        listed = bool(data.packing.things)
        nothing = "Nothing of it is weighed." if listed else "There is nothing to weigh."
        return Point(about, nothing, leads=True)
    skin_out = sum_mass(load.skin_out_g, display, at_least=load.at_least)
    base = sum_mass(load.base_g, display, at_least=load.at_least)
    more = ""
    if load.carried_g > load.skin_out_g:
        whole = sum_mass(load.carried_g, display, at_least=load.at_least)
        vehicles = (
            each.thing.system for each in data.packing.things if each.thing.carried_as == "vehicle"
        )
        more = f"With {fixed_words(vehicles)}: {whole}."
    if data.packing.source == "list":
        all_base = load.base_g == load.skin_out_g
        part = "all" if all_base else base
        answer = f"The list weighs {skin_out} from the skin out, {part} of it base weight."
        if all_base and load.unmarked:
            answer = f"The list weighs {skin_out} from the skin out."
        of_class = f"Walkers call such a base weight {load.class_name}." if load.class_name else ""
        of_class = load.unmarked or of_class
        return Point(about, answer, f"{of_class} {more}".strip(), leads=True)
    if data.packing.source == "like":
        answer = (
            f"There is no list yet. What {_like(len(data.packing.like))} mostly had along weighs "
            f"{skin_out} from the skin out, without consumables; {base} of it is base weight."
        )
        if load.unmarked and load.base_g == load.skin_out_g:
            answer = answer.partition(", without consumables")[0] + "."
        return Point(about, answer, f"{load.unmarked} {more}".strip(), leads=True)
    # Nobody carries all that they own: it is a sum of things, no load.
    whole = sum_mass(load.carried_g, display, at_least=load.at_least)
    answer = "This trip has no list yet, and no like trip has one, so what it weighs is not known."
    return Point(
        about, answer, f"All that you own weighs {whole}; no trip takes it all.", leads=True
    )


def _missing(data: BeforeTrip) -> Point | None:
    about = "Forgotten?"
    if data.packing.source != "list":
        return None
    if data.missing:
        more = data.missing[0].reason if len(data.missing) == 1 else ""
        more = more or " ".join(
            not_mended(each.broken, quoted([each.what]))
            for each in lifelines_first(data.missing)
            if each.broken is not None and each.lifeline
        )
        more = " ".join(filter(None, (more, say.what_else(data.ahead))))
        return Point(about, say.missing_in_short(data.missing), more, leads=True)
    listed = sum(trip.listed for trip in data.ahead.like)
    if say.is_unlike(data.ahead):
        return None if data.cold.lacking else Point(about, say.cannot_tell(data.ahead))
    if 0 < listed < say.FEW_TRIPS:
        tell = "trip tells" if listed == 1 else "trips tell"
        few = f"Only {listed} like {tell} what may be forgotten, which is too few to rely on."
        # Of a mat the cold line speaks.
        said = "" if data.cold.lacking else "By that record nothing is missing."
        return Point(about, few, said)
    if listed and not data.cold.lacking:
        return Point(about, f"Nothing that {_like(listed)} nearly always had is missing.")
    return None


def _like(trips: int) -> str:
    return "the one like trip" if trips == 1 else f"{trips} like trips"


def _cold(data: BeforeTrip, display: Display) -> list[Point]:
    cold, about = data.cold, "Will you be cold?"
    if not data.ahead.nights:
        return []
    not_known = limit_words.nights_not_known(cold)
    too_low = take_as_too_low(data.cold_score)
    # Its odds where they are known, else its limit.
    warmer = cold_words.in_warmest_owned(cold)
    if warmer and cold.told is None:
        warmer = f"{warmer} {too_low}".strip()
    if not warmer and cold.told is None and (home := limit_words.warmer_at_home(cold, display)):
        warmer = f"{not_known} {home}".strip()
    bars = list(cold_words.lacking_sentences(cold.lacking)[:1])
    bars += [not_mended(one, quoted([one.name])) for one in cold.unmended]
    if bars:
        slept = cold.unrated if cold.unrated is not None and cold.unrated.nights else None
        unrated = unrated_sentences(slept, display) if slept is not None else ()
        warmer = warmer if cold.chance is None else cold_words.warmer_than_whole(cold)
        odds = too_low if cold.if_whole is not None and too_low not in warmer else ""
        more = (cold_words.if_whole(cold), odds, *unrated, warmer)
        return [Point(about, " ".join(bars), " ".join(filter(None, more)))]
    if cold.told is not None:
        # What the normals alone say stands in its section, too.
        more = (too_low, say.milder_before(cold, display), warmer or say.by_normals_alone(cold))
        return [Point(about, say.cold_in_short(cold), " ".join(filter(None, more)))]
    if cold.unrated is not None:
        first, *rest = unrated_sentences(cold.unrated, display)
        return [Point(about, first, " ".join(filter(None, (*rest, warmer))))]
    if cold.limit is not None:
        limit = limit_words.limit_alone(cold.limit, display, drawn=cold.drawn)
        return [Point(about, limit, warmer or not_known)]
    if data.packing.source == "list":
        return [Point(about, _NO_RATED, warmer)] if warmer else []
    best = cold.sets[0] if cold.sets else None
    if best is not None and best.told is not None:
        return [Point(about, say.cold_in_what_is_owned(best), too_low)]
    if best is not None and not best.unmended:
        return [Point(about, limit_words.limit_in_what_is_owned(best, display), not_known)]
    return []


def _broken(data: BeforeTrip) -> list[Point]:
    """What the list relies on and is not mended; of what the line on cold names that speaks."""
    told = {one.item for one in data.cold.unmended}
    broken = [one for one in data.relied_on if one.item not in told]
    if not broken:
        return []
    first, rest = broken[:_BROKEN_TOLD], broken[_BROKEN_TOLD:]
    names = quoted([one.name for one in rest], at_most=4)
    verb = "is" if len(rest) == 1 else "are"
    more = f" {names} {verb} not mended, either." if rest else ""
    answer = " ".join(not_mended(one, quoted([one.name])) for one in first)
    return [Point("Broken?", f"{answer}{more}")]


def _amounts(needs: tuple[Need, ...], data: BeforeTrip, display: Display) -> list[Point]:
    points: list[Point] = []
    for system in _FIRST:
        of_system = [need for need in needs if need.system == system and need.unit == "g"]
        whole = [need for need in of_system if need.item is None] or of_system[:1]
        for need in whole:
            about = "How much food" if system == "food" else "How much fuel"
            answer, more = (
                of_trips_before(each, data.ahead.unlike) for each in _enough(need, data, display)
            )
            points.append(Point(about, answer, more))
    if points and may_be_colder(data.ahead):
        last, burns = points[-1], any(need.system in _FIRST[1:] for need in needs)
        colder = [much.COLD_TAKES_MORE]
        if burns and much.is_cold(data):
            colder.append(much.SNOW_TAKES_MORE)
        points[-1] = replace(last, more=" ".join((last.more, *colder)).strip())
    return points


def _enough(need: Need, data: BeforeTrip, display: Display) -> tuple[str, str]:
    """What to take, or that the list has enough; and what goes with it."""
    listed, few = much.on_the_list(need, data, display), much.few_trips(need)
    if need.basis == "practice":
        known = much.with_reserve(f"{much.common_practice(need, display)}.", need, data)
        return known, " ".join((much.cannot_tell_amount(need), *listed))
    take = much.to_take(need, data.ahead, display)
    if need.at_least is not None:
        known = much.with_reserve(f"Take {take}.", need, data)
        return known, " ".join((much.why_at_least(need), *listed, *few))
    if much.does(need):
        return listed[0], " ".join((f"{take} is {much.nine_in_ten(need)}.", *few))
    return f"Take {take}.", " ".join((f"That is {much.nine_in_ten(need)}.", *listed, *few))


def _batteries(data: BeforeTrip, display: Display) -> list[Point]:
    loose, unlike = uncounted_words(data.uncounted, data.batteries), data.ahead.unlike
    way = battery_words.way_words(data.ahead, display)
    points = []
    for each in data.batteries:
        if each.p_each_day is not None:
            name = f"the battery of {in_marks(each.name)}"
            lasts = battery_words.lasts(each, name, data.ahead.days)
            short = battery_words.energy_in_short(each, data, display)
            more = " ".join(filter(None, (short, way, *loose)))
            points.append(
                Point("Battery", of_trips_before(lasts, unlike), of_trips_before(more, unlike))
            )
    return points


def _notices(page: "BeforeTripPage", data: BeforeTrip) -> list[str]:
    ahead, load, notices = data.ahead, data.load, []
    if not ahead.trip.plan:
        start = day(ahead.trip.start_on, weekday=False)
        # Of one that is not over the line above every page says how it counts.
        over = "This trip took place. " if ahead.trip.end_on <= page.today else ""
        notices.append(f"{over}It is asked here as on {start}: nothing from after that day counts.")
    elif ahead.trip.end_on < page.today:
        notices.append(
            "This plan’s dates are past. If you went, set plan to no in trip.csv; if not, give it "
            "new dates."
        )
    if load.unweighed and data.packing.source != "gear":
        verb = "is" if len(load.unweighed) == 1 else "are"
        notices.append(f"{named(load.unweighed)} {verb} not weighed, so sums read “at least”.")
    if load.unread:
        verb = "is" if load.unread == 1 else "are"
        notices.append(
            f"{count(load.unread, 'row')} of its list could not be read and {verb} missing in all "
            "sums."
        )
    if ahead.nights and data.cold.chance is None and not _cold(data, page.display):
        notices.append(_why_no_chance(data))
    if ahead.unlike is not None:
        notices.append(unlike_sentence(ahead.unlike, page.display))
    elif not ahead.like:
        notices.append(
            "No trip like it is in your log, so your habits say nothing of it: sums, checks and "
            "cautions stand, and common practice where it is named."
        )
    return notices


def _why_no_chance(data: BeforeTrip) -> str:
    listed = data.packing.source == "list"
    if data.cold.why_not == "no_bedding" and (listed or not data.cold.sets):
        where = "is on the list" if listed else "is known"
        return f"The chance of a too cold night is not known: no sleep gear with a rating {where}."
    if isinstance(data.cold.outlook, NoStation):
        return (
            "The chance of a too cold night is not known: no climate normals serve the place. "
            "Run tarebook normals: it says which file would."
        )
    return (
        "The chance of a too cold night is not known: the normals there do not say how much "
        "single nights differ."
    )
