"""One executed notebook as one self-contained HTML file: no network, no inputs, one date."""

import base64
import hashlib
import re
from datetime import date
from importlib import resources
from typing import TYPE_CHECKING, Any

from ..analysis.display.words import day
from ..tripdata.version import VERSION
from . import bundle

if TYPE_CHECKING:
    from nbformat import NotebookNode

_H1 = re.compile(r"<h1[^>]*>(.*?)</h1>", re.DOTALL)
_TAG = re.compile(r"<[^>]+>")


def render(notebook: "NotebookNode", *, on: date, name: str = "Report") -> str:
    """Return the page of an executed notebook.

    The title is the notebook's first top heading, else name.
    """
    page: dict[str, Any] = {
        "language": "en",
        "made_on": day(on, weekday=False),
        "version": VERSION,
        "style": _packaged("page.css"),
        "title": _title(notebook, name),
        "scripts": [],
    }
    if _has_figures(notebook):
        page["scripts"] = [bundle.script(), _packaged("embed.js")]
    page["policy"] = _policy(page["scripts"])
    return _export(notebook, page)


def _export(notebook: "NotebookNode", page: dict[str, Any]) -> str:
    from nbconvert.exporters import HTMLExporter, TemplateExporter
    from traitlets.config import Config

    kinds = ["text/html", "image/png", "text/plain"]
    with resources.as_file(resources.files("tarebook.notebooks")) as folder:
        exporter = HTMLExporter(  # type: ignore[no-untyped-call]
            extra_template_basedirs=[str(folder)],
            template_name="template",
            config=Config({"NbConvertBase": {"display_data_priority": kinds}}),
        )
        # Not HTMLExporter's own: it parses the whole page again, which rewrites attribute case.
        html, _ = TemplateExporter.from_notebook_node(exporter, notebook, {"page": page})
    return str(html) + "\n"


def _policy(scripts: list[str]) -> str:
    """Only what the page holds may be used; of scripts, only these, by their hash."""
    hashes = [
        "'sha256-" + base64.b64encode(hashlib.sha256(script.encode()).digest()).decode() + "'"
        for script in scripts
    ]
    allowed = " ".join(hashes) or "'none'"
    return (
        f"default-src 'none'; script-src {allowed}; style-src 'unsafe-inline'; img-src data:; "
        "font-src data:; base-uri 'none'; form-action 'none'"
    )


def _title(notebook: "NotebookNode", name: str) -> str:
    import html

    for cell in notebook.cells:
        if cell.cell_type == "markdown" and cell.source.startswith("# "):
            return str(cell.source[2:].splitlines()[0].strip())
        for output in cell.get("outputs", ()):
            found = _H1.search(output.get("data", {}).get("text/html", ""))
            if found:
                return html.unescape(_TAG.sub("", found[1])).strip()
    return name


def _has_figures(notebook: "NotebookNode") -> bool:
    return any(
        'class="vega-spec"' in output.get("data", {}).get("text/html", "")
        for cell in notebook.cells
        for output in cell.get("outputs", ())
    )


def _packaged(name: str) -> str:
    return (resources.files("tarebook.notebooks") / "template" / name).read_text("utf-8")
