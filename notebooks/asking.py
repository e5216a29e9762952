"""The options of `table` and `report`, drawn from their declarations, and help on one of either."""

import inspect
import os
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from copy import copy
from datetime import date
from pathlib import Path
from typing import Annotated, Any, TypeVar

import typer
from typer.core import TyperCommand, TyperGroup, TyperOption

from ..analysis.catalogue.entry import Entry
from ..analysis.catalogue.options import OPTIONS, Option, by_flag, check_together
from ..analysis.tables import TABLES
from ..tripdata.errors import QuestionError
from ..tripdata.names import guess, normalised, printable, shown
from .reports import REPORTS

Command = TypeVar("Command", bound=Callable[..., None])
_TYPES = {"flag": bool}
TABLE_OPTIONS: Mapping[str, tuple[str, ...]] = {e.name: e.options for e in TABLES.values()}


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


@contextmanager
def _of_the_command_line() -> Iterator[None]:
    try:
        yield
    except QuestionError as error:
        raise typer.BadParameter(str(error)) from None


def _parameter(option: Option) -> inspect.Parameter:
    def read(value: Any) -> Any:
        if option.kind == "number" and value is not None:
            with suppress(ValueError):  # what is no number stays text, and is told as such
                value = float(value)
        with _of_the_command_line():
            return option.read(None if value is False else value)

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


def one_of(names: Iterable[str]) -> Callable[[str], str]:
    """What reads one of some names, however it is written; another is a wrong command line."""
    known = tuple(names)

    def read(text: str) -> str:
        if normalised(text) in known:
            return normalised(text)
        near = guess(text, known)
        expected = f"expected one of {', '.join(known)}, got {shown(text)}"
        raise typer.BadParameter(f"{expected}{near and f'; {near}'}")

    return read


def spelled(message: str) -> str:
    """A complaint that begins with the name of an option, which is typed by its flag."""
    name, colon, rest = message.partition(": ")
    return f"{by_flag(name)}{colon}{rest}" if name in OPTIONS else message


def values_for(entry: Entry, options: Mapping[str, Any]) -> dict[str, Any]:
    """The options given for a table; ones that it does not take are a wrong command line."""
    values = {name: value for name, value in options.items() if value is not None}
    with _of_the_command_line():
        entry.read(values, by_flag)
    return values


def parameters_for_report(report: str, options: Mapping[str, Any]) -> dict[str, Any]:
    """The options given as the parameters of a notebook.

    One that the report does not take, and a pair that excludes each other, are a wrong command
    line; ``all`` takes what any of them takes.
    """
    values = {name: value for name, value in options.items() if value is not None}
    for name in values if report in REPORTS else ():
        takers = [each for each, options in REPORTS.items() if name in options]
        if report not in takers:
            noun = "report" if len(takers) == 1 else "reports"
            named = f"the {noun} {', '.join(takers)}, not {report}"
            raise typer.BadParameter(f"{by_flag(name)} goes with {named}")
    with _of_the_command_line():
        check_together(values, by_flag)
    return {n: v.isoformat() if isinstance(v, date) else v for n, v in values.items()}


@contextmanager
def _in_plain_letters() -> Iterator[None]:
    """What is wrong with a command line quotes it; a terminal would obey what it holds."""
    try:
        yield
    except Exception as error:
        if isinstance(text := getattr(error, "message", None), str):
            error.message = printable(text)  # type: ignore[attr-defined]
        raise


def _read_plainly(param: Any) -> Callable[[Any, Any], Any]:
    """How a parameter is read where nothing has to be made of it: text, a folder, nothing at all.

    Typer (from 0.29 on) builds a validator for each parameter of a command, given or not, whose
    library takes a quarter of the time of a small command to import. Whatever is not as it should
    be is left to it, and to its complaint.
    """
    by_typer: Callable[[Any, Any], Any] = param.process_value
    kind = getattr(getattr(param, "type_descriptor", None), "annotation", None)

    def read(ctx: Any, value: Any) -> Any:
        plain = not param.required if value is None else kind is str and isinstance(value, str)
        if param.name == "logbook" and _is_there(value):
            value, plain = Path(value), True
        if kind is None or not plain or param.multiple or param.nargs != 1:
            return by_typer(ctx, value)
        return value if param.callback is None else param.callback(ctx, param, value)

    return read


def _is_there(folder: Any) -> bool:
    """Whether it is the name of a folder that can be read."""
    named = isinstance(folder, (str, Path)) and folder != ""
    return named and Path(folder).is_dir() and os.access(folder, os.R_OK)


def _all_read_plainly(params: list[Any]) -> list[Any]:
    for param in params:
        if "process_value" not in vars(param):
            param.process_value = _read_plainly(param)
    return params


class Commands(TyperGroup):
    """All commands, whose complaints about a command line can be shown as they are."""

    def make_context(self, *args: Any, **more: Any) -> Any:
        """Read what stands before the name of a command."""
        with _in_plain_letters():
            return super().make_context(*args, **more)

    def get_params(self, ctx: Any) -> list[Any]:
        """What can be given before the name of a command."""
        return _all_read_plainly(super().get_params(ctx))

    def invoke(self, ctx: Any) -> Any:
        """Read and run a command."""
        with _in_plain_letters():
            return super().invoke(ctx)


class Plain(TyperCommand):
    """A command whose usage names what must be given without braces."""

    def get_params(self, ctx: Any) -> list[Any]:
        """What can be given to it."""
        return _all_read_plainly(super().get_params(ctx))

    def collect_usage_pieces(self, ctx: Any) -> list[str]:
        """The parts of the line that says how it is typed."""
        return [re.sub("[{}]", "", piece) for piece in super().collect_usage_pieces(ctx)]


def _write_paragraph(formatter: Any, text: str) -> None:
    formatter.write_paragraph()
    with formatter.indentation():
        formatter.write_text(text)


class _AboutOne(Plain):
    """A command whose help, after the name of a thing, is about that thing and its options alone.

    Help on all of them says behind an option which take it.
    """

    takes: Mapping[str, tuple[str, ...]]

    def what(self, name: str) -> str:
        """What the command does with the thing of that name."""
        raise NotImplementedError

    def example(self, name: str) -> str:
        """What is typed behind the command for the thing of that name."""
        return f"{name} my-logbook"

    def format_help_text(self, ctx: Any, formatter: Any) -> None:
        """What the command does, of the thing named or of all."""
        if about := ctx.meta["about"]:
            _write_paragraph(formatter, self.what(about))
        else:
            super().format_help_text(ctx, formatter)

    def format_epilog(self, ctx: Any, formatter: Any) -> None:
        """An example of the thing named, or those of the command."""
        if about := ctx.meta["about"]:
            _write_paragraph(formatter, f"Example: {ctx.command_path} {self.example(about)}")
        else:
            super().format_epilog(ctx, formatter)

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

    def what(self, name: str) -> str:
        """What the report answers."""
        from .index import ANSWERS

        return f"Make the report {name}: a page (.html) and a notebook (.ipynb). {ANSWERS[name]}"


class AboutTable(_AboutOne):
    """Help on a table has its options, its columns and its caution."""

    takes = TABLE_OPTIONS

    def what(self, name: str) -> str:
        """What a row of the table is."""
        grain = f"one row per {TABLES[name].grain}"
        return f"Print the table {name}: {grain}. Quantities are in g, km, m and °C."

    def example(self, name: str) -> str:
        """What is typed behind the command; with a trip where nothing is asked without one."""
        trip = " --trip TRIP" if TABLES[name].fault({}, by_flag) else ""
        return super().example(name) + trip

    def format_epilog(self, ctx: Any, formatter: Any) -> None:
        """The columns of the table, what must be known with its rows, then an example."""
        if ctx.meta["about"]:
            entry = TABLES[ctx.meta["about"]]
            with formatter.section("Columns"):
                rows = [(t.name, f"{t.meaning}{t.unit and f' [{t.unit}]'}") for t in entry.columns]
                formatter.write_dl(rows)
            if entry.caution:
                with formatter.section("Take care"):
                    formatter.write_text(entry.caution)
        super().format_epilog(ctx, formatter)
