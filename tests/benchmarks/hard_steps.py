"""Steps of a program at its files, counted in itself, of which one fails or is its last.

A step is an opening, making, renaming, linking, removing or changing of the mode of a file or
folder below given ones, and each writing and syncing of Python's. What DuckDB writes is none: it
does that in C.
"""

import builtins
import io
import os
import signal
import sys
from collections.abc import Callable, Sequence
from typing import Any

_PATHS = {
    "open": (0,),
    "os.mkdir": (0,),
    "os.rename": (0, 1),
    "os.link": (0, 1),
    "os.symlink": (1,),
    "os.remove": (0,),
    "os.rmdir": (0,),
    "os.chmod": (0,),
    "os.truncate": (0,),
}
"""Which arguments of an audited event are paths."""


class Steps:
    """Counts steps; at the one of a number it kills this process or lets the step fail."""

    def __init__(self, folders: Sequence[str], at: int | None = None, error: int = 0) -> None:
        """``error``: with which number the step fails; 0 for a kill before it is made."""
        self.made = 0
        self.names: list[str] = []
        self._folders, self._at, self._error = tuple(folders), at, error

    @property
    def comes(self) -> bool:
        """Whether the next step is the one of the number."""
        return self.made + 1 == self._at

    def watch(self) -> None:
        """From now on, and for good: only for a process that ends soon."""
        sys.addaudithook(self._audited)
        for name in ("write", "fsync"):
            setattr(os, name, self._counted(name, getattr(os, name)))
        for place in (builtins, io):
            place.open = self._open  # type: ignore[attr-defined]

    def step(self, name: str, path: str = "") -> None:
        """One more; raises OSError where it is the one to fail."""
        self.made += 1
        self.names.append(f"{name} {path}".rstrip())
        if self.made != self._at:
            return
        if not self._error:
            os.kill(os.getpid(), signal.SIGKILL)
        raise OSError(self._error, os.strerror(self._error), path or None)

    def _audited(self, event: str, arguments: tuple[Any, ...]) -> None:
        for place in _PATHS.get(event, ()):
            path = arguments[place]
            if isinstance(path, (str, bytes, os.PathLike)) and self._inside(os.fsdecode(path)):
                self.step(event, os.fsdecode(path))
                return

    def _inside(self, path: str) -> bool:
        return os.path.abspath(path).startswith(self._folders)  # noqa: PTH100

    def _counted(self, name: str, own: Callable[..., Any]) -> Callable[..., Any]:
        def counted(handle: Any, *more: Any) -> Any:
            if not isinstance(handle, int) or handle > 2:
                self.step(name)
            return own(handle, *more)

        return counted

    def _open(
        self,
        file: Any,
        mode: str = "r",
        buffering: int = -1,
        encoding: str | None = None,
        errors: str | None = None,
        newline: str | None = None,
        closefd: bool = True,
        opener: Any = None,
    ) -> Any:
        """As `open`, but each writing of a file that is written is a step."""
        if isinstance(file, int) or not {*mode} & {*"wax"} or buffering == 0:
            return _OPEN(file, mode, buffering, encoding, errors, newline, closefd, opener)
        raw = _Raw(self, file, mode.replace("b", "").replace("t", ""), opener=opener)
        stream = io.BufferedRandom(raw) if "+" in mode else io.BufferedWriter(raw)
        return stream if "b" in mode else io.TextIOWrapper(stream, encoding, errors, newline)


_OPEN = io.open


class _Raw(io.FileIO):
    def __init__(self, steps: Steps, *more: Any, **named: Any) -> None:
        self._steps = steps
        super().__init__(*more, **named)

    def write(self, data: Any) -> int | None:
        # A writing that is the last one, or fails, has got half way.
        if self._steps.comes:
            super().write(memoryview(data).cast("B")[: len(data) // 2])
        self._steps.step("write", os.fsdecode(self.name))
        return super().write(data)
