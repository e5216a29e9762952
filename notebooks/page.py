"""One executed notebook as one HTML file: no network, no inputs, one date.

It shows its pictures by itself. The script that draws them anew for its reader's window, and lets
one read off values, stands once beside all pages. A small one in the page (`template/reading.js`)
sorts and filters long tables and remembers ticks; without it the page is all there.
"""

import base64
import hashlib
from datetime import date
from importlib import resources
from typing import TYPE_CHECKING

from ..analysis.display.markup import clean
from ..analysis.display.sections import FINDINGS
from ..analysis.display.theme import colour_rules
from ..analysis.display.words import day
from ..tripdata.own_files import own_text
from ..tripdata.version import VERSION
from . import album, bundle, cleaning, links
from .site import Site, lines, not_over

if TYPE_CHECKING:
    from nbformat import NotebookNode

_ALONE = Site()
_MAIN = '<main id="main" tabindex="-1">'


def is_drawn(notebook: "NotebookNode") -> bool:
    """Whether a notebook shows a picture that a script can draw anew."""
    return any('class="vega-spec"' in html for html in cleaning.shown(notebook, "text/html"))


def render(
    notebook: "NotebookNode",
    *,
    on: date,
    name: str = "Report",
    site: Site = _ALONE,
    trip: str = "",
    plain: bool = True,
    photograph: str = "",
) -> str:
    """Return the page of an executed notebook.

    The title is a top heading of its prose, else that of its opening, else name. site: the pages
    that it stands among; trip: the one that it is about; plain: as of `site.lines`; photograph: as
    of `album.Album.large`.
    """
    from nbconvert.exporters import HTMLExporter, TemplateExporter
    from traitlets.config import Config

    drawn = is_drawn(notebook)
    reading = own_text(__package__, "template", "reading.js")
    drawing = own_text(__package__, "template", "embed.js") if drawn else ""
    page = {
        "language": "en",
        "made_on": day(on, weekday=False),
        "version": VERSION,
        "style": colour_rules() + own_text(__package__, "template", "page.css"),
        "title": _title(notebook, name),
        "beside": bundle.file_name() if drawn else "",
        "reading": reading,
        "drawing": drawing,
        "policy": _policy([script for script in (reading, drawing) if script], loading=drawn),
        "lines": lines(site, name, trip, plain),
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
    head, opened, rest = str(html).partition(_MAIN)
    main, closed, foot = rest.rpartition("</main>")
    main = main.replace("</header>", f"</header>{not_over(site, on)}", 1)
    main = album.placed(links.contents(links.linked(main, site, trip)), photograph)
    return f"{head}{opened}{main}{closed}{foot}\n"


def _policy(scripts: list[str], loading: bool) -> str:
    """Only what the page holds may be used; of scripts, only these, by their hash.

    loading: what they load themselves, the script beside the page, may be used as well.
    """
    hashes = [
        "'sha256-" + base64.b64encode(hashlib.sha256(script.encode()).digest()).decode() + "'"
        for script in scripts
    ]
    allowed = " ".join([*hashes, "'strict-dynamic'"] if loading else hashes)
    return (
        f"default-src 'none'; script-src {allowed}; style-src 'unsafe-inline'; img-src data:; "
        "font-src data:; base-uri 'none'; form-action 'none'"
    )


def _title(notebook: "NotebookNode", name: str) -> str:
    for cell in notebook.cells:
        if cell.cell_type == "markdown" and cell.source.startswith("# "):
            return clean(cell.source[2:].splitlines()[0].strip())
    titles = (each.get("title") for each in cleaning.shown(notebook, FINDINGS))
    return next((clean(title).strip() for title in titles if title), name)
