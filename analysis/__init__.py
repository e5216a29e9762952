"""Questions asked of the store: SQL marts, statistics, results, charts and tables.

From a notebook or a script of one's own, begin with `open_logbook`:

>>> from tarebook.analysis import open_logbook
>>> with open_logbook("tarebook-demo") as book:
...     lightest = book.trips().sort_values("base_g").head(1)

`help(open_logbook)` and `help(Logbook)` say what there is to ask.
"""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .door import Logbook, LogbookWarning, open_logbook

__all__ = ["Logbook", "LogbookWarning", "open_logbook"]


def __getattr__(name: str) -> Any:
    # Late: whoever imports one room must not pay for all of them.
    if name in __all__:
        from . import door

        return getattr(door, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
