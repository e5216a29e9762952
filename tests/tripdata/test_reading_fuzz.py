"""Files gone wrong in every way: never a traceback, always the sum.

The number of files is 200 in the suite; TAREBOOK_FUZZ=5000 tries that many, drawn anew.
"""

import os
import random
from collections.abc import Callable
from functools import cache
from pathlib import Path

import dialects
import drawn
import kit
import pytest
from spoiling import mutate
from tarebook.tripdata.bulk import BULK_TABLES
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.load import Loader
from tarebook.tripdata.problems import Findings
from tarebook.tripdata.store import load_logbook, memory_store, store_path

ROUNDS = int(os.environ.get("TAREBOOK_FUZZ", "200"))
ANEW = "" if "TAREBOOK_FUZZ" not in os.environ else str(random.SystemRandom().random())


@cache
def whole(seed: str) -> kit.Files:
    """A logbook in which nothing went wrong yet, for a few rounds."""
    rng = random.Random(seed)
    if rng.random() < 0.3:
        return drawn.a_logbook(rng)
    return dialects.write_logbook(rng, dialects.draw_logbook(rng))


def spoilt(rng: random.Random) -> kit.Files:
    """A logbook with some of its files gone wrong."""
    book = dict(whole(f"{rng.randrange(max(ROUNDS // 8, 20))} {ANEW}"))
    for name in rng.sample(sorted(book), rng.randint(1, min(3, len(book)))):
        content = book[name]
        data = content if isinstance(content, bytes) else content.encode()
        book[name] = mutate(rng, data)
    return book


def tried(read: Callable[[], Findings], folder: Path, seed: str) -> Findings:
    try:
        findings = read()
        kit.prove_sums(findings)
        for problem in findings.problems + findings.warnings:
            assert str(problem).isprintable()
            assert str(problem).encode("utf-8")
    except BaseException as error:
        error.add_note(f"seed {seed!r}, files in {folder}")
        raise
    return findings


def test_checking_never_breaks(tmp_path_factory: pytest.TempPathFactory) -> None:
    aside = 0
    for n in range(ROUNDS):
        seed = f"fuzz {n} {ANEW}"
        folder = tmp_path_factory.mktemp("book")
        kit.write(folder, spoilt(random.Random(seed)))
        findings = tried(lambda at=folder: check_logbook(at), folder, seed)  # type: ignore[misc]
        aside += kit.records_set_aside(findings)
    assert aside > ROUNDS  # the mutations do spoil records


def test_loading_never_breaks(tmp_path_factory: pytest.TempPathFactory) -> None:
    with memory_store() as connection:
        for n in range(ROUNDS // 25):
            seed = f"load {n} {ANEW}"
            folder = tmp_path_factory.mktemp("book")
            kit.write(folder, spoilt(random.Random(seed)))
            size = random.Random(seed).choice([0, None])
            tried(Loader(folder, connection, folder, bulk_bytes=size).run, folder, seed)
            kit.clear(connection)


def test_the_store_agrees_after_the_worst(tmp_path_factory: pytest.TempPathFactory) -> None:
    for n in range(max(ROUNDS // 100, 3)):
        seed = f"store {n} {ANEW}"
        folder = tmp_path_factory.mktemp("book")
        kit.write(folder, spoilt(random.Random(seed)))
        findings = tried(lambda at=folder: load_logbook(at), folder, seed)  # type: ignore[misc]
        kit.prove_store(kit.Store(store_path(folder)), findings)


@pytest.mark.parametrize("table", ["gear", "trip", *BULK_TABLES])
def test_noise_instead_of_a_file(tmp_path: Path, table: str) -> None:
    for n in range(12):
        rng = random.Random(f"{table} {n}")
        data = rng.choice([rng.randbytes(400), bytes(rng.choices(b'a,;"\n\r 1', k=400)), b"\n" * 9])
        files = kit.GOOD | {f"{table}-x.csv": data}
        tried(lambda: check_logbook(kit.write(tmp_path, files)), tmp_path, str(n))  # noqa: B023
