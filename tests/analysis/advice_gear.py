"""Gear of every kind for invented logbooks: what each would hold if its owner filled it in.

A name ends in a code of its own, so that it is found on a page whatever stands around it.
"""

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Thing:
    """A kind of gear; facts are what a careful owner would fill in beside the four columns."""

    item: str
    name: str
    system: str
    weight_g: int
    facts: dict[str, str] = field(default_factory=dict)
    bag: str = ""
    bound: str = ""


KIT = {"kit": "Emergency kit"}
COLD = {"meant_for": "cold", "cold_below_c": "3"}
VEHICLE = {"carried_as": "vehicle"}
THINGS = (
    Thing("tent", "Tent K10", "shelter", 1200, {"needs": "pegs"}, "rucksack"),
    Thing("pegs", "Pegs K11", "shelter", 120, {"needs": "tent"}, "rucksack"),
    Thing("tarp", "Tarp K12", "shelter", 400, {"meant_for": "wet"}, "rucksack"),
    Thing(
        "bag", "Sleeping bag K13", "sleep", 900, {"rated_low_c": "4", "rated_as": "limit"}, "drybag"
    ),
    Thing("mat", "Mat K14", "sleep", 450, {"r_value": "3"}, "drybag"),
    Thing("pillow", "Pillow K15", "sleep", 80, {}, "drybag"),
    Thing(
        "jacket",
        "Insulated jacket K16",
        "clothing",
        380,
        {"meant_for": "cold", "cold_below_c": "5"},
        "rucksack",
    ),
    Thing("hat", "Wool hat K17", "clothing", 60, {"meant_for": "cold"}, "rucksack"),
    Thing("gloves", "Warm gloves K18", "clothing", 90, {"meant_for": "cold; snow"}, "rucksack"),
    Thing("socks", "Dry socks K19", "clothing", 70, {}, "drybag"),
    Thing("shirt", "Spare shirt K20", "clothing", 150, {}, "drybag"),
    Thing("cape", "Rain cape K21", "rain", 300, {"meant_for": "wet"}, "Rucksack K22"),
    Thing("rucksack", "Rucksack K22", "bags", 1100),
    Thing("drybag", "Dry bag K23", "bags", 140),
    Thing("foodbag", "Food bag K24", "bags", 60),
    Thing("stove", "Stove K25", "cook", 110, {"needs": "fuel"}, "foodbag"),
    Thing("fuel", "Fuel K26", "cook", 230, {"needs": "stove", "carried_as": "consumable"}),
    Thing("pot", "Pot K27", "cook", 170, {"needs": "stove"}, "foodbag"),
    Thing("mug", "Second mug K28", "cook", 60, {}, "FOODBAG"),
    Thing("bottle", "Bottle K29", "water", 120),
    Thing("filter", "Filter K30", "water", 90, {"essential": "no"}),
    Thing("food", "Food K31", "food", 2500, {"carried_as": "consumable"}, "foodbag"),
    Thing("bars", "Spare bars K32", "food", 200, {}, "foodbag"),
    Thing("tablets", "Heart tablets K33", "first_aid", 20),
    Thing("plasters", "Plasters K34", "first_aid", 40, KIT),
    Thing("whistle", "Whistle K35", "safety", 10, KIT),
    Thing("beacon", "Beacon K36", "safety", 100, KIT),
    Thing("kitlamp", "Small lamp K37", "light", 25, KIT),
    Thing("kitwater", "Water tablets K38", "water", 15, {**KIT, "essential": "no"}),
    Thing("blanket", "Foil blanket K39", "sleep", 60, {**KIT, "essential": "no"}),
    Thing("rope", "Throw rope K40", "safety", 350, {"insurance": "no"}),
    Thing("knife", "Knife K41", "repair", 60),
    Thing("patches", "Patches K42", "repair", 30, {"insurance": "no"}),
    Thing("map", "Map K43", "navigation", 90, {"insurance": "no"}),
    Thing("lighter", "Lighter K44", "fire", 20, {"insurance": "no"}),
    Thing("torch", "Head torch K45", "light", 80, {"needs": "cells"}),
    Thing("cells", "Torch cells K46", "light", 50, {"needs": "torch"}),
    Thing("lantern", "Camp lantern K47", "light", 150),
    Thing("bank", "Power bank K48", "power", 350, {"capacity_wh": "74", "needs": "cable"}),
    Thing("cable", "Cable K49", "power", 25),
    Thing("cream", "Sun cream K50", "hygiene", 110),
    Thing("glasses", "Spare glasses K51", "other", 50),
    Thing("line", "Bear line K52", "other", 180),
    Thing("book", "Paperback K53", "leisure", 240),
    Thing("chair", "Sit chair K54", "leisure", 500),
    Thing("game", "Draughts K55", "leisure", 120),
    Thing("bottlehot", "Hot bottle K56", "leisure", 140, COLD),
    Thing("vest", "Buoyancy vest K57", "boat", 650, {}, "", "paddle"),
    Thing("boat", "Open boat K58", "boat", 2800, VEHICLE, "", "paddle"),
    Thing("paddle", "Paddle K59", "boat", 900, {**VEHICLE, "needs": "boat"}, "", "paddle"),
    Thing("bailer", "Bailer K60", "boat", 120, {"essential": "no"}, "", "paddle"),
    Thing("bike", "Bicycle K61", "bike", 16000, {**VEHICLE, "capacity_wh": "500"}, "", "ebike"),
    Thing("lock", "Bike lock K62", "bike", 700, {"needs": "bike"}, "", "ebike"),
    Thing(
        "spare",
        "Spare battery K63",
        "bike",
        2900,
        {**VEHICLE, "capacity_wh": "500", "needs": "bike"},
        "",
        "ebike",
    ),
    Thing("helmet", "Helmet K64", "bike", 300, {"going_without": "10"}, "", "ebike"),
)
