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
from tarebook.tripdata.bulk import BULK_TABLES
from tarebook.tripdata.check import check_logbook
from tarebook.tripdata.load import Loader
from tarebook.tripdata.problems import Findings
from tarebook.tripdata.store import load_logbook, memory_store, store_path

ROUNDS = int(os.environ.get("TAREBOOK_FUZZ", "200"))
ANEW = "" if "TAREBOOK_FUZZ" not in os.environ else str(random.SystemRandom().random())
JUNK = [
    b'"', b",", b";", b"\n", b"\r", b"\t", b"\0", b"\xff", b"\xfe\xff", b"\xef\xbb\xbf", b"\x81",
    b"'", b"=", b"9" * 60, b"sep=;\n", b'""', b'"\n"', b"\x1a", b"item,item\n", b"#", b"\\",
    "\u2028é\u202e".encode(), "\ud800".encode("utf-8", "surrogatepass"),
]  # fmt: skip


def mutate(rng: random.Random, data: bytes) -> bytes:
    """The data with a few things gone wrong."""
    for _ in range(rng.randint(1, 6)):
        at = rng.randint(0, len(data))
        kind = rng.randrange(9)
        if kind == 0:  # a byte flipped
            data = data[:at] + bytes([rng.randrange(256)]) + data[at + 1 :]
        elif kind == 1:  # something pasted in
            data = data[:at] + rng.choice(JUNK) + data[at:]
        elif kind == 2:  # a piece lost
            data = data[:at] + data[at + rng.randint(1, 40) :]
        elif kind == 3:  # a line lost, doubled or moved
            lines = data.split(b"\n")
            n = rng.randrange(len(lines))
            lines[n : n + 1] = rng.choice([[], [lines[n]] * 2, [lines[n][::-1]]])
            data = b"\n".join(lines)
        elif kind == 4:  # a quote lost
            data = data.replace(b'"', b"", 1)
        elif kind == 5:  # another encoding from here on
            tail = data[at:].decode("utf-8", "replace")
            data = data[:at] + tail.encode(rng.choice(["utf-16-le", "cp1252", "utf-8"]), "replace")
        elif kind == 6:  # other line ends from here on
            data = data[:at] + data[at:].replace(b"\n", rng.choice([b"\r", b"\r\n", b"", b"\n\n"]))
        elif kind == 7:  # other delimiters from here on
            data = data[:at] + data[at:].replace(b",", rng.choice([b";", b"\t", b"", b",,"]))
        else:  # cut short
            data = data[:at]
    return data


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
