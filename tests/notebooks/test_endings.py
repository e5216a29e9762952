"""Whatever gets in a command's way ends it in one line, with the status that is agreed."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

LAKES = Path(__file__).parents[1] / "logbooks" / "lakes"
BUSY = {
    "a query": "import duckdb\n"
    " duckdb.sql('SELECT count(*) FROM range(10**14) WHERE random() < 2').fetchall()",
    "a sum": "while True: pass",
    "what hides it": "\n try:\n  while True: pass\n except KeyboardInterrupt: raise SystemExit(0)",
}


def command(*words: str, before: str = "") -> list[str]:
    # Whoever runs the tests may have them ignore Ctrl-C, as a shell does with what is in its back.
    script = (
        "import signal\nsignal.signal(signal.SIGINT, signal.default_int_handler)\n"
        f"from tarebook.notebooks import cli\n{before}\ncli.main()"
    )
    return [sys.executable, "-c", script, *words]


@pytest.fixture
def lakes(tmp_path: Path) -> Path:
    from shutil import copytree

    return Path(copytree(LAKES, tmp_path / "lakes"))


def ended(words: list[str], **more: object) -> tuple[int, str]:
    """Status and what is said on stderr."""
    done = subprocess.run(  # type: ignore[call-overload]
        words, **{"stdout": subprocess.DEVNULL, "stderr": subprocess.PIPE, "timeout": 300, **more}
    )
    return done.returncode, done.stderr.decode()


@pytest.mark.skipif(os.name != "posix", reason="signals of a terminal")
@pytest.mark.parametrize("busy", BUSY)
def test_ctrl_c_is_one_line_and_status_130(lakes: Path, busy: str) -> None:
    before = (
        "from tarebook.notebooks import file_commands, writing\n"
        "def write(*_):\n"
        f" print('begun', flush=True)\n {BUSY[busy]}\n"
        "writing.write = write"
    )
    running = subprocess.Popen(
        command("table", "trips", str(lakes), before=before),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert running.stdout is not None
    assert running.stdout.readline() == "begun\n"
    running.send_signal(signal.SIGINT)
    try:
        _, said = running.communicate(timeout=100)
    finally:
        running.kill()
    assert (running.returncode, said) == (130, "tarebook: interrupted\n")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device that is always full")
@pytest.mark.parametrize(
    "words",
    [
        *(("table", "trips", "--as", form) for form in ("text", "csv", "json", "parquet")),
        ("check",),
        ("load",),
    ],
    ids=lambda words: words[-1],
)
def test_a_full_disk_behind_what_is_printed(lakes: Path, words: tuple[str, ...]) -> None:
    with Path("/dev/full").open("wb") as full:
        status, said = ended(command(words[0], *words[1:], str(lakes)), stdout=full)
    assert status == 1
    assert said.splitlines()[-1] == (
        "tarebook: what is printed: cannot be read or written (No space left on device)"
    )
    assert "Traceback" not in said


@pytest.mark.parametrize("words", [("table", "trips"), ("check",), ("--help",)], ids=str)
def test_nobody_who_reads_is_no_fault(lakes: Path, words: tuple[str, ...]) -> None:
    reads, writes = os.pipe()
    os.close(reads)
    here = () if words == ("--help",) else (str(lakes),)
    try:
        status, said = ended(command(*words, *here), stdout=writes)
    finally:
        os.close(writes)
    assert status == 1
    assert not [line for line in said.splitlines() if "pipe" in line or "Exception" in line]


def test_letters_that_the_terminal_lacks_are_shown_by_number(lakes: Path) -> None:
    gear = (lakes / "gear.csv").read_text("utf-8")
    first = gear.splitlines()[1].split(",")[1]
    (lakes / "gear.csv").write_text(gear.replace(first, "Bl\u00e5 telt", 1), "utf-8")
    done = subprocess.run(
        command("table", "items", str(lakes)),
        env=os.environ | {"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0", "LC_ALL": "C"},
        capture_output=True,
        timeout=300,
        check=True,
    )
    assert b"Bl\\xe5 telt" in done.stdout


@pytest.mark.skipif(os.name != "posix", reason="a folder in use cannot be removed elsewhere")
def test_a_folder_that_is_gone(tmp_path: Path) -> None:
    gone = str(tmp_path / "gone")
    before = f"import os\nos.mkdir({gone!r})\nos.chdir({gone!r})\nos.rmdir({gone!r})"
    for words in (["check"], ["load"], ["table", "trips"], ["new", "book"], ["report", "debrief"]):
        status, said = ended(command(*words, before=before))
        assert (status, len(said.splitlines())) == (1, 1), said
        assert said.startswith("tarebook: "), said


def test_a_fault_of_the_program_is_named_as_one(lakes: Path) -> None:
    before = (
        "from tarebook.notebooks import writing\n"
        "def write(*_): raise KeyError('no\\x1b[1m such')\n"
        "writing.write = write"
    )
    words = command("table", "trips", str(lakes), before=before)
    status, said = ended(words)
    assert status == 1
    (line,) = said.splitlines()
    assert line.startswith("tarebook: a fault in Tarebook ")
    assert "not in your logbook: KeyError: " in line
    assert "TAREBOOK_DETAILS=1" in line
    assert "\x1b" not in said
    status, said = ended(words, env=os.environ | {"TAREBOOK_DETAILS": "1"})
    assert status == 1
    assert "Traceback (most recent call last)" in said
