"""Files gone wrong: by a few bytes, a piece, a line, a column, an encoding, their size."""

import random
from collections.abc import Callable

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


def _cut(rng: random.Random, data: bytes) -> bytes:
    return data[: rng.randint(0, len(data))]


def _flipped(rng: random.Random, data: bytes) -> bytes:
    changed = bytearray(data)
    for _ in range(rng.randint(1, 8) if data else 0):
        changed[rng.randrange(len(data))] = rng.randrange(256)
    return bytes(changed)


def _doubled(rng: random.Random, data: bytes) -> bytes:
    lines = data.split(b"\n")
    at = rng.randrange(len(lines))
    return b"\n".join(lines[:at] + [lines[at]] * rng.choice([2, 3, 400]) + lines[at + 1 :])


def _swapped(rng: random.Random, data: bytes) -> bytes:
    """Two columns change places, in all lines or from some line on."""
    lines = [line.split(b",") for line in data.split(b"\n")]
    one, other = rng.randrange(9), rng.randrange(9)
    for line in lines[rng.choice([0, 0, 1, len(lines) // 2]) :]:
        if max(one, other) < len(line):
            line[one], line[other] = line[other], line[one]
    return b"\n".join(b",".join(line) for line in lines)


def _encoded(rng: random.Random, data: bytes) -> bytes:
    coded = rng.choice(
        ["utf-16", "utf-16-le", "utf-16-be", "utf-32", "utf-7", "cp1252", "cp037", "shift_jis"]
    )
    return data.decode("utf-8", "replace").encode(coded, "replace")


def _giant(rng: random.Random, data: bytes) -> bytes:
    """A cell as large as no cell should be, somewhere."""
    cell = rng.choice([b"9", b"x", b"\xc3\xa9", b'""', b";", b"e", b"=", b" ", b"-"])
    size = rng.choice([40_000, 200_000, 1_200_000])
    at = rng.randint(0, len(data))
    return data[:at] + cell * (size // len(cell)) + data[at:]


def _zeroed(rng: random.Random, data: bytes) -> bytes:
    at = rng.randint(0, len(data))
    many = rng.choice([1, 3, 512, 4096])
    return data[:at] + b"\0" * many + data[at + rng.choice([0, many]) :]


def _quoted(rng: random.Random, data: bytes) -> bytes:
    for _ in range(rng.randint(1, 5)):
        at = rng.randint(0, len(data))
        data = data[:at] + rng.choice([b'"', b'""', b'"""', b'\n"', b'",', b"'"]) + data[at:]
    return data


WAYS: dict[str, Callable[[random.Random, bytes], bytes]] = {
    "byte flips": _flipped,
    "cut short": _cut,
    "doubled lines": _doubled,
    "swapped columns": _swapped,
    "foreign encodings": _encoded,
    "giant cells": _giant,
    "NULs": _zeroed,
    "odd quotes": _quoted,
    "a few things at once": mutate,
}
"""What can be done to a file, by name."""
