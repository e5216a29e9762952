"""Nothing but `tarebook normals --get` opens a connection."""

import ast
import os
import subprocess
import sys
from pathlib import Path

import pytest
from tarebook.tripdata.normals import fetching

ROOT = Path(__file__).parents[2]
OPENS = {"urllib.request", "http.client", "socket", "ssl", "requests", "ftplib", "smtplib"}
WATCH = """
import os, sys

def _watch(event, args):
    if event in ("socket.connect", "socket.sendto", "socket.getaddrinfo", "socket.gethostbyname"):
        address = args[1] if event in ("socket.connect", "socket.sendto") else args[0]
        with open(os.environ["WATCHED"], "a", encoding="utf-8") as out:
            out.write(f"{event} {address!r}\\n")

with open(os.environ["WATCHED"], "a", encoding="utf-8") as out:
    out.write(f"started {' '.join(sys.argv)}\\n")
sys.addaudithook(_watch)
"""


def watched(folder: Path, *words: object) -> tuple[int, list[str]]:
    """A command in a process of its own: its exit status, and what it and its kernels asked for."""
    (folder / "watch").mkdir(exist_ok=True)
    (folder / "watch" / "sitecustomize.py").write_text(WATCH, encoding="utf-8")
    log = folder / "watched.txt"
    log.unlink(missing_ok=True)
    more = {"PYTHONPATH": str(folder / "watch"), "WATCHED": str(log)}
    command = [sys.executable, "-m", "tarebook.notebooks.cli", *map(str, words)]
    done = subprocess.run(command, env=os.environ | more, capture_output=True, check=False)
    return done.returncode, log.read_text(encoding="utf-8").splitlines()


def outward(lines: list[str]) -> list[str]:
    """What goes anywhere but to this machine: a kernel is spoken to over 127.0.0.1."""
    inward = ("'127.0.0.1'", "'localhost'", "started ", "'/", "b'\\x00", "None")
    return [line for line in lines if not any(each in line for each in inward)]


@pytest.fixture
def logbook(tmp_path: Path) -> Path:
    folder = tmp_path / "book"
    folder.mkdir()
    (folder / "gear.csv").write_text("item,system,weight_g\npot,cook,90\n")
    (folder / "trip.csv").write_text(
        "trip,start_on,end_on,latitude,longitude\npast,2026-01-02,2026-01-04,47.5,-122\n"
    )
    (folder / "carried.csv").write_text("trip,item,used\npast,pot,yes\n")
    return folder


@pytest.mark.parametrize(
    "words",
    [
        ("new", "{}", "--trip", "2027-coast"),
        ("check", "{}"),
        ("load", "{}"),
        ("table", "trips", "{}"),
        ("normals", "{}"),
        ("report", "debrief", "{}"),
    ],
    ids=lambda words: words[0],
)
def test_no_command_opens_a_connection(tmp_path: Path, logbook: Path, words: tuple[str]) -> None:
    status, lines = watched(tmp_path, *(word.format(logbook) for word in words))
    assert status == 0
    assert lines[0].startswith("started")
    assert outward(lines) == []
    if words[0] == "report":
        assert sum(line.startswith("started") for line in lines) > 1, "the kernel was not watched"


@pytest.mark.outside(
    "published",
    "RFC 2606, section 2",
    "a name that ends with .invalid never is one",
)
def test_the_watch_sees_a_connection(
    tmp_path: Path, logbook: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # A name that never is one in NOAA's place; it is asked for and not there.
    monkeypatch.setenv("https_proxy", "http://nowhere.invalid:9")
    monkeypatch.delenv(fetching.LOCAL, raising=False)
    monkeypatch.setenv("no_proxy", "")
    status, lines = watched(tmp_path, "normals", logbook, "--get")
    assert status == 1
    assert any("nowhere.invalid" in line for line in outward(lines))


def test_one_module_alone_can_open_one() -> None:
    opening = set()
    for path in (
        p for part in ("tripdata", "analysis", "notebooks") for p in ROOT.glob(f"{part}/**/*.py")
    ):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom) and not node.level:
                names = [node.module or "", *(f"{node.module}.{a.name}" for a in node.names)]
            if OPENS & {*names}:
                opening.add(path.relative_to(ROOT).as_posix())
    assert opening == {"tripdata/normals/fetching.py"}
