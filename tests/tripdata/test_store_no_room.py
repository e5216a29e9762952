"""Where a store cannot be written, one line says so, and the former one is left as it was."""

import subprocess
import sys

import kit
import pytest
from stores_made import LOAD, ROW, WHOLE, Write, append, left, prove_whole
from tarebook.tripdata.errors import StoreError
from tarebook.tripdata.store import load_logbook, store_path

LIMITED = (
    # Python would keep half a compiled module, and fail on reading it when it is next imported.
    "import resource, sys; sys.dont_write_bytecode = True\n"
    "resource.setrlimit(resource.RLIMIT_FSIZE, (ROOM, ROOM))\n" + LOAD
)


# Room runs out while rows are written, in the log, and when the log is written into the store.
@pytest.mark.parametrize("room", [0, 5_000, 100_000, 600_000, 1_500_000])
def test_a_disk_without_room_is_one_line_and_keeps_the_former_store(
    write: Write, room: int
) -> None:
    rows = "".join(f"item-{n},Item {n} {'x' * 50},cook,1,\n" for n in range(2000))
    folder = write({ROW: "item\ntent\n"})
    load_logbook(folder)
    before = store_path(folder).read_bytes()
    append(folder / "gear.csv", rows)
    command = [sys.executable, "-c", LIMITED.replace("ROOM", str(room)), str(folder)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=120)
    assert done.returncode == 1
    assert done.stderr.count("\n") == 1
    assert done.stderr == (
        f"tarebook: {folder / '.tarebook'}: the store cannot be written (File too large)\n"
    )
    assert store_path(folder).read_bytes() == before
    assert left(folder) == WHOLE
    load_logbook(folder)
    assert prove_whole(folder) == 2005


def test_a_folder_that_cannot_be_written_is_one_line(write: Write) -> None:
    folder = write({})
    (folder / ".tarebook").write_text("in the way")
    with pytest.raises(StoreError) as raised:
        load_logbook(folder)
    assert str(raised.value) == (
        f"{folder / '.tarebook'}: the store cannot be written (File exists)"
    )


def test_a_store_that_cannot_be_replaced_is_one_line(write: Write) -> None:
    folder = write({})
    kit.write(folder, {".tarebook/store.duckdb/x": "in the way"})
    with pytest.raises(StoreError, match="the store cannot be written") as raised:
        load_logbook(folder)
    assert "\n" not in str(raised.value)
    assert left(folder) == ["load.lock", "store.duckdb"]
