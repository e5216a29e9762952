"""A kernel of this very interpreter, out of reach of whatever lies beside a person's logbook.

Starting one and importing what a report needs takes longer than most reports: one kernel runs all
reports of a command, each in a namespace of its own (`Warm`).
"""

import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

_START_S = 60
_SOCKET_LETTERS = 100
"""What a socket's path may have at most: 107 bytes on Linux, 103 elsewhere, a number at its end."""
_FORGET = "get_ipython().reset(new_session=True)"

_SETTINGS = """\
c.IPKernelApp.log_level = 50
c.HistoryManager.enabled = False
c.InteractiveShellApp.ignore_cwd = True
"""

_ONE_THREAD = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), "1")
"""Of linear algebra, where nothing else is said: our matrices are too small to gain by more, and on
a busy machine threads that wait for one another took sixteen times as long."""


def one_thread() -> None:
    """Let NumPy, which must not be imported yet, do linear algebra in one thread."""
    for name, threads in _ONE_THREAD.items():
        os.environ.setdefault(name, threads)


NOWHERE = os.path.join(os.devnull, "nobody")  # noqa: PTH118  (a place where nothing can be made)


def with_a_home() -> None:
    """Name a home that is not there where nobody has one: Jupyter's parts ask where it is.

    They look for a person's settings in it, and keep nothing there.
    """
    try:
        Path.home()
    except RuntimeError:  # no account of this number, and no HOME
        os.environ["HOME"] = NOWHERE


def prepare(folder: Path) -> Path:
    """Make the kernels' own profile in a folder and return the empty folder they start in."""
    profile = folder / "ipython" / "profile_default"
    profile.mkdir(parents=True)
    (profile / "ipython_kernel_config.py").write_text(_SETTINGS, "utf-8")
    empty = folder / "empty"
    empty.mkdir()
    return empty


def environment(folder: Path, logbook: Path) -> dict[str, str]:
    """Return the kernels' environment: folder is one that prepare made."""
    # Set to nothing is not set: the kernel's own libraries take it for a number, and die of it.
    given = {k: v for k, v in os.environ.items() if (k, v) != ("SOURCE_DATE_EPOCH", "")}
    return {
        **_ONE_THREAD,
        **given,
        "IPYTHONDIR": str(folder / "ipython"),
        # No folder is searched for modules merely because a kernel runs in it.
        "PYTHONSAFEPATH": "1",
        # Sets of text come out in one order, so that a report made twice is the same.
        "PYTHONHASHSEED": "0",
        "PYDEVD_DISABLE_FILE_VALIDATION": "1",
        # By environment and not as a parameter: parameters are kept in the executed notebook.
        "TAREBOOK_LOGBOOK": str(logbook),
    }


def manager(folder: Path, env: Mapping[str, str]) -> type[Any]:
    """Return a kernel manager class that needs no installed kernelspec and writes in folder only.

    Installed kernelspecs are found by name, and that of another interpreter may come first.
    """
    from jupyter_client.kernelspec import KernelSpec
    from jupyter_client.manager import AsyncKernelManager

    spec = KernelSpec(
        argv=[sys.executable, "-m", "ipykernel_launcher", "-f", "{connection_file}"],
        display_name="Python 3",
        language="python",
    )

    class OwnKernel(AsyncKernelManager):
        def __init__(self, **more: Any) -> None:
            at = folder / "kernel.json"
            super().__init__(connection_file=str(at), transport=_transport(at), **more)
            self._kernel_spec = spec
            self._clients: list[Any] = []

        def client(self, **more: Any) -> Any:
            self._clients.append(super().client(**more))
            return self._clients[-1]

        def hang_up(self) -> None:
            while self._clients:
                self._clients.pop().stop_channels()

        async def _async_pre_start_kernel(self, **more: Any) -> Any:
            return await super()._async_pre_start_kernel(**{**more, "env": dict(env)})

        # The public name is bound to the parent's coroutine when the parent is made.
        pre_start_kernel = _async_pre_start_kernel

    return OwnKernel


def _transport(connection_file: Path) -> str:
    """How a kernel is talked to: through its own folder, where the system and the path let it.

    A port that was free when it was looked for may be taken when the kernel gets there, by another
    command's kernel, say.
    """
    path = os.fsencode(connection_file.with_name("kernel-ipc-1"))
    return "ipc" if os.name == "posix" and len(path) < _SOCKET_LETTERS else "tcp"


class Warm:
    """A kernel that runs one notebook after another; one that died is replaced by a new one.

    Between notebooks it forgets every name, and counts its cells from one again: what stays are
    imported modules, so that a report is the same whichever ran before it.
    """

    def __init__(self, room: Path, logbook: Path) -> None:
        """``room``: an empty folder, for the kernel's own files alone."""
        self.start = prepare(room)
        self._room = room
        self._environment = environment(room, logbook)
        self._manager: Any = None
        self._over = False

    def ready(self) -> dict[str, Any]:
        """What papermill takes to run a notebook in it. Raises RuntimeError where none starts."""
        from jupyter_core.utils import run_sync

        if self._manager is not None and not run_sync(self._manager.is_alive)():
            self.stop()
        if self._manager is None:
            self._manager = manager(self._room, self._environment)()
            # What it says as it dies is a traceback, and that it died is told in a line.
            quiet = {"stderr": subprocess.DEVNULL}
            run_sync(self._manager.start_kernel)(cwd=str(self.start), **quiet)
            if self._over:
                self.end()
        else:
            # Whoever ran a notebook leaves its client open, which swallows answers to others.
            self._manager.hang_up()
            run_sync(self._forget)()
        return {"km": self._manager}

    async def _forget(self) -> None:
        client = self._manager.client()
        client.start_channels()
        await client.wait_for_ready(timeout=_START_S)
        await client.execute(
            _FORGET, silent=True, store_history=False, reply=True, timeout=_START_S
        )
        self._manager.hang_up()

    def end(self) -> None:
        """Let no kernel run any more, from whichever thread: what runs in it fails.

        Whoever runs notebooks in it has to `stop` it all the same.
        """
        self._over = True
        process = getattr(getattr(self._manager, "provisioner", None), "process", None)
        if process is not None:
            process.kill()

    def stop(self) -> None:
        """End the kernel, if one runs."""
        from jupyter_core.utils import run_sync

        if self._manager is not None:
            self._manager.hang_up()
            running, self._manager = self._manager, None
            run_sync(running.shutdown_kernel)(now=True)
            running.cleanup_connection_file()
