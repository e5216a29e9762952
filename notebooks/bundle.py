"""The drawing library of all pages as one script without a single web address in it.

It stands once beside the pages, under a name that tells what it holds; a page without it shows the
drawings that it holds itself.

Making it takes as long as running a small notebook, and holds up everything else in its process;
so a process of its own makes it while the notebooks run.
"""

import hashlib
import re
import subprocess
import sys
from functools import cache

from ..analysis.display.figure import VEGA_LITE

_HOSTS = re.compile(r"https?://(?:github\.com|vega\.github\.io)/")


_workers: list[subprocess.Popen[bytes]] = []
"""The one process that makes the script, while there is one."""


def begin() -> None:
    """Start making the script, unless it is being made or there already."""
    if not _workers and not script.cache_info().currsize:
        # -P: what lies in the current folder must not stand in for a module.
        command = [sys.executable, "-P", "-m", __name__]
        worker = subprocess.Popen(
            command, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
        )
        _workers.append(worker)


def discard() -> None:
    """Stop making a script that nobody asked for."""
    while _workers:
        worker = _workers.pop()
        worker.kill()
        worker.communicate()


@cache
def script() -> str:
    """Return the script; where it was not begun, or that failed, it is made here and now."""
    while _workers:
        worker = _workers.pop()
        text = worker.communicate()[0]
        if worker.returncode == 0:
            return text.decode("utf-8")
    return _script()


PREFIX = "charts-"
"""How the names of all such files begin."""


@cache
def file_name() -> str:
    """The name of the script's file: a page never meets a script other than the one it is for."""
    return f"{PREFIX}{hashlib.sha256(script().encode()).hexdigest()[:12]}.js"


def is_ours(name: str) -> bool:
    """Whether a file is called as one of these scripts."""
    return re.fullmatch(rf"{PREFIX}[0-9a-f]{{12}}\.js", name) is not None


def _script() -> str:
    import vl_convert

    text: str = vl_convert.javascript_bundle(
        "window.tarebookEmbed = vegaEmbed;", vl_version=VEGA_LITE
    )
    # What is left are names of XML namespaces; in a string literal the escape reads the same.
    text = re.sub(r"(https?:)//", r"\1\\u002f\\u002f", _HOSTS.sub("", text))
    return re.sub(r"<(/script|!--)", r"<\\\1", text, flags=re.IGNORECASE)


if __name__ == "__main__":
    sys.stdout.buffer.write(_script().encode("utf-8"))
