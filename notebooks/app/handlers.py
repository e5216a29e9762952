"""What the form's server answers besides the form: the debrief, and that it shall end."""

import asyncio
import os
import sys
from html import escape
from pathlib import Path
from typing import Any

from jupyter_server.base.handlers import JupyterHandler
from tornado import web

from ...tripdata.names import printable
from ...tripdata.own_files import own_text
from .. import bundle

_WAIT = """<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><meta name="color-scheme" content="light dark">
<meta name="viewport" content="width=device-width, initial-scale=1"><link rel="icon" href="data:,">
<title>Debrief</title><style>{style}</style></head>
<body><p class="waiting" role="status">Making the debrief. It takes some seconds.</p>
"""


class DebriefHandler(JupyterHandler):
    """Makes a trip's debrief and goes on to it; what goes wrong is said in its place."""

    @web.authenticated
    async def get(self, trip: str) -> None:
        """Answer with a line at once, and with the report when it is there."""
        self.set_header("Content-Type", "text/html; charset=utf-8")
        self.set_header("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'")
        self.set_header("Cache-Control", "no-store")
        self.write(_WAIT.format(style=own_text(__package__, "page", "page.css")))
        await self.flush()
        logbook: Path = self.settings["tarebook_logbook"]
        command = [sys.executable, "-m", "tarebook.notebooks.cli", "report", "debrief"]
        made = await asyncio.create_subprocess_exec(
            *command,
            str(logbook),
            f"--trip={trip}",
            stdout=asyncio.subprocess.PIPE,
            stderr=asyncio.subprocess.PIPE,
            env=os.environ | {"PYTHONSAFEPATH": "1"},
        )
        try:
            out, err = await made.communicate()
        finally:
            if made.returncode is None:
                made.kill()
        pages = out.decode("utf-8", "replace").splitlines()
        if made.returncode or not pages:
            reason = printable(
                err.decode("utf-8", "replace").strip().splitlines()[-1:][0] if err else ""
            )
            self.finish(
                f'<p class="waiting">It could not be made. {escape(reason)}</p></body></html>'
            )
            return
        name = escape(Path(pages[-1]).name)
        self.finish(f'<meta http-equiv="refresh" content="0;url=/reports/{name}"></body></html>')


class ReportHandler(JupyterHandler):
    """A page in the logbook's reports, or the script beside it, as it lies there."""

    @web.authenticated
    async def get(self, name: str) -> None:
        """The page, which says itself what it may load."""
        folder = (self.settings["tarebook_logbook"] / "reports").resolve()
        path = (folder / name).resolve()
        is_script = bundle.is_ours(path.name)
        ours = is_script or path.suffix == ".html"
        if path.parent != folder or not ours or not path.is_file():
            raise web.HTTPError(404)
        kind = "text/javascript" if is_script else "text/html"
        self.set_header("Content-Type", f"{kind}; charset=utf-8")
        self.set_header("Cache-Control", "no-store")
        self.set_header("Content-Security-Policy", "frame-ancestors 'none'; connect-src 'none'")
        self.finish(path.read_bytes())


class CloseHandler(JupyterHandler):
    """Ends the server. The header cannot be set by a page of another origin without asking."""

    @web.authenticated
    async def post(self) -> None:
        """End."""
        if self.request.headers.get("X-Tarebook") != "close":
            raise web.HTTPError(403)
        self.settings["tarebook_close"]()
        self.finish("closed")

    def check_xsrf_cookie(self) -> None:
        """The header above stands in for a cookie."""


def own_handlers() -> list[tuple[str, Any]]:
    """The addresses, and what answers them."""
    return [
        (r"/debrief/([^/]+)", DebriefHandler),
        (r"/reports/([^/]+)", ReportHandler),
        (r"/close", CloseHandler),
    ]
