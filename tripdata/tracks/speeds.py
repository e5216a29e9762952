"""What each way of travelling can do at most, so that a step that is faster is no travelling."""

from collections.abc import Mapping

TOP_KMH: Mapping[str, float] = {
    # Nobody keeps up more on foot: the men's marathon, 42.195 km in 2:00:35, is 21.0 km/h
    # (World Athletics' list of records, 2023; from memory).
    "foot": 21.0,
    # Downhill, loaded. Common practice, no published source; a motor helps below this alone.
    "bike": 80.0,
    "ebike": 80.0,
    # A sprint kayak's 20 km/h and a fast river. Common practice, no published source.
    "paddle": 30.0,
}


def top_kmh(mode: str | None) -> float:
    """The highest speed of a way of travelling; of several or an unknown one the highest of all."""
    return TOP_KMH.get(mode or "", max(TOP_KMH.values()))
