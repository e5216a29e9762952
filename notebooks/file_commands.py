"""The commands about files that come from elsewhere (normals, tracks, thermometers) or go there."""

from pathlib import Path
from typing import Annotated

import typer

from ..analysis import tables
from ..tripdata.contract import MODES
from ..tripdata.names import printable
from . import asking
from .arguments import Logbook, bring_up_to_date

commands = typer.Typer()

Beside = Annotated[
    Path,
    typer.Option(
        "--logbook",
        metavar="LOGBOOK",
        help="The logbook's folder; default: $TAREBOOK_LOGBOOK, else the current folder.",
        envvar="TAREBOOK_LOGBOOK",
        show_default=False,
        file_okay=False,
        exists=True,
    ),
]
"""The logbook where a command's arguments are files."""

Keep = Annotated[
    bool,
    typer.Option(
        "--keep",
        help="Put it into the trip's folder, in a new file; an existing file is never replaced.",
    ),
]


@commands.command(
    "normals",
    short_help="List the climate normals that are at hand for your trips.",
    help="List the climate normals that are known, how near each trip they are, and, by NOAA's "
    "list of stations, which would suit it. Nothing is fetched without --get.",
    epilog="Example: tarebook normals my-logbook; tarebook normals my-logbook --get",
)
def _normals(
    logbook: Logbook = Path(),
    get: Annotated[
        bool,
        typer.Option(
            "--get",
            help="Fetch NOAA's list of stations and, for each trip with a place, the daily file "
            "of the best one into normals/. Each address is shown first; no file is replaced.",
        ),
    ] = False,
) -> None:
    from ..tripdata.normals import wanted
    from . import printing, writing

    bring_up_to_date(logbook)
    right = True
    if get:
        right = wanted.get(logbook, printing.note)
        bring_up_to_date(logbook)
    writing.write(tables.entry("normals"), logbook)
    typer.echo("")
    writing.write(tables.entry("trip_normals"), logbook)
    typer.echo("")
    for line in wanted.station_advice(logbook):
        typer.echo(printable(line))
    raise typer.Exit(0 if right else 1)


@commands.command(
    "track",
    cls=asking.Plain,
    short_help="Distance, climbing and hours by day, from GPX tracks.",
    help="Distance, climbing and hours of each day of a trip, from GPX tracks. They are shown; "
    "with --keep they are also written, into a new file of the trip's folder.",
    epilog="Example: tarebook track day1.gpx day2.gpx --trip 2026-05-river --keep",
)
def _track(
    files: Annotated[
        list[Path],
        typer.Argument(metavar="FILE", help="GPX files.", exists=True, dir_okay=False),
    ],
    trip: Annotated[str, typer.Option(metavar="TRIP", help="The trip that they belong to.")],
    logbook: Beside = Path(),
    mode: Annotated[
        str | None,
        typer.Option(
            metavar="MODE",
            help=f"How you travelled: {', '.join(MODES)}; default: as trip.csv says.",
            callback=lambda text: text and asking.one_of(MODES)(text),
        ),
    ] = None,
    day: Annotated[
        str | None,
        typer.Option(
            metavar="DAY", help="The day of points that have no times, such as 2026-05-01."
        ),
    ] = None,
    keep: Keep = False,
) -> None:
    from .tracks import show_tracks

    bring_up_to_date(logbook)
    raise typer.Exit(0 if show_tracks(files, logbook, trip, mode, day, keep) else 1)


@commands.command(
    "thermometer",
    cls=asking.Plain,
    short_help="Show what is read from a thermometer's file.",
    help="Show what the reader makes of a thermometer's file: columns, unit, lows by night, and "
    "the lines for tarebook.toml.",
    epilog="Example: tarebook thermometer ~/Downloads/porch.csv --trip 2026-05-river --keep",
)
def _thermometer(
    files: Annotated[
        list[Path],
        typer.Argument(metavar="FILE", help="Files as the thermometer wrote them."),
    ],
    trip: Annotated[
        str | None, typer.Option(metavar="TRIP", help="The trip that the thermometer was on.")
    ] = None,
    logbook: Beside = Path(),
    keep: Keep = False,
) -> None:
    from ..tripdata.thermometers.keeping import trip_days
    from .thermometer import show_thermometers

    if keep and trip is None:
        raise typer.BadParameter("--keep goes with --trip", param_hint="--keep")
    if trip is not None:
        bring_up_to_date(logbook)
    days = trip_days(logbook, trip) if trip is not None else None
    raise typer.Exit(0 if show_thermometers(files, logbook, days, keep) else 1)


@commands.command(
    "export",
    cls=asking.Plain,
    short_help="Write all of it as Parquet files for other tools.",
    help="Write the records and every analysis table as Parquet files, each with units and "
    "meanings, and a Data Package (datapackage.json) that describes them. What belongs to trips is "
    "a file a season. Quantities are in the units that the columns' names end with.",
    epilog="Example: tarebook export my-export my-logbook",
)
def _export(
    directory: Annotated[
        Path,
        typer.Argument(
            metavar="DIR", help="The folder to write; a former export there is replaced whole."
        ),
    ],
    logbook: Logbook = Path(),
    force: Annotated[
        bool,
        typer.Option(
            "--force",
            help="Where DIR holds anything else, move that to DIR.before; nothing is deleted.",
        ),
    ] = False,
) -> None:
    from . import printing
    from .export.placing import check_place
    from .export.writing import export

    check_place(directory, logbook, force)
    bring_up_to_date(logbook)
    with printing.progress() as step:
        done = export(logbook, directory, force, step)
    printing.exported(directory, done)
