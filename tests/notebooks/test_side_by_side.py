"""Notebooks that run side by side give what they give one after another, and end together."""

import os
from pathlib import Path

import nbformat
import pytest
from tarebook.notebooks import drawn_from, executing, runner, side_by_side
from tarebook.notebooks.jobs import jobs

FIXTURES = Path(__file__).parent
NAMES = ["a-first", "b-dies", "c-third", "d-fails", "e-fifth"]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Notebooks that say where they ran; one ends its kernel, one fails."""
    room = tmp_path_factory.mktemp("notebooks")
    plain = nbformat.read(FIXTURES / "broken-no-parameters.ipynb", as_version=4)
    place = next(at for at, cell in enumerate(plain.cells) if cell.cell_type == "code")
    for name in NAMES:
        more = {"b-dies": "import os; os._exit(1)", "d-fails": "1 / 0"}.get(name, "before")
        notebook = nbformat.from_dict(plain)
        code = f"was = 'before' in dir()\nbefore = {name!r}\nprint(before, was)\n{more}"
        notebook.cells[place] = nbformat.v4.new_code_cell(code, id="said")
        nbformat.write(notebook, room / f"{name}.ipynb")
    return room


def made(folder: Path, out: Path, logbook: Path) -> runner.Made:
    return runner.make(NAMES, {}, out, logbook=logbook, folder=folder)


def test_side_by_side_it_is_the_same_to_the_byte(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1777636800")
    came = {}
    for count in (1, 2, 3):
        monkeypatch.setattr(side_by_side, "kernels_for", lambda _, count=count: count)
        out = tmp_path / str(count)
        done = made(folder, out, tmp_path)
        assert [report.name for report in done.reports] == ["a-first", "c-third", "e-fifth"]
        assert [type(each).__name__ for each in done.failures] == ["ReportError"] * 2
        assert "b-dies could not run" in str(done.failures[0])
        assert "d-fails failed in cell" in str(done.failures[1])
        came[count] = {
            path.name: path.read_bytes()
            for path in out.iterdir()
            if path.name not in (drawn_from.FILE, "d-fails.failed.ipynb")
        }
    assert "a-first.html" in came[1]
    assert b"a-first False" in came[1]["a-first.ipynb"]
    assert b"e-fifth False" in came[1]["e-fifth.ipynb"]
    assert came[2] == came[1]
    assert came[3] == came[1]


def test_who_stops_waiting_leaves_no_kernel_behind(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import psutil

    monkeypatch.setattr(side_by_side, "kernels_for", lambda _: 2)
    wanted = jobs(["a-first", *["c-third"] * 3], {}, folder, [], False)
    for job in wanted[1:]:
        cell = next(each for each in job.source.cells if each.get("id") == "said")
        cell.source = "import time; time.sleep(900)"
    begun = []
    execute = executing.execute
    monkeypatch.setattr(executing, "execute", lambda job, *more: _noted(begun, execute, job, *more))
    running = side_by_side.executed(wanted, tmp_path, tmp_path, tmp_path, None)
    job, came = next(running)
    assert (job.name, isinstance(came, Exception)) == ("a-first", False)
    running.close()
    assert len(begun) <= 3
    left = [each.cmdline() for each in psutil.Process(os.getpid()).children(recursive=True)]
    assert not [line for line in left if str(tmp_path) in " ".join(line)]


def _noted(begun, execute, job, *more):  # type: ignore[no-untyped-def]
    begun.append(job)
    return execute(job, *more)


@pytest.mark.parametrize(
    ("cores", "notebooks", "kernels"),
    [(1, 40, 1), (2, 1, 1), (2, 5, 1), (2, 6, 2), (2, 40, 2), (64, 40, 4), (64, 9, 3)],
)
def test_a_kernel_a_core_where_there_is_work_for_it(
    cores: int, notebooks: int, kernels: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: range(cores), raising=False)
    assert side_by_side.kernels_for(notebooks) == kernels
