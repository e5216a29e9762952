"""One executed notebook as one self-contained HTML file: no network, no inputs, one date."""

import base64
import hashlib
from datetime import date
from importlib import resources
from typing import TYPE_CHECKING

from ..analysis.display.sections import FINDINGS
from ..analysis.display.words import day
from ..tripdata.own_files import own_text
from ..tripdata.version import VERSION
from . import bundle, cleaning

if TYPE_CHECKING:
    from nbformat import NotebookNode


def render(notebook: "NotebookNode", *, on: date, name: str = "Report") -> str:
    """Return the page of an executed notebook.

    The title is a top heading of its prose, else that of its opening, else name.
    """
    from nbconvert.exporters import HTMLExporter, TemplateExporter
    from traitlets.config import Config

    drawn = any('class="vega-spec"' in html for html in cleaning.shown(notebook, "text/html"))
    scripts = [bundle.script(), own_text(__package__, "template", "embed.js")] if drawn else []
    page = {
        "language": "en",
        "made_on": day(on, weekday=False),
        "version": VERSION,
        "style": own_text(__package__, "template", "page.css"),
        "title": _title(notebook, name),
        "scripts": scripts,
        "policy": _policy(scripts),
    }
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
    for cell in notebook.cells:
        if cell.cell_type == "markdown" and cell.source.startswith("# "):
            return str(cell.source[2:].splitlines()[0].strip())
    titles = (each.get("title") for each in cleaning.shown(notebook, FINDINGS))
    return next((title.strip() for title in titles if title), name)
