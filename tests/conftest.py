"""What tests of several rooms share: logbooks, the command line, NOAA's files, a browser."""

import difflib
import importlib.util
import os
import shutil
import sys
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import Any

import limits
import pytest
from hypothesis import HealthCheck, settings

# One thread for linear algebra, in what tests start, too: small matrices gain nothing by more, and
# on a busy machine threads that wait for one another took sixteen times as long.
for threads in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(threads, "1")

# The suite is the same every time, however slow or busy the machine; with TAREBOOK_THOROUGH=10 it
# draws anew and ten times as much.
THOROUGH = int(os.environ.get("TAREBOOK_THOROUGH", "0"))
_COMMON: dict[str, Any] = {
    "deadline": None,
    "suppress_health_check": [
        HealthCheck.function_scoped_fixture,
        HealthCheck.too_slow,
        HealthCheck.data_too_large,
    ],
}
settings.register_profile("suite", derandomize=True, database=None, **_COMMON)
settings.register_profile("thorough", max_examples=100 * max(THOROUGH, 1), **_COMMON)
settings.load_profile("thorough" if THOROUGH else "suite")

_LINE_BY_LINE = difflib.ndiff
_LINES_COMPARED, _LETTERS_COMPARED = 60, 20_000


def _differing(
    one: Sequence[str], other: Sequence[str], linejunk: Any = None, charjunk: Any = None
) -> Iterator[str]:
    """What pytest shows of two texts that should be equal.

    Line by line where they are short. Its time grows with the cube of the lines: of two pages that
    differ in each line it takes hours, in which the suite seems to hang. So of long texts, where
    they differ first.
    """
    letters = sum(map(len, [*one, *other]))
    if max(len(one), len(other)) <= _LINES_COMPARED and letters <= _LETTERS_COMPARED:
        yield from _LINE_BY_LINE(one, other, linejunk, charjunk)
        return
    same = (pair[0] == pair[1] for pair in zip(one, other, strict=False))
    at = next((at for at, equal in enumerate(same) if not equal), min(len(one), len(other)))
    yield f"  {at} lines are equal, of {len(one)} and {len(other)}; then, as far as 3 lines:\n"
    for sign, lines in (("-", one), ("+", other)):
        yield from (f"{sign} {line[:2000]}\n" for line in lines[at : at + 3])


difflib.ndiff = _differing

TEST_S = 800 * max(THOROUGH, 1)
"""No test takes as long, not on a slow and busy machine, and with all that it shares made first.

What it started is killed then, which ends most waits, before the timeout of pytest ends the whole
process; and also after a test has failed, from where on that timeout no longer counts.
"""
CHROMIUM = Path("/usr/bin/chromium")
LOGBOOKS = Path(__file__).parent / "logbooks"
NOAA = Path(__file__).parents[2] / "shared" / "noaa"
TODAY = date(2026, 11, 25)


_stderr: list[int] = []
"""What pytest prints to, also while it keeps what tests print."""


IN_MEMORY = Path("/dev/shm")
ROOM = 6 * 2**30
"""So many bytes must be free there; a run takes a tenth of it."""


def pytest_configure() -> None:
    """Nothing is kept yet. Logbooks of tests stand in memory, where there is room.

    Every load waits for the disk to have written its store, of which nobody has any use here.
    """
    _stderr.append(os.dup(2))
    if os.access(IN_MEMORY, os.W_OK) and shutil.disk_usage(IN_MEMORY).free > ROOM:
        os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", str(IN_MEMORY))


FIRST = ("notebooks", "docs", "benchmarks", "analysis")
"""Folders by how long their files take: what begins last should not be what takes longest."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Long files begin first, so that no core waits for another's at the end."""
    here = Path(__file__).parent

    def place(item: pytest.Item) -> int:
        room = item.path.relative_to(here).parts[0]
        return FIRST.index(room) if room in FIRST else len(FIRST)

    items.sort(key=place)


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    """A test that hangs, or what it needs, is named and ended; the others go on."""
    with limits.watched(item.nodeid, TEST_S, _stderr[-1]):
        return (yield)


def pytest_report_header() -> str:
    """Which copy of the package is tested: its version, its folder, and whether it is this one."""
    here = Path(__file__).resolve().parents[1]
    spec = importlib.util.find_spec("tarebook.tripdata")
    if spec is None or spec.origin is None:
        return "tarebook: not installed"
    from tarebook.tripdata.version import VERSION

    rooms = Path(spec.origin).resolve().parents[1]
    which = "this checkout" if rooms == here else f"NOT this checkout, which is {here}"
    return f"tarebook {VERSION} from {rooms} ({which})"


@pytest.fixture(scope="session")
def noaa() -> Callable[[str], Path]:
    """Give a file as NOAA published it; the test is skipped where it is not at hand."""

    def file(name: str) -> Path:
        path = NOAA / name
        if not path.is_file():
            pytest.skip(f"NOAA's {name} is not at hand beside the checkout")
        return path

    return file


@pytest.fixture(scope="session")
def logbook(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Path]:
    """Give a loaded copy of one of the hand-written logbooks by its name."""
    from tarebook.tripdata.store import load_logbook

    made: dict[str, Path] = {}

    def give(name: str) -> Path:
        if name not in made:
            made[name] = tmp_path_factory.mktemp("logbooks") / name
            shutil.copytree(LOGBOOKS / name, made[name])
            load_logbook(made[name])
        return made[name]

    return give


@pytest.fixture(scope="session")
def demo_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo logbook, loaded once for all; reports may be made in it, its files stay."""
    from tarebook.tripdata.demo import write_demo
    from tarebook.tripdata.store import load_logbook

    folder = tmp_path_factory.mktemp("demo")
    write_demo(folder)
    load_logbook(folder)
    return folder


@pytest.fixture
def run(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Callable[..., tuple[int, str, str]]:
    """Give a command line; get exit status, stdout and stderr."""
    from tarebook.notebooks import cli

    monkeypatch.delenv("TAREBOOK_LOGBOOK", raising=False)

    def give(*words: object) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["tarebook", *map(str, words)])
        with pytest.raises(SystemExit) as stop:
            cli.main()
        out, err = capsys.readouterr()
        return int(stop.value.code or 0), out, err

    return give


@pytest.fixture(scope="session")
def debrief_page() -> Callable[..., Any]:
    """Give the debrief of a loaded logbook's trip, in the units asked for."""
    from tarebook.analysis.debrief.page.page import read_debrief
    from tarebook.analysis.display.words import Display
    from tarebook.analysis.store.opening import open_store
    from tarebook.tripdata.store import store_path

    def give(folder: Path, trip: str, *units: Any) -> Any:
        with open_store(store_path(folder)) as store:
            return read_debrief(store, trip, today=TODAY, display=Display(*units))

    return give


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """Give a running browser; without one the test is skipped, or fails where one is required."""
    required = bool(os.environ.get("TAREBOOK_REQUIRE_BROWSER"))

    def without(reason: str) -> None:
        if required:
            pytest.fail(f"{reason}, and TAREBOOK_REQUIRE_BROWSER is set")
        pytest.skip(f"{reason}: pages cannot be looked at in a browser")

    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        without("no Playwright")
    if not CHROMIUM.exists():
        without("no Chromium")
    others = {*limits.below()}
    mine: set[Any] = set()
    with limits.at_most(120, "Starting a browser", lambda: {*limits.below()} - others):
        playwright = sync_playwright()
        started = playwright.start()
        mine = {*limits.below()} - others
        running = started.chromium.launch(
            executable_path=str(CHROMIUM), args=["--no-sandbox", "--disable-gpu", "--disable-quic"]
        )
    yield running
    with limits.at_most(60, "Closing the browser", lambda: mine):
        try:
            if all(map(limits.alive, mine)):
                running.close()
        finally:
            started.stop()


class Look:
    """A page in a browser without network, with what it asked for and complained about."""

    def __init__(self, browser: Any, file: Path, width: int, scripting: bool) -> None:
        self.asked: list[str] = []
        self.complaints: list[str] = []
        self.context = browser.new_context(
            viewport={"width": width, "height": 900}, offline=True, java_script_enabled=scripting
        )
        self.page = self.context.new_page()
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("console", lambda message: self.complaints.append(message.text))
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("dialog", self._asked)
        self.page.goto(file.as_uri())
        if scripting and self.page.locator(".plot").count():
            # A picture in a closed fold is drawn as well, though not to be seen.
            self.page.wait_for_selector(".plot[data-drawn=yes]", state="attached", timeout=20_000)
            self.page.wait_for_function(
                "!document.querySelector('.plot[data-drawn=asked]')", timeout=20_000
            )

    def _asked(self, dialog: Any) -> None:
        """A page must not ask; one whose question stands open answers nothing any more."""
        self.complaints.append(dialog.message)
        dialog.dismiss()

    @property
    def fetched(self) -> list[str]:
        """What it asked for beside itself and what it holds."""
        return [url for url in self.asked if not url.startswith(("file:", "data:"))]


@pytest.fixture
def look(browser: Any) -> Iterator[Callable[..., Look]]:
    """Open a page file at a width, with or without scripting."""
    opened: list[Look] = []

    def give(file: Path, width: int, scripting: bool = True) -> Look:
        opened.append(Look(browser, file, width, scripting))
        return opened[-1]

    with limits.at_most(limits.WINDOW_S, "Looking at pages"):
        yield give
        for each in opened:
            each.context.close()
