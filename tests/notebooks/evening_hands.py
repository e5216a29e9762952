"""Somebody at the form: by mouse or by keyboard alone, with what they do counted."""

import re
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import limits

READY = 30_000
"""Milliseconds until the form stands, on a slow machine: a server, a kernel, a browser."""


class Server:
    """`tarebook log` on a logbook, until it ends.

    Raises AssertionError, with what it complained about, where it does not tell its address.
    """

    def __init__(self, folder: Path, *words: str) -> None:
        command = [sys.executable, "-m", "tarebook.notebooks.cli", "log", str(folder)]
        self.process = subprocess.Popen(
            [*command, "--no-browser", *words],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        lines, told = limits.Lines(self.process), [""]
        while not told[-1].startswith("http:"):
            told.append(lines.next(120))
            assert told[-1], f"no address, but: {''.join(told)}"
        self.address = told[-1].strip()
        self.origin = self.address.partition("/?")[0]

    def interrupt(self) -> int:
        """Ctrl-C; its exit status."""
        self.process.send_signal(signal.SIGINT)
        return self.wait()

    def wait(self) -> int:
        """Its exit status once it has ended; one that does not end is killed with its kernels."""
        return limits.ended(self.process, 60, "Ending the form's server")


class Window:
    """A window of the form, with what it asked for and complained about."""

    def __init__(self, browser: Any, server: Server, width: int, **more: Any) -> None:
        self.asked: list[str] = []
        self.complaints: list[str] = []
        self.context = browser.new_context(
            viewport={"width": width, "height": 900}, locale="en-US", **more
        )
        self.context.on("request", lambda request: self.asked.append(request.url))
        self.page = self.context.new_page()
        self.page.on("websocket", lambda socket: self.asked.append(socket.url))
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("dialog", self._asked)
        self.page.set_default_timeout(READY)
        self.page.goto(server.address)
        self.page.wait_for_selector("#choose")

    def _asked(self, dialog: Any) -> None:
        """A page must not ask; one whose question stands open answers nothing any more."""
        self.complaints.append(dialog.message)
        dialog.dismiss()

    def at(self, name: str) -> Any:
        """The field or button of a name."""
        return self.page.locator(f"[data-at={_quoted(name)}]")

    def open(self, trip: str) -> None:
        """Choose a trip."""
        self.page.click(f"[data-trip={_quoted(trip)}]")
        self.page.wait_for_selector("#packed")

    def kept(self) -> None:
        """Wait until what was entered is kept."""
        self.page.wait_for_function(
            "/^Kept as a draft/.test(document.querySelector('.kept').textContent)"
        )

    def abroad(self, origin: str) -> list[str]:
        """Whatever was asked of anybody but the server."""
        here = (origin, origin.replace("http:", "ws:"), "data:", f"blob:{origin}")
        return [url for url in self.asked if not url.startswith(here)]

    def debrief(self, press: Any) -> str:
        """Do what opens the debrief; its text."""
        with self.context.expect_page() as opened:
            press()
        page = opened.value
        page.wait_for_url("**/reports/debrief*.html", timeout=90_000, wait_until="commit")
        # Its pictures are drawn by the script beside it, which the server hands out, too.
        page.wait_for_selector('.plot[data-drawn="yes"]', state="attached", timeout=READY)
        return str(page.inner_text("main", timeout=READY))


def _quoted(text: str) -> str:
    return '"' + re.sub(r'(["\\])', r"\\\1", text) + '"'


class Mouse:
    """A click, a tick, a choice and a value typed are an action each."""

    def __init__(self, window: Window) -> None:
        self.window, self.actions = window, 0

    def press(self, name: str) -> None:
        """Click, or tick."""
        self.actions += 1
        self.window.at(name).click()

    def write(self, name: str, text: str) -> None:
        """Type a value into a field."""
        self.actions += 1
        self.window.at(name).fill(text)

    def find(self, name: str, text: str) -> None:
        """Type the beginning of a name, and click the one that is meant."""
        self.write(name, text)
        self.actions += 1
        self.window.page.locator("[role=listbox]:visible [role=option]").first.click()

    def choose(self, name: str, value: str) -> None:
        """Choose from a list."""
        self.actions += 1
        self.window.at(name).select_option(value)

    def day(self, name: str, text: str) -> None:
        """A date."""
        self.write(name, f"{text[4:]}-{text[:2]}-{text[2:4]}")


class Keys:
    """Keys alone. Enter, Space and a value typed are an action each; Tab and arrows are moves."""

    def __init__(self, window: Window) -> None:
        self.window, self.actions, self.moves = window, 0, 0

    def _key(self, key: str) -> None:
        self.window.page.keyboard.press(key)

    def _there(self, name: str) -> bool:
        focused = "document.activeElement?.dataset.at ?? document.activeElement?.dataset.trip"
        return bool(self.window.page.evaluate(focused) == name)

    def go(self, name: str) -> None:
        """Tab onward to a field; it must be seen that the keyboard is there."""
        for _ in range(120):
            if self._there(name):
                seen = "getComputedStyle(document.activeElement).outlineStyle"
                assert self.window.page.evaluate(seen) != "none", name
                return
            self._key("Tab")
            self.moves += 1
        raise AssertionError(f"Tab does not lead to {name}")

    def press(self, name: str) -> None:
        """Go to a button or a tick and press Space."""
        self.go(name)
        self.actions += 1
        self._key("Space")

    def follow(self, name: str) -> None:
        """Go to a link and press Enter."""
        self.go(name)
        self.actions += 1
        self._key("Enter")

    def write(self, name: str, text: str) -> None:
        """Go to a field and type a value."""
        self.go(name)
        self.actions += 1
        self.window.page.keyboard.type(text)

    def find(self, name: str, text: str) -> None:
        """Type the beginning of a name, then Enter."""
        self.write(name, text)
        self.actions += 1
        self._key("Enter")

    def choose(self, name: str, words: str) -> None:
        """Type the beginning of a choice."""
        self.write(name, words)

    def day(self, name: str, text: str) -> None:
        """A date: month, day and year as the field has them."""
        self.write(name, text)

    def down(self, *texts: str) -> None:
        """Type a column of the days from here on, with Enter after each."""
        for text in texts:
            self.actions += 1
            self.window.page.keyboard.type(text)
            self._key("Enter")
            self.moves += 1
