"""The seal of a store: by it a store that somebody else made, or that was damaged, is told apart.

The store is derived and never believed. Beside it stands what it looked like when it was built:
size, times and a digest of its bytes. Where size and times still are the same the digest is not
made again; where they are not (a copied logbook) the digest decides. What a store holds is looked
at, too: only the tables and columns of this layout, no view, no macro, nothing else with a name.
"""

import hashlib
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from .own_files import own_sql
from .schema import store_ddl

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

SEAL = "store.seal"
_BLOCK = 1 << 20


def write_seal(store: Path) -> None:
    """Seal a store that was just built. Raises OSError where that cannot be written."""
    part = store.with_name(SEAL + ".part")
    part.unlink(missing_ok=True)  # a link there would lead to another file
    with part.open("x", encoding="ascii") as out:
        out.write(f"{_look(store)}\n{_digest(store)}\n")
    part.replace(store.with_name(SEAL))


def is_sealed(store: Path) -> bool:
    """Whether the store has a seal; one built by a former version has none."""
    return store.with_name(SEAL).is_file()


def unbroken(store: Path) -> bool:
    """Whether a store is, byte for byte, the one that was sealed."""
    try:
        look, digest = store.with_name(SEAL).read_text(encoding="ascii").splitlines()
        return look == _look(store) or digest == _digest(store)
    except (OSError, ValueError):
        return False


def holds_only_the_layout(connection: "DuckDBPyConnection") -> bool:
    """Whether an open store has the tables and columns of this layout and nothing beyond."""
    here = connection.execute(own_sql("store_columns")).fetchall()
    return here == _layout() and not connection.execute(own_sql("store_strangers")).fetchall()


def read_whole(connection: "DuckDBPyConnection") -> None:
    """Read every row of every table. Raises duckdb.Error where one cannot be read."""
    for (name,) in connection.execute(own_sql("store_tables")).fetchall():
        connection.table(name).aggregate("bit_xor(hash(COLUMNS(*)))").fetchall()


@cache
def _layout() -> list[tuple[str, str, str, str]]:
    import duckdb

    with duckdb.connect(":memory:") as connection:
        connection.execute(store_ddl())
        return connection.execute(own_sql("store_columns")).fetchall()


def _look(store: Path) -> str:
    stat = store.stat()
    return f"{stat.st_size} {stat.st_mtime_ns} {stat.st_ctime_ns} {stat.st_ino}"


def _digest(store: Path) -> str:
    made = hashlib.blake2b(digest_size=32)
    with store.open("rb") as stream:
        while block := stream.read(_BLOCK):
            made.update(block)
    return made.hexdigest()
