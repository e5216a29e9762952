"""Answers on the whole logbook, remembered while one process asks one store again and again.

A debrief holds figures over all trips beside its own; debriefs of thirty trips ask for them thirty
times.
"""

from collections import OrderedDict
from collections.abc import Callable
from functools import wraps
from typing import Any, Concatenate, ParamSpec, TypeVar, cast

import duckdb

from .rows import Store

Asked = ParamSpec("Asked")
Told = TypeVar("Told")
_MOST = 4
_WHICH = """
SELECT d.path, a."key", a."value"
FROM duckdb_databases() AS d, about AS a
WHERE d.database_name = current_database()
ORDER BY a."key"
"""


def remembered(
    asked: Callable[Concatenate[Store, Asked], Told],
) -> Callable[Concatenate[Store, Asked], Told]:
    """A question whose latest answers are given again to the same store and the same arguments.

    For answers that nobody changes, to questions with arguments that can be hashed. A store is the
    same where it lies in the same file and was built from the same inputs; one that does not say
    what it was built from is asked anew every time.
    """
    answers: OrderedDict[Any, Told] = OrderedDict()

    @wraps(asked)
    def answer(store: Store, *args: Asked.args, **kwargs: Asked.kwargs) -> Told:
        which = _which(store)
        if not any(key == "inputs" and path for path, key, _ in which):
            return asked(store, *args, **kwargs)
        wanted = (which, args, tuple(sorted(kwargs.items())))
        if wanted not in answers:
            answers[wanted] = asked(store, *args, **kwargs)
        answers.move_to_end(wanted)
        while len(answers) > _MOST:
            answers.popitem(last=False)
        return answers[wanted]

    return cast("Callable[Concatenate[Store, Asked], Told]", answer)


def _which(store: Store) -> tuple[Any, ...]:
    try:
        return tuple(store.execute(_WHICH).fetchall())
    except duckdb.CatalogException:  # a store that was put together by hand
        return ()
