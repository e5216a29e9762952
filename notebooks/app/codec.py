"""A trip's entry as plain JSON and back, so that a draft holds what the form was opened on."""

from base64 import b64decode, b64encode
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from ...tripdata.logbook_entry import TripEntry


class NotAnEntryError(ValueError):
    """What should be an entry's JSON is none: the draft of another version, or a changed one."""


def as_json(value: Any) -> Any:
    """Plain JSON of an entry or a part of it; what is blank is left out."""
    if is_dataclass(value):
        parts = ((field.name, getattr(value, field.name)) for field in fields(value))
        return {name: as_json(part) for name, part in parts if part not in (None, ())}
    if isinstance(value, tuple):
        return [as_json(part) for part in value]
    if isinstance(value, bytes):
        return b64encode(value).decode()
    if isinstance(value, date):
        return value.isoformat()
    return str(value) if isinstance(value, Decimal) else value


def entry_of(data: Any) -> TripEntry:
    """The entry that was made JSON. Raises NotAnEntryError where it is none."""
    try:
        entry: TripEntry = _made(TripEntry, data)
    except (AttributeError, TypeError, ValueError, KeyError, ArithmeticError) as error:
        raise NotAnEntryError(str(error)) from error
    return entry


@cache
def _types(kind: type) -> dict[str, Any]:
    return get_type_hints(kind)


def _made(kind: Any, data: Any) -> Any:
    if is_dataclass(kind) and isinstance(kind, type):
        types = _types(kind)
        return kind(**{name: _made(types[name], part) for name, part in data.items()})
    origin, inner = get_origin(kind), get_args(kind)
    if origin is tuple:
        if inner[-1] is Ellipsis:
            return tuple(_made(inner[0], part) for part in data)
        return tuple(_made(each, part) for each, part in zip(inner, data, strict=True))
    if origin in (Union, UnionType):
        if data is None:
            return None
        kinds = [each for each in inner if each is not NoneType]
        return _made(kinds[0], data) if len(kinds) == 1 else _one_of(kinds, data)
    if origin is Literal:
        return _one_of([str], data)
    return _plain(kind, data)


def _one_of(kinds: list[Any], data: Any) -> Any:
    if type(data) not in kinds:
        raise TypeError(f"{data!r} is none of {kinds}")
    return data


def _plain(kind: Any, data: Any) -> Any:
    if kind is Decimal:
        return Decimal(data)
    if kind is date:
        return date.fromisoformat(data)
    if kind is bytes:
        return b64decode(data)
    return _one_of([kind], data)
