"""Makes reports: runs packaged notebooks on a logbook, each into an .ipynb and an .html file."""

import os
import re
import sys
import tempfile
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..analysis.display.sections import FINDINGS, Point
from ..analysis.store.today import made_on
from ..tripdata.errors import QuestionError, TarebookError
from ..tripdata.names import guess, printable, shown
from . import bundle, cleaning, kernel, page
from .parameters import Value, checked, declared, unknown
from .reports import NAMED_IN_FILES

if TYPE_CHECKING:
    from nbformat import NotebookNode


class ReportError(TarebookError):
    """A report could not be made for a reason that is not the person's."""


@dataclass(frozen=True)
class Report:
    """A report that was made.

    remarks: what the notebook wrote to stderr. title, findings: what its opening says, the points
    that lead first; where that answers nothing, what its sections answer. for_index: sentences over
    all trips that the page of reports repeats.
    """

    name: str
    notebook: Path
    html: Path
    remarks: tuple[str, ...] = ()
    title: str = ""
    findings: tuple[Point, ...] = ()
    for_index: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Job:
    name: str
    source: "NotebookNode"
    parameters: dict[str, Value]
    stem: str


PACKAGED = resources.files("tarebook.notebooks")


def available(folder: Traversable = PACKAGED) -> tuple[str, ...]:
    """Return the names of the notebooks in a folder, sorted."""
    names = [entry.name for entry in folder.iterdir() if entry.name.endswith(".ipynb")]
    return tuple(sorted(name.removesuffix(".ipynb") for name in names))


def load(name: str, folder: Traversable = PACKAGED) -> "NotebookNode":
    """Return a notebook as it is before it runs. Raises QuestionError where there is none."""
    names = available(folder)
    if name not in names:
        advice = guess(name, names, f"there are {', '.join(names) or 'none'}")
        raise QuestionError(f"no report {shown(name)}; {advice}")
    return cleaning.parse((folder / f"{name}.ipynb").read_text("utf-8"))


def run(
    names: Sequence[str],
    parameters: Mapping[str, Value],
    out_dir: Path,
    *,
    logbook: Path,
    progress: bool | None = None,
    folder: Traversable = PACKAGED,
) -> tuple[Report, ...]:
    """Make the named reports in out_dir and return them; former reports are replaced whole.

    names: of notebooks. parameters: given to each of them that takes them. logbook: the
    folder they ask, told to them by TAREBOOK_LOGBOOK. progress: a bar on stderr; None shows one
    on a terminal. folder: where the notebooks are.

    Raises QuestionError before anything runs where a name, a parameter or a value is wrong, and
    where a notebook refused what was asked; ReportError where one failed, whose notebook then lies
    beside as NAME.failed.ipynb. With several names the others are made all the same, and one error
    tells of all that were not.
    """
    jobs = _jobs(names, parameters, folder)
    on = made_on()
    out_dir = _folder_to_write(out_dir)
    reports: list[Report] = []
    failures: list[TarebookError] = []
    bundle.begin()
    with tempfile.TemporaryDirectory(prefix="tarebook-") as scratch:
        try:
            for place, job in enumerate(jobs):
                room = Path(scratch) / str(place)
                room.mkdir()
                bar = _bar(job.name, progress)
                try:
                    executed = _execute(job, room, logbook.resolve(), out_dir, bar)
                    reports.append(_write(job, executed, out_dir, on))
                except TarebookError as error:
                    failures.append(error)
        finally:
            bundle.discard()
    if len(failures) == 1:
        raise failures[0]
    if failures:
        kind = type(failures[0]) if len({type(each) for each in failures}) == 1 else ReportError
        reasons = "; ".join(str(each) for each in failures)
        raise kind(f"{len(failures)} of {len(jobs)} reports could not be made: {reasons}")
    return tuple(reports)


def file_stem(name: str, values: Iterable[Value] = ()) -> str:
    """Return NAME or NAME-VALUE as a file name without its ending, safe on every file system."""
    text = unicodedata.normalize("NFC", "-".join([name, *map(str, values)]))
    safe = "".join(
        each if each in "-_." or unicodedata.category(each)[0] in "LMN" else "-" for each in text
    )
    safe = re.sub(r"-{2,}", "-", re.sub(r"\.{2,}", ".", safe)).strip("-.")
    return safe.encode()[:150].decode(errors="ignore").rstrip("-.") or "report"


def _folder_to_write(folder: Path) -> Path:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise ReportError(f"{folder.name}: cannot be made: {error.strerror}") from None
    return folder.resolve()


def _jobs(names: Sequence[str], given: Mapping[str, Value], folder: Traversable) -> list[_Job]:
    sources = {name: load(name, folder) for name in names}
    takes = {name: declared(source) for name, source in sources.items()}
    several = len(sources) > 1
    if several:
        everywhere = {key: each for own in takes.values() for key, each in own.items()}
        for key in given:
            if key not in everywhere:
                raise QuestionError(unknown("reports", key, everywhere))
    jobs = []
    for name, own in takes.items():
        mine = {key: value for key, value in given.items() if key in own or not several}
        values = checked(name, own, mine)
        named = NAMED_IN_FILES.get(name, ())
        telling = [
            f"{key.rstrip('_').replace('_', '-')}-{value}" if key in named else value
            for key, value in values.items()
            if value != own[key].default
        ]
        jobs.append(_Job(name, sources[name], values, file_stem(name, telling)))
    return jobs


def _bar(name: str, progress: bool | None) -> dict[str, Any] | bool:
    if not (sys.stderr.isatty() if progress is None else progress):
        return False
    return {"desc": name, "leave": False, "file": sys.stderr, "dynamic_ncols": True}


def _execute(
    job: _Job, room: Path, logbook: Path, out_dir: Path, bar: dict[str, Any] | bool
) -> "NotebookNode":
    from nbclient.exceptions import DeadKernelError
    from papermill import PapermillExecutionError as Failed  # type: ignore[import-untyped]
    from papermill import execute_notebook

    start = kernel.prepare(room)
    state = room / "executed.ipynb"
    try:
        executed: NotebookNode = execute_notebook(
            job.source,
            str(state),
            parameters=job.parameters,
            kernel_name="python3",
            kernel_manager_class=kernel.manager(room, kernel.environment(room, logbook)),
            cwd=str(start),
            progress_bar=bar,
            request_save_on_cell_execute=False,
        )
        return executed
    except Failed as error:
        reason = _one_line(error.evalue)
        if error.ename in _own_errors():
            raise QuestionError(reason) from None
        failed = out_dir / f"{job.stem}.failed.ipynb"
        notebook, _ = cleaning.cleaned(cleaning.parse(state.read_text("utf-8")))
        folders = {
            str(start): "",
            str(logbook): "LOGBOOK",
            sys.prefix: "PYTHON",
            str(Path(__file__).parents[1]): "TAREBOOK",
            str(Path.home()): "~",
        }
        write_whole(failed, cleaning.dump(cleaning.without_paths(notebook, folders)))
        raise ReportError(
            f"report {job.name} failed in cell {error.cell_index + 1}: {error.ename}: {reason}; "
            f"the notebook as far as it came is {failed.name}, beside the reports"
        ) from None
    except (DeadKernelError, RuntimeError, OSError) as error:
        raise ReportError(f"report {job.name} could not run: {_one_line(error)}") from None


def _one_line(error: object) -> str:
    return printable(" ".join(str(error).split()))


def _own_errors() -> set[str]:
    """Names of all errors that a person can cause: a kernel tells an error's name only."""
    kinds: list[type] = [TarebookError]
    for kind in kinds:
        kinds += kind.__subclasses__()
    return {kind.__name__ for kind in kinds}


def _write(job: _Job, executed: "NotebookNode", out_dir: Path, on: date) -> Report:
    notebook, remarks = cleaning.cleaned(executed)
    html = page.render(notebook, on=on, name=job.name)
    place = out_dir / f"{job.stem}.ipynb"
    report = Report(job.name, place, place.with_suffix(".html"), remarks, *_findings(notebook))
    write_whole(report.notebook, cleaning.dump(notebook))
    write_whole(report.html, html)
    (out_dir / f"{job.stem}.failed.ipynb").unlink(missing_ok=True)
    return report


def _findings(notebook: "NotebookNode") -> tuple[str, tuple[Point, ...], tuple[str, ...]]:
    """The title of a report, what it found, and what it has for the page of reports."""
    title, points, answers, for_index = "", [], [], []
    for piece in cleaning.shown(notebook, FINDINGS):
        title = title or piece.get("title", "")
        points += [Point(**each) for each in piece.get("points", ())]
        answers += [Point("", piece["answer"])] if "answer" in piece else []
        for_index += [piece["for_index"]] if "for_index" in piece else []
    points.sort(key=lambda point: not point.leads)
    return title, tuple(points or answers), tuple(for_index)


def write_whole(target: Path, text: str) -> None:
    """Write a file beside its target, then put it in the target's place.

    Raises ReportError where it cannot be written.
    """
    beside = target.with_name(f".{target.name}.{os.getpid()}.part")
    try:
        with beside.open("w", encoding="utf-8", newline="\n") as file:
            file.write(text)
        beside.replace(target)
    except OSError as error:
        raise ReportError(f"{target.name}: cannot be written: {error.strerror}") from None
    finally:
        beside.unlink(missing_ok=True)
