"""The one place that opens a connection: a text file from NOAA, and only when it is asked for.

Over https alone, and from no other host than the one that is asked. ``TAREBOOK_NORMALS_BASE`` puts
a server on this very machine in NOAA's place, `http://127.0.0.1:PORT` and nothing else: for tests.
"""

import errno
import os
import re
from collections.abc import Callable
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

from ..errors import TarebookError
from ..leftovers import put_new, sweep_halves
from ..version import VERSION

if TYPE_CHECKING:
    from urllib.request import OpenerDirector

BASE = "https://www.ncei.noaa.gov"
STATION_FILES = "/data/normals-daily/1991-2020/access/"
"""NOAA's public access to the U.S. Climate Normals 1991-2020, daily, a file for each station."""
INVENTORY = "/data/normals-daily/1991-2020/doc/inventory_30yr.txt"
LOCAL = "TAREBOOK_NORMALS_BASE"
LARGEST_ANSWER_BYTES = 5_000_000
"""The inventory has some 1.4 million bytes; a station's daily file has fewer than a million."""
SILENCE_S, LONGEST_S = 20.0, 120.0
"""How long the other side may be silent, and a file may take in all."""

Tell = Callable[[str], None]


class FetchError(TarebookError):
    """A file could not be fetched whole; the message has its address."""


class NotThereError(FetchError):
    """The server has no such file."""


def base_address() -> str:
    """Where files are fetched from; raises FetchError where the tests' variable is not local."""
    base = os.environ.get(LOCAL, BASE)
    if base != BASE and not re.fullmatch(r"http://127\.0\.0\.1:\d{1,5}", base):
        raise FetchError(f"{LOCAL}: expected http://127.0.0.1:PORT, for tests alone; unset it")
    return base


def fetch(address: str, tell: Tell) -> bytes:
    """The content of an address, whole; each address is told before it is asked.

    Raises NotThereError for an address without a file, FetchError for whatever else goes wrong:
    no answer in time, a redirect to another host, an answer that is cut or too large.
    """
    from http.client import HTTPException
    from urllib.error import HTTPError
    from urllib.request import Request

    headers = {"User-Agent": f"tarebook/{VERSION}", "Accept-Encoding": "identity"}
    asked = Request(address, headers=headers)
    tell(f"asking {address}")
    try:
        with _opener(address, tell).open(asked, timeout=SILENCE_S) as answer:
            return _whole(address, answer)
    except HTTPError as error:
        error.close()
        if error.code == 404:
            raise NotThereError(f"{address}: there is no such file") from None
        raise FetchError(f"{address}: the server answered {error.code} {error.reason}") from None
    except HTTPException as error:
        raise FetchError(f"{address}: the answer was cut or garbled; try again") from error
    except OSError as error:
        why = getattr(error, "reason", error)
        text = getattr(why, "strerror", None) or str(why) or type(why).__name__
        raise FetchError(f"{address}: no answer ({text}); try again later") from error


def _opener(address: str, tell: Tell) -> "OpenerDirector":
    """What opens addresses of this scheme and host alone."""
    from urllib import request

    class SameHost(request.HTTPRedirectHandler):
        def redirect_request(self, *args: Any) -> request.Request | None:
            elsewhere = args[-1]
            if urlsplit(elsewhere)[:2] != urlsplit(address)[:2]:
                args[1].close()
                raise FetchError(f"{address}: sends on to {elsewhere}, which is not asked")
            tell(f"asking {elsewhere}")
            return super().redirect_request(*args)

    secure = address.startswith("https:")
    opener = request.OpenerDirector()
    opener.add_handler(request.ProxyHandler(None if secure else {}))
    opener.add_handler(request.HTTPSHandler() if secure else request.HTTPHandler())
    opener.add_handler(request.HTTPDefaultErrorHandler())
    opener.add_handler(request.HTTPErrorProcessor())
    opener.add_handler(SameHost())
    return opener


def _whole(address: str, answer: Any) -> bytes:
    """All that the server announced; raises FetchError where it is less, too much or too slow."""
    announced = answer.headers.get("Content-Length", "")
    chunked = answer.headers.get("Transfer-Encoding", "").lower() == "chunked"
    if answer.headers.get("Content-Encoding", "identity") != "identity":
        raise FetchError(f"{address}: expected plain text, got a compressed answer")
    if not chunked and not announced.isdigit():
        raise FetchError(f"{address}: the server does not say how large the file is")
    data, until = bytearray(), monotonic() + LONGEST_S
    while part := answer.read1(65_536):
        data += part
        if len(data) > LARGEST_ANSWER_BYTES:
            raise FetchError(f"{address}: is larger than {LARGEST_ANSWER_BYTES:,} bytes")
        if monotonic() > until:
            raise FetchError(f"{address}: took more than {LONGEST_S:g} seconds; try again later")
    if not chunked and len(data) != int(announced):
        raise FetchError(f"{address}: was cut after {len(data):,} bytes; try again")
    return bytes(data)


def put(path: Path, data: bytes) -> None:
    """Write a new file, whole or not at all; raises FileExistsError where one is there."""
    path.parent.mkdir(exist_ok=True)
    sweep_halves(path.parent)
    if not put_new(path, data):
        raise FileExistsError(errno.EEXIST, "is there already", str(path))
