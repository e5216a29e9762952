"""A server of one notebook, for one person on one machine: the form, and nothing else.

It listens on 127.0.0.1 alone, wants a token, runs no code but the notebook's, and ends by Ctrl-C or
when the form tells it to.
"""

import logging
import os
import secrets
import socket
import sys
import tempfile
import webbrowser
from collections.abc import Callable
from importlib import resources
from pathlib import Path
from typing import Any

from jupyter_client.kernelspec import KernelSpec, KernelSpecManager
from tornado.ioloop import IOLoop
from traitlets.config import Config
from voila.app import Voila

from .. import kernel
from .handlers import own_handlers

_HOST = "127.0.0.1"
_SERVED = ("/api/kernels/", "/voila/static/", "/voila/labextensions/", "/voila/api/")


class OneInterpreter(KernelSpecManager):  # type: ignore[misc]
    """The interpreter that runs the server, whichever others are installed under its name."""

    def _spec(self) -> Any:
        return KernelSpec(
            argv=[sys.executable, "-m", "ipykernel_launcher", "-f", "{connection_file}"],
            display_name="Python 3",
            language="python",
        )

    def find_kernel_specs(self) -> dict[str, str]:
        """One kernel, which has no folder."""
        return {"python3": ""}

    def get_kernel_spec(self, kernel_name: str) -> Any:
        """The same for every name."""
        return self._spec()

    def get_all_specs(self) -> dict[str, Any]:
        """The one there is."""
        return {"python3": {"resource_dir": "", "spec": self._spec().to_dict()}}
