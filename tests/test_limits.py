"""Waiting has a limit, and what was waited for does not go on."""

import os
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import limits
import psutil
import pytest

DEAF = """
import signal, subprocess, sys, time
signal.signal(signal.SIGINT, signal.SIG_IGN)
child = subprocess.Popen(
    [sys.executable, "-c", "import time; time.sleep(600)"], start_new_session=True
)
print(child.pid, flush=True)
print("half a line", end="", flush=True)
time.sleep(600)
"""
HUNG = """
import os, subprocess, sys, limits
with limits.watched("it", 0.5, 2, grace=float(sys.argv[1])):
    if sys.argv[2] == "child":
        command = [sys.executable, "-c", "import time; time.sleep(600)"]
        print(subprocess.Popen(command, stdout=subprocess.PIPE).stdout.readline())
    else:
        os.read(os.pipe()[0], 1)
"""


@pytest.fixture
def deaf() -> Iterator["subprocess.Popen[str]"]:
    """A process that does not end when told to, with a child in a session of its own."""
    command = [sys.executable, "-c", DEAF]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        yield process
        process.kill()


def gone(pid: int) -> bool:
    """Whether a process ends, or is only to be collected, within some seconds."""
    until = time.monotonic() + 20
    while time.monotonic() < until:
        if not (psutil.pid_exists(pid) and limits.alive(psutil.Process(pid))):
            return True
        time.sleep(0.05)
    return False


def test_half_a_line_is_not_waited_for(deaf: "subprocess.Popen[str]") -> None:
    lines = limits.Lines(deaf)
    child = int(lines.next(60))
    with pytest.raises(limits.TooLongError, match=r"no whole line was printed within 0\.5 seconds"):
        lines.next(0.5)
    assert deaf.returncode == -9
    assert gone(child)
    assert lines.next(60) == "half a line"
    assert lines.next(60) == ""


def test_what_ignores_the_signal_is_killed_with_its_children(deaf: "subprocess.Popen[str]") -> None:
    child = int(limits.Lines(deaf).next(60))
    deaf.send_signal(2)
    with pytest.raises(limits.TooLongError, match=r"ending took more than 0\.5 seconds"):
        limits.ended(deaf, 0.5)
    assert deaf.returncode == -9
    assert gone(child)


def test_a_read_ends_with_what_is_read_from(deaf: "subprocess.Popen[str]") -> None:
    assert deaf.stdout is not None
    child = int(deaf.stdout.readline())
    with (
        pytest.raises(limits.TooLongError, match=r"Listening took more than 0\.5 seconds"),
        limits.at_most(0.5, "Listening", lambda: limits.below(os.getpid())),
    ):
        deaf.stdout.readline()
    assert gone(child)


def test_what_ends_in_time_ends_as_it_does() -> None:
    with limits.at_most(60, "Nothing"):
        pass
    with pytest.raises(KeyError), limits.at_most(60, "Nothing"):
        raise KeyError


@pytest.mark.parametrize(("grace", "waits"), [("30", "child"), ("0.5", "itself")])
def test_a_test_that_hangs_says_where_and_ends(grace: str, waits: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", HUNG, grace, waits],
        **{"capture_output": True, "text": True, "timeout": 60},
        env=os.environ | {"PYTHONPATH": str(Path(limits.__file__).parent)},
        check=False,
    )
    assert done.returncode == 1
    assert "it took more than 0.5 seconds; what it started is killed." in done.stderr
    assert 'File "<string>", line' in done.stderr
    assert ("it does not end; its process is given up." in done.stderr) == (waits == "itself")


def test_a_browser_that_does_not_answer_is_ended(browser: object) -> None:
    page = browser.new_context().new_page()  # type: ignore[attr-defined]
    with (
        pytest.raises(limits.TooLongError, match="Asking took more than 2 seconds"),
        limits.at_most(2, "Asking"),
    ):
        page.evaluate("new Promise(() => {})")
