"""Makes reports: runs packaged notebooks on a logbook, each into an .ipynb and an .html file.

Where only what changed is wanted, `drawn_from` says of which pages that is so.
"""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import TYPE_CHECKING

from ..analysis.display.sections import Point
from ..tripdata.errors import TarebookError
from ..tripdata.leftovers import scratch, sweep_halves
from ..tripdata.today import made_on
from . import bundle, cleaning, drawn_from, page, slim
from .album import Album
from .executing import ReportError, findings, write_whole
from .jobs import AHEAD, DEBRIEF, EVERY_TRIP, PACKAGED, Job, jobs, trip_stems
from .jobs import available as available
from .jobs import file_stem as file_stem
from .jobs import load as load
from .parameters import Value
from .side_by_side import executed
from .site import FIRST, SHORT, Site, TripPage, placed

if TYPE_CHECKING:
    from nbformat import NotebookNode


@dataclass(frozen=True)
class Report:
    """A report that was made.

    remarks: what the notebook wrote to stderr, and why a photograph is not shown. title, findings:
    what its opening says, the points that lead first; where that answers nothing, what its sections
    answer. sentence: the answer in one sentence. for_index: sentences over all trips that the first
    page repeats. trip: the one that a debrief is about. anew: whether it was made just now; else it
    is as it was.
    """

    name: str
    notebook: Path
    html: Path
    remarks: tuple[str, ...] = ()
    title: str = ""
    findings: tuple[Point, ...] = ()
    for_index: tuple[str, ...] = ()
    sentence: str = ""
    trip: str = ""
    anew: bool = True

    @property
    def plain(self) -> bool:
        """Whether its page stands under the plain name of the report."""
        return self.html.stem == self.name


Told = Callable[[int, int], None]
"""Is called with how many pages are done, and of how many."""


@dataclass(frozen=True)
class Made:
    """What came of a run: reports in the order of the run, why others could not be made."""

    reports: tuple[Report, ...]
    failures: tuple[TarebookError, ...]
    site: Site

    def raise_failures(self) -> None:
        """Raise one error that tells of all that could not be made, if any."""
        if len(self.failures) == 1:
            raise self.failures[0]
        if self.failures:
            kinds = {type(each) for each in self.failures}
            kind = kinds.pop() if len(kinds) == 1 else ReportError
            reasons = "; ".join(str(each) for each in self.failures)
            every = len(self.failures) + len(self.reports)
            raise kind(f"{len(self.failures)} of {every} reports could not be made: {reasons}")


def run(
    names: Sequence[str],
    parameters: Mapping[str, Value],
    out_dir: Path,
    *,
    logbook: Path,
    progress: bool | None = None,
    folder: Traversable = PACKAGED,
) -> tuple[Report, ...]:
    """Make the named reports in out_dir and return them; former reports are replaced whole.

    As `make`, but raises what could not be made. A debrief of every trip, where that is asked for,
    is made anew only where it changed.
    """
    made = make(names, parameters, out_dir, logbook=logbook, progress=progress, folder=folder)
    made.raise_failures()
    return made.reports


def make(
    names: Sequence[str],
    parameters: Mapping[str, Value],
    out_dir: Path,
    *,
    logbook: Path,
    progress: bool | None = None,
    folder: Traversable = PACKAGED,
    whole: bool = False,
    told: Told | None = None,
) -> Made:
    """Make the named reports in out_dir; former reports are replaced whole.

    names: of notebooks. parameters: given to each of them that takes them; the trip ``all`` is a
    debrief of every trip. logbook: the folder they ask, told to them by TAREBOOK_LOGBOOK. progress:
    a bar on stderr; None shows one on a terminal. folder: where the notebooks are. whole: they are
    to stand beside the logbook's first page, where no trip is named with a page of every trip and
    of every plan. told: called as each is done, with how many are and how many there will be.

    Of a whole logbook, and of every trip, only those are made anew that changed.

    Raises QuestionError before anything runs where a name, a parameter or a value is wrong. Why a
    report could not be made stands in the result: QuestionError where a notebook refused what was
    asked; ReportError where one failed, whose notebook then lies beside as NAME.failed.ipynb.
    """
    trips, things, plans = _trips(logbook, made_on())
    every = str(parameters.get("trip", "")).strip().casefold() == EVERY_TRIP
    every_trip = DEBRIEF in names and (every or (whole and "trip" not in parameters))
    given = {k: v for k, v in parameters.items() if not (every and every_trip and k == "trip")}
    ahead = [each.trip for each in plans] if whole and "trip" not in parameters else []
    wanted = jobs(names, given, folder, [each.trip for each in trips], every_trip, ahead)
    if whole and not trips and not given:
        wanted = [job for job in wanted if job.name != DEBRIEF]
    on = made_on()
    run = _Run(_folder_to_write(out_dir), logbook, on, whole or every_trip)
    run.plan(wanted, whole, trips, things, plans)
    return run.done(progress, told)


def _trips(logbook: Path, on: date) -> tuple[list[TripPage], frozenset[str], list[TripPage]]:
    """The trips that took place, the latest last, names of gear, plans; none without a store."""
    from ..tripdata.store import store_path

    if not store_path(logbook).is_file():
        return [], frozenset(), []
    from ..analysis.home.logbook import names_of_things, trips_back
    from ..analysis.store.opening import open_store
    from ..analysis.store.trip_choice import choose_ahead

    with open_store(store_path(logbook)) as store:
        plans = [
            TripPage(each.trip, each.title, each.start_on) for each in choose_ahead(store, "", on)
        ]
        trips = [
            TripPage(each.trip, each.title, each.start_on, end_on=each.end_on)
            for each in trips_back(store)
        ]
        return trips, frozenset(names_of_things(store)), plans


class _Run:
    """Reports that are made together, in one kernel, and the pages that stand beside them."""

    def __init__(self, out_dir: Path, logbook: Path, on: date, only_changed: bool) -> None:
        self.out_dir, self.logbook, self.on = out_dir, logbook.resolve(), on
        self.only_changed = only_changed
        self.pages, self.album = drawn_from.Pages.of(out_dir), Album(self.logbook)
        self.base = drawn_from.base_digest(self.logbook, on)
        self.jobs: list[Job] = []
        self.site = Site()

    def plan(
        self,
        wanted: list[Job],
        whole: bool,
        trips: Sequence[TripPage],
        things: frozenset[str],
        plans: Sequence[TripPage],
    ) -> None:
        """Settle which pages there will be; a whole logbook has none of trips that are gone."""
        self.jobs = wanted
        stems = trip_stems(each.trip for each in trips)
        ahead = trip_stems((each.trip for each in plans), AHEAD)
        ahead |= {each.trip: AHEAD for each in plans[:1]}
        if whole:
            self._discard_former({*stems.values(), *ahead.values()})
        there = {*self.pages.known, *(job.stem for job in wanted)}
        first = whole or (self.out_dir / FIRST).is_file()
        self.site = Site(
            first,
            tuple(name for name in SHORT if name in there),
            placed(trips, stems, there),
            things,
            placed(plans, ahead, there),
        )

    def _discard_former(self, stems: Collection[str]) -> None:
        """Remove pages of trips and plans that are no longer there, unless somebody changed them.

        The plan that comes first has its page under the plain name.
        """
        for stem, kept in list(self.pages.known.items()):
            of_one = kept.trip and kept.name in (DEBRIEF, AHEAD) and stem != kept.name
            if of_one and stem not in stems:
                for ending in (".html", ".ipynb"):
                    (self.out_dir / f"{stem}{ending}").unlink(missing_ok=True)
                del self.pages.known[stem]

    def done(self, progress: bool | None, told: Told | None = None) -> Made:
        """Run what has to be, and return all that was wanted."""
        digests = {
            job.stem: drawn_from.job_digest(self.base, job, self.album.digest(job.trip))
            for job in self.jobs
        }
        changed = [job for job in self.jobs if not self._unchanged(job, digests[job.stem])]
        failures = self._run(changed, digests, progress, told) if changed else {}
        made = [job for job in self.jobs if job.stem not in failures]
        lost = {stem for stem in failures if not (self.out_dir / f"{stem}.html").is_file()}
        self._place_again(made, lost)
        self._tidy()
        anew = {job.stem for job in changed}
        reports = tuple(self._report(job, job.stem in anew) for job in made)
        return Made(reports, tuple(failures.values()), self.site)

    def _unchanged(self, job: Job, wanted: str) -> bool:
        kept = self.pages.known.get(job.stem)
        return self.only_changed and kept is not None and kept.drawn_from == wanted

    def _run(
        self,
        changed: Sequence[Job],
        digests: Mapping[str, str],
        progress: bool | None,
        told: Told | None,
    ) -> dict[str, TarebookError]:
        failures: dict[str, TarebookError] = {}
        bundle.begin()
        sweep_halves(self.out_dir)
        with scratch() as room:
            outcomes = executed(changed, room, self.logbook, self.out_dir, progress)
            try:
                for place, (job, came) in enumerate(outcomes, start=1):
                    try:
                        if isinstance(came, TarebookError):
                            raise came
                        self._write(job, came, digests[job.stem])
                    except TarebookError as error:
                        failures[job.stem] = error
                    if told is not None:
                        told(place, len(changed))
            finally:
                bundle.discard()
                outcomes.close()
        return {job.stem: failures[job.stem] for job in changed if job.stem in failures}

    def _write(self, job: Job, executed: "NotebookNode", digest: str) -> None:
        """Write a report's files; only then is it known what they were drawn from."""
        notebook, remarks = cleaning.cleaned(executed)
        slim.without_excess(notebook)
        text = cleaning.dump(notebook)
        write_whole(self.out_dir / f"{job.stem}.ipynb", text)
        title, found, for_index, sentence = findings(notebook)
        kept = drawn_from.Kept(
            job.name,
            job.trip,
            digest,
            site="",
            html="",
            notebook=drawn_from.digest(text),
            title=title,
            sentence=sentence,
            findings=found,
            for_index=for_index,
            remarks=remarks,
        )
        self._place(job.stem, kept, notebook)
        (self.out_dir / f"{job.stem}.failed.ipynb").unlink(missing_ok=True)

    def _place(self, stem: str, kept: drawn_from.Kept, notebook: "NotebookNode") -> None:
        """Write a page among the others."""
        plain = stem == kept.name
        shown = kept.trip if kept.name == DEBRIEF else ""
        photograph, complaint = self.album.large(shown, kept.title)
        html = page.render(
            notebook,
            on=self.on,
            name=kept.name,
            site=self.site,
            trip=kept.trip,
            plain=plain,
            photograph=photograph,
        )
        script = bundle.file_name() if page.is_drawn(notebook) else ""
        beside = self.out_dir / script
        if script and drawn_from.file_digest(beside) != drawn_from.digest(bundle.script()):
            write_whole(beside, bundle.script())
        write_whole(self.out_dir / f"{stem}.html", html)
        remarks = dict.fromkeys((*kept.remarks, *filter(None, [complaint])))
        self.pages.known[stem] = replace(
            kept,
            site=self.site.digest(),
            html=drawn_from.digest(html),
            script=script,
            remarks=tuple(remarks),
        )
        write_whole(self.out_dir / drawn_from.FILE, self.pages.text())

    def _place_again(self, made: Sequence[Job], lost: set[str]) -> None:
        """Write pages anew whose links are no longer those of the pages that there are."""
        if lost:
            trips, plans = (
                tuple(replace(e, file="") if Path(e.file).stem in lost else e for e in pages)
                for pages in (self.site.trips, self.site.plans)
            )
            reports = tuple(name for name in self.site.reports if name not in lost)
            self.site = replace(self.site, reports=reports, trips=trips, plans=plans)
        for job in made:
            kept = self.pages.known[job.stem]
            if kept.site != self.site.digest():
                text = (self.out_dir / f"{job.stem}.ipynb").read_text("utf-8")
                self._place(job.stem, kept, cleaning.parse(text))

    def _tidy(self) -> None:
        """Remove scripts of former versions that no page of ours asks for."""
        asked = {kept.script for kept in self.pages.known.values()}
        for path in self.out_dir.glob(f"{bundle.PREFIX}*.js"):
            if path.name not in asked and bundle.is_ours(path.name):
                others = (p.read_text("utf-8", "replace") for p in self.out_dir.glob("*.html"))
                if not any(path.name in text for text in others):
                    path.unlink(missing_ok=True)

    def _report(self, job: Job, anew: bool) -> Report:
        kept = self.pages.known[job.stem]
        return Report(
            job.name,
            self.out_dir / f"{job.stem}.ipynb",
            self.out_dir / f"{job.stem}.html",
            kept.remarks,
            kept.title,
            kept.findings,
            kept.for_index,
            kept.sentence,
            job.trip,
            anew,
        )


def _folder_to_write(folder: Path) -> Path:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise ReportError(f"{folder.name}: cannot be made: {error.strerror}") from None
    return folder.resolve()
