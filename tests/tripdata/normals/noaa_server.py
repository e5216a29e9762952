"""A server on this machine that answers as NOAA's does, or as a test wants it to fail."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread

from tarebook.tripdata.normals.fetching import INVENTORY, STATION_FILES

Answer = Callable[[BaseHTTPRequestHandler], None]


class Server:
    """What it has by path, as content or as a way to answer, and what it was asked for."""

    def __init__(self, base: str) -> None:
        self.base = base
        self.has: dict[str, bytes | Answer] = {}
        self.asked: list[str] = []

    def stations(self, *lines: str) -> None:
        self.has[INVENTORY] = "".join(f"{line}\n" for line in lines).encode()

    def station(self, station: str, answer: bytes | Answer) -> None:
        self.has[f"{STATION_FILES}{station}.csv"] = answer

    @property
    def asked_stations(self) -> list[str]:
        return [path.rpartition("/")[2][:-4] for path in self.asked if path != INVENTORY]


@contextmanager
def running() -> Iterator[Server]:
    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            server.asked.append(self.path)
            answer = server.has.get(self.path)
            if callable(answer):
                answer(self)
            elif answer is None:
                self.send_error(404)
            else:
                send(self, answer)

        def log_message(self, *_: object) -> None:
            pass

    class Quiet(ThreadingHTTPServer):
        daemon_threads = True

        def handle_error(self, *_: object) -> None:
            """That the other side hangs up in the middle is what tests are about."""

    http = Quiet(("127.0.0.1", 0), Handler)
    server = Server(f"http://127.0.0.1:{http.server_port}")
    thread = Thread(target=http.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True)
    thread.start()
    try:
        yield server
    finally:
        http.shutdown()
        http.server_close()


def send(handler: BaseHTTPRequestHandler, data: bytes, announced: int | None = None) -> None:
    """Send content, with another length than it has where one is given."""
    handler.send_response(200)
    handler.send_header("Content-Length", str(len(data) if announced is None else announced))
    handler.end_headers()
    handler.wfile.write(data)


def redirect(to: str) -> Answer:
    def answer(handler: BaseHTTPRequestHandler) -> None:
        handler.send_response(302)
        handler.send_header("Location", to)
        handler.send_header("Content-Length", "0")
        handler.end_headers()

    return answer


def line(
    station: str,
    name: str,
    latitude: float,
    longitude: float,
    height: float = 100.0,
    state: str = "WA",
) -> str:
    """A line as NOAA's inventory has it: the columns of GHCN-Daily's list of stations."""
    return (
        f"{station} {latitude:8.4f} {longitude:9.4f} {height:6.1f} {state:2} {name:30}" + " " * 13
    )
