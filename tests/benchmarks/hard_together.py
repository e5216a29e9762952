"""Two people at one logbook: no answer is wrong, and nothing breaks, whatever they do at once.

`python tests/benchmarks/hard_together.py [SECONDS] [--from FIRST]`: for so long, 3,600 by default,
with another order for each FIRST, so that runs add up, two processes each give load, table, check,
report and new in random order to one logbook, while its files are edited in between, about once
every other command: a file is put in the place of the former one, a trip's folder is made by `new`
and removed again. What load, check and table answer must be what a fresh copy of the logbook
answers in one of the states in which its files were while the command ran. A report's page must be
whole; its notebook is run in one of eight reports, else it was run beforehand.
"""

import random
import shutil
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import product
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from hard_commands import Commands, Ended, leftovers
from hard_tally import Tally, begin, ended, stopped

SEED = "together"
SECONDS = 3_600.0
LAKES = Path(__file__).parents[1] / "logbooks" / "lakes"
TRIP = "2028-05-fens"
GEAR, USED = "gear.csv", "trips/2025-09-ridge/used.csv"
TABLES = ("items", "trips")
ASKED = ("load", "check", *TABLES)
State = tuple[int, int, int]
"""Which of two texts `gear.csv` has, and `used.csv`; how many files the new trip's folder has."""


_KNOWN: dict[int, tuple[dict[str, str], dict[State, dict[str, Ended]]]] = {}
"""By how many files are edited: those of the new trip's folder, and what is answered."""


@dataclass
class Life:
    """The values that one thing had, each alive from when it began to be put in place until the
    next one was in its place."""

    value: int = 0
    begun: list[tuple[float, int]] = field(default_factory=lambda: [(0.0, 0)])
    over: list[float] = field(default_factory=list)

    def alive(self, since: float, until: float) -> set[int]:
        """The values that were alive at any moment from one to another."""
        ends = [*self.over, float("inf")]
        spans = zip(self.begun, ends, strict=False)
        return {value for (begin, value), end in spans if begin <= until and end >= since}

    def change(self, begin: float, end: float, *values: int) -> None:
        """It went through values, the last of which stays."""
        for value in values:
            self.begun.append((begin, value))
            self.over.append(end)
        self.value = values[-1]


class Book:
    """A logbook whose files go through known states."""

    def __init__(self, work: Path, edited: int = 2) -> None:
        """``edited``: how many of the two files are edited."""
        self.edited = edited
        self.folder = Path(shutil.copytree(LAKES, work / "lakes"))
        texts = {name: (self.folder / name).read_text() for name in (GEAR, USED)}
        gear, used = texts[GEAR], texts[USED]
        self.texts = {
            GEAR: (gear, gear.replace("shelter,410,", "shelter,400,")),
            USED: (used, used.rstrip("\n").rpartition("\n")[0] + "\n"),
        }
        self.lives = (Life(), Life(), Life())
        self.changing = threading.Lock()
        self._new: dict[str, str] = {}

    def know(self, run: Commands, work: Path) -> dict[State, dict[str, Ended]]:
        """What each command answers in each state, by a fresh copy of the logbook.

        Worked out once in a process: it is the same logbook in every run.
        """
        copy = Path(shutil.copytree(self.folder, work / "copy" / "lakes"))
        if self.edited in _KNOWN:
            self._new, known = _KNOWN[self.edited]
            return known
        run("load", copy)
        made = run("new", copy, "--trip", TRIP)
        assert made.status == 0, made
        folder = copy / "trips" / TRIP
        self._new = {path.name: path.read_text() for path in sorted(folder.iterdir(), reverse=True)}
        assert [*self._new] == ["trip.csv", "carried.csv"], self._new
        known = {}
        for state in product(range(2), range(self.edited), range(3)):
            shutil.rmtree(folder, ignore_errors=True)
            for name, which in zip((GEAR, USED), state, strict=False):
                (copy / name).write_text(self.texts[name][which])
            for name in [*self._new][: state[2]]:
                folder.mkdir(exist_ok=True)
                (folder / name).write_text(self._new[name])
            known[state] = {name: command(run, name, copy) for name in ASKED}
        told = {each["items"].out for each in known.values()}
        assert len(told) > self.edited, "the states are not told apart"
        _KNOWN[self.edited] = self._new, known
        return known

    def edit(self, rng: random.Random) -> None:
        """Put another text in a file's place, or remove the new trip's folder."""
        with self.changing:
            begin = time.monotonic()
            if self.lives[2].value and rng.random() < 0.5:
                for name in reversed(self._new):
                    (self.folder / "trips" / TRIP / name).unlink()
                (self.folder / "trips" / TRIP).rmdir()
                self.lives[2].change(begin, time.monotonic(), 1, 0)
                return
            which = rng.randrange(self.edited)
            name, life = (GEAR, USED)[which], self.lives[which]
            part = self.folder / f".{TRIP}.edited"
            part.write_text(self.texts[name][1 - life.value])
            part.replace(self.folder / name)
            life.change(begin, time.monotonic(), 1 - life.value)

    @contextmanager
    def made_new(self) -> Iterator[bool]:
        """While `new` makes the trip's folder; whether there is one already."""
        with self.changing:
            begin = time.monotonic()
            life = self.lives[2]
            was = life.value
            # What it does is visible from the beginning on.
            if not was:
                life.begun += [(begin, 1), (begin, 2)]
                life.over += [float("inf"), float("inf")]
            yield bool(was)
            if not was:
                end = time.monotonic()
                life.over[-2:] = [end, end]
                life.value = 2

    def completed(self) -> list[str]:
        """Names of files of the trip that `new` should have made and did not; they are made now."""
        folder = self.folder / "trips" / TRIP
        with self.changing:
            lacking = [name for name in self._new if not (folder / name).exists()]
            lacking = lacking if self.lives[2].value else []
            for name in lacking:
                folder.mkdir(exist_ok=True)
                (folder / name).write_text(self._new[name])
        return lacking

    def states(self, since: float, until: float) -> list[State]:
        """The states in which the files may have been at any moment from one to another."""
        one, other, new = (life.alive(since, until) for life in self.lives)
        return [*product(one, other, new)]


def command(run: Commands, name: str, book: Path) -> Ended:
    """One of what is asked."""
    words = ("table", name, book, "--as", "csv") if name in TABLES else (name, book)
    return run(*words)


class Person(threading.Thread):
    """Gives commands until the time is over."""

    def __init__(
        self,
        number: int,
        run: Commands,
        book: Book,
        known: dict[State, dict[str, Ended]],
        until: float,
        most: int | None,
        tally: Tally,
        options: dict[str, object],
        reports: bool,
        notebooks: str,
        seed: str,
    ) -> None:
        super().__init__()
        self._rng = random.Random(f"{seed} {number}")
        self._run, self._book, self._known = run, book, known
        self._reports = reports
        self._until, self._most, self._tally, self._options = until, most, tally, options
        self._notebooks = notebooks
        self.broke: BaseException | None = None

    def run(self) -> None:
        given = 0
        try:
            while time.monotonic() < self._until and not stopped() and given != self._most:
                if self._rng.random() < 0.5:
                    self._book.edit(self._rng)
                    self._tally.add("edits")
                more = ["report", "new"] if self._reports else ["new"]
                self._give(self._rng.choice([*ASKED, *ASKED, *more]))
                given += 1
        except BaseException as error:
            self.broke = error

    def _give(self, name: str) -> None:
        book, tally = self._book, self._tally
        began = time.monotonic()
        if name == "new":
            with book.made_new() as there:
                done = self._run("new", book.folder, "--trip", TRIP, **self._options)
            lacking = book.completed()
            tally.expect(not lacking, "wrong answers", f"new made no {lacking}: {done}"[:1500])
        elif name == "report":
            kept = {} if self._rng.random() < 1 / 8 else {"kept": self._notebooks}
            done = self._run("report", "weigh_up", book.folder, **kept, **self._options)
        elif name in TABLES:
            words = ("table", name, book.folder, "--as", "csv")
            done = self._run(*words, **self._options)
        else:
            done = self._run(name, book.folder, **self._options)
        over = time.monotonic()
        tally.add("commands")
        tally.add(name)
        said = f"{name}: {done.status} {done.err[-500:]}"
        broken = "Traceback" in done.err or "a fault in" in done.err or done.status not in (0, 1)
        tally.expect(not broken, "tracebacks", said)
        alarm = "did not look as this program left it" in done.err
        tally.expect(not alarm, "false alarms", said)
        if name in ASKED:
            fine = [self._known[state][name] for state in book.states(began, over)]
            right = (done.status, done.out) in [(each.status, each.out) for each in fine]
            if not right and f"{TRIP}/" in done.err and "(No such file or directory)" in done.err:
                tally.add("files that went while they were read, and named")
                return
            tally.expect(right, "wrong answers", f"{name}, {len(fine)} states: {done}"[:1500])
        else:
            # A trip without dates is one to be mended first.
            refused = name == "new" and there and "mend that first" in done.err
            tally.expect(done.status == 0 or refused, "wrong answers", said)
        if name == "report":
            page = (book.folder / "reports" / "weigh_up.html").read_text("utf-8")
            whole = page.rstrip().endswith("</html>")
            tally.expect(whole, "half pages", f"{len(page)} letters")


def run(
    seconds: float = SECONDS,
    most: int | None = None,
    short: bool = False,
    seed: str = SEED,
    **options: object,
) -> Tally:
    """Two people for so long, or ``most`` commands each; ``short``: one file edited, no report."""
    reports = not short
    tally = Tally()
    for name in ("commands", "edits", *ASKED, "report", "new", "wrong answers", "tracebacks"):
        tally.add(name, 0)
    with tempfile.TemporaryDirectory(prefix="hard-", ignore_cleanup_errors=True) as made:
        rooms = [Path(made).resolve() / name for name in ("1", "2")]
        for room in rooms:
            room.mkdir()
        served = [Commands(room, reports) for room in rooms]
        work = rooms[0] / "work"
        work.mkdir()
        book = Book(work, 1 if short else 2)
        known = book.know(served[0], work)
        kept = rooms[0] / "kept"
        kept.mkdir()
        if reports:
            done = served[0]("report", "weigh_up", work / "copy" / "lakes", keep=str(kept))
            assert done.status == 0, done
        until = time.monotonic() + seconds
        people = [
            Person(n, run, book, known, until, most, tally, options, reports, str(kept), seed)
            for n, run in enumerate(served)
        ]
        for person in people:
            person.start()
        for person in people:
            person.join()
            if person.broke is not None:
                raise person.broke
        served[0]("load", book.folder)
        served[0]("check", book.folder)
        served[1]("check", book.folder)
        lies = [name for each in served for name in leftovers(book.folder, each.scratch)]
        tally.expect(not lies, "left", str(lies))
        for each in served:
            each.close()
    return tally


if __name__ == "__main__":
    _, number, start = begin()
    seed = f"{SEED} {start}" if start else SEED
    ended({"together": run(number or SECONDS, seed=seed)}, seed)
