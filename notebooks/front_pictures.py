"""Pictures of pages for the front of the project, taken by a browser; for contributors.

The browser is Debian's `chromium`, driven by Playwright, which comes with what the tests want.
Pages are taken as they stand without scripting, in a font that is named, so that pictures of the
same pages differ as little as two versions of the browser do.
"""

import io
import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from ..tripdata.errors import QuestionError
from .site import FIRST

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

FONT = "Liberation Sans"
_PAGES: Mapping[str, tuple[str, int]] = {
    "index": (FIRST, 1950),
    "debrief": ("debrief-2024-07-up-the-sound.html", 2100),
}
"""The pages of the demo that are shown: their files, and how much of each at most, in pixels."""
_WIDTH, _SCALE = 760, 1.25
_QUALITY = 75
_LOOK = f"""
* {{ font-family: "{FONT}" !important; }}
.site, .skip, .contents {{ display: none !important; }}
main {{ padding-top: 20px !important; }}
"""
_DRESS = """(look) => {
  const style = document.createElement('style');
  style.textContent = look;
  document.head.append(style);
}"""
_IS_THERE = """(font) => {
  const line = document.createElement('canvas').getContext('2d');
  const width = family => {
    line.font = '40px ' + family;
    return line.measureText('Wild ijml').width;
  };
  return width('"' + font + '", monospace') !== width('monospace')
    || width('"' + font + '", serif') !== width('serif');
}"""
_PARTS = "main section > :not(h2), .tarebook-opening > *, .points > div, .trips tr:not(.season)"
_ENDS = """([parts, most]) => Math.max(...Array.from(document.querySelectorAll(parts))
  .map(part => part.getBoundingClientRect().bottom).filter(bottom => bottom <= most))"""
"""Where the last part ends of which nothing is cut off."""


def take(reports: Path, folder: Path) -> list[Path]:
    """Take a picture of each page of the demo that is shown, into FOLDER as WebP.

    Raises QuestionError where the browser or the font is not there.
    """
    from playwright.sync_api import sync_playwright

    chromium = shutil.which("chromium")
    if chromium is None:
        raise QuestionError("no chromium here; install Debian's package chromium")
    with sync_playwright() as started:
        arguments = ["--no-sandbox", "--disable-gpu", "--font-render-hinting=none"]
        return take_with(
            started.chromium.launch(executable_path=chromium, args=arguments), reports, folder
        )


def take_with(browser: "Browser", reports: Path, folder: Path) -> list[Path]:
    """As `take`, with a browser that runs."""
    taken = []
    context = browser.new_context(
        viewport={"width": _WIDTH, "height": 900},
        device_scale_factor=_SCALE,
        offline=True,
        java_script_enabled=False,
        color_scheme="light",
    )
    context.set_default_timeout(60_000)
    page = context.new_page()
    for name, (file, most) in _PAGES.items():
        page.goto((reports / file).resolve().as_uri())
        page.evaluate(_DRESS, _LOOK)
        if not page.evaluate(_IS_THERE, FONT):
            raise QuestionError(f"no font {FONT} here; install Debian's fonts-liberation")
        target = folder / f"{name}.webp"
        target.write_bytes(_webp(_shot(page, most)))
        taken.append(target)
    context.close()
    return taken


def _shot(page: "Page", most: int) -> bytes:
    height = page.evaluate(_ENDS, [_PARTS, most]) + 14
    box = {"x": 0, "y": 0, "width": _WIDTH, "height": height}
    return page.screenshot(full_page=True, clip=box, animations="disabled")  # type: ignore[arg-type]


def _webp(png: bytes) -> bytes:
    """The smaller of two: exact, as suits text, or nearly so, as suits a photograph."""
    from PIL import Image

    image = Image.open(io.BytesIO(png)).convert("RGB")
    made = []
    for how in ({"lossless": True, "quality": 100}, {"quality": _QUALITY}):
        out = io.BytesIO()
        image.save(out, "WEBP", method=6, **how)
        made.append(out.getvalue())
    return min(made, key=len)
