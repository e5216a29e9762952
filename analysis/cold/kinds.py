"""What of the sleep gear lies under the sleeper and what goes over, also where no column says so.

Going by the columns that only one kind has, else by words of the name (common practice, no
published source): gear.csv has no column for it, and a list without either is dangerous. So what
cannot be told is told of as that, and nothing is taken for a mat for want of a better.
"""

import re
from collections.abc import Iterable, Mapping
from typing import Literal

from ...tripdata.names import folded

SleepKind = Literal["ground", "bedding"]
_Word = Literal["ground", "bedding", "beside"]

TINY_G = 100.0
"""Lighter than this nothing is taken by its name to insulate a sleeper. From memory: the shortest
foam mats and the thinnest quilts weigh more."""
SURELY_NO_MAT_G = 200.0
"""Lighter than this nothing is taken for a mat or bedding that no word of its name says."""


def _words(listed: str) -> frozenset[str]:
    return frozenset(listed.split())


_GROUND = _words(
    "mat mattress matress pad airbed campbed bed bedroll underquilt underblanket hammock cot roll "
    "foam airmat airpad foammat sleepingmat sleepingpad rollmat"
)
_BEDDING = _words("quilt topquilt overquilt bag sleepingbag blanket duvet comforter eiderdown")
_BESIDE = _words(
    "liner inlet pillow cushion cover stuff sack stuffsack pump pumpsack inflator bellow repair "
    "patch glue adhesive clothes compression strap mask earplug plug kit tape valve sheet "
    "groundsheet case pillowcase pouch sleeve clip cord toggle buckle hood net tarp stake peg "
    "carabiner sock bootie towel spray cleaner adapter connector coupler protector tie seat sit "
    "sitting chair bivy bivvy heating dog picnic kneeling knee eye shade lamp alarm"
)
_NO_WARMTH = _words(
    "pillow pillowcase cushion stuff sack stuffsack pump pumpsack inflator bellow repair patch "
    "glue adhesive compression strap mask earplug plug kit tape valve case pouch clip cord toggle "
    "buckle net stake peg carabiner towel spray cleaner adapter connector coupler tie lamp alarm"
)
"""Of the words beside, those of what makes no night warmer: a liner, a cover or a hood does."""
_BUILT_IN = _words("valve hood pump pillow strap sleeve clip toggle")
"""What a mat or quilt may have of its own: before its noun they change nothing."""
_NO_BED: Mapping[str, frozenset[str]] = {
    "bag": _words("dry storage mesh laundry ditty toiletry wash emergency survival foil"),
    "blanket": _words("emergency foil space rescue survival"),
}
"""What makes something else of a bag, and of a blanket a thing for want of bedding."""
_SEAT = frozenset(("sit", "sitting", "seat"))
_TAIL = re.compile(r"[,;:(/+&]| - | with\b| w/| incl| and\b| plus\b| for\b| without\b")


def sleep_kinds(
    things: Iterable[tuple[str, str, float | None, float | None]],
    weights_g: Mapping[str, float | None] | None = None,
) -> dict[str, SleepKind]:
    """By item what lies below or goes over; what is told of neither is left out.

    ``things`` are item, name, r_value and rated_low of all the sleep gear that is asked of,
    ``weights_g`` what they weigh in g, where that is known. Where none of them is told to go over
    and one alone is told of nothing, that is taken to; else, where none is told to lie below, the
    one alone that is told of nothing is taken to do that. Where there are more such, it cannot be
    told (`untold_things`).
    """
    return _sorted(things, weights_g)[0]


def untold_things(
    things: Iterable[tuple[str, str, float | None, float | None]],
    weights_g: Mapping[str, float | None] | None = None,
) -> frozenset[str]:
    """What may lie below or go over, and neither column nor name tells which; as `sleep_kinds`."""
    return _sorted(things, weights_g)[1]


def _sorted(
    things: Iterable[tuple[str, str, float | None, float | None]],
    weights_g: Mapping[str, float | None] | None,
) -> tuple[dict[str, SleepKind], frozenset[str]]:
    told: dict[str, SleepKind] = {}
    untold = []
    for item, name, r_value, rated_low in things:
        weight_g = (weights_g or {}).get(item)
        if r_value is not None:
            told[item] = "ground"
            continue
        if rated_low is not None:
            told[item] = "bedding"
            continue
        word = _word_of(name) or _word_of(item)
        if word is None:
            if is_untold(name, weight_g):
                untold.append(item)
        elif word != "beside" and (weight_g is None or weight_g >= TINY_G):
            told[item] = word
    kinds: tuple[SleepKind, ...] = ("bedding", "ground")
    open_ = [kind for kind in kinds if kind not in told.values()]
    if open_ and (len(untold) == 1 or open_ == ["bedding"]):
        told.update(dict.fromkeys(untold, open_[0]))
        untold = []
    return told, frozenset(untold)


def _word_of(name: str) -> _Word | None:
    """What the words of a name say: the last known noun before "with", a comma or the like.

    An "air mat with pump" is a mat, a "mat pump" is none, nor is a "sit mat" or a "mat bag".
    """
    text = folded(name).replace("_", " ")
    cut = _TAIL.search(text)
    head = _nouns(text[: cut.start()] if cut else text)
    tail = _nouns(text[cut.start() :] if cut else "")
    if not head:
        # Said after the comma alone, if at all: "Ember 400 (quilt)".
        return _last(tail)
    if _SEAT.intersection(tail):
        return "beside"
    *before, last = head
    others = _BESIDE.intersection(before)
    if last == "bag":
        alone = text[: cut.start()].strip() in ("bag", "bags") if cut else False
        others |= (_GROUND | _BEDDING).intersection(before)
        others |= set(tail) if cut and (alone or "for" in cut[0]) else set()
    else:
        others -= _BUILT_IN
    if others or _NO_BED.get(last, frozenset()).intersection(re.findall(r"[a-z]+", text)):
        return "beside"
    if last == "roll" and _BEDDING.intersection(before):
        return "beside"
    return _last(head)


def is_cover(kind: SleepKind | None, name: str) -> bool:
    """Whether it is a whole cover, as a bag or quilt is: no liner, whatever rating it has."""
    return kind == "bedding" and _word_of(name) != "beside"


def is_untold(name: str, weight_g: float | None) -> bool:
    """Whether no word of a name says what it is, and it is heavy enough for a mat or bedding."""
    return _word_of(name) is None and (weight_g is None or weight_g >= SURELY_NO_MAT_G)


def warms_nobody(name: str) -> bool:
    """Whether a thing is by its name for comfort or upkeep alone: without it no night is colder.

    Its last known noun says so, and no other word of it means a mat or what goes over the sleeper.
    """
    found = _nouns(folded(name).replace("_", " "))
    bed = (_GROUND | _BEDDING | _BESIDE) - _NO_WARMTH
    return bool(found) and found[-1] in _NO_WARMTH and bed.isdisjoint(found)


def _last(words: list[str]) -> _Word | None:
    if not words:
        return None
    last = words[-1]
    return "beside" if last in _BESIDE else "ground" if last in _GROUND else "bedding"


def _nouns(text: str) -> list[str]:
    """The known words of a text in their order, each in the singular."""
    found = []
    for word in re.findall(r"[a-z]+", text):
        for one in (word, word.removesuffix("s"), word.removesuffix("es")):
            if one in _GROUND or one in _BEDDING or one in _BESIDE:
                found.append(one)
                break
    return found
