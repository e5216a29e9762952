"""The command line: `tarebook COMMAND`. Heavy packages are imported by the command that needs them.

Results go to stdout, progress and complaints to stderr. Exit status: 0 done, 1 records set aside
or no answer, 2 the command line is wrong, 130 ended by Ctrl-C.
"""

import os
import sys
from pathlib import Path
from typing import Annotated, Any

import typer

from ..analysis import tables
from ..tripdata.version import VERSION
from . import asking, endings, file_commands, kernel, log_command, starting
from .arguments import Logbook, bring_up_to_date
from .reports import REPORTS

app = typer.Typer(
    name="tarebook",
    cls=asking.Commands,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    no_args_is_help=True,
    help=(
        "A trip logbook and gear analysis for people who travel light.\n\n"
        "A logbook is a folder of CSV files that you keep. Begin with `tarebook new my-logbook`, "
        "or look at a finished one with `tarebook demo`. After a trip: `tarebook report debrief`."
    ),
    context_settings={"help_option_names": ["-h", "--help"]},
)

FORMS = ("text", "csv", "json", "parquet")
"""How `tarebook table` prints."""


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"tarebook {VERSION}")
        raise typer.Exit


@app.callback()
def _main(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    pass


@app.command(
    "new",
    cls=asking.Plain,
    help="Make an empty logbook, or a new trip's folder. Files that exist are never touched.",
    epilog="Example: tarebook new my-logbook; tarebook new my-logbook --units us "
    "--dates MM/DD/YYYY; "
    "tarebook new my-logbook --trip 2026-06-coast --like 2026-05-river",
)
def _new(
    directory: Annotated[Path, typer.Argument(metavar="DIR", help="The logbook's folder.")],
    trip: Annotated[
        str | None, typer.Option(metavar="TRIP", help="Make this trip's folder instead.")
    ] = None,
    like: Annotated[
        str | None,
        typer.Option(
            metavar="TRIP",
            help="The trip to fill it from; default: the latest of the same mode "
            "that has a list. What you have given up is replaced by what took over from it.",
        ),
    ] = None,
    units: Annotated[
        str | None,
        typer.Option(
            metavar="|".join(starting.UNITS),
            help="Units of the new files: us is ounces, °F, miles and feet. "
            "You are asked if you leave it out.",
            callback=starting.read_units,
        ),
    ] = None,
    dates: Annotated[
        str | None,
        typer.Option(
            metavar="FORM",
            help="How your spreadsheet writes dates: YYYY-MM-DD, DD/MM/YYYY, MM/DD/YYYY or "
            "DD.MM.YYYY. You are asked if you leave it out.",
            callback=starting.read_dates,
        ),
    ] = None,
) -> None:
    from ..tripdata.start import new_logbook, new_trip
    from ..tripdata.store import ensure_current
    from . import printing

    if like is not None and trip is None:
        raise typer.BadParameter("--like goes with --trip", param_hint="--like")
    if trip is None:
        us, form = starting.asked(directory, units, dates)
        printing.started(directory, new_logbook(directory, us, form))
        return
    if units is not None or dates is not None:
        raise typer.BadParameter(
            "a trip takes the units and dates of its logbook", param_hint="--trip"
        )
    printing.mended(directory)
    findings = ensure_current(directory)
    printing.started(directory, new_trip(directory, trip, like))
    printing.aside_line(directory, findings)


@app.command(
    "demo",
    short_help="Write an invented logbook and make its reports.",
    help="Write an invented camper's logbook, load it and make every report.",
    epilog="Example: tarebook demo",
)
def _demo(
    directory: Annotated[
        Path, typer.Argument(metavar="DIR", help="The folder to write it to.")
    ] = Path("tarebook-demo"),
    force: Annotated[
        bool,
        typer.Option(
            "--force",
            help="Make the demo's own files anew where you changed some; the changed ones are kept "
            "in .tarebook/before, and what you added stays.",
        ),
    ] = False,
) -> None:
    from ..tripdata.store import load_logbook
    from . import demonstration, everything, printing

    changed = demonstration.write(directory, force)
    if changed:
        printing.note(f"{', '.join(changed)}: as you left it, it is in .tarebook/before")
    printing.note(f"wrote an invented logbook to {directory}")
    with printing.progress() as step:
        findings = load_logbook(directory, step)
    read = sum(each.read for each in findings.files.values())
    printing.note(f"loaded its {read:,} records; making its reports, which takes a minute or so")
    made = everything.make({}, directory, printing.pages_made)
    made.raise_failures()
    printing.demo_done(directory, [each for each in made.reports if each.plain])


@app.command(
    "check",
    cls=asking.Plain,
    short_help="Say what is wrong with the files, and where.",
    help="Read everything, store nothing, print what is wrong and where.",
    epilog="Example: tarebook check my-logbook",
)
def _check(
    logbook: Logbook = Path(),
    as_json: Annotated[bool, typer.Option("--json", help="Print it as JSON.")] = False,
) -> None:
    from ..tripdata.check import check_logbook
    from . import printing

    printing.mended(logbook)
    with printing.progress() as step:
        findings = check_logbook(logbook, step)
    if as_json:
        printing.findings_as_json(findings)
    else:
        printing.problems(findings, sys.stdout)
        printing.sums(findings)
    raise typer.Exit(0 if findings.complete else 1)


@app.command(
    "load",
    cls=asking.Plain,
    short_help="Check the files and build the store.",
    help="Check everything and build the store that tables and reports are drawn from.",
    epilog="Example: tarebook load my-logbook",
)
def _load(logbook: Logbook = Path()) -> None:
    from ..tripdata.store import load_logbook
    from . import printing

    printing.mended(logbook)
    with printing.progress() as step:
        findings = load_logbook(logbook, step)
    printing.problems(findings, sys.stderr)
    printing.sums(findings)
    raise typer.Exit(0 if findings.complete else 1)


@app.command(
    "report",
    short_help="Make one report, or all of them.",
    help="Make a report in the logbook's reports/ folder: a page (.html) and a notebook "
    "(.ipynb).\n\n"
    "`all` makes every report, a debrief of every trip, and index.html, from which they are found; "
    "`debrief --trip all` makes the debriefs alone. Both remake only what changed.",
    cls=asking.AboutReport,
    epilog="Example: tarebook report debrief my-logbook --trip 2026-05-river; "
    "tarebook report season_cull --help",
)
@asking.takes(REPORTS)
def _report(
    name: Annotated[
        str,
        typer.Argument(
            metavar="NAME",
            help=f"{', '.join(REPORTS)}, or all.",
            callback=asking.one_of([*REPORTS, "all"]),
            autocompletion=lambda: [*REPORTS, "all"],
        ),
    ],
    logbook: Logbook = Path(),
    **options: Any,
) -> None:
    from . import everything, printing, runner

    parameters = asking.parameters_for_report(name, options)
    bring_up_to_date(logbook)
    if name == "all":
        made = everything.make(parameters, logbook)
    else:
        made = runner.make((name,), parameters, logbook / "reports", logbook=logbook)
    printing.reports_made(logbook, made, first=name == "all")
    made.raise_failures()


def _form_of(out: Path | None) -> str:
    """The form that a file's name ends with; text is for whatever else and for the screen."""
    ending = out.suffix[1:].lower() if out else ""
    return ending if ending in FORMS else "text"


@app.command(
    "table",
    help="Print one analysis table. Quantities are in g, km, m and °C.",
    cls=asking.AboutTable,
    epilog="Example: tarebook table items my-logbook --as csv --out items.csv; "
    "tarebook table outlook tarebook-demo --trip 2027-04-old-weir-meadow --below-c 5; "
    "tarebook table usage --help",
)
@asking.takes(asking.TABLE_OPTIONS)
def _table(
    name: Annotated[
        str,
        typer.Argument(
            metavar="NAME",
            help=f"{', '.join(tables.TABLES)}.",
            callback=asking.one_of(tables.TABLES),
            autocompletion=lambda: list(tables.TABLES),
        ),
    ],
    logbook: Logbook = Path(),
    as_: Annotated[
        str | None,
        typer.Option(
            "--as",
            metavar="|".join(FORMS),
            help="How to print it; default: as FILE ends, else text.",
            callback=lambda text: text and asking.one_of(FORMS)(text),
            autocompletion=lambda: list(FORMS),
        ),
    ] = None,
    out: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write to this file.", dir_okay=False)
    ] = None,
    **options: Any,
) -> None:
    from . import output, printing, writing

    entry = tables.entry(name)
    output.check_out(out, logbook)
    values = asking.values_for(entry, options)
    bring_up_to_date(logbook)
    for line in writing.write(entry, logbook, as_ or _form_of(out), out, values):
        printing.note(line)


app.registered_commands += log_command.commands.registered_commands
app.registered_commands += file_commands.commands.registered_commands


@app.command(
    "lab",
    cls=asking.Plain,
    help="Open JupyterLab with copies of the notebooks on this logbook.",
    epilog="Example: tarebook lab my-logbook",
)
def _lab(logbook: Logbook = Path()) -> None:
    from .laboratory import open_lab

    bring_up_to_date(logbook)
    raise typer.Exit(open_lab(logbook))


def main() -> None:
    """Run the command line; whatever a person can cause ends as one line on stderr."""
    # A folder beside a person's logbook must never stand in for a package of ours.
    sys.path[:] = [entry for entry in sys.path if entry not in ("", os.curdir)]
    kernel.one_thread()
    kernel.with_a_home()
    endings.run(app, asking.spelled)


if __name__ == "__main__":
    main()
