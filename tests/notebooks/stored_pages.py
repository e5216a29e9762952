"""Pages of the demo, rendered from the notebooks' stored output and not from a run of their own.

The first page is made of the demo itself and of what those notebooks found.
"""

from pathlib import Path
from typing import Any
from unittest.mock import patch

import nbformat
import vl_convert
from reports_read import RENDERER, TODAY, shown_by
from tarebook.analysis.home.logbook import names_of_things, trips_back
from tarebook.analysis.store.opening import open_store
from tarebook.notebooks import index, page, runner
from tarebook.notebooks.album import Album
from tarebook.notebooks.jobs import DEBRIEF
from tarebook.notebooks.runner import Report
from tarebook.notebooks.site import Site, TripPage
from tarebook.tripdata.store import store_path

STORED = Path(__file__).parent / "stored"
NAMES = [*runner.available(), "index"]


def notebook(name: str) -> Any:
    """The notebook of a report as it is stored, with its output."""
    return nbformat.read(STORED / f"{name}.ipynb", as_version=4)  # type: ignore[no-untyped-call]


def site(logbook: Path) -> Site:
    """Every report of a logbook, and a debrief of each of its trips."""
    with open_store(store_path(logbook)) as store:
        trips = [
            TripPage(
                each.trip, each.title, each.start_on, f"{DEBRIEF}-{each.trip}.html", each.end_on
            )
            for each in trips_back(store)
        ]
        return Site(True, runner.available(), tuple(trips), frozenset(names_of_things(store)))


def of_plan(folder: Path, logbook: Path, trip: str) -> Path:
    """Write the page before another plan than the first, run in this process; and return its path.

    Its one picture, which is folded, is left out.
    """
    _, bundles = shown_by(logbook, "before_trip", {"trip": trip}, drawn=False)
    return _of_one(folder, logbook, "before_trip", trip, bundles)


def of_trip(folder: Path, logbook: Path, trip: str) -> Path:
    """Write the debrief of a trip, run in this process; and return its path.

    It has the picture that is in sight; those of several parts in folds are left out.
    """
    draw = vl_convert.vegalite_to_svg

    def in_sight(spec: Any, **how: Any) -> str:
        return str(draw(spec, **how)) if "vconcat" in spec else "<svg/>"

    with patch(RENDERER, in_sight):
        _, bundles = shown_by(logbook, DEBRIEF, {"trip": trip})
    return _of_one(folder, logbook, DEBRIEF, trip, bundles)


def _of_one(
    folder: Path, logbook: Path, name: str, trip: str, bundles: list[dict[str, Any]]
) -> Path:
    ran, left = notebook(name), iter(bundles)
    for cell in ran.cells:
        if cell.cell_type == "code" and cell.source.startswith("page."):
            cell.outputs = [nbformat.v4.new_output("display_data", data=next(left))]  # type: ignore[no-untyped-call]
    assert next(left, None) is None
    made = folder / f"{name}-{trip}.html"
    about = trip if name == DEBRIEF else ""
    known = site(logbook)
    title = next((each.title for each in known.trips if each.trip == about), "")
    photograph, _ = Album(logbook).large(about, title)
    text = page.render(
        ran, on=TODAY, name=name, site=known, trip=about, plain=False, photograph=photograph
    )
    made.write_text(text, "utf-8")
    return made


def make(folder: Path, logbook: Path) -> dict[str, Path]:
    """Write a page of each report and the first page, without the charts' script beside them."""
    known = site(logbook)
    made, reports = {}, []
    for name in runner.available():
        ran = notebook(name)
        trip = known.latest if name == DEBRIEF else ""
        made[name] = folder / f"{name}.html"
        text = page.render(ran, on=TODAY, name=name, site=known, trip=trip)
        made[name].write_text(text, "utf-8")
        title, found, for_index, sentence = runner.findings(ran)
        stored = STORED / f"{name}.ipynb"
        reports.append(Report(name, stored, made[name], (), title, found, for_index, sentence))
    made["index"] = index.write(reports, folder, TODAY, logbook=logbook, site=known)
    return made
