import json
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import nbformat
import pytest
from tarebook.notebooks import bundle, drawn_from, kernel, runner
from tarebook.tripdata.errors import QuestionError

FIXTURES = Path(__file__).parent
HOSTILE = "</script><img src=x onerror=alert(1)> {{7*7}} `$x$` \u202e\x07"
NOON_1_MAY_2026 = "1777636800"


@pytest.fixture(scope="module")
def logbook(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with everything in it that could shadow a module, standing where a person works."""
    folder = tmp_path_factory.mktemp("logbook")
    for name in ("tarebook", "tripdata", "analysis", "notebooks"):
        (folder / name).mkdir()
        (folder / name / "__init__.py").write_text("raise RuntimeError('shadowed')")
    for name in ("json", "altair", "pandas"):
        (folder / f"{name}.py").write_text("raise RuntimeError('shadowed')")
    return folder


@pytest.fixture(scope="module")
def made(logbook: Path, tmp_path_factory: pytest.TempPathFactory) -> list[runner.Report]:
    """The sample report, made twice, from inside the logbook and with a kernelspec that lies."""
    data = tmp_path_factory.mktemp("data")
    lying = data / "kernels" / "python3"
    lying.mkdir(parents=True)
    spec = {"argv": ["/nowhere/python"], "display_name": "Python 3", "language": "python"}
    (lying / "kernel.json").write_text(json.dumps(spec))
    reports = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("JUPYTER_PATH", str(data))
        patch.setenv("SOURCE_DATE_EPOCH", NOON_1_MAY_2026)
        patch.setenv("WANTED", sys.executable)
        patch.chdir(logbook)
        for _ in range(2):
            out = tmp_path_factory.mktemp("reports")
            given = {"trip": "2026-05-river", "name": HOSTILE}
            reports += runner.run(["sample"], given, out, logbook=logbook, folder=FIXTURES)
    return reports


def test_a_report_is_a_notebook_and_a_page_named_after_what_was_asked(
    made: list[runner.Report],
) -> None:
    report = made[0]
    assert report.name == "sample"
    assert report.html.name.startswith("sample-2026-05-river")
    assert report.html.suffix == ".html"
    assert report.notebook == report.html.with_suffix(".ipynb")
    beside = [report.html.with_name(name) for name in (bundle.file_name(), drawn_from.FILE)]
    assert sorted(report.html.parent.iterdir()) == sorted([report.notebook, report.html, *beside])


def test_made_twice_it_is_the_same_to_the_byte(made: list[runner.Report]) -> None:
    first, second = made
    assert first.notebook.read_bytes() == second.notebook.read_bytes()
    assert first.html.read_bytes() == second.html.read_bytes()


def test_the_date_stands_in_one_place_and_obeys_the_environment(made: list[runner.Report]) -> None:
    page = made[0].html.read_text("utf-8")
    assert page.count("1 May 2026") == 1
    assert "Made on 1 May 2026 with Tarebook" in page
    assert "1 May 2026" not in made[0].notebook.read_text("utf-8")


def test_the_kernel_is_this_interpreter_in_an_empty_folder(made: list[runner.Report]) -> None:
    # The list, the number of files in the kernel's folder, and whether its interpreter is ours.
    assert "[&#39;a&#39;, &#39;b&#39;, &#39;c&#39;] 0 True" in made[0].html.read_text("utf-8")


def test_the_notebook_is_valid_and_free_of_this_run_and_machine(
    made: list[runner.Report], logbook: Path
) -> None:
    text = made[0].notebook.read_text("utf-8")
    notebook = nbformat.reads(text, as_version=4)
    nbformat.validate(notebook)
    assert set(notebook.metadata) == {"kernelspec", "language_info"}
    assert [cell.id for cell in notebook.cells] == [
        f"cell-{n:02d}" for n in range(1, len(notebook.cells) + 1)
    ]
    code = [cell for cell in notebook.cells if cell.cell_type == "code"]
    assert all(cell.execution_count for cell in code)
    for trace in ("papermill", "start_time", str(logbook), sys.prefix, str(Path.home()), "/tmp/"):
        assert trace not in text


def test_what_a_notebook_wrote_to_stderr_is_handed_back_and_not_kept(
    made: list[runner.Report],
) -> None:
    assert len(made[0].remarks) == 1
    assert "a warning that names a file of this machine" in made[0].remarks[0]
    notebook = nbformat.read(made[0].notebook, as_version=4)
    outputs = [each for cell in notebook.cells for each in cell.get("outputs", ())]
    assert "a warning" not in str(outputs)
    assert "a warning" not in made[0].html.read_text("utf-8")


def test_the_page_is_whole_and_names_no_address(made: list[runner.Report]) -> None:
    page = made[0].html.read_text("utf-8")
    assert page.startswith('<!DOCTYPE html>\n<html lang="en">')
    assert page.endswith("</html>\n")
    assert not re.findall(r"https?://", page)
    markup = re.sub(r"<script[ >].*?</script>", "", page, flags=re.DOTALL)
    # Within itself it links to its main part alone.
    assert not re.findall(r'\b(?:src|href)="(?!data:|#main")', markup)
    assert re.findall(r'<script data-charts="([^"]*)"', page) == [bundle.file_name()]
    assert "window.tarebookEmbed=" not in page
    script = (made[0].html.parent / bundle.file_name()).read_text("utf-8")
    assert script.count("window.tarebookEmbed=") == 1
    assert not re.findall(r"https?://", script)
    assert "default-src 'none'" in page
    assert '<meta name="viewport"' in page
    assert "<title>A trip with &lt;/script&gt;" in page


def test_the_page_shows_no_inputs_and_no_empty_section(made: list[runner.Report]) -> None:
    page = made[0].html.read_text("utf-8")
    assert "import altair" not in page
    assert "injected" not in page
    assert "Failures" not in page
    assert page.index("Each answer comes first.") < page.index("<h2>What it weighed</h2>")


def test_person_written_text_stays_text(made: list[runner.Report]) -> None:
    page = made[0].html.read_text("utf-8")
    assert "<img src=x" not in page
    assert "{{7*7}}" in page
    assert "\u202e" not in page
    assert "\x07" not in page


def test_a_failing_cell_is_named_and_the_former_report_stays_whole(
    tmp_path: Path, logbook: Path
) -> None:
    (tmp_path / "broken-raises.html").write_text("the former page")
    (tmp_path / "broken-raises.ipynb").write_text("the former notebook")
    with pytest.raises(runner.ReportError) as told:
        runner.run(["broken-raises"], {}, tmp_path, logbook=logbook, folder=FIXTURES)
    assert str(told.value) == (
        "report broken-raises failed in cell 4: ZeroDivisionError: division by zero; "
        "the notebook as far as it came is broken-raises.failed.ipynb, beside the reports"
    )
    assert (tmp_path / "broken-raises.html").read_text() == "the former page"
    assert (tmp_path / "broken-raises.ipynb").read_text() == "the former notebook"
    failed = tmp_path / "broken-raises.failed.ipynb"
    notebook = nbformat.read(failed, as_version=4)
    nbformat.validate(notebook)
    assert notebook.cells[3].outputs[0].ename == "ZeroDivisionError"
    assert not [cell for cell in notebook.cells if "papermill" in cell.source]
    assert len(list(tmp_path.iterdir())) == 3


def test_a_refusal_is_one_line_and_leaves_no_files(tmp_path: Path, logbook: Path) -> None:
    with pytest.raises(QuestionError) as told:
        runner.run(["broken-refuses"], {"trip": "x"}, tmp_path, logbook=logbook, folder=FIXTURES)
    assert str(told.value) == "no trip 'x' in this logbook; did you mean 2026-05-river?"
    assert list(tmp_path.iterdir()) == []


def test_wrong_questions_are_refused_before_anything_runs(tmp_path: Path) -> None:
    out = tmp_path / "reports"

    def refused(names: list[str], given: dict[str, runner.Value]) -> str:
        with pytest.raises(QuestionError) as told:
            runner.run(names, given, out, logbook=tmp_path, folder=FIXTURES)
        return str(told.value)

    assert refused(["smple"], {}) == 'no report "smple"; did you mean "sample"?'
    assert refused(["broken-no-parameters"], {"trip": "x"}) == (
        'report broken-no-parameters: no parameter "trip"; it takes none'
    )
    assert refused(["sample"], {"tripp": "x"}) == (
        'report sample: no parameter "tripp"; did you mean "trip"?'
    )
    assert refused(["sample", "broken-raises"], {"chancs": 1}) == (
        'reports: no parameter "chancs"; did you mean "chances"?'
    )
    assert refused(["sample", "broken-raises"], {"chances": "x"}) == (
        'report sample: chances: expected a whole number, got "x"'
    )
    assert not out.exists()


def test_of_several_reports_one_failure_does_not_stop_the_others(
    tmp_path: Path, logbook: Path
) -> None:
    names = ["broken-refuses", "broken-no-parameters"]
    with pytest.raises(QuestionError, match="no trip 'x' in this logbook"):
        runner.run(names, {"trip": "x"}, tmp_path, logbook=logbook, folder=FIXTURES)
    assert sorted(each.name for each in tmp_path.iterdir()) == [
        drawn_from.FILE,
        "broken-no-parameters.html",
        "broken-no-parameters.ipynb",
    ]
    page = (tmp_path / "broken-no-parameters.html").read_text("utf-8")
    assert "<title>Nothing can be asked of this one</title>" in page
    # It reads its tables with a script, and draws nothing.
    assert page.count("<script") == 1
    assert "data-charts" not in page


def test_reports_of_one_run_know_nothing_of_each_other(
    made: list[runner.Report], tmp_path: Path, logbook: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One kernel runs them all: the second is the same as if it were alone."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", NOON_1_MAY_2026)
    monkeypatch.setenv("WANTED", sys.executable)
    given = {"trip": "2026-05-river", "name": HOSTILE}
    names = ["broken-no-parameters", "broken-raises", "sample"]
    done = runner.make(names, given, tmp_path, logbook=logbook, folder=FIXTURES)
    assert [type(each).__name__ for each in done.failures] == ["ReportError"]
    last = done.reports[-1]
    assert last.name == "sample"
    assert last.notebook.read_bytes() == made[0].notebook.read_bytes()
    assert last.html.read_bytes() == made[0].html.read_bytes()


def test_a_kernel_that_dies_takes_no_other_report_with_it(tmp_path: Path, logbook: Path) -> None:
    deadly = tmp_path / "notebooks"
    deadly.mkdir()
    text = (FIXTURES / "broken-no-parameters.ipynb").read_text("utf-8")
    notebook = nbformat.reads(text, as_version=4)
    (deadly / "b-lives.ipynb").write_text(text, "utf-8")
    code = next(cell for cell in notebook.cells if cell.cell_type == "code")
    code.source = "import os; os._exit(1)"
    nbformat.write(notebook, deadly / "a-dies.ipynb")
    done = runner.make(["a-dies", "b-lives"], {}, tmp_path / "out", logbook=logbook, folder=deadly)
    assert [report.name for report in done.reports] == ["b-lives"]
    assert "report a-dies could not run" in str(done.failures[0])


def test_a_bar_shows_where_it_is_wanted_only(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for wanted in (None, True):
        runner.run(
            ["broken-no-parameters"],
            {},
            tmp_path,
            logbook=tmp_path,
            folder=FIXTURES,
            progress=wanted,
        )
        shown = capsys.readouterr()
        assert shown.out == ""
        assert ("broken-no-parameters" in shown.err) is bool(wanted)
        assert "\x1b[3" not in shown.err


def test_a_place_that_cannot_be_written_to_is_told_in_one_line(tmp_path: Path) -> None:
    (tmp_path / "reports").write_text("a file")
    with pytest.raises(runner.ReportError) as told:
        runner.run(
            ["broken-no-parameters"],
            {},
            tmp_path / "reports",
            logbook=tmp_path,
            folder=FIXTURES,
        )
    assert str(told.value) == "reports: cannot be made: File exists"


def test_a_date_that_is_none_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "yesterday")
    with pytest.raises(QuestionError) as told:
        runner.run(["sample"], {}, tmp_path / "out", logbook=tmp_path, folder=FIXTURES)
    assert str(told.value) == (
        'SOURCE_DATE_EPOCH: expected whole seconds since 1970, got "yesterday"; correct or unset it'
    )
    assert not os.path.lexists(tmp_path / "out")


def test_a_date_set_to_nothing_is_none(
    tmp_path: Path, logbook: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "")
    (report,) = runner.run(["sample"], {}, tmp_path / "out", logbook=logbook, folder=FIXTURES)
    assert "Made on" in report.html.read_text("utf-8")


@pytest.mark.parametrize(("said", "threads"), [(None, "1"), ("3", "3")])
def test_linear_algebra_has_one_thread_where_nothing_else_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, said: str | None, threads: str
) -> None:
    for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
        monkeypatch.delenv(name, raising=False)
    if said:
        monkeypatch.setenv("OPENBLAS_NUM_THREADS", said)
    assert kernel.environment(tmp_path, tmp_path)["OPENBLAS_NUM_THREADS"] == threads
    script = (
        "import os, sys\nfrom tarebook.notebooks import cli\nsys.argv = ['tarebook', '--help']\n"
        "try: cli.main()\nexcept SystemExit: pass\n"
        "print('\\n', 'numpy' in sys.modules, os.environ['OPENBLAS_NUM_THREADS'])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert done.stdout.split()[-2:] == ["False", threads]


@pytest.mark.skipif(os.name != "posix", reason="sockets in a folder")
def test_a_kernel_takes_no_port_where_its_folder_can_hold_a_socket(tmp_path: Path) -> None:
    with tempfile.TemporaryDirectory() as short:
        near = kernel.manager(Path(short), {})()
        assert (near.transport, near.ip) == ("ipc", str(Path(short) / "kernel-ipc"))
    far = kernel.manager(tmp_path / ("deep" * 30), {})()
    assert far.transport == "tcp"
