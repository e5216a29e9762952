"""What the commands say: results on stdout, progress and remarks on stderr."""

import os
import shutil
import sys
import textwrap
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from itertools import zip_longest
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from ..analysis.display.words import SPACE
from ..analysis.display.words import count as counted
from ..tripdata.contract import BY_NAME
from ..tripdata.discover import NORMALS_FOLDER, table_of
from ..tripdata.names import printable, printable_json
from ..tripdata.problems import FileCount, Findings
from .site import FIRST

if TYPE_CHECKING:
    from ..tripdata.start import Started
    from .export.writing import Exported
    from .runner import Made, Report


IN_OUNCES = (
    "Weights are shown in ounces and pounds, as all of your files have them. For grams, put "
    'mass = "g" under [display] in tarebook.toml.'
)
_PAGES_A_LINE = 5


def note(text: str) -> None:
    """One line on stderr; a terminal may not have the narrow space before a unit."""
    print(f"tarebook: {printable(text.replace(SPACE, ' '))}", file=sys.stderr)


def mended(logbook: Path) -> None:
    """Finish or take back a writing that was cut off, and say so in one line."""
    from ..tripdata.journal import recover

    if line := recover(logbook):
        note(line)


@contextmanager
def progress() -> Iterator[Callable[[str], None]]:
    """A line on stderr that says which table is being read, only on a terminal; a wait is told
    everywhere."""
    from ..tripdata.lock import WAITING

    shown = sys.stderr.isatty() and "NO_COLOR" not in os.environ

    def step(table: str) -> None:
        if table == WAITING:
            note(WAITING)
        elif shown:
            print(f"\r\x1b[Kreading {table} ...", end="", file=sys.stderr, flush=True)

    try:
        yield step
    finally:
        if shown:
            print("\r\x1b[K", end="", file=sys.stderr, flush=True)


def pages_made(done: int, every: int) -> None:
    """A line on stderr every few pages, where no terminal shows a bar for each."""
    if not sys.stderr.isatty() and (done % _PAGES_A_LINE == 0 or done == every):
        note(f"made {done} of {counted(every, 'page')}")


def problems(findings: Findings, out: TextIO) -> None:
    """Every problem, then every warning, a line each."""
    for problem in sorted(findings.problems, key=lambda p: (p.file, p.line)):
        print(problem, file=out)
    for warning in findings.warnings:
        print(f"warning: {warning}", file=out)


def _row(name: str, counts: list[FileCount], width: int) -> str:
    read = sum(c.read for c in counts)
    aside = sum(c.set_aside for c in counts)
    unreadable = sum(c.unreadable for c in counts)
    more = f"  {unreadable} unreadable" if unreadable else ""
    return f"{printable(name):<{width}} {read:>9,} {read - aside:>9,} {aside:>9,}{more}"


def sums(findings: Findings) -> None:
    """Records read = loaded + set aside: per table, per file where they differ, and in total."""
    by_table: dict[str, list[FileCount]] = {}
    for count in findings.files.values():
        path = Path(count.file)
        table = table_of(path.stem) or "other"
        table = NORMALS_FOLDER if path.parts[0] == NORMALS_FOLDER else table
        by_table.setdefault(table, []).append(count)
    names = [n for n in BY_NAME if n in by_table] + [n for n in by_table if n not in BY_NAME]
    odd = [c for c in findings.files.values() if c.set_aside or c.unreadable]
    width = max([len(c.file) + 2 for c in odd] + [20])
    print(f"{'records':<{width}} {'read':>9} {'loaded':>9} {'set aside':>9}")
    for name in names:
        counts = by_table[name]
        files = f" ({len(counts)} files)" if len(counts) > 1 else ""
        print(_row(name + files, counts, width))
        for count in counts:
            if count in odd:
                print(_row("  " + count.file, [count], width))
    print(_row("in all", list(findings.files.values()), width))
    if line := laid_out_line(by_table):
        print(line)
    if findings.in_ounces:
        print(IN_OUNCES)


def laid_out_line(by_table: dict[str, list[FileCount]]) -> str:
    """How many rows that were laid out in advance are not filled in yet; empty where none is."""
    rows = {name: sum(c.laid_out for c in counts) for name, counts in by_table.items()}
    parts = [f"{rows[name]:,} of {name}" for name in BY_NAME if rows.get(name)]
    if not parts:
        return ""
    one = sum(rows.values()) == 1
    words = " and ".join(filter(None, (", ".join(parts[:-1]), parts[-1])))
    return f"not filled in yet: {words} ({'a row' if one else 'rows'} with a day and nothing else)"


def findings_as_json(findings: Findings) -> None:
    """Files and problems as one JSON object; warnings stand beside them."""
    counts = ("file", "read", "loaded", "set_aside", "unreadable", "laid_out")
    shown = {
        "files": [{key: getattr(f, key) for key in counts} for f in findings.files.values()],
        "problems": [p.as_json() for p in findings.problems],
        "warnings": [p.as_json() for p in findings.warnings],
    }
    print(printable_json(shown, indent=1))


def aside_line(logbook: Path, findings: Findings | None) -> None:
    """One line about what was set aside, where anything was, and one where the store was broken."""
    from ..analysis.store.set_aside import loading_remarks
    from ..tripdata.store import aside_counts

    rebuilt = findings is not None and findings.rebuilt
    for remark in loading_remarks(rebuilt, *aside_counts(logbook)):
        note(remark)


def _path(path: Path) -> str:
    """A path as it is, but on a terminal, which would obey what its name holds."""
    return printable(str(path)) if sys.stdout.isatty() else str(path)


def reports_made(logbook: Path, made: "Made", first: bool) -> None:
    """Where the pages are; debriefs of single trips beside the first page are counted alone."""
    folder = logbook / "reports"
    noted: set[str] = set()
    for report in made.reports:
        for remark in report.remarks:
            # The latest trip has two pages, and one thing is said of it.
            if remark not in noted:
                note(remark)
            noted.add(remark)
        if report.plain or not first:
            print(_path(folder / report.html.name))
    anew = sum(report.anew for report in made.reports)
    if len(made.reports) > 1:
        note(f"{counted(anew, 'page')} made; {len(made.reports) - anew} had not changed")
    if first:
        print(_path(folder / FIRST))


def demo_done(folder: Path, reports: Sequence["Report"]) -> None:
    """Where the demo's reports are and the three most useful things they found."""
    width = min(shutil.get_terminal_size().columns, 100)
    print("What they found:")
    in_turn = zip_longest(*(report.findings for report in reports))
    points = [point for turn in in_turn for point in turn if point]
    for point in points[:3]:
        text = printable(point.text().replace(SPACE, " "))
        print(textwrap.fill(text, width, initial_indent="  - ", subsequent_indent="    "))
    print(f"The logbook is in {_path(folder)}. Its reports, to be opened in a browser:")
    for report in reports:
        print(f"  {_path(folder / 'reports' / report.html.name)}")
    print(f"Begin with {_path(folder / 'reports' / FIRST)}, which links them all.")


def started(folder: Path, done: "Started") -> None:
    """What was made, what was there already, and what to do next."""
    lines = [f"made {folder / name}" for name in done.made]
    lines += [f"left as it was: {folder / name}" for name in done.existing]
    for line in [*lines, *(f"next: {line}" for line in done.advice)]:
        print(printable(line))
    for remark in done.remarks:
        note(remark)


def exported(folder: Path, done: "Exported") -> None:
    """What an export holds, where it is described, what is not in it, and what it moved aside."""
    from ..tripdata.table_schema import PACKAGE_FILE

    written = done.written
    if done.aside:
        print(f"{_path(folder)}: what it held is now in {_path(done.aside)}")
    for name in done.left_out:
        note(f"{name} is not in it, since it needs options: `tarebook table {name} --help`")
    for what in dict.fromkeys(each.table.folder for each in written):
        tables = [each for each in written if each.table.folder == what]
        rows = counted(sum(each.rows for each in tables), "row").replace(SPACE, " ")
        print(f"{_path(folder / what)}: {counted(len(tables), 'table')}, {rows}")
    print(f"{_path(folder / PACKAGE_FILE)} describes them")
