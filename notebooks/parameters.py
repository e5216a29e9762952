"""Parameters of a notebook: known names and right types, before any kernel starts."""

import ast
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ..tripdata.errors import QuestionError
from ..tripdata.names import guess, shown

if TYPE_CHECKING:
    from nbformat import NotebookNode

Value = str | int | float | bool

_EXPECTED = {"str": "text", "int": "a whole number", "float": "a number", "bool": "yes or no"}
_YES_NO = {"yes": True, "no": False, "true": True, "false": False}


@dataclass(frozen=True)
class Parameter:
    """One parameter of a notebook; default as the notebook's own Python value."""

    name: str
    kind: str
    default: Any


def declared(notebook: "NotebookNode") -> dict[str, Parameter]:
    """Return the parameters that a notebook's parameters cell declares, in their order."""
    from papermill.inspection import inspect_notebook  # type: ignore[import-untyped]

    parameters = {}
    for name, each in inspect_notebook(notebook).items():
        try:
            default = ast.literal_eval(each["default"])
        except (ValueError, SyntaxError):
            default = None
        annotated = each["inferred_type_name"]
        kind = annotated if annotated in _EXPECTED else type(default).__name__
        parameters[name] = Parameter(name, kind, default)
    return parameters


def checked(
    report: str, known: Mapping[str, Parameter], given: Mapping[str, Value]
) -> dict[str, Value]:
    """Return the given values in the notebook's order and of its types.

    Text that reads as the wanted type is taken as such. Raises QuestionError on an unknown name
    or a value of another type.
    """
    for name in given:
        if name not in known:
            raise QuestionError(unknown(f"report {report}", name, known))
    return {
        name: _typed(report, each, given[name]) for name, each in known.items() if name in given
    }


def unknown(where: str, name: str, known: Mapping[str, Parameter]) -> str:
    """Return the message on a name that is no parameter, with the nearest one that is."""
    advice = guess(name, known, f"it takes {', '.join(known) or 'none'}")
    return f"{where}: no parameter {shown(name)}; {advice}"


def _typed(report: str, parameter: Parameter, value: Value) -> Value:
    read: Value | None = None
    if isinstance(value, float) and not math.isfinite(value):
        read = None
    elif isinstance(value, str) and parameter.kind != "str":
        read = _read(parameter.kind, value.strip())
    elif type(value).__name__ == parameter.kind or parameter.kind not in _EXPECTED:
        read = value
    elif parameter.kind == "float" and type(value) is int:
        read = float(value)
    if read is None:
        got = shown(value) if isinstance(value, str) else value
        raise QuestionError(
            f"report {report}: {parameter.name}: expected {_EXPECTED[parameter.kind]}, got {got}"
        )
    return read


def _read(kind: str, text: str) -> Value | None:
    if kind == "int":
        return int(text) if re.fullmatch(r"[+-]?[0-9]+", text) else None
    if kind == "float":
        plain = re.fullmatch(r"[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)(e[+-]?[0-9]+)?", text, re.I)
        return float(text) if plain and math.isfinite(float(text)) else None
    if kind == "bool":
        return _YES_NO.get(text.casefold())
    return text
