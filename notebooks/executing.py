"""Runs one notebook in the warm kernel: what came of it, what it found, and why it failed."""

import logging
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..analysis.display.sections import FINDINGS, Point
from ..tripdata.errors import QuestionError, TarebookError
from ..tripdata.leftovers import put_over
from ..tripdata.names import printable
from . import cleaning, kernel
from .jobs import Job

if TYPE_CHECKING:
    from nbformat import NotebookNode


class ReportError(TarebookError):
    """A report could not be made for a reason that is not the person's."""


def progress_bar(name: str, progress: bool | None, line: int = 0) -> dict[str, Any] | bool:
    """What papermill takes for a bar on stderr; None of ``progress``: only on a terminal.

    line: below the current one, where several bars run.
    """
    if not (sys.stderr.isatty() if progress is None else progress):
        return False
    return {
        "desc": name,
        "leave": False,
        "file": sys.stderr,
        "dynamic_ncols": True,
        "position": line,
    }


def execute(
    job: Job, warm: kernel.Warm, logbook: Path, out_dir: Path, bar: dict[str, Any] | bool
) -> "NotebookNode":
    """Run a report's notebook and return it with its output.

    Raises QuestionError where it refused what was asked; ReportError where it failed, and then the
    notebook as far as it came lies in ``out_dir``.
    """
    from nbclient.exceptions import DeadKernelError
    from papermill import PapermillExecutionError as Failed  # type: ignore[import-untyped]
    from papermill import execute_notebook

    # Of a kernel that dies it would say so, too, before our own line does.
    logging.getLogger("papermill").setLevel(logging.CRITICAL)
    state = warm.start.with_name("executed.ipynb")
    try:
        executed: NotebookNode = execute_notebook(
            job.source,
            str(state),
            parameters=dict(job.parameters),
            kernel_name="python3",
            progress_bar=bar,
            request_save_on_cell_execute=False,
            **warm.ready(),
        )
        return executed
    except Failed as error:
        reason = _one_line(error.evalue)
        if error.ename in _own_errors():
            raise QuestionError(reason) from None
        failed = out_dir / f"{job.stem}.failed.ipynb"
        notebook, _ = cleaning.cleaned(cleaning.parse(state.read_text("utf-8")))
        folders = {
            str(warm.start): "",
            str(logbook): "LOGBOOK",
            sys.prefix: "PYTHON",
            str(Path(__file__).parents[1]): "TAREBOOK",
            **_home(),
        }
        write_whole(failed, cleaning.dump(cleaning.without_paths(notebook, folders)))
        raise ReportError(
            f"report {job.name} failed in cell {error.cell_index + 1}: {error.ename}: {reason}; "
            f"the notebook as far as it came is {failed.name}, beside the reports"
        ) from None
    except (DeadKernelError, RuntimeError, OSError) as error:
        raise ReportError(f"report {job.name} could not run: {_one_line(error)}") from None


def _home() -> dict[str, str]:
    try:
        return {str(Path.home()): "~"}
    except RuntimeError:  # nobody has an account here
        return {}


def _one_line(error: object) -> str:
    return printable(" ".join(str(error).split()))


def _own_errors() -> set[str]:
    """Names of all errors that a person can cause: a kernel tells an error's name only."""
    kinds: list[type] = [TarebookError]
    for kind in kinds:
        kinds += kind.__subclasses__()
    return {kind.__name__ for kind in kinds}


def findings(
    notebook: "NotebookNode",
) -> tuple[str, tuple[Point, ...], tuple[str, ...], str]:
    """Title, findings, for_index and sentence of an executed notebook, each as of `Report`."""
    title, points, answers, for_index, sentence = "", [], [], [], ""
    for piece in cleaning.shown(notebook, FINDINGS):
        title = title or piece.get("title", "")
        sentence = sentence or piece.get("sentence", "")
        points += [Point(**each) for each in piece.get("points", ())]
        answers += [Point("", piece["answer"])] if "answer" in piece else []
        for_index += [piece["for_index"]] if "for_index" in piece else []
    points.sort(key=lambda point: not point.leads)
    return title, tuple(points or answers), tuple(for_index), sentence


def write_whole(target: Path, text: str) -> None:
    """Write a file beside its target, then put it in the target's place.

    Raises ReportError where it cannot be written.
    """
    try:
        put_over(target, text.encode("utf-8"))
    except OSError as error:
        raise ReportError(f"{target.name}: cannot be written: {error.strerror}") from None
