"""A kernel of this very interpreter, out of reach of whatever lies beside a person's logbook."""

import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

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
    return {
        **_ONE_THREAD,
        **os.environ,
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
            super().__init__(connection_file=str(folder / "kernel.json"), **more)
            self._kernel_spec = spec

        async def _async_pre_start_kernel(self, **more: Any) -> Any:
            return await super()._async_pre_start_kernel(**{**more, "env": dict(env)})

        # The public name is bound to the parent's coroutine when the parent is made.
        pre_start_kernel = _async_pre_start_kernel

    return OwnKernel
