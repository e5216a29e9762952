"""What is said of a list that is empty or not all weighed, on the page and beside the table."""

from ..display.thing_names import named
from ..display.words import Display, count, mass
from .results import WeighUp


def nothing(weighed: WeighUp) -> str:
    """Why there is nothing to weigh."""
    if weighed.left_out:
        return "Everything on the list is left out, as you asked."
    if weighed.trip is None:
        return "There is nothing to weigh yet: gear.csv has no row that is yours."
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
            f"{named(names)} {verb} not weighed, so that sums read “at least”. Put the weight into "
            "gear.csv."
        )
    if weighed.unread:
        verb = "is" if weighed.unread == 1 else "are"
        sentences.append(
            f"{count(weighed.unread, 'row')} of its carried.csv could not be read and {verb} "
            "missing in all sums."
        )
    return tuple(sentences)


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
