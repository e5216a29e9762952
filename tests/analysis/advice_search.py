"""Many invented logbooks tried, and the smallest one that still shows each kind of fault.

`PYTHONPATH=tests python tests/analysis/advice_search.py FIRST LAST [WORD ...]`: seeds from FIRST
up to, not including, LAST. The words: whole, every table and page of each logbook; tables, only
usage and cull_frontier with all questions, which is quick; shrink, make the first logbook of each
kind of fault small.
"""

import sys
from collections import Counter
from collections.abc import Callable
from dataclasses import replace

from advice_books import Book, Row, draw
from advice_trial import faults_of


def smallest(book: Book, wrong: Callable[[Book], bool], tries: int = 400) -> Book:
    """A book that is still wrong in that way with as few rows and filled cells as can be had."""
    left = tries

    def better(candidate: Book) -> bool:
        nonlocal left
        left -= 1
        return left >= 0 and wrong(candidate)

    for question in book.asked:
        single = replace(book, asked=(question,))
        if better(single):
            book = single
            break
    for table, column in (("gear", "item"), ("trip", "trip")):
        keys = [row[column] for row in book.rows(table)]
        step = max(1, len(keys) // 2)
        while step and left > 0:
            place = 0
            while place < len(keys) and left > 0:
                gone = set(keys[place : place + step])
                candidate = _without(book, column, gone)
                if candidate.rows(table) and better(candidate):
                    book, keys = candidate, [key for key in keys if key not in gone]
                else:
                    place += step
            step //= 2
    return _plainer(book, better)


def _without(book: Book, column: str, gone: set[str]) -> Book:
    tables = {
        name: [row for row in rows if row.get(column) not in gone]
        for name, rows in book.tables.items()
    }
    return replace(book, tables=tables)


def _plainer(book: Book, better: Callable[[Book], bool]) -> Book:
    if book.settings and better(replace(book, settings="")):
        book = replace(book, settings="")
    for name in ("weather", "comfort", "wished", "candidates"):
        tables = {key: rows for key, rows in book.tables.items() if key != name}
        if name in book.tables and better(replace(book, tables=tables)):
            book = replace(book, tables=tables)
    for name, rows in list(book.tables.items()):
        for column in sorted({c for row in rows for c in row} - _NEEDED):
            blanked: list[Row] = [{k: v for k, v in row.items() if k != column} for row in rows]
            candidate = replace(book, tables={**book.tables, name: blanked})
            if better(candidate):
                book, rows = candidate, blanked
    return book


_NEEDED = {
    "item",
    "name",
    "system",
    "weight_g",
    "trip",
    "start_on",
    "end_on",
    "day",
    "plan",
    "candidate",
}


def shown(book: Book) -> str:
    """A small book as text."""
    lines = [f"asked {dict(book.asked[0].options)} {book.settings!r}"]
    for name, rows in book.tables.items():
        several = Counter(
            " ".join(f"{k}={v}" for k, v in row.items() if v and (k != "name")) for row in rows
        )
        lines += [f"  {name}: {line}" for line in list(several)[:12]]
        lines += [f"  {name}: ... {len(several)} rows in all"] if len(several) > 12 else []
    return "\n".join(lines)


def drawn(seed: int, ways: set[str]) -> Book:
    """The logbook of a seed, read as far as is asked."""
    book = draw(seed, bool(ways & {"whole", "tables"}))
    if "tables" not in ways:
        return book
    quick = frozenset(("usage", "cull_frontier"))
    return replace(book, asked=tuple(replace(each, read=quick) for each in book.asked))


def main(first: int, last: int, ways: set[str]) -> None:
    """Print the faults of the logbooks of some seeds."""
    counts: Counter[tuple[str, str]] = Counter()
    books: dict[tuple[str, str], set[int]] = {}
    for seed in range(first, last):
        for fault in faults_of(drawn(seed, ways), "whole" in ways):
            counts[fault.kind] += 1
            if fault.kind not in books:
                print(f"seed {seed}: {fault}", flush=True)
            books.setdefault(fault.kind, set()).add(seed)
        if (seed + 1 - first) % 10 == 0:
            print(f"{seed + 1 - first} logbooks tried", flush=True)
    for kind, count in sorted(counts.items()):
        print(
            f"rule {kind[0]} in {kind[1]}: {count} times in {len(books[kind])} of "
            f"{last - first} logbooks",
            flush=True,
        )
    for kind in sorted(counts) if "shrink" in ways else ():

        def wrong(candidate: Book, kind: tuple[str, str] = kind) -> bool:
            return any(fault.kind == kind for fault in faults_of(candidate, "whole" in ways))

        small = smallest(drawn(min(books[kind]), ways), wrong, 60)
        fault = next(f for f in faults_of(small, "whole" in ways) if f.kind == kind)
        print(f"{fault}\n{shown(small)}", flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]), set(sys.argv[3:]))
