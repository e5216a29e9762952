"""Names that mean safety or protection, whatever system a thing was filed under."""

import re
from collections.abc import Mapping

from ...tripdata.names import folded

_AFLOAT = re.compile(r"buoyan|float|flotation|life.?(jacket|vest|belt|buoy)|\bvest\b|swim.?ring")
"""Words of what keeps a paddler afloat (common practice)."""
_OF_A_BOAT = re.compile(r"bailer|bilge|throw.?(line|bag)|tow.?line|spare.?paddle")
"""Words of what a boat is kept safe with, beside what keeps its crew afloat (common practice)."""
_OF_A_BIKE = re.compile(r"helmet|bicycl|\bbike|cycling")
"""Words of what is worn to ride; a helmet may be one for the water."""
_GARMENT_SYSTEMS = ("clothing", "rain")
_PLAIN_VEST = re.compile(r"\bvest\b")
_BESIDE = re.compile(
    r"\b(bags?|cover|lights?|lamp|mirror|liner|whistle|knife|pocket|patch(es)?|repair|keys?|spray"
    r"|ring|strap|rope|line|cap|net)\b"
)
"""Words of what goes with an aid or a helmet, and is none (common practice)."""
_NO_SHELL = re.compile(
    r"trousers?\b|pants\b|legs\b|leggings|\bchaps|skirt|\bkilt|gaiter|glove|mitt|over.?shoe|\bshoe"
    r"|\bboots?\b|\bsocks?\b|\bhat\b|\bcap\b|cover"
)
"""Words of rain gear that leaves the upper body wet (common practice)."""
_HELD = re.compile(r"umbrella|parasol")
"""Words of what is held over it, and needs a hand and calm air (common practice)."""
_DRESSES = re.compile(r"first.?aid|\bkit\b|pouch|dressing|bandage|gauze|tourniquet")
"""Words of what a wound is seen to with (common practice)."""
_SAFETY = re.compile(
    r"head.?(lamp|light|torch)|\btorch\b|flash.?light|strobe|\bmatches\b|\blighter\b"
    r"|fire.?(steel|start)"  # lights
    r"|whistle|rescue|beacon|emergency|\bflares?\b|signal|messenger|transmitter|satellite|radio"
    r"|transceiver"  # calls for help
    r"|compass|\bmaps?\b|\bgps\b|\bgnss\b|navigat|altimeter"  # finds the way
    r"|first.?aid|medic(ine|ation|al|ament)|inhaler|allergy|insulin|epinephrine|injector"
    r"|\b(tablets?|pills?)\b|bandage|tourniquet|glacier.?glass|goggles|sun.?screen"  # heals, spares
    r"|\bbiv(y|vy|i|ouac)\b|\bfoil\b|survival|blanket|bootie|avalanche|ice.?axe|crampon|bear.?spray"
)
"""Words of what lights, calls for help, finds the way, heals or saves in need (common practice)."""

_PROTECTS = re.compile(
    r"\b(head.?)?lamps?\b|lantern|candle|\b(reading|book|camp|tent|front|rear|bike|spare).?lights?\b"
    r"|hot.?water|hot.?bottle|thermos|vacuum|\bflasks?\b|warm|\bheat|hand.?oven"  # keeps warm
    r"|\bhats?\b|\bcaps?\b|beanie|balaclava|gloves?\b|mitts?\b|mittens?\b|scarf|\bbuff\b"
    r"|neck.?(tube|gaiter)|\bsocks?\b|fleece|\bdown\b|\bwool|quilt|sleeping|\bliner\b|jacket|parka"
    r"|anorak|sweater|pullover|jersey|base.?layer|long.?johns|\bmats?\b|\bpads?\b"
    r"|poncho|\bcape\b|\brain|umbrella|parasol|waterproof|dry.?(bag|sack)|\btarps?\b|gaiters?\b"
    r"|overshoe|awning|shelter|\btents?\b"  # keeps dry and out of the sun
    r"|sun.?(cream|block|glasses|hood)|repellent|mosquito|head.?net|insect"
    r"|filter|purif|stove|\bfood\b|water.?(bag|bottle|sack|tank)|bladder|canteen"  # feeds
    r"|\b(mobile|cell|smart|satellite)?.?phone\b|power.?bank"
)
"""Words of what keeps warm, dry, lit, out of the sun or fed (common practice)."""


def _names(item: str, name: str) -> str:
    return f"{folded(item)} {folded(name)}"


def _words(item: str, name: str) -> str:
    return _names(item, name).replace("-", " ")


def keeps_afloat(item: str, name: str) -> bool:
    """Whether a thing keeps afloat, by its short name and name."""
    return _AFLOAT.search(_names(item, name)) is not None


def keeps_a_boat_safe(item: str, name: str) -> bool:
    """Whether a thing keeps a boat or its crew safe on the water, by its names."""
    return keeps_afloat(item, name) or (_OF_A_BOAT.search(_names(item, name)) is not None)


def may_be_for_riding(item: str, name: str) -> bool:
    """Whether a thing may be worn to ride alone, by its names."""
    return _OF_A_BIKE.search(_names(item, name)) is not None


def is_buoyancy_aid(item: str, name: str, system: str) -> bool:
    """Whether a thing is worn to keep afloat: neither a warm vest nor what goes with an aid."""
    names = _words(item, name)
    if system in _GARMENT_SYSTEMS:
        names = _PLAIN_VEST.sub("", names)
    return _AFLOAT.search(names) is not None and _BESIDE.search(names) is None


def is_helmet(item: str, name: str) -> bool:
    """Whether a thing is a helmet, and not what goes with one, by its names."""
    names = _words(item, name)
    return "helmet" in names and _BESIDE.search(names) is None


def is_upper_shell(item: str, name: str) -> bool:
    """Whether rain gear keeps the upper body dry, as far as no word of its names says otherwise.

    What is held over it does not.
    """
    return _HELD.search(_words(item, name)) is None and shields_upper_body(item, name)


def shields_upper_body(item: str, name: str) -> bool:
    """Whether rain gear is over the upper body, worn or held, as far as its names tell."""
    return _NO_SHELL.search(_words(item, name)) is None


def upper_body_of(names: Mapping[str, str]) -> frozenset[str]:
    """Of rain gear, by item its name, what keeps the upper body dry, else what is held over it."""
    shells = [item for item, name in names.items() if is_upper_shell(item, name)]
    over = (item for item, name in names.items() if shields_upper_body(item, name))
    return frozenset(shells or over)


def sees_to_wounds(item: str, name: str) -> bool:
    """Whether first aid is a kit or a dressing by its names, and not one remedy alone."""
    return _DRESSES.search(_words(item, name)) is not None


def means_safety(item: str, name: str) -> bool:
    """Whether by its names a thing keeps afloat, lights, calls for help, finds the way or heals."""
    return keeps_afloat(item, name) or (_SAFETY.search(_names(item, name)) is not None)


def may_protect(item: str, name: str) -> bool:
    """Whether by its names a thing means safety, or may keep warm, dry, lit or fed."""
    return means_safety(item, name) or (_PROTECTS.search(_names(item, name)) is not None)
