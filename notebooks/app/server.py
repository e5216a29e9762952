"""A server of one notebook, for one person on one machine: the form, and nothing else.

It listens on 127.0.0.1 alone, wants a token, runs no code but the notebook's, and ends by Ctrl-C or
when the form tells it to.
"""

import os
import secrets
import signal
import sys
import webbrowser
from collections.abc import Callable
from importlib import resources
from pathlib import Path
from typing import Any

from jupyter_client.kernelspec import KernelSpec, KernelSpecManager
from tornado.httpserver import HTTPServer
from tornado.ioloop import IOLoop
from tornado.netutil import bind_sockets
from traitlets.config import Config
from voila.app import Voila  # type: ignore[import-untyped]

from ...tripdata.leftovers import scratch
from .. import kernel
from .handlers import own_handlers

HOST = "127.0.0.1"
_WIDGETS = [
    "@jupyter-widgets/jupyterlab-manager",
    "@voila-dashboards/widgets-manager8",
    "anywidget",
]
_KEPT = ("/api/kernels/", "/voila/static/", "/voila/labextensions/", "/voila/api/", "/login")
_QUIET = 50
_IDLE_SECONDS = 12 * 3600


class OneInterpreter(KernelSpecManager):
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


class FormServer(Voila):  # type: ignore[misc]
    """Voilà with a page of our own, for one notebook, and without the rest of what it serves."""

    address: str
    page: Path
    logbook: Path
    started: Callable[[str], None]

    def setup_template_dirs(self) -> None:
        """Our page stands before the ones that Voilà brings, which load from elsewhere."""
        super().setup_template_dirs()
        self.template_paths.insert(0, str(self.page))

    def load_config_file(self, *_: Any, **__: Any) -> None:
        """A person's own settings of Voilà are for other notebooks."""

    def init_settings(self) -> Any:
        """Only names of this machine are answered, so that no other page can reach it by name."""
        settings = super().init_settings()
        return settings | {
            "allow_remote_access": False,
            "local_hostnames": [HOST, "localhost"],
            "ws_ping_interval": 30_000,
            "ws_ping_timeout": 30_000,
            "tarebook_logbook": self.logbook,
            "tarebook_close": self.close,
        }

    def init_handlers(self) -> Any:
        """Kernels, what the front end is made of, the notebook, and our own."""
        *others, (_, notebook, about) = super().init_handlers()
        kept = [each for each in others if each[0].startswith(_KEPT)]
        return [*own_handlers(), *kept, ("/", notebook, about)]

    def listen(self) -> None:
        """Serve until told to end; the address is told once it answers."""
        sockets = bind_sockets(int(self.port), HOST)
        self.address = f"http://{HOST}:{sockets[0].getsockname()[1]}/?token={self.token}"
        server = HTTPServer(self.app)
        server.add_sockets(sockets)
        self.ioloop = IOLoop.current()
        self.ioloop.add_callback(self.started, self.address)
        for sign in (signal.SIGINT, signal.SIGTERM):
            signal.signal(sign, lambda *_: self.ioloop.add_callback_from_signal(self.ioloop.stop))
        try:
            self.ioloop.start()
        finally:
            server.stop()
            self.stop()

    def close(self) -> None:
        """End, once what is being answered has been."""
        self.ioloop.call_later(0.2, self.ioloop.stop)


def serve(
    logbook: Path, trip: str, open_browser: bool, port: int, tell: Callable[[str], None]
) -> None:
    """Serve the form until it is closed; ``tell`` gets its address once it answers.

    A port of 0 is any that is free. Raises OSError where the port is taken.
    """

    def started(address: str) -> None:
        tell(address)
        if open_browser:
            webbrowser.open(address)

    with (
        scratch() as work,
        resources.as_file(resources.files(__package__)) as own,
    ):
        kernel.prepare(work)
        os.environ.update(kernel.environment(work, logbook.resolve()))
        os.environ.update(_environment(work, trip))
        server = FormServer(config=_config(work, port))
        server.page, server.logbook, server.started = own / "page", logbook.resolve(), started
        server.notebook_path, server.root_dir = str(own / "log.ipynb"), str(own)
        server.initialize([])
        server.start()


def _environment(work: Path, trip: str) -> dict[str, str]:
    """What kernels and server are told: the trip, and that nobody's own Jupyter settings count."""
    return {
        "TAREBOOK_TRIP": trip,
        "JUPYTER_NO_CONFIG": "1",
        "JUPYTER_DATA_DIR": str(work / "data"),
        "JUPYTER_RUNTIME_DIR": str(work / "runtime"),
        "JUPYTER_PLATFORM_DIRS": "1",
    }


def _config(work: Path, port: int) -> Config:
    config = Config()
    config.Voila.update(
        {
            "ip": HOST,
            "port": port,
            "token": secrets.token_urlsafe(24),
            "open_browser": False,
            "log_level": _QUIET,
            "connection_dir_root": str(work),
        }
    )
    config.VoilaConfiguration.update(
        {
            "extension_allowlist": _WIDGETS,
            "kernel_spec_manager_class": OneInterpreter,
            "file_allowlist": [],
            "show_tracebacks": False,
        }
    )
    config.MappingKernelManager.update(
        {"cull_idle_timeout": _IDLE_SECONDS, "cull_connected": False, "cull_interval": 600}
    )
    return config
