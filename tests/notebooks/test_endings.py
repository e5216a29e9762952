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


@pytest.mark.skipif(os.name != "posix", reason="signals of a terminal")
@pytest.mark.parametrize("name", ["typer", "duckdb", "tarebook.notebooks.cli"])
def test_ctrl_c_while_a_command_is_still_imported_is_one_line(lakes: Path, name: str) -> None:
    """It comes when a module begins to be looked for: Python would show where, in many lines."""
    code = (
        "import os, signal, sys\n"
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "class Found:\n"
        " def find_spec(self, wanted, *_):\n"
        f"  if wanted == {name!r}: os.kill(os.getpid(), signal.SIGINT)\n"
        "sys.meta_path.insert(0, Found())\n"
        f"sys.argv = ['tarebook', 'table', 'trips', {str(lakes)!r}]\n"
        "from tarebook.notebooks.begin import main\n"
        "main()\n"
    )
    assert ended([sys.executable, "-c", code]) == (130, "tarebook: interrupted\n")


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
    assert (status, said) == (
        1,
        "tarebook: what is printed: cannot be read or written (No space left on device)\n",
    )


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device that is always full")
def test_what_a_load_found_is_told_although_its_sums_cannot_be_printed(lakes: Path) -> None:
    gear = (lakes / "gear.csv").read_text("utf-8")
    (lakes / "gear.csv").write_text(gear.replace(",shelter,", ",shelve,", 1), "utf-8")
    _, said = ended(command("load", str(lakes)))
    assert said.startswith("gear.csv:2: system: expected one of ")
    with Path("/dev/full").open("wb") as full:
        assert ended(command("load", str(lakes)), stdout=full) == (
            1,
            f"{said}tarebook: what is printed: cannot be read or written (No space left on "
            "device)\n",
        )


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
    for words in (
        ["check"],
        ["load"],
        ["table", "trips"],
        ["new", "book"],
        ["report", "debrief"],
        ["export", "out"],
        ["demo"],
    ):
        status, said = ended(command(*words, before=before))
        assert (status, len(said.splitlines())) == (1, 1), said
        assert said.startswith("tarebook: "), said
        assert "what is printed" not in said
        assert said.endswith(
            "the folder that you are in is no longer there; go to one that is, and run it again\n"
        ), said


@pytest.mark.skipif(os.name != "posix", reason="a folder in use cannot be removed elsewhere")
def test_from_a_folder_that_is_gone_another_is_read_and_its_faults_are_told(
    lakes: Path, tmp_path: Path
) -> None:
    gone = str(tmp_path / "gone")
    before = f"import os\nos.mkdir({gone!r})\nos.chdir({gone!r})\nos.rmdir({gone!r})"
    assert ended(command("load", str(lakes), before=before)) == (0, "")
    assert ended(command("table", "trips", str(lakes), before=before)) == (0, "")


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


def _sites(tmp_path: Path, code: str) -> dict[str, str]:
    """An environment in which every Python runs some code first."""
    (tmp_path / "site").mkdir()
    (tmp_path / "site" / "sitecustomize.py").write_text(code)
    return {
        "PATH": os.environ["PATH"],
        "PYTHONPATH": str(tmp_path / "site"),
        "OMP_NUM_THREADS": "1",
    }


NOBODY = """
import pwd
def nobody(*_): raise KeyError("uid not found")
pwd.getpwuid = pwd.getpwnam = nobody
"""


@pytest.mark.skipif(os.name != "posix", reason="accounts of a POSIX system")
def test_without_an_account_and_a_home_reports_are_made_and_the_form_opens(
    lakes: Path, tmp_path: Path
) -> None:
    env = _sites(tmp_path, NOBODY)
    assert ended(command("report", "weigh_up", str(lakes)), env=env) == (0, "")
    assert (lakes / "reports" / "weigh_up.html").is_file()
    status, said = ended(command("lab", str(lakes)), env=env)
    assert (status, said) == (
        1,
        "tarebook: JupyterLab keeps its settings in a home folder, and there is none; set HOME to "
        "a folder of yours\n",
    )
    assert not (lakes / "reports" / "lab").exists()
    words = command("log", str(lakes), "--no-browser")
    with subprocess.Popen(
        words, env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as running:
        assert running.stdout is not None
        assert running.stdout.readline().startswith("http://127.0.0.1:")
        running.send_signal(signal.SIGINT)
        _, said = running.communicate(timeout=100)
    assert "Traceback" not in said
    # In a shell: which one it is for is asked of the processes above.
    in_a_shell = ["bash", "-c", '"$@"; exit $?', "-", *command("--install-completion")]
    status, said = ended(in_a_shell, env=env)
    assert (status, len(said.splitlines())) == (1, 1), said


DIES = """
import os, sys
if any("ipykernel" in word for word in sys.orig_argv):
    print("Traceback (most recent call last):", file=sys.stderr, flush=True)
    os._exit(3)
"""


def test_a_kernel_that_dies_is_one_line(lakes: Path, tmp_path: Path) -> None:
    load = "from tarebook.tripdata.store import load_logbook\nfrom pathlib import Path\n"
    load += f"load_logbook(Path({str(lakes)!r}))"
    status, said = ended(
        command("report", "weigh_up", str(lakes), before=load), env=_sites(tmp_path, DIES)
    )
    assert (status, said) == (
        1,
        "tarebook: report weigh_up could not run: Kernel died before replying to kernel_info\n",
    )
    assert not list((lakes / "reports").glob("*"))


@pytest.mark.skipif(os.name != "posix", reason="limits of a POSIX system")
@pytest.mark.parametrize("kibibytes", [1, 60])
@pytest.mark.parametrize(
    "words",
    [
        ("report", "weigh_up", "LAKES"),
        ("table", "items", "LAKES", "--as", "parquet", "--out", "OUT/x"),
        ("table", "items", "LAKES", "--as", "csv", "--out", "OUT/x"),
        ("export", "OUT/x", "LAKES"),
        ("load", "LAKES"),
        ("new", "OUT/book"),
        ("demo", "OUT/demo"),
    ],
    ids=lambda words: " ".join(words[:1] + words[4:5]),
)
def test_a_full_disk_is_one_line_and_leaves_no_half(
    lakes: Path, tmp_path: Path, words: tuple[str, ...], kibibytes: int
) -> None:
    from tarebook.tripdata.store import load_logbook

    load_logbook(lakes)
    out, scratch = tmp_path / "out", tmp_path / "scratch"
    out.mkdir()
    scratch.mkdir()
    # Python would keep half a compiled module, and fail on reading it when it is next imported.
    before = "import resource, sys\nsys.dont_write_bytecode = True\n"
    before += f"resource.setrlimit(resource.RLIMIT_FSIZE, ({kibibytes << 10},) * 2)"
    given = [word.replace("LAKES", str(lakes)).replace("OUT", str(out)) for word in words]
    status, said = ended(
        command(*given, before=before), env=os.environ | {"TMPDIR": str(scratch), "NO_COLOR": "1"}
    )
    assert "Traceback" not in said
    assert list(scratch.iterdir()) == []
    halves = [path for path in out.rglob("*") if path.name.endswith(".part")]
    assert halves == []
    assert [path for path in out.rglob("*") if path.stat().st_size == kibibytes << 10] == []
    if kibibytes == 60 and words[0] not in ("report", "export", "load", "demo"):
        assert (status, said) == (0, "")
        return
    assert status == 1
    lines = said.splitlines()
    assert lines[-1].startswith("tarebook: "), said
    assert "File too large" in lines[-1], said
    if words[0] != "demo":  # which says what it has done on the way
        assert len(lines) == 1, said
    assert not (out / "x").exists()


@pytest.mark.skipif(os.name != "posix", reason="signals of a POSIX system")
@pytest.mark.parametrize("form", ["csv", "parquet"])
def test_what_a_killed_table_left_beside_its_file_goes_with_the_next(
    lakes: Path, tmp_path: Path, form: str
) -> None:
    folder = tmp_path / "out"
    folder.mkdir()
    somebodys = folder / ".film.999999999.part"  # of a number that no process has
    somebodys.write_text("half a film")
    words = ("table", "items", str(lakes), "--as", form, "--out", str(folder / "items"))
    kill = (
        "import os, sys\ndef watch(event, about):\n"
        f" if event == 'os.rename' and str(about[1]) == {str(folder / 'items')!r}:\n"
        "  os.kill(os.getpid(), 9)\nsys.addaudithook(watch)"
    )
    assert ended(command(*words, before=kill)) == (-signal.SIGKILL, "")
    left = {*folder.iterdir()} - {somebodys}
    assert len(left) == 1
    assert [path.stat().st_size > 100 for path in left] == [True]
    assert ended(command(*words)) == (0, "")
    assert {*folder.iterdir()} == {somebodys, folder / "items"}


def test_a_store_without_room_to_work_is_no_fault_of_the_program(lakes: Path) -> None:
    for kind in ("IOException", "OutOfMemoryException"):
        before = (
            "import duckdb\nfrom tarebook.notebooks import writing\n"
            f"def write(*_): raise duckdb.{kind}('No space\\x1b left\\nmore')\n"
            "writing.write = write"
        )
        assert ended(command("table", "trips", str(lakes), before=before)) == (
            1,
            "tarebook: the store of the logbook cannot be read, or has no room to work in (No "
            "space\\x1b left)\n",
        )


@pytest.mark.skipif(sys.platform != "linux", reason="file names of bytes")
def test_names_that_are_not_utf_8(lakes: Path, tmp_path: Path) -> None:
    folder = os.fsdecode(os.fsencode(tmp_path) + b"/b\xff")
    os.rename(lakes, folder)  # noqa: PTH104  (of bytes)
    shown = f"{tmp_path}/b\\udcff"
    for words in (["load"], ["table", "trips"], ["report", "debrief"]):
        assert ended(command(*words, folder)) == (
            1,
            f"tarebook: {shown}/.tarebook: a store cannot stand below a folder with letters that "
            "are not UTF-8 in its name; rename the folder\n",
        )
    os.rename(folder, lakes)  # noqa: PTH104
    odd = os.fsdecode(b"x\xff")
    (lakes / f"gear-{odd}.csv").write_text("")
    (lakes / "trips" / odd).mkdir()
    (lakes / "trips" / "2026-05-river" / f"{odd}.jpg").write_bytes(b"none")
    status, said = ended(command("load", str(lakes)))
    assert (status, said) == (1, "gear-x\\udcff.csv: is empty; a header line is expected\n")
    status, said = ended(command("report", "debrief", str(lakes), "--trip", odd))
    assert status == 2
    assert said.splitlines()[-1].endswith('expected text, got "x\\udcff"'), said
