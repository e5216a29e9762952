"""Answers on the whole logbook are given again to the same store alone."""

import shutil
from collections.abc import Callable
from pathlib import Path

from tarebook.analysis.store.opening import open_store
from tarebook.analysis.store.remember import remembered
from tarebook.analysis.store.rows import Store
from tarebook.tripdata.store import load_logbook, memory_store, store_path


def counted() -> tuple[Callable[..., int], list[object]]:
    asked: list[object] = []

    @remembered
    def things(store: Store, more: object = None) -> int:
        asked.append(more)
        return int(store.execute("SELECT count(*) FROM gear").fetchall()[0][0])

    return things, asked


def test_the_same_store_is_asked_once_for_each_argument(logbook: Callable[[str], Path]) -> None:
    things, asked = counted()
    for _ in range(3):
        with open_store(store_path(logbook("lakes"))) as store:
            assert things(store) == things(store, None) > 0
            assert things(store, more=2) > 0
    assert asked == [None, None, 2]


def test_a_store_of_other_files_or_of_changed_files_is_asked_anew(
    logbook: Callable[[str], Path], tmp_path: Path
) -> None:
    things, asked = counted()
    copy = tmp_path / "copy"
    shutil.copytree(logbook("lakes"), copy)
    with open_store(store_path(logbook("lakes"))) as store:
        before = things(store)
    with open_store(store_path(copy)) as store:
        assert things(store) == before
    assert len(asked) == 2
    with (copy / "gear.csv").open("a", encoding="utf-8") as file:
        file.write("one-more-mug,One more mug,cook,90\n")
    load_logbook(copy)
    with open_store(store_path(copy)) as store:
        assert things(store) == before + 1
    assert len(asked) == 3


def test_a_store_that_does_not_say_what_it_is_of_is_asked_every_time() -> None:
    things, asked = counted()
    with memory_store() as store:
        assert things(store) == things(store) == 0
        store.execute("DROP TABLE about")
        assert things(store) == 0
    assert len(asked) == 3
