"""What a TOML file says, or in words why it cannot be read: whatever a person put into it."""

import sys
import tomllib
from typing import Any

_TOO_DEEP = "brackets or names in it are nested too deeply"
_TOO_LONG = "a number in it has too many digits"
_DEEPEST = 100
"""Dots in a name: each costs as much as all before it."""


def parsed(content: bytes) -> tuple[dict[str, Any] | None, str, str]:
    """What a file says, why it cannot be read where that is None, and its text as far as known."""
    text = ""
    try:
        text = content.decode("utf-8-sig")
        if any(line.partition("=")[0].count(".") > _DEEPEST for line in text.splitlines()):
            return None, _TOO_DEEP, text
        data = tomllib.loads(text)
    except RecursionError:
        return None, _TOO_DEEP, text
    except (UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        return None, str(error), text
    except ValueError:  # of a number alone: Python turns no more than some thousand digits into one
        return None, _TOO_LONG, text
    return (None, _TOO_LONG, text) if _beyond_floats(data) else (data, "", text)


def _beyond_floats(data: dict[str, Any]) -> bool:
    """Whether there is a whole number that is too large to be reckoned with, or to be shown."""
    left: list[Any] = [data]
    while left:
        value = left.pop()
        if isinstance(value, dict | list):
            left += value.values() if isinstance(value, dict) else value
        elif isinstance(value, int) and abs(value) > sys.float_info.max:
            return True
    return False
