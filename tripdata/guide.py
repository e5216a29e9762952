"""The contract in words and in blank files: for `tarebook new` and for the documentation."""

import textwrap
from html import escape
from itertools import groupby
from operator import attrgetter

from .contract import TABLES, Column, Table
from .own_files import own_text
from .settings import ANY_BAG, IN_POUNDS, LIMITS_TWINS, SECTIONS, Setting, section_title
from .thermometers.described import REPEATED
from .units import SIGNS

_KINDS = {
    "key": "short name",
    "item": "item of gear.csv",
    "trip": "trip of trip.csv",
    "items": "items, separated by ;",
    "names": "names, separated by ;",
    "text": "text",
    "group": "text",
    "words": "words, separated by ;",
    "flag": "yes or no",
    "use": "yes, no or a number",
    "number": "number",
    "whole": "whole number",
    "date": "date YYYY-MM-DD",
    "moment": "local date and time",
}


def blank_header(table: Table, units: dict[str, str] | None = None) -> list[str]:
    """The header of a blank file, in the person's own units (dimension to suffix)."""
    units = units or {}
    return [f"{c.name}_{units[c.kind]}" if c.kind in units else c.headers[0] for c in table.columns]


def _needed(column: Column) -> str:
    """Whether a column may be left out or blank."""
    if column.cell:
        return "column and cell required"
    return "column required" if column.required else ""


def _expects(column: Column) -> str:
    """What a column's cells hold, in words."""
    if column.dimension is not None:
        return f"{column.kind} in " + " or ".join(SIGNS.get(u, u) for u in column.units)
    if column.choices:
        return "one of " + ", ".join(column.choices)
    text = _KINDS[column.kind]
    if column.low is not None and column.high is not None:
        text += f", {column.low:g} to {column.high:,.0f}"
    return text


def _place(table: Table) -> str:
    if table.name == "trip":
        return "trip.csv, or trips/TRIP/trip.csv"
    if not table.per_trip:
        return f"{table.name}.csv"
    return f"trips/TRIP/{table.name}.csv, or {table.name}.csv with a trip column"


def markdown_reference() -> str:
    """The column reference of the documentation."""
    parts = []
    for table in TABLES:
        key = ", ".join(table.key) or "none"
        parts.append(
            f"### {table.name}\n\n{_sentence(table.meaning)} File: `{_place(table)}`. Key: {key}.\n"
        )
        parts.append("| column | needed | holds | meaning |\n|---|---|---|---|")
        parts += [
            f"| {' or '.join(f'`{h}`' for h in c.headers)} | {_needed(c)} | {_expects(c)} "
            f"| {c.meaning} |"
            for c in table.columns
        ]
        parts.append("")
    return "\n".join(parts)


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:] + "."


def html_page() -> str:
    """The page that explains each column, put beside a new logbook's blank files."""
    parts = []
    for table in TABLES:
        parts.append(
            f"<h2>{table.name}</h2><p>{escape(_sentence(table.meaning))} "
            f"File: <code>{escape(_place(table))}</code></p>"
        )
        parts.append(table.invitation)
        parts.append("<table><thead><tr><th>column<th>holds<th>meaning</thead>")
        for column in table.columns:
            names = " or ".join(f"<code>{h}</code>" for h in column.headers)
            need = _needed(column) and f"<br><small>{_needed(column)}</small>"
            cells = (f"{names}{need}", escape(_expects(column)), escape(column.meaning))
            parts.append("<tr><td>" + "<td>".join(cells))
        parts.append("</table>")
    return own_text(__package__, "columns.html").replace("<!-- tables -->", "\n".join(parts))


_LOGGER = (
    "How your thermometer writes its files, so that one can be dropped into a trip's folder as "
    "temperatures-camp.csv unchanged. `tarebook thermometer FILE` names the lines to write here; "
    "for several thermometers, several of these."
)


def blank_settings(us: bool = False, dates: str = "") -> str:
    """The blank tarebook.toml: every setting that the table gives an example of, as a comment.

    With ``us`` the units of display are made ounces, degrees Fahrenheit and miles, and examples are
    in pounds; ``dates`` is made the other form of dates, where one is given.
    """
    parts = ["# Settings of this logbook. Remove the # of a line to use it."]
    twins = (
        {key for key in IN_POUNDS} if not us else {(s, to) for (s, _), (to, _) in IN_POUNDS.items()}
    )
    for name, settings in SECTIONS.items():
        if name == LIMITS_TWINS[us]:
            continue
        lines = []
        for setting in settings.values():
            if setting.key == "dates" and dates:
                lines.append(f'dates = "{dates}"')
            elif setting.example and (name, setting.key) not in twins:
                line = _example(setting)
                lines.append(line.removeprefix("# ") if us and name == "display" else line)
        if name == REPEATED:
            comment = textwrap.wrap(_LOGGER, 97, initial_indent="# ", subsequent_indent="# ")
            lines = [*comment, f"# {section_title(name)}", *lines]
        elif lines:
            lines.insert(0, f"[{name}]")
        parts += ["\n".join(lines)] if lines else []
    return "\n\n".join(parts) + "\n"


def _example(setting: Setting) -> str:
    number = setting.kind in ("number", "whole")
    key = '"seat pack"' if setting.key == ANY_BAG else setting.key
    line = f"# {key} = " + (setting.example if number else f'"{setting.example}"')
    return f"{line:<24} # {setting.hint}" if setting.hint else line


def settings_reference() -> str:
    """The reference of settings of the documentation: a row a setting, one for all of regret."""
    rows = ["| section | setting | holds | default | meaning |", "|---|---|---|---|---|"]
    for section, settings in SECTIONS.items():
        for meaning, alike in groupby(settings.values(), attrgetter("meaning")):
            each = list(alike)
            names = ", ".join(f"`{setting.key}`" for setting in each)
            default = "" if each[0].default is None else str(each[0].default)
            title = section_title(section)
            rows.append(f"| `{title}` | {names} | {each[0].expected} | {default} | {meaning} |")
    return "\n".join(rows) + "\n"
