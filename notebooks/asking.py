"""The options of `table` and `report`, drawn from their declarations, and help on one of either."""

import inspect
from collections.abc import Callable, Iterable, Mapping
from copy import copy
from datetime import date
from typing import Annotated, Any, TypeVar

import typer
from typer.core import TyperCommand, TyperOption

from ..analysis.catalogue.entry import Entry
from ..analysis.catalogue.options import OPTIONS, Option, by_flag, check_together
from ..analysis.tables import TABLES
from ..tripdata.errors import QuestionError
from ..tripdata.names import normalised
from .reports import REPORTS

Command = TypeVar("Command", bound=Callable[..., None])
TABLE_OPTIONS: Mapping[str, tuple[str, ...]] = {e.name: e.options for e in TABLES.values()}
_TYPES = {"number": float | None, "flag": bool}


def takes(options: Mapping[str, Iterable[str]]) -> Callable[[Command], Command]:
    """Give a command the options of all these tables or reports that can be typed.

    It gets them by keyword, read; None where one is left out.
    """
    names = {name for each in options.values() for name in each}

    def with_options(command: Command) -> Command:
        signature = inspect.signature(command)
        own = [p for p in signature.parameters.values() if p.kind is not p.VAR_KEYWORD]
        drawn = [_parameter(o) for o in OPTIONS.values() if o.flag and o.name in names]
        command.__signature__ = signature.replace(parameters=own + drawn)  # type: ignore[attr-defined]
        return command

    return with_options


def _parameter(option: Option) -> inspect.Parameter:
    def read(value: Any) -> Any:
        try:
            return option.read(None if value is False else value)
        except QuestionError as error:
            raise typer.BadParameter(str(error)) from None

    info = typer.Option(
        option.flag,
        metavar=option.metavar or None,
        help=option.help,
        callback=read,
        autocompletion=lambda: list(option.choices),
    )
    return inspect.Parameter(
        option.name,
        inspect.Parameter.KEYWORD_ONLY,
        default=False if option.kind == "flag" else None,
        annotation=Annotated[_TYPES.get(option.kind, str | None), info],
    )


def values_for(entry: Entry, options: Mapping[str, Any]) -> dict[str, Any]:
    """The options given for a table; ones that it does not take are a wrong command line."""
    values = {name: value for name, value in options.items() if value is not None}
    try:
        entry.read(values, by_flag)
    except QuestionError as error:
        raise typer.BadParameter(str(error)) from None
    return values


def parameters_for_reports(options: Mapping[str, Any]) -> dict[str, Any]:
    """The options given as the parameters of notebooks; a pair of them may be a wrong command."""
    values = {name: value for name, value in options.items() if value is not None}
    try:
        check_together(values, by_flag)
    except QuestionError as error:
        raise typer.BadParameter(str(error)) from None
    return {n: v.isoformat() if isinstance(v, date) else v for n, v in values.items()}


class _AboutOne(TyperCommand):
    """A command whose help, after the name of a thing, has the options of that thing alone.

    Help on all of them says behind an option which take it.
    """

    takes: Mapping[str, tuple[str, ...]]

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        ctx.meta["about"] = next((n for a in args if (n := normalised(a)) in self.takes), "")
        return super().parse_args(ctx, args)

    def get_params(self, ctx: Any) -> list[Any]:
        params = super().get_params(ctx)
        return list(self._shown(params, ctx.meta["about"])) if "shown" in ctx.meta else params

    def _shown(self, params: Iterable[Any], about: str) -> Iterable[Any]:
        for param in params:
            if not isinstance(param, TyperOption) or param.name not in OPTIONS:
                yield param
            elif not about:
                param = copy(param)
                names = [name for name, options in self.takes.items() if param.name in options]
                param.help = f"{param.help} [{', '.join(names)}]"
                yield param
            elif param.name in self.takes[about]:
                yield param

    def format_help(self, ctx: Any, formatter: Any) -> None:
        ctx.meta["shown"] = True
        super().format_help(ctx, formatter)

    def shell_complete(self, ctx: Any, incomplete: str) -> list[Any]:
        ctx.meta["shown"] = True
        return super().shell_complete(ctx, incomplete)


class AboutReport(_AboutOne):
    """Help on a report has its options."""

    takes = REPORTS


class AboutTable(_AboutOne):
    """Help on a table has its options, its columns and its caution."""

    takes = TABLE_OPTIONS

    def format_epilog(self, ctx: Any, formatter: Any) -> None:
        """The columns of the table, what must be known with its rows, then the examples."""
        if ctx.meta["about"]:
            entry = TABLES[ctx.meta["about"]]
            with formatter.section(f"Columns, one row per {entry.grain}"):
                formatter.write_dl(
                    [
                        (term.name, f"{term.meaning}{term.unit and f' [{term.unit}]'}")
                        for term in entry.columns
                    ]
                )
            if entry.caution:
                with formatter.section("Take care"):
                    formatter.write_text(entry.caution)
        super().format_epilog(ctx, formatter)
