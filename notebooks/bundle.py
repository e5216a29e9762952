"""The drawing library of a page as one script without a single web address in it.

Making it takes as long as running a small notebook, and holds up everything else in its process;
so a process of its own makes it while the notebooks run.
"""

import re
import subprocess
import sys
from functools import cache

from ..analysis.display.figure import VEGA_LITE

_HOSTS = re.compile(r"https?://(?:github\.com|vega\.github\.io)/")


def begin() -> None:
    """Start making the script, unless it is being made or there already."""
    _Worker.start()


def discard() -> None:
    """Stop making a script that nobody asked for."""
    _Worker.stop()


@cache
def script() -> str:
    """Return the script; where it was not begun, or that failed, it is made here and now."""
    return _Worker.take() or made()


def made() -> str:
    """Make the script."""
    import vl_convert

    text: str = vl_convert.javascript_bundle(
        "window.tarebookEmbed = vegaEmbed;", vl_version=VEGA_LITE
    )
    text = _HOSTS.sub("", text)
    # What is left are names of XML namespaces; in a string literal the escape reads the same.
    text = re.sub(r"(https?:)//", r"\1\\u002f\\u002f", text)
    return re.sub(r"<(/script|!--)", r"<\\\1", text, flags=re.IGNORECASE)


class _Worker:
    """The one process that makes the script, if there is one."""

    running: subprocess.Popen[bytes] | None = None

    @classmethod
    def start(cls) -> None:
        if cls.running is None and not script.cache_info().currsize:
            # -P: what lies in the current folder must not stand in for a module.
            command = [sys.executable, "-P", "-m", __name__]
            cls.running = subprocess.Popen(
                command, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
            )

    @classmethod
    def take(cls) -> str:
        worker, cls.running = cls.running, None
        if worker is None:
            return ""
        text = worker.communicate()[0]
        return text.decode("utf-8") if worker.returncode == 0 else ""

    @classmethod
    def stop(cls) -> None:
        worker, cls.running = cls.running, None
        if worker is not None:
            worker.kill()
            worker.communicate()


if __name__ == "__main__":
    sys.stdout.buffer.write(made().encode("utf-8"))
