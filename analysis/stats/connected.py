"""What hangs together: the connected components of an undirected graph."""

from collections.abc import Iterable, Sequence
from itertools import chain


def components(items: Sequence[str], pairs: Iterable[tuple[str, str]]) -> list[tuple[str, ...]]:
    """The items by component, each and all of them in the order of ``items``.

    Pairs may hang together through names that are no item; pairs of others say nothing.
    """
    links = list(pairs)
    if not links:
        return [(item,) for item in dict.fromkeys(items)]
    import numpy as np
    from scipy.sparse import coo_array  # type: ignore[import-untyped]
    from scipy.sparse.csgraph import connected_components  # type: ignore[import-untyped]

    place = {name: at for at, name in enumerate(dict.fromkeys(chain(items, *links)))}
    ends = [[place[name] for name in side] for side in zip(*links, strict=True)]
    graph = coo_array((np.ones(len(links)), ends), shape=(len(place), len(place)))
    labels = connected_components(graph, directed=False)[1]
    members: dict[int, list[str]] = {}
    for item in dict.fromkeys(items):
        members.setdefault(int(labels[place[item]]), []).append(item)
    return [tuple(component) for component in members.values()]
