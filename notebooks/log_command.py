"""`tarebook log`: the form for the evening after a trip, in a browser on this machine."""

from pathlib import Path
from typing import Annotated

import typer

from ..tripdata.errors import LogbookError
from . import asking
from .arguments import Logbook, bring_up_to_date

commands = typer.Typer()


@commands.command(
    "log",
    cls=asking.Plain,
    short_help="Write a trip down in a form in the browser.",
    help="Write a trip down in a form in the browser: what stayed packed, what food came home, "
    "the days, what failed, what you missed. You see what will be written before it is.",
    epilog="Example: tarebook log my-logbook; tarebook log my-logbook --trip 2026-05-river",
)
def _log(
    logbook: Logbook = Path(),
    trip: Annotated[str, typer.Option(metavar="TRIP", help="Open the form on this trip.")] = "",
    no_browser: Annotated[
        bool, typer.Option("--no-browser", help="Only print the address; you open it yourself.")
    ] = False,
    port: Annotated[
        int,
        typer.Option(
            metavar="PORT", min=0, max=65535, help="Where to serve it; 0: any that is free."
        ),
    ] = 0,
) -> None:
    from . import printing
    from .app.offered import read_book
    from .app.server import serve

    bring_up_to_date(logbook)
    if trip:
        trip = read_book(logbook).to_open(trip)

    def tell(address: str) -> None:
        typer.echo(address)
        printing.note("the form is at the address above, for this machine alone; Ctrl-C ends it")

    try:
        serve(logbook, trip, not no_browser, port, tell)
    except OSError as error:
        raise LogbookError(
            f"port {port}: cannot be used ({error.strerror}); give another --port, or none"
        ) from error
