"""Sessions printed in the documentation: found in it, and run as printed.

A session is a fenced block of language `console`; a line that begins with `$ ` is a command, lines
that begin with `> ` go on with it, and what follows is what it prints.

Sessions of one page, and of pages that follow it, go on in one folder.

`python tests/docs/sessions.py PAGE...` runs the sessions of pages, and writes what they print into
them.
"""

import os
import re
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

_BLOCK = re.compile(r"^```console\n(.*?)^```$", re.MULTILINE | re.DOTALL)


@dataclass(frozen=True, slots=True)
class Step:
    """One command of a session and what the page says it prints (stdout and stderr together)."""

    command: str
    prints: str


def sessions(page: str) -> list[list[Step]]:
    """The sessions of a Markdown page, in order."""
    return [_steps(block) for block in _BLOCK.findall(page)]


def _steps(block: str) -> list[Step]:
    steps: list[Step] = []
    command: list[str] = []
    prints: list[str] = []
    for line in block.splitlines():
        if line.startswith("$ "):
            if command:
                steps.append(Step("\n".join(command), "\n".join(prints)))
            command, prints = [line[2:]], []
        elif line.startswith("> ") and not prints:
            command.append(line[2:])
        else:
            prints.append(line)
    if command:
        steps.append(Step("\n".join(command), "\n".join(prints)))
    return steps


def run(step: Step, folder: Path, environment: dict[str, str]) -> str:
    """Run one step in a folder with bash; returns what it prints, without trailing blanks."""
    done = subprocess.run(
        ["bash", "-c", step.command],
        cwd=folder,
        env=os.environ | environment,
        text=True,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        check=False,
    )
    return "\n".join(line.rstrip() for line in done.stdout.rstrip().splitlines())


def surroundings(home: Path) -> dict[str, str]:
    """The environment that the sessions run in: this interpreter's commands, an empty home."""
    where = f"{Path(sys.executable).parent}:/usr/bin:/bin"
    return {"PATH": where, "HOME": str(home), "SOURCE_DATE_EPOCH": "1795996800"}


def _filled(page: str, folder: Path, home: Path) -> str:
    def fill(block: re.Match[str]) -> str:
        lines = ["```console"]
        for step in _steps(block[1]):
            lines += ["$ " + step.command.replace("\n", "\n> ")]
            printed = run(step, folder, surroundings(home))
            lines += [printed] if printed else []
        return "\n".join([*lines, "```"])

    return _BLOCK.sub(fill, page)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made, tempfile.TemporaryDirectory() as home_:
        for file in map(Path, sys.argv[1:]):
            file.write_text(_filled(file.read_text("utf-8"), Path(made), Path(home_)), "utf-8")
