"""A grammar compiled on import although hardly anybody asks it, put off until somebody does.

Altair and nbformat import jsonschema. Where the Jupyter server is installed, jsonschema imports
`rfc3987_syntax` for its check of the format "iri", and that compiles a grammar for every rule of
RFC 3987: over a second in each process, more than all else that a report imports. No schema that
a report is checked against has an address of that format.
"""

import sys
from importlib.util import find_spec, module_from_spec
from types import ModuleType
from typing import Any

_NAME = "rfc3987_syntax"
_ASKED = "is_valid_syntax"


class _Late(ModuleType):
    """The package as it is found, executed when something beyond its one check is wanted."""

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__") or not _execute(self):
            raise AttributeError(f"module {self.__name__!r} has no attribute {name!r}")
        return getattr(self, name)


def put_off() -> None:
    """Let `rfc3987_syntax` be imported without compiling its grammar; asking it compiles it.

    Nothing is done where it is imported already, or not installed. Whoever expects more of it than
    its public `is_valid_syntax` gets the whole package.
    """
    if _NAME in sys.modules or (spec := find_spec(_NAME)) is None:
        return
    late = module_from_spec(spec)
    late.__class__ = _Late

    def is_valid_syntax(term: str, value: str) -> Any:
        _execute(late)
        return getattr(late, _ASKED)(term, value)

    setattr(late, _ASKED, is_valid_syntax)
    sys.modules[_NAME] = late


def _execute(late: ModuleType) -> bool:
    """Execute the package in its module, in which its own check takes the place of ours."""
    late.__class__ = ModuleType
    spec = late.__spec__
    if spec is None or spec.loader is None:
        return False
    spec.loader.exec_module(late)
    return True
