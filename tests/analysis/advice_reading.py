"""Where a page advises against taking a thing along: every thing it names, and how."""

import re
from dataclasses import dataclass

from reports_read import Page, Piece

_CODE = re.compile(r"K\d\d\b")
_LEAVES = re.compile(r"\b(leav\w*|left|let go|stay at home|at home|may go|go as well)\b", re.I)
_STAYS = re.compile(
    r"\b(stays?|keep|kept|take|come along|pack|needed|never had|had no occasion|"
    r"cannot do without|the bag of|"
    r"what (it|they) (is|are) for|"
    r"what is .* for)\b",
    re.I,
)
_COUNTS = re.compile(
    r"more (chances?|occasions?|trips?|nights?)\b.*"
    r"(let it go|stay at home|would tell|be left|a verdict)|to go$",
    re.I,
)
_PRICE = re.compile(
    r"you would want (?:it|one of them) (?:about|less than)?.*?(?:trips?|every trip)\b", re.I
)
_EARLY = re.compile("too early|too few", re.I)
_ASKED = re.compile(r"for you to say|say in gear", re.I)
_SHELVES = re.compile(
    "for you to say|insurance|never used|never taken|everything|every thing|verdict", re.I
)


@dataclass(frozen=True)
class Mention:
    """A thing named on a page, by the code in its name, and how.

    how: "leave" where the page tells, offers or allows to leave it at home; "count" where it says
    that more trips alone would come to that; "" where it does neither.
    """

    code: str
    how: str
    piece: Piece


def comes_to_it(words: str) -> bool:
    """Whether words say that more trips alone would have a thing left at home."""
    return bool(_COUNTS.search(words))


def codes_left(words: str) -> list[str]:
    """The codes of things named in sentences that speak of leaving."""
    sentences = re.split(r"(?<=[.!?]) ", words)
    return [code for each in sentences if _LEAVES.search(each) for code in _CODE.findall(each)]


def prices(words: str) -> list[str]:
    """The prices told: what follows "you would want"."""
    return [" ".join(each.split()) for each in _PRICE.findall(words.replace("\u202f", " "))]


def mentions(page: Page) -> list[Mention]:
    """Every thing that is named on a page. What is not known to be harmless counts as advice."""
    found = []
    for piece in page.pieces:
        row = _CODE.findall(piece.under[3]) if len(piece.under) > 3 else []
        whole = row or piece.kind == "aria"
        for words in [piece.words] if whole else re.split(r"(?<=[.;:!?]) ", piece.words):
            for code in dict.fromkeys([*_CODE.findall(words), *row]):
                found.append(Mention(code, _how(piece, words, code in row), piece))
    return found


def _how(piece: Piece, words: str, in_row: bool) -> str:
    section, *over = piece.under or ("",)
    if piece.kind == "aria":
        return "leave" if _LEAVES.search(words) else "count" if _COUNTS.search(words) else ""
    if _COUNTS.search(words) or (piece.kind == "dd" and _EARLY.search(piece.under[1])):
        return "count"
    if piece.kind in ("th", "td"):
        return _how_in_table(section, over, words, in_row)
    if piece.kind == "li":
        return "leave" if _LEAVES.search(" ".join(over)) or _LEAVES.search(words) else ""
    asked = any(_ASKED.search(heading) for heading in piece.under)
    if _LEAVES.search(words) or not (_STAYS.search(words) or asked):
        return "leave"
    return ""


def _how_in_table(section: str, over: list[str], words: str, in_row: bool) -> str:
    caption, column = over[0], over[1]
    if re.match(r"verdict", column, re.I):
        return "leave" if re.match(r"leav|left", words, re.I) else ""
    if _EARLY.search(section) or _EARLY.search(caption):
        return "count"
    if not in_row and re.match("why|what would", column, re.I):
        return "leave" if _LEAVES.search(words) or not _STAYS.search(words) else ""
    if re.search(r"again|after all|replaces|instead of", column, re.I):
        return ""
    shelf = _SHELVES.search(section) or _SHELVES.search(caption)
    return "" if shelf and in_row and not _LEAVES.search(caption) else "leave"
