"""What is drawn and kept for the checkout, for developers; called alone it says how to use it."""

import re
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType

from ..analysis.catalogue.options import OPTIONS, by_flag
from ..analysis.tables import TABLES
from ..tripdata.guide import markdown_reference, settings_reference
from ..tripdata.store import load_logbook
from . import cleaning, demonstration
from .reports import REPORTS

_USAGE = """\
python -m tarebook.notebooks.storing WHAT

`reference FILE...` redraws the references in Markdown pages; `store FOLDER FILE...` runs notebooks
with their default parameters and keeps what they show in FOLDER, without what differs between
machines; `logbook FOLDER` writes and loads the demo logbook for them; `picture STORED FILE` makes
an SVG file of the first drawing in a stored notebook; `pictures LOGBOOK FOLDER` makes all reports
of the demo logbook and takes pictures of two of its pages with a browser."""


def _options_reference() -> str:
    takers = [REPORTS, {entry.name: entry.options for entry in TABLES.values()}]
    rows = ["| option | what it says | reports | tables |", "|---|---|---|---|"]
    for option in OPTIONS.values():
        taking = (
            ", ".join(f"`{name}`" for name, options in each.items() if option.name in options)
            for each in takers
        )
        typed = f"{option.flag or option.name} {option.metavar}".rstrip()
        rows.append(f"| `{typed}` | {option.help} | {' | '.join(taking)} |")
    return "\n".join(rows)


def _tables_reference() -> str:
    parts = []
    for entry in TABLES.values():
        flags = ", ".join(f"`{by_flag(name)}`" for name in entry.options if name != "today")
        options = f" Options: {flags}." if flags else ""
        parts.append(f"### `{entry.name}`\n\nOne row per {entry.grain}.{options}\n")
        parts.append("| column | unit | meaning |\n|---|---|---|")
        parts += [f"| `{t.name}` | {t.unit} | {t.meaning} |" for t in entry.columns]
        parts.append("")
    return "\n".join(parts)


REFERENCES: Mapping[str, Callable[[], str]] = MappingProxyType(
    {
        "columns": markdown_reference,
        "settings": settings_reference,
        "tables": _tables_reference,
        "options": _options_reference,
    }
)
"""What can be drawn, by the name in its markers, `<!-- NAME: begin -->` and `... end -->`."""

_DRAWN = re.compile(r"(<!-- (\w+): begin -->\n).*?(\n<!-- \2: end -->)", re.DOTALL)


def referenced(page: str) -> str:
    """A Markdown page with its drawn references made anew; one that has none stays as it is."""
    return _DRAWN.sub(lambda old: old[1] + REFERENCES[old[2]]().rstrip("\n") + old[3], page)


def _store(folder: Path, paths: list[Path]) -> None:
    from nbclient import NotebookClient

    for path in paths:
        notebook = cleaning.parse(path.read_text(encoding="utf-8"))
        NotebookClient(notebook, timeout=600, kernel_name="python3").execute()
        executed, remarks = cleaning.cleaned(notebook)
        (folder / path.name).write_text(cleaning.dump(executed), encoding="utf-8")
        for remark in remarks:
            print(f"{path}: {remark}", file=sys.stderr)


_DRAWING = re.compile(r"<svg\b(.*?</svg>)", re.DOTALL)
_READ_ALOUD = re.compile(r' (?:aria-[a-z]+|role)="[^"]*"')


def pictured(stored: str) -> str:
    """The first drawing of a stored notebook as an SVG file of its own.

    What is read aloud of each mark is left out: where the picture is shown, its text says it.
    """
    shown = cleaning.shown(cleaning.parse(stored), "text/html")
    drawing = next(filter(None, map(_DRAWING.search, shown)))
    return _READ_ALOUD.sub("", f'<svg xmlns="http://www.w3.org/2000/svg"{drawing[1]}\n')


def main(arguments: list[str]) -> int:
    """Do what the arguments say; returns the exit status."""
    match arguments:
        case ["logbook", folder]:
            demonstration.write(Path(folder))
            load_logbook(Path(folder))
        case ["reference", *pages] if pages:
            for path in map(Path, pages):
                path.write_text(referenced(path.read_text(encoding="utf-8")), encoding="utf-8")
        case ["store", folder, *paths] if paths:
            _store(Path(folder), [Path(p) for p in paths])
        case ["picture", stored, target]:
            Path(target).write_text(pictured(Path(stored).read_text("utf-8")), encoding="utf-8")
        case ["pictures", logbook, folder]:
            from . import everything, front_pictures

            everything.make({}, Path(logbook)).raise_failures()
            for taken in front_pictures.take(Path(logbook) / "reports", Path(folder)):
                print(taken)
        case _:
            print(_USAGE, file=sys.stderr)
            return 2
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
