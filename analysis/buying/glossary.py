"""Every column of the tables on failures, effort and buying, as `glossary` has those of others."""

from ..catalogue.terms import Kind, Output, Term
from ..wear.rates import FEWEST_KM, FEWEST_NIGHTS

_PER = "per 100 nights"
_PER_KM = "per 1000 km"
_FEW = f"missing under {FEWEST_NIGHTS} nights"


def _term(name: str, kind: Kind, unit: str, meaning: str, nullable: bool = False) -> Term:
    return Term(name, kind, unit, meaning, nullable)


_ITEM = _term(
    "item", "text", "", "short name of the item; missing where the row is the system's", True
)
_SYSTEM = _term("system", "text", "", "what the item is for")

FAILURE_RATES = Output("failure_rates", "", "item that came along or failed, then one per system "
                       "with item missing", (
    _ITEM,
    _SYSTEM,
    _term("nights", "whole", "", "nights it came along for; of a system, its items' summed"),
    _term("failures", "whole", "", "failures noted, of every severity"),
    _term("rate_per_100_nights", "number", _PER, f"what was seen: failures over nights; {_FEW}",
          True),
    _term("rate_low", "number", _PER, "lower end of the 90 % interval, pooled within the system, "
          "or the exact one where that would leave out what was seen; 0 where nothing failed; "
          f"{_FEW}", True),
    _term("rate_high", "number", _PER, "upper end of the 90 % interval, as rate_low; where nothing "
          f"failed, what 90 % lies under; {_FEW}", True),
    _term("exact_low", "number", _PER, "lower end of its own exact 90 % interval (Garwood); "
          f"{_FEW}", True),
    _term("exact_high", "number", _PER, "upper end of its own exact 90 % interval; where nothing "
          "failed, the highest rate at which so clean a record still comes up in 5 of 100; "
          f"{_FEW}", True),
    _term("worst_severity", "text", "", "nuisance, impaired, lost_use or unsafe; missing where "
          "nothing failed", True),
    _term("name", "text", "", "name of the item; missing where the row is the system's", True),
    _term("pooled_rate", "number", _PER, "posterior mean of the rate, pooled within the system; "
          f"{_FEW}", True),
    _term("nuisance", "whole", "", "failures that were a nuisance"),
    _term("impaired", "whole", "", "failures after which it worked badly"),
    _term("lost_use", "whole", "", "failures after which it did not work"),
    _term("unsafe", "whole", "", "failures that made it unsafe"),
    _term("distance_km", "number", "km", "how far it went along, on trips with a distance; of a "
          "system, that of its items summed", True),
    _term("rate_per_1000_km", "number", _PER_KM, "failures over distance, on trips with a "
          f"distance; missing under {FEWEST_KM} km and under {FEWEST_NIGHTS} nights", True),
    _term("km_exact_low", "number", _PER_KM, "lower end of its exact 90 % interval", True),
    _term("km_exact_high", "number", _PER_KM, "upper end of its exact 90 % interval", True),
), 0)  # fmt: skip

ITEM_LIFE = Output("item_life", "", "item that came along, then one per system with item missing", (
    _ITEM,
    _SYSTEM,
    _term("life_nights", "number", "nights", "of an item the nights of trips on which it was used, "
          "to the first lost_use or unsafe; of a system the median by Kaplan and Meier, missing "
          "under five items and where it is not reached", True),
    _term("life_low", "number", "nights", "lower end of the median's 90 % interval", True),
    _term("life_high", "number", "nights", "upper end of the median's 90 % interval; missing where "
          "it is not reached", True),
    _term("items", "whole", "", "items of the system that were used for a night; 1 for an item"),
    _term("failed", "whole", "", "of those, the ones that failed for good"),
    _term("ended", "text", "", "of an item: failed, retired (without failure) or in_use", True),
    _term("ended_on", "date", "", "day on which it failed or was given up", True),
    _term("share_left", "number", "share of items", "of a system, the share that outlasts the "
          "longest life watched, by Kaplan and Meier", True),
    _term("price", "number", "currency", "what it cost", True),
    _term("currency", "text", "", "as given", True),
    _term("nights_carried", "whole", "", "nights it came along for, used or not; missing for a "
          "system", True),
    _term("cost_per_night", "number", "currency per night", "price over the nights carried so far",
          True),
    _term("name", "text", "", "name of the item; missing where the row is the system's", True),
    _term("in_words", "text", "", "the same in words"),
), 0)  # fmt: skip

_KJ = "kJ"
EFFORT = Output("effort", "", "trip and mode of travel, then one per item and mode with trip "
                "missing", (
    _term("trip", "text", "", "short name of the trip; missing where the row is an item's", True),
    _term("item", "text", "", "short name of the item; missing where the row is a trip's", True),
    _term("mode", "text", "", "how one travelled", True),
    _term("trips", "whole", "", "trips behind the row that have a cost"),
    _term("distance_km", "number", "km", "distance of a trip by that mode", True),
    _term("ascent_m", "number", "m", "climbing of a trip by that mode", True),
    _term("hours", "number", "h", "hours of a trip by that mode", True),
    _term("load_kg", "number", "kg", "what was on one at the start: base, worn, consumable",
          True),
    _term("moved_kg", "number", "kg", "the same with body and bike", True),
    _term("hauled_kg_km", "number", "kg km", "weight x distance of an item, on days with a cost",
          True),
    _term("kj_per_kg", "number", _KJ, "what one kilogram more or less took on the trip: on foot of "
          "one's own energy, by bike at the pedals", True),
    _term("kj_per_kg_low", "number", _KJ, "the least by formulas, ground and tyres", True),
    _term("kj_per_kg_high", "number", _KJ, "the most by formulas, ground and tyres", True),
    _term("kj", "number", _KJ, "what all of a trip's load took (on foot less than kj_per_kg times "
          "load_kg: the last kilogram costs most), or the item alone over all its trips", True),
    _term("kj_low", "number", _KJ, "the least", True),
    _term("kj_high", "number", _KJ, "the most", True),
    _term("wh_per_kg", "number", "Wh", "by e-bike: from the battery for each kilogram if the motor "
          "did all the work", True),
    _term("wh", "number", "Wh", "by e-bike: the same for the item over all its trips", True),
    _term("battery_wh", "number", "Wh", "drawn from the battery on the trip, as noted", True),
    _term("reason", "text", "", "why a figure is missing, or what narrows it", True),
), 0)  # fmt: skip

_C, _P, _POINTS = "°C", "probability", "points"
_COLD = "missing where it is no rated sleep gear"
BUYING_CASE = Output("buying_case", "", "candidate", (
    _term("candidate", "text", "", "short name of what might be bought"),
    _term("replaces", "text", "", "items that it would take over from, separated by ;", True),
    _term("weight_saved_g", "number", "g", "weight of those today less its own; negative where it "
          "is heavier, missing where something is not weighed", True),
    _term("base_after_g", "number", "g", "median base weight with it, of the last twelve months' "
          "trips on which it would have come along, else of all such", True),
    _term("price", "number", "currency", "what it costs", True),
    _term("currency", "text", "", "as given; never converted or added to another", True),
    _term("price_per_g_saved", "number", "currency per g", "missing where nothing is saved", True),
    _term("price_per_night", "number", "currency per night", "price over the expected nights; "
          "missing where these are", True),
    _term("nights_inside_rating", "whole", "", "own nights no colder than the rating with it, of "
          f"those on which it would have been there; {_COLD}", True),
    _term("nights_inside_rating_now", "whole", "", "the same as they were", True),
    _term("p_cold_year", "number", _P, "chance of a too cold night with it over the last twelve "
          f"months' trips moved on a year; {_COLD}, or without normals", True),
    _term("p_cold_year_now", "number", _P, "the same with what it replaces", True),
    _term("comfort_gain", "number", _POINTS, "expected gain of the sleep score a night; missing "
          "where the log cannot say", True),
    _term("comfort_gain_low", "number", _POINTS, "lower end of the 90 % interval", True),
    _term("comfort_gain_high", "number", _POINTS, "upper end of the 90 % interval", True),
    _term("free_alternative_g", "number", "g", "saved, without spending anything, by leaving at "
          "home what saves at least as much with the least expected regret, of what the cull "
          "leaves at home; missing where it saves nothing", True),
    _term("verdict", "text", "", "in plain words"),
    _term("reason_for", "text", "", "the strongest reason for it"),
    _term("reason_against", "text", "", "the strongest reason against it"),
    _term("what_would_change_it", "text", "", "what would turn the verdict"),
    _term("name", "text", "", "its name"),
    _term("saves", "text", "", "lighter, heavier or the same; missing where not weighed", True),
    _term("base_now_g", "number", "g", "median base weight of the same trips as it is", True),
    _term("class_after", "text", "", "weight class after", True),
    _term("replayed_nights", "whole", "", "nights behind nights_inside_rating", True),
    _term("cold_votes", "whole", "", "of the nights with a vote, those that felt too cold", True),
    _term("cold_votes_avoided", "whole", "", "of those, about how many would not have been too "
          "cold in it", True),
    _term("cold_votes_avoided_least", "whole", "", "the same, very likely no fewer", True),
    _term("cold_votes_avoided_most", "whole", "", "the same, very likely no more", True),
    _term("own_limit_c", "number", _C, "low at which one night in five is too cold in it", True),
    _term("failures_now", "number", "failures", "expected over the expected nights, else a year's, "
          "of what it replaces; missing under 20 nights carried", True),
    _term("failures_then", "number", "failures", "the same of it, as a new thing of its system; "
          "missing where that came along for under 20 nights", True),
    _term("effort_saved_foot_kj", "number", _KJ, "own energy that its weight would have spared on "
          "foot in the last twelve months", True),
    _term("effort_saved_bike_kj", "number", _KJ, "work at the pedals, by bike", True),
    _term("effort_saved_wh", "number", "Wh", "from the battery, by e-bike", True),
    _term("free_alternative", "text", "", "what would be left, separated by ;", True),
    _term("free_alternative_missed", "number", "per trip", "how often a trip one of those would be "
          "wanted", True),
    _term("let_go_g", "number", "g", "weight of all that the cull leaves at home"),
    _term("let_go_missed", "number", "per trip", "how often a trip one of all those would be "
          "wanted"),
    _term("wished_trips", "whole", "", "trips on which it was missed by a note in wished.csv"),
    _term("wished_badly", "whole", "", "of those notes, the ones that say badly"),
    _term("caution", "text", "", "what would be lost with what it replaces, and what to be careful "
          "about", True),
    _term("missing_because", "text", "", "why figures are missing", True),
), 1)  # fmt: skip
