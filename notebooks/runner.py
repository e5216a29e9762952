"""Makes reports: runs packaged notebooks on a logbook, each into an .ipynb and an .html file."""

import os
import re
import sys
import tempfile
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from html import unescape
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..analysis.store.today import made_on
from ..tripdata.errors import QuestionError, TarebookError
from ..tripdata.names import nearest, printable, shown
from . import bundle, cleaning, kernel, page
from .parameters import Parameter, Value, checked, declared, unknown

if TYPE_CHECKING:
    from nbformat import NotebookNode


class ReportError(TarebookError):
    """A report could not be made for a reason that is not the person's."""


@dataclass(frozen=True)
class Report:
    """A report that was made.

    remarks: what the notebook wrote to stderr. title, findings: what its opening says, the most
    telling first; where that answers nothing, what its sections answer.
    """

    name: str
    notebook: Path
    html: Path
    remarks: tuple[str, ...] = ()
    title: str = ""
    findings: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Job:
    name: str
    source: "NotebookNode"
    parameters: dict[str, Value]
    stem: str


def available(folder: Traversable | None = None) -> tuple[str, ...]:
    """Return the names of the packaged notebooks, sorted."""
    names = (entry.name for entry in _folder(folder).iterdir())
    return tuple(sorted(name[: -len(".ipynb")] for name in names if name.endswith(".ipynb")))


def parameters_of(name: str, folder: Traversable | None = None) -> dict[str, Parameter]:
    """Return the parameters of a packaged notebook, in their order.

    Raises QuestionError where there is no such notebook.
    """
    return declared(_load(name, folder))


def run(
    names: Sequence[str],
    parameters: Mapping[str, Value],
    out_dir: Path,
    *,
    logbook: Path,
    progress: bool | None = None,
    folder: Traversable | None = None,
) -> tuple[Report, ...]:
    """Make the named reports in out_dir and return them; former reports are replaced whole.

    names: packaged notebooks. parameters: given to each of them that takes them. logbook: the
    folder they ask, told to them by TAREBOOK_LOGBOOK. progress: a bar on stderr; None shows one
    on a terminal. folder: where else to look for notebooks.

    Raises QuestionError before anything runs where a name, a parameter or a value is wrong, and
    where a notebook refused what was asked; ReportError where one failed, whose notebook then lies
    beside as NAME.failed.ipynb. With several names the others are made all the same, and one error
    tells of all that were not.
    """
    jobs = _jobs(names, parameters, folder)
    on = made_on()
    out_dir = _made_folder(out_dir)
    made: list[Report] = []
    failures: list[TarebookError] = []
    bundle.begin()
    with tempfile.TemporaryDirectory(prefix="tarebook-") as scratch:
        try:
            for place, job in enumerate(jobs):
                room = Path(scratch) / str(place)
                room.mkdir()
                bar = _bar(job.name, progress)
                try:
                    done = _execute(job, room, logbook.resolve(), out_dir, bar)
                    made.append(_write(job, done, out_dir, on))
                except TarebookError as error:
                    failures.append(error)
        finally:
            bundle.discard()
    if len(failures) == 1:
        raise failures[0]
    if failures:
        kind = type(failures[0]) if len({type(each) for each in failures}) == 1 else ReportError
        told = "; ".join(str(each) for each in failures)
        raise kind(f"{len(failures)} of {len(jobs)} reports could not be made: {told}")
    return tuple(made)


def file_stem(name: str, values: Iterable[Value] = ()) -> str:
    """Return NAME or NAME-VALUE as a file name without its ending, safe on every file system."""
    text = unicodedata.normalize("NFC", "-".join([name, *map(str, values)]))
    safe = "".join(
        each if each in "-_." or unicodedata.category(each)[0] in "LMN" else "-" for each in text
    )
    safe = re.sub(r"-{2,}", "-", re.sub(r"\.{2,}", ".", safe)).strip("-.")
    return safe.encode()[:150].decode(errors="ignore").rstrip("-.") or "report"


def _made_folder(folder: Path) -> Path:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise ReportError(f"{folder.name}: cannot be made: {error.strerror}") from None
    return folder.resolve()


def _folder(folder: Traversable | None) -> Traversable:
    return resources.files("tarebook.notebooks") if folder is None else folder


def _load(name: str, folder: Traversable | None) -> "NotebookNode":
    known = available(folder)
    if name not in known:
        near = nearest(name, known)
        advice = f"did you mean {near}?" if near else f"there are {', '.join(known) or 'none'}"
        raise QuestionError(f"no report {shown(name)}; {advice}")
    text = (_folder(folder) / f"{name}.ipynb").read_text("utf-8")
    return cleaning.parse(text)


def _jobs(
    names: Sequence[str], given: Mapping[str, Value], folder: Traversable | None
) -> list[_Job]:
    sources = {name: _load(name, folder) for name in names}
    known = {name: declared(source) for name, source in sources.items()}
    if len(sources) > 1:
        everywhere = {key: each for found in known.values() for key, each in found.items()}
        for key in given:
            if key not in everywhere:
                raise QuestionError(unknown("reports", key, everywhere))
    jobs = []
    for name, source in sources.items():
        own = {key: value for key, value in given.items() if key in known[name]}
        values = checked(name, known[name], own if len(sources) > 1 else given)
        telling = [value for key, value in values.items() if value != known[name][key].default]
        jobs.append(_Job(name, source, values, file_stem(name, telling)))
    return jobs


def _bar(name: str, progress: bool | None) -> dict[str, Any] | bool:
    shown = sys.stderr.isatty() if progress is None else progress
    if not shown:
        return False
    return {"desc": name, "leave": False, "file": sys.stderr, "dynamic_ncols": True}


def _execute(
    job: _Job, room: Path, logbook: Path, out_dir: Path, bar: dict[str, Any] | bool
) -> "NotebookNode":
    from nbclient.exceptions import DeadKernelError
    from papermill import (  # type: ignore[import-untyped]
        PapermillExecutionError,
        execute_notebook,
    )

    start = kernel.prepare(room)
    kept = room / "executed.ipynb"
    try:
        executed: NotebookNode = execute_notebook(
            job.source,
            str(kept),
            parameters=job.parameters,
            kernel_name="python3",
            kernel_manager_class=kernel.manager(room, kernel.environment(room, logbook)),
            cwd=str(start),
            progress_bar=bar,
            request_save_on_cell_execute=False,
        )
        return executed
    except PapermillExecutionError as error:
        said = printable(" ".join(str(error.evalue).split()))
        if error.ename in _own_errors():
            raise QuestionError(said) from None
        failed = out_dir / f"{job.stem}.failed.ipynb"
        state, _ = cleaning.cleaned(cleaning.parse(kept.read_text("utf-8")))
        folders = {str(start): "", str(logbook): "LOGBOOK", sys.prefix: "PYTHON"}
        folders[str(Path(__file__).parents[1])] = "TAREBOOK"
        folders[str(Path.home())] = "~"
        write_whole(failed, cleaning.dump(cleaning.without_paths(state, folders)))
        raise ReportError(
            f"report {job.name} failed in cell {error.cell_index + 1}: {error.ename}: {said}; "
            f"the notebook as far as it came is {failed.name}, beside the reports"
        ) from None
    except (DeadKernelError, RuntimeError, OSError) as error:
        said = printable(" ".join(str(error).split()))
        raise ReportError(f"report {job.name} could not run: {said}") from None


def _own_errors() -> set[str]:
    """Names of all errors that a person can cause: a kernel tells an error's name only."""
    found: set[str] = set()
    waiting: list[type] = [TarebookError]
    while waiting:
        kind = waiting.pop()
        found.add(kind.__name__)
        waiting += kind.__subclasses__()
    return found


def _write(job: _Job, executed: "NotebookNode", out_dir: Path, on: Any) -> Report:
    notebook, remarks = cleaning.cleaned(executed)
    html = page.render(notebook, on=on, name=job.name)
    title, findings = _opening(notebook)
    place = out_dir / f"{job.stem}.ipynb"
    report = Report(job.name, place, place.with_suffix(".html"), remarks, title, findings)
    write_whole(report.notebook, cleaning.dump(notebook))
    write_whole(report.html, html)
    (out_dir / f"{job.stem}.failed.ipynb").unlink(missing_ok=True)
    return report


def _opening(notebook: "NotebookNode") -> tuple[str, tuple[str, ...]]:
    from ..analysis.display.sections import FINDINGS

    for cell in notebook.cells:
        for output in cell.get("outputs", ()):
            told = output.get("data", {}).get(FINDINGS)
            if told:
                findings = tuple(map(str, told["findings"]))
                return str(told["title"]), findings or _answers(notebook)
    return "", ()


def _answers(notebook: "NotebookNode") -> tuple[str, ...]:
    shown = (
        output.get("data", {}).get("text/html", "")
        for cell in notebook.cells
        for output in cell.get("outputs", ())
    )
    return tuple(
        unescape(re.sub(r"<[^>]+>", "", answer))
        for part in shown
        for answer in re.findall(r'<p class="answer">(.*?)</p>', part)
    )


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
