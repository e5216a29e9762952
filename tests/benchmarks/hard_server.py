"""Runs commands in children of itself, so that a command costs no imports.

A line of JSON on stdin is a `Request`, one on stdout tells how it ended. Nothing of DuckDB is open
in this process, and no thread of ours runs in it, so that a child is like a fresh command.
"""

import importlib
import json
import os
import pickle
import resource
import signal
import sys
import tempfile
import time
from contextlib import suppress
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))


_COMMON = """
    _strptime duckdb filelock geographiclib.geodesic tarebook.analysis.store.set_aside
    tarebook.notebooks.cli tarebook.notebooks.demonstration
    tarebook.notebooks.printing tarebook.notebooks.writing tarebook.tripdata.check
    tarebook.tripdata.demo.writing tarebook.tripdata.start tarebook.tripdata.store zoneinfo
"""
_PAGES = """
    jupyter_client.manager nbclient nbconvert papermill scipy.stats
    tarebook.notebooks.everything tarebook.notebooks.index tarebook.notebooks.page
"""


def _import_all(pages: bool) -> None:
    for name in (*_COMMON.split(), *(_PAGES.split() if pages else ())):
        importlib.import_module(name)
    tempfile.gettempdir()  # tried out once, and not in each child
    _read_a_command_line()
    if pages:
        from tarebook.notebooks import bundle

        bundle.begin()
        bundle.script()


def _read_a_command_line() -> None:
    """What reads one imports its share when it reads the first; this one is refused right away."""
    from tarebook.notebooks import cli

    with suppress(Exception):
        cli.app(["check", os.devnull], standalone_mode=False)


def _without_kernels(kept: Path) -> None:
    """Notebooks are not run: what each gave when it was run stands in a folder."""
    from tarebook.notebooks import executing

    def execute(job: Any, *_: Any) -> Any:
        return pickle.loads((kept / f"{job.stem}.pickle").read_bytes())

    executing.execute = execute


def _keeping(kept: Path) -> None:
    """Notebooks are run, and what each gave is put into a folder."""
    from tarebook.notebooks import executing

    really = executing.execute

    def execute(job: Any, *more: Any) -> Any:
        done = really(job, *more)
        (kept / f"{job.stem}.pickle").write_bytes(pickle.dumps(done))
        return done

    executing.execute = execute


def _without_reports() -> None:
    from tarebook.notebooks import everything, runner, site

    everything.make = lambda *_: runner.Made((), (), site.Site())


def _planted(name: str) -> None:
    """A fault put into the program, so that a test sees whether it is found."""
    import hard_planted

    getattr(hard_planted, name)()


def _run(request: dict[str, Any], tell: int) -> None:
    """The child: one command, to its end."""
    for stream, name in ((1, "out"), (2, "err")):
        os.dup2(os.open(request[name], os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o644), stream)
    os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
    sys.stdout = open(1, "w", encoding="utf-8", closefd=False)  # noqa: SIM115
    sys.stderr = open(2, "w", 1, encoding="utf-8", closefd=False)  # noqa: SIM115
    signal.signal(signal.SIGINT, signal.default_int_handler)
    os.environ.update(request.get("environment", {}))
    if room := request.get("room"):
        sys.dont_write_bytecode = True  # half a compiled module would be read by the next command
        resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))
    if request.get("planted"):
        _planted(request["planted"])
    if request.get("kept"):
        _without_kernels(Path(request["kept"]))
    if request.get("keep"):
        _keeping(Path(request["keep"]))
    if request.get("without_reports"):
        _without_reports()
    from tarebook.notebooks import cli

    steps = None
    if request.get("folders"):
        from hard_steps import Steps

        steps = Steps(request["folders"], request.get("at"), request.get("error") or 0)
        steps.watch()
    sys.argv = ["tarebook", *request["words"]]
    status = 70
    try:
        cli.main()
    except SystemExit as stop:
        status = stop.code if isinstance(stop.code, int) else (1 if stop.code else 0)
    except BaseException:
        import traceback

        traceback.print_exc()
    finally:
        if steps is not None:
            steps_made = json.dumps(steps.names)
            os.writev(tell, [steps_made.encode()])
        os._exit(status)


def serve() -> None:
    """Answer requests until stdin ends; who is asked to stop is the harness, not this."""
    # Of Python's own, not "ignore": what a command starts would have that, too.
    signal.signal(signal.SIGTERM, lambda *_: None)
    _import_all("pages" in sys.argv)
    answers = os.fdopen(os.dup(1), "w")
    print("{}", file=answers, flush=True)
    for line in sys.stdin:
        request = json.loads(line)
        reads, writes = os.pipe()
        began = time.monotonic()
        pid = os.fork()
        if pid == 0:
            os.close(reads)
            _run(request, writes)
        os.close(writes)
        if request.get("kill_after") is not None:
            time.sleep(request["kill_after"])
            os.kill(pid, signal.SIGKILL)
        with os.fdopen(reads, "rb") as told:
            names = told.read()
        _, status, usage = os.wait4(pid, 0)
        answer = {
            "status": os.waitstatus_to_exitcode(status),
            "seconds": time.monotonic() - began,
            "steps": [] if os.waitstatus_to_exitcode(status) < 0 else json.loads(names or b"[]"),
            "peak_mb": usage.ru_maxrss / 1024,
        }
        print(json.dumps(answer), file=answers, flush=True)


if __name__ == "__main__":
    serve()
