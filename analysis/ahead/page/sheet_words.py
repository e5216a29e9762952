"""How much of what is eaten or burnt to pack, beside what the list has: a row of the list."""

from dataclasses import dataclass

from ...display.words import Display
from ..before_trip import BeforeTrip
from ..results import Need
from . import amount_words as much

_LIKELY = 0.5
"""What does less often than this is told as too little."""
_REST = {"food": "food", "cook": "fuel"}
_ANOTHER = "Take a fuller one, or another"
_TOO_LITTLE = "Too little"
_BURNT = "can be burnt"
_TOGETHER = "with the rest of"


@dataclass(frozen=True, slots=True)
class PackAmount:
    """What a row of the list says of an amount.

    ``short``: that the list has too little, or maybe so, blank where it does not; it comes first.
    ``has``: what the weight of the row does not tell of what the list has, blank where nothing.
    ``take``: how much to take, as at the head of the page, a clause or more. ``joins``: it goes on
    from what the list has. ``then``: what to do, blank where nothing.
    """

    short: str
    has: str
    take: str
    joins: bool
    then: str = ""

    def beside(self, listed: str) -> str:
        """The row: "Too little: 264 g on the list; 33 g of it can be burnt, and 70 g is enough …".

        ``listed``: what is known of the row, its weight first; blank where nothing is.
        """
        short = f"{self.short}: " if self.short else ""
        first = "; ".join(part for part in (listed.rstrip("."), self.has) if part)
        goes_on = self.joins and self.has
        told = f"{short}{first}, and {self.take}" if goes_on else _capital(self.take)
        if first and not goes_on:
            told = f"{short}{first}. {told}"
        return f"{told}. {self.then}" if self.then else told


def pack_amount(need: Need, data: BeforeTrip, display: Display) -> PackAmount:
    """What such a trip takes of it, in the words of the head of the page."""
    has, short = _has(need, data, display), _short(need)
    take = to_pack(need, data, display)
    # Of several things that it does not tell of the whole is named.
    named = need.item is None and not has.startswith(_TOGETHER)
    if named and need.basis == "practice":
        take = much.common_practice(need, display, f" for {_lower(much.need_name(need))}")
    elif named:
        take = f"{much.need_name(need)}: {take}"
    another = _ANOTHER if short == _TOO_LITTLE and has.endswith(_BURNT) else ""
    return PackAmount(short, has, take, need.basis == "like" and not named, another)


def to_pack(need: Need, data: BeforeTrip, display: Display) -> str:
    """ "70 g is enough on nine such trips in ten"; of what is a least alone, that it is one.

    Of common practice alone only where no trip tells anything.
    """
    if need.basis == "practice":
        return much.common_practice(need, display)
    if need.basis == "like":
        return f"{much.amount_up(need.take_for_9_in_10, need, display)} is {much.NINE_IN_TEN}"
    return f"take {much.to_take(need, data.ahead, display)}; {much.least_alone(need)}"


def _short(need: Need) -> str:
    """That the list has too little: likely so, or maybe where the record does not tell."""
    if need.on_list is None or much.does(need):
        return ""
    if need.tells and need.chance_enough is not None and need.chance_enough < _LIKELY:
        return _TOO_LITTLE
    return "" if need.basis == "like" else "Maybe too little"


def _has(need: Need, data: BeforeTrip, display: Display) -> str:
    """What of it can be burnt, and what the list has with the rest of its kind."""
    if need.on_list is None:
        return ""
    whole_g, burnt = much.with_can_g(need, data.packing), much.amount(need.on_list, need, display)
    rows = [each for each in data.packing.things if much.is_row_of(need, each)]
    if need.item is not None or len(rows) == 1:
        return "" if whole_g is None else f"{burnt} of it {_BURNT}"
    rest = f"{_TOGETHER} the {_REST[need.system]}" if need.system in _REST else f"{_TOGETHER} it"
    if whole_g is None:
        return f"{rest} {burnt}"
    return f"{rest} {much.amount(whole_g, need, display)}, of which {burnt} {_BURNT}"


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def _lower(text: str) -> str:
    return f"{text[:1].lower()}{text[1:]}"
