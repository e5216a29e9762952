"""Keeps the notebooks' stored output: `python -m tarebook.notebooks.storing`, for developers.

`logbook DIR` writes and loads the demo logbook; `store FILE...` runs notebooks with their default
parameters and keeps what they show, cleaned of all that differs between machines.
"""

import sys
from pathlib import Path


def _logbook(folder: Path) -> None:
    from tarebook.notebooks import demonstration
    from tarebook.tripdata.store import load_logbook

    demonstration.write(folder)
    load_logbook(folder)


def _store(paths: list[Path]) -> None:
    from nbclient import NotebookClient
    from tarebook.notebooks import cleaning

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
        case ["store", *paths]:
            _store([Path(p) for p in paths])
        case _:
            print(__doc__, file=sys.stderr)
            return 2
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
