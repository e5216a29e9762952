"""A chart with its words: laid out once for a desktop and once for a phone, drawn in-kernel."""

import hashlib
import re
from collections.abc import Callable, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from datetime import date
from functools import cache, cached_property
from typing import TYPE_CHECKING, Any

from .markup import clean, embed_json, escape, slug
from .theme import LAYOUTS, Layout, config

if TYPE_CHECKING:
    import altair as alt

VEGA_LITE = "6.4"
Build = Callable[[Layout], Any]
"""Given a layout, returns an Altair chart."""
_DIGITS = 7
_DECIMALS = 9
"""Numbers in a picture: significant digits, and decimals for what is all but nothing."""

_COUNTED = re.compile(r"^(?:view|param|concat|layer)_\d+$")
_IDS = re.compile(r'\bid="([^"]+)"|url\(#([^)]+)\)')
_NAMESPACES = re.compile(r'\sxmlns(?::xlink)?="[^"]*"')


@dataclass(frozen=True)
class Figure:
    """A picture of a section.

    name: identifier, unique on its page. alt: what the picture shows, for who cannot see it.
    build: given a Layout, returns an Altair chart; text that a person wrote belongs in its data
    only. Single and layered charts are fitted to layout.px in all; charts of several views must
    keep within it themselves.
    """

    name: str
    alt: str
    build: Build
    caption: str = ""

    def __post_init__(self) -> None:
        if not self.alt.strip():
            raise ValueError(f"figure {self.name}: an alt text is needed")

    def spec(self, layout: Layout, *, validate: bool = False) -> dict[str, Any]:
        """Return the Vega-Lite spec: same look for all, no outside address, cleaned data.

        validate: check every part against the Vega-Lite schema, which takes longer than all the
        rest. The renderer refuses most of what is wrong by itself.
        """
        return self._built(layout, validate=True) if validate else deepcopy(self._spec(layout))

    @cached_property
    def _made(self) -> dict[tuple[str, Layout], Any]:
        """What was built and drawn, once: building a chart takes as long as drawing it."""
        return {}

    def _spec(self, layout: Layout) -> dict[str, Any]:
        if ("spec", layout) not in self._made:
            self._made["spec", layout] = self._built(layout, validate=False)
        spec: dict[str, Any] = self._made["spec", layout]
        return spec

    def _built(self, layout: Layout, *, validate: bool) -> dict[str, Any]:
        from altair.utils.schemapi import debug_mode

        with debug_mode(validate):
            spec: dict[str, Any] = self.build(layout).to_dict(validate=validate)
        spec.pop("$schema", None)
        own = spec.pop("config", {})
        own.pop("view", None)
        looks = config(layout)
        for part, look in own.items():
            looks[part] = {**looks.get(part, {}), **look} if isinstance(look, dict) else look
        spec["config"] = looks
        spec["description"] = clean(self.alt)
        several = {"hconcat", "vconcat", "concat", "facet", "repeat"} & set(spec)
        if not several:
            spec.setdefault("width", layout.px)
            spec.setdefault("autosize", {"type": "fit", "contains": "padding"})
        tidy: dict[str, Any] = _tidy(_datasets_numbered(spec), {})
        return tidy

    def svg(self, layout: Layout) -> str:
        """Return the picture as SVG that can stand several times in one HTML page."""
        if ("svg", layout) not in self._made:
            self._made["svg", layout] = self._draw(self._spec(layout))
        return str(self._made["svg", layout])

    def _draw(self, spec: dict[str, Any]) -> str:
        import vl_convert

        drawing: str = vl_convert.vegalite_to_svg(spec, vl_version=VEGA_LITE, allowed_base_urls=[])
        mark = hashlib.sha256(embed_json(spec).encode()).hexdigest()[:8]
        # The renderer counts its clips through the whole process, too.
        numbers: dict[str, str] = {}

        def own_id(match: re.Match[str]) -> str:
            given = match[1] or match[2]
            name = numbers.setdefault(given, f"{slug(self.name)}-{mark}-{len(numbers) + 1}")
            return f'id="{name}"' if match[1] else f"url(#{name})"

        return _IDS.sub(own_id, _NAMESPACES.sub("", drawing))

    def html(self) -> str:
        """Return a figure element: both drawings, both specs, the caption.

        Without a style sheet or scripting the wide drawing shows. A screen reader is told what the
        picture shows, once; the drawings, also those of a script, are hidden from it.
        """
        parts = [
            f'<figure class="tarebook-figure" data-figure="{slug(self.name)}">'
            f'<div role="img" aria-label="{escape(self.alt)}">'
        ]
        for layout in LAYOUTS:
            hidden = ' style="display:none"' if layout.narrow else ""
            parts.append(
                f'<div class="plot {layout.name}" aria-hidden="true"{hidden}>'
                f"{self.svg(layout)}</div>"
            )
        parts.append("</div>")
        for layout in LAYOUTS:
            parts.append(
                f'<script type="application/json" class="vega-spec" data-layout="{layout.name}">'
                f"{embed_json(self._spec(layout))}</script>"
            )
        if self.caption:
            parts.append(f"<figcaption>{escape(self.caption)}</figcaption>")
        return "".join([*parts, "</figure>"])


def chart_of(rows: Sequence[Mapping[str, Any]]) -> "alt.Chart":
    """Return a bare chart of rows; what a person wrote in them stays data."""
    import altair as alt

    # Inline data is gathered at the top of the spec, where every text in it is cleaned. A tuple,
    # since each step of building a chart would copy a list with every row in it.
    return _own_chart()(alt.InlineData(values=tuple(dict(row) for row in rows)))


@cache
def _own_chart() -> "type[alt.Chart]":
    """A chart for whose channels that come as plain text or a plain value nothing is looked up.

    Altair finds the class of each among all that its schema has, which takes as long as the rest.
    """
    import altair as alt

    def channel(name: str, given: Any) -> Any:
        kind = f"{name[:1].upper()}{name[1:]}"
        if isinstance(given, str):
            return getattr(alt, kind)(given)
        if isinstance(given, dict) and given.keys() == {"value"}:
            return getattr(alt, f"{kind}Value")(given["value"])
        return given

    class OwnChart(alt.Chart):
        def encode(self, *args: Any, **channels: Any) -> Any:
            return super().encode(*args, **{n: channel(n, each) for n, each in channels.items()})

    return OwnChart


def local_day(when: date) -> str:
    """Return a day for a chart's data.

    With its midnight: a bare date is read as UTC, and shows as the day before west of Greenwich.
    """
    return f"{when:%Y-%m-%d}T00:00:00"


def _datasets_numbered(spec: dict[str, Any]) -> dict[str, Any]:
    """The spec with its datasets numbered from one.

    Altair names them by a digest of their rows as they were worked out, to the last digit.
    """
    datasets = spec.pop("datasets", {})
    numbers = {name: f"data-{place}" for place, name in enumerate(datasets, start=1)}

    def renamed(part: Any) -> Any:
        if isinstance(part, list):
            return [renamed(each) for each in part]
        if not isinstance(part, dict):
            return part
        own = part.get("data")
        if isinstance(own, dict) and own.get("name") in numbers:
            part = part | {"data": own | {"name": numbers[own["name"]]}}
        return {key: each if key == "data" else renamed(each) for key, each in part.items()}

    named: dict[str, Any] = renamed(spec)
    if datasets:
        named["datasets"] = {numbers[name]: rows for name, rows in datasets.items()}
    return named


def _tidy(value: Any, names: dict[str, str], in_data: bool = False) -> Any:
    """Make what a person wrote harmless wherever it stands: in data, but also in orders of names.

    Numbers keep what a picture can show, so that two machines whose last digits differ draw the
    same. Counted names (``names``, outside data) are numbered from one: Altair's counter runs on
    through the whole process.
    """
    if isinstance(value, str):
        text = clean(value)
        if in_data or not _COUNTED.match(text):
            return text
        return names.setdefault(text, f"{text.rsplit('_', 1)[0]}_{len(names) + 1}")
    if isinstance(value, float):
        return float(f"{round(value, _DECIMALS):.{_DIGITS}g}") + 0.0  # no minus nothing
    if isinstance(value, list | tuple):
        return [_tidy(each, names, in_data) for each in value]
    if isinstance(value, dict):
        data = ("data", "datasets")
        return {k: _tidy(each, names, in_data or k in data) for k, each in value.items()}
    return value
