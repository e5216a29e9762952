"""What is said of a list that is empty or not all weighed, on the page and beside the table."""

from collections.abc import Iterable

from ..display.thing_names import named
from ..display.words import count
from .results import WeighUp


def vehicle_words(systems: Iterable[str]) -> str:
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
        return "There is nothing to weigh yet: gear.csv has no row that is not given up."
    return (
        f"There is nothing to weigh yet: “{weighed.trip.title}” has no row in carried.csv that is "
        "on you at its start."
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
            f"{count(weighed.unread, 'row')} of its carried.csv could not be read and {verb} "
            "missing in all sums."
        )
    return tuple(sentences)
