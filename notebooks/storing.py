"""Keeps the notebooks' stored output: `python -m tarebook.notebooks.storing`, for developers.

`reference README.md` rewrites the references in it that are drawn from the code;
`logbook DIR` writes and loads the demo logbook; `store FILE...` runs notebooks with their default
parameters and keeps what they show, cleaned of all that differs between machines.
"""

import sys
from pathlib import Path


def _logbook(folder: Path) -> None:
    from ..tripdata.store import load_logbook
    from . import demonstration

    demonstration.write(folder)
    load_logbook(folder)


def _tables_reference() -> str:
    from ..analysis.tables import TABLES

    parts = []
    for entry in TABLES.values():
        parts.append(f"### `{entry.name}`\n\nOne row per {entry.grain}.\n")
        parts.append("| column | unit | meaning |\n|---|---|---|")
        parts += [f"| `{t.name}` | {t.unit} | {t.meaning} |" for t in entry.columns]
        parts.append("")
    return "\n".join(parts).rstrip("\n")


def referenced(page: str) -> str:
    """A Markdown page with its drawn references made anew."""
    from ..tripdata.guide import markdown_reference

    drawn = {"columns": markdown_reference().rstrip("\n"), "tables": _tables_reference()}
    for name, text in drawn.items():
        begin, end = f"<!-- {name}: begin -->\n", f"\n<!-- {name}: end -->"
        before, _, rest = page.partition(begin)
        _, _, after = rest.partition(end)
        page = before + begin + text + end + after
    return page


def _store(paths: list[Path]) -> None:
    from nbclient import NotebookClient

    from . import cleaning

    for path in paths:
        notebook = cleaning.parse(path.read_text(encoding="utf-8"))
        NotebookClient(notebook, timeout=600, kernel_name="python3").execute()
        kept, remarks = cleaning.cleaned(notebook)
        path.write_text(cleaning.dump(kept), encoding="utf-8")
        for remark in remarks:
            print(f"{path}: {remark}", file=sys.stderr)


def main(arguments: list[str]) -> int:
    """Do what the arguments say; returns the exit status."""
    match arguments:
        case ["logbook", folder]:
            _logbook(Path(folder))
        case ["reference", page]:
            path = Path(page)
            path.write_text(referenced(path.read_text(encoding="utf-8")), encoding="utf-8")
        case ["store", *paths]:
            _store([Path(p) for p in paths])
        case _:
            print(__doc__, file=sys.stderr)
            return 2
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
