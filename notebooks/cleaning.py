"""Executed notebooks without what differs from run to run and from machine to machine."""

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from nbformat import NotebookNode


def parse(text: str) -> "NotebookNode":
    """Return the notebook of an .ipynb file's text; what differs between machines is left out."""
    import nbformat

    notebook: NotebookNode = nbformat.reads(text, as_version=4)  # type: ignore[no-untyped-call]
    notebook.metadata = metadata()
    return notebook


def dump(notebook: "NotebookNode") -> str:
    """Return the text of an .ipynb file."""
    import nbformat

    return str(nbformat.writes(notebook)) + "\n"  # type: ignore[no-untyped-call]


def metadata() -> "NotebookNode":
    """Return the notebook metadata that is the same on every machine."""
    kernelspec = {"display_name": "Python 3", "language": "python", "name": "python3"}
    return node({"kernelspec": kernelspec, "language_info": {"name": "python"}})


def shown(notebook: "NotebookNode", kind: str) -> Iterator[Any]:
    """What the outputs of a notebook have under a MIME type, in their order."""
    for cell in notebook.cells:
        for output in cell.get("outputs", ()):
            if kind in output.get("data", ()):
                yield output.data[kind]


def cleaned(notebook: "NotebookNode") -> tuple["NotebookNode", tuple[str, ...]]:
    """Return the notebook cleaned, and the remarks that it wrote to stderr.

    Timings, run metadata and versions go; cells are numbered; what was written to stderr (warnings
    name files of this machine) is handed back instead of kept.
    """
    from papermill.execute import remove_error_markers  # type: ignore[import-untyped]

    result = parse(dump(remove_error_markers(notebook)))
    remarks = []
    for place, cell in enumerate(result.cells, start=1):
        cell.id = f"cell-{place:02d}"
        tags = cell.metadata.get("tags", [])
        cell.metadata = node({"tags": tags} if tags else {})
        if cell.cell_type != "code":
            continue
        on_stderr = [o for o in cell.outputs if o.output_type == "stream" and o.name == "stderr"]
        remarks += [output.text.strip() for output in on_stderr]
        cell.outputs = [output for output in cell.outputs if output not in on_stderr]
        for output in cell.outputs:
            output.pop("transient", None)
    return result, tuple(remark for remark in remarks if remark)


def without_paths(notebook: "NotebookNode", folders: Mapping[str, str]) -> "NotebookNode":
    """Return a failed notebook whose tracebacks name folders by what they are, not where."""
    for cell in notebook.cells:
        for output in cell.get("outputs", ()):
            if output.output_type == "error":
                for folder, word in folders.items():
                    output.traceback = [line.replace(folder, word) for line in output.traceback]
                    output.evalue = output.evalue.replace(folder, word)
    return notebook


def node(values: dict[str, Any]) -> "NotebookNode":
    """Return a dictionary as a notebook, or as a part of one, whose keys are attributes too."""
    import nbformat

    made: NotebookNode = nbformat.from_dict(values)  # type: ignore[no-untyped-call]
    return made
