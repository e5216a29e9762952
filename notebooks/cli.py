"""The command line: `tarebook COMMAND`. Heavy packages are imported by the command that needs them.

Results go to stdout, progress and complaints to stderr. Exit status: 0 done, 1 records set aside
or no answer, 2 the command line is wrong.
"""

import os
import sys
from datetime import datetime
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from ..tripdata.errors import TarebookError
from ..tripdata.version import VERSION
from . import asking

app = typer.Typer(
    name="tarebook",
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    no_args_is_help=True,
    help=(
        "A trip logbook and gear-performance analytics for people who travel light.\n\n"
        "A logbook is a folder of CSV files that you keep. Begin with `tarebook new my-logbook`, "
        "or look at a finished one with `tarebook demo`. After a trip: `tarebook report debrief`."
    ),
    context_settings={"help_option_names": ["-h", "--help"]},
)

_LOGBOOK_HELP = "The logbook's folder; default: $TAREBOOK_LOGBOOK, else the current folder."
Logbook = Annotated[
    Path,
    typer.Argument(
        metavar="[LOGBOOK]",
        help=_LOGBOOK_HELP,
        envvar="TAREBOOK_LOGBOOK",
        show_default=False,
        file_okay=False,
        exists=True,
    ),
]


class TableFormat(StrEnum):
    """How `tarebook table` prints."""

    text = "text"
    csv = "csv"
    json = "json"
    parquet = "parquet"


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
    epilog="Example: tarebook new my-logbook; "
    "tarebook new my-logbook --trip 2026-06-coast --like 2026-05-river"
)
def new(
    directory: Annotated[Path, typer.Argument(metavar="DIR", help="The logbook's folder.")],
    trip: Annotated[
        str | None, typer.Option(metavar="TRIP", help="Make this trip's folder instead.")
    ] = None,
    like: Annotated[
        str | None,
        typer.Option(
            metavar="TRIP", help="The trip to fill it from; default: the latest of the same mode."
        ),
    ] = None,
) -> None:
    """Make an empty logbook, or a new trip's folder. Files that exist are never touched."""
    from ..tripdata.start import new_logbook, new_trip
    from ..tripdata.store import ensure_current
    from . import printing

    if like is not None and trip is None:
        raise typer.BadParameter("--like goes with --trip", param_hint="--like")
    if trip is None:
        printing.started(directory, new_logbook(directory))
        return
    findings = ensure_current(directory)
    printing.started(directory, new_trip(directory, trip, like))
    printing.aside_line(directory, findings)


@app.command(epilog="Example: tarebook demo")
def demo(
    directory: Annotated[
        Path, typer.Argument(metavar="[DIR]", help="Where; default ./tarebook-demo.")
    ] = Path("tarebook-demo"),
) -> None:
    """Write an invented camper's logbook, load it and make every report."""
    from ..tripdata.store import load_logbook
    from . import contents, demonstration, page, printing, runner

    demonstration.write(directory)
    printing.note(f"wrote an invented logbook to {directory}; making its reports")
    with printing.progress() as step:
        load_logbook(directory, step)
    made = runner.run(runner.available(), {}, directory / "reports", logbook=directory)
    contents.write(made, directory / "reports", page.made_on())
    printing.demo_done(directory, made)


@app.command(epilog="Example: tarebook check my-logbook")
def check(
    logbook: Logbook = Path(),
    as_json: Annotated[bool, typer.Option("--json", help="Print it as JSON.")] = False,
) -> None:
    """Read everything, store nothing, print what is wrong and where."""
    from ..tripdata.check import check_logbook
    from . import printing

    with printing.progress() as step:
        findings = check_logbook(logbook, step)
    if as_json:
        printing.findings_as_json(findings)
    else:
        printing.problems(findings, sys.stdout)
        printing.sums(findings)
    raise typer.Exit(0 if findings.clean else 1)


@app.command(epilog="Example: tarebook load my-logbook")
def load(logbook: Logbook = Path()) -> None:
    """Check everything and build the store that tables and reports are drawn from."""
    from ..tripdata.store import load_logbook
    from . import printing

    with printing.progress() as step:
        findings = load_logbook(logbook, step)
    printing.problems(findings, sys.stderr)
    printing.sums(findings)
    raise typer.Exit(0 if findings.clean else 1)


@app.command(epilog="Example: tarebook report debrief my-logbook --trip 2026-05-river")
def report(
    name: Annotated[
        str,
        typer.Argument(
            metavar="NAME",
            help="base_weight_trend, buying_case, "
            "comfort_value, "
            "debrief, season_cull, temperature_context, or all.",
        ),
    ],
    logbook: Logbook = Path(),
    trip: Annotated[
        str | None, typer.Option(metavar="TRIP", help="The trip; default: the latest.")
    ] = None,
    below_c: Annotated[
        float | None,
        typer.Option(
            "--below-c",
            metavar="CELSIUS",
            help="temperature_context: the low that "
            "matters; default: the rated low of the sleep gear.",
        ),
    ] = None,
    since: asking.Since = None,
    until: asking.Until = None,
    mode: asking.Mode = None,
    season: asking.Season = None,
    system: asking.System = None,
    from_season: asking.FromSeason = None,
    to_season: asking.ToSeason = None,
    target_g: asking.TargetG = None,
    save_g: asking.SaveG = None,
    undecided: asking.Undecided = False,
    coming: asking.Coming = None,
    candidate: asking.Candidate = None,
) -> None:
    """Make a report in the logbook's reports/ folder: an executed .ipynb and an .html.

    `all` makes every report, and index.html, from which they are found.
    """
    from ..tripdata.store import ensure_current
    from . import contents, page, printing, runner

    names = runner.available() if name == "all" else (name,)
    parameters = asking.given(
        trip=trip,
        below_c=below_c,
        since=since,
        until=until,
        mode=mode,
        season=season,
        target_g=target_g,
        save_g=save_g,
        undecided=undecided or None,
        coming=coming,
        system=system,
        from_season=from_season,
        to_season=to_season,
        candidate=candidate,
    )
    with printing.progress() as step:
        findings = ensure_current(logbook, step)
    printing.aside_line(logbook, findings)
    made = runner.run(names, parameters, logbook / "reports", logbook=logbook)
    for one in made:
        for remark in one.remarks:
            printing.note(remark)
        typer.echo(str(logbook / "reports" / one.html.name))
    if name == "all":
        typer.echo(str(contents.write(made, logbook / "reports", page.made_on())))


_DAY = {"formats": ["%Y-%m-%d"], "metavar": "DATE"}


@app.command(
    epilog="Example: tarebook table items my-logbook --as csv --out items.csv; "
    "tarebook table outlook my-logbook --trip 2027-05-north --below-c 0"
)
def table(
    name: Annotated[
        str,
        typer.Argument(
            metavar="NAME",
            help="trips, trip_systems, items, nights, "
            "normals, trip_normals, outlook, usage, cull, "
            "cull_frontier, base_weight, base_weight_trend, "
            "base_weight_change, comfort_gain, next_swap, cold_limits, "
            "failure_rates, item_life, effort, buying_case, "
            "set_aside.",
        ),
    ],
    logbook: Logbook = Path(),
    as_: Annotated[TableFormat, typer.Option("--as", help="How to print it.")] = TableFormat.text,
    out: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write to this file.", dir_okay=False)
    ] = None,
    trip: Annotated[
        str | None, typer.Option(metavar="TRIP", help="outlook: a trip, in place of what follows.")
    ] = None,
    latitude: Annotated[float | None, typer.Option(help="outlook: degrees north.")] = None,
    longitude: Annotated[float | None, typer.Option(help="outlook: degrees east.")] = None,
    elevation_m: Annotated[
        float | None, typer.Option("--elevation-m", help="outlook: height of the place.")
    ] = None,
    start_on: Annotated[
        datetime | None, typer.Option("--start-on", help="outlook: first day.", **_DAY)
    ] = None,
    end_on: Annotated[
        datetime | None, typer.Option("--end-on", help="outlook: last day.", **_DAY)
    ] = None,
    below_c: Annotated[
        float | None,
        typer.Option(
            "--below-c",
            metavar="CELSIUS",
            help="outlook: the low that matters; of a "
            "trip by default the rated low of the sleep gear.",
        ),
    ] = None,
    since: asking.Since = None,
    until: asking.Until = None,
    mode: asking.Mode = None,
    season: asking.Season = None,
    system: asking.System = None,
    from_season: asking.FromSeason = None,
    to_season: asking.ToSeason = None,
    target_g: asking.TargetG = None,
    save_g: asking.SaveG = None,
    undecided: asking.Undecided = False,
    coming: asking.Coming = None,
) -> None:
    """Print one analysis table. Quantities are in g, km, m and °C."""
    from ..tripdata.store import ensure_current
    from . import foretelling, output, printing, writing

    known = writing.known(name)
    output.check_out(out, logbook)
    forecast = foretelling.OutlookOptions(
        trip, latitude, longitude, elevation_m, start_on, end_on, below_c
    )
    if known == "outlook" and forecast.fault:
        raise typer.BadParameter(forecast.fault, param_hint="outlook")
    if known != "outlook" and forecast.given:
        raise typer.BadParameter("goes with the table outlook only", param_hint=forecast.given[0])
    options = asking.given(
        since=since,
        until=until,
        mode=mode,
        season=season,
        target_g=target_g,
        save_g=save_g,
        undecided=undecided or None,
        coming=coming,
        system=system,
        from_season=from_season,
        to_season=to_season,
    )
    asking.check_table(known, options)
    with printing.progress() as step:
        findings = ensure_current(logbook, step)
    printing.aside_line(logbook, findings)
    if known == "outlook":
        for line in foretelling.write_outlook(forecast, logbook, as_.value, out):
            printing.note(line)
    else:
        writing.write(known, logbook, as_.value, out, options)


@app.command(epilog="Example: tarebook normals my-logbook")
def normals(logbook: Logbook = Path()) -> None:
    """List the climate normals that are known, and how near each trip they are."""
    from ..tripdata.store import ensure_current
    from . import printing, writing

    with printing.progress() as step:
        findings = ensure_current(logbook, step)
    printing.aside_line(logbook, findings)
    writing.write("normals", logbook, "text", None)
    typer.echo("")
    writing.write("trip_normals", logbook, "text", None)


@app.command(epilog="Example: tarebook lab my-logbook")
def lab(logbook: Logbook = Path()) -> None:
    """Open JupyterLab with copies of the notebooks on this logbook."""
    from ..tripdata.store import ensure_current
    from . import printing
    from .laboratory import open_lab

    with printing.progress() as step:
        findings = ensure_current(logbook, step)
    printing.aside_line(logbook, findings)
    raise typer.Exit(open_lab(logbook))


def main() -> None:
    """Run the command line; whatever a person can cause ends as one line on stderr."""
    # A folder beside a person's logbook must never stand in for a package of ours.
    sys.path[:] = [entry for entry in sys.path if entry not in ("", os.curdir)]
    try:
        app()
    except TarebookError as error:
        typer.echo(f"tarebook: {error}", err=True)
        raise SystemExit(1) from None
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        raise SystemExit(1) from None


if __name__ == "__main__":
    main()
