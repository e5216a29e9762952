"""What a load weighs, by way of carrying, in figures that add up as they are shown.

The sums that people compare, base weight, from the skin out and all with bike or boat, are rounded
each for itself. What lies between two of them is shared out among its parts, so that no part moves
by a whole unit of the last decimal, and a figure is the same wherever it is shown.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from .rounding import as_shown, shared_out
from .words import Display, Scale, large_mass, small_mass

_EATEN_OR_WORN = ("worn", "consumable")
_EXACT = 6


@dataclass(frozen=True)
class LoadShown:
    """The ways of carrying of one load, in whole units of the last decimal of a scale.

    ``kinds`` has base, worn, consumable and vehicle, as far as anything of them is known. Their
    sums are `skin_out` and `carried`.
    """

    scale: Scale
    kinds: Mapping[str, int] = field(default_factory=dict)

    @classmethod
    def of(cls, grams: Mapping[str, float | None], display: Display) -> "LoadShown":
        """On the scale of the whole: in kg from 1 kg on, in lb from 1 lb on."""
        large = large_mass(display)
        heavy = sum(filter(None, grams.values())) * large.factor >= 1
        return cls.on(large if heavy else small_mass(display), grams)

    @classmethod
    def on(cls, scale: Scale, grams: Mapping[str, float | None]) -> "LoadShown":
        """The load on a scale; what is missing in grams stays missing."""
        known = {kind: g for kind, g in grams.items() if g is not None}
        per_g = scale.factor * 10**scale.decimals
        exact = {kind: round(g * per_g, _EXACT) for kind, g in known.items()}
        sums = [
            int(as_shown(sum(exact.get(kind, 0.0) for kind in kinds)))
            for kinds in (("base",), ("base", *_EATEN_OR_WORN), tuple(exact))
        ]
        base, skin_out, carried = sums
        shown = {"base": base, "vehicle": carried - skin_out}
        free = [kind for kind in _EATEN_OR_WORN if exact.get(kind)]
        parts = shared_out([exact[kind] for kind in free], skin_out - base)
        shown |= dict.fromkeys(_EATEN_OR_WORN, 0) | dict(zip(free, parts, strict=True))
        return cls(scale, {kind: shown[kind] for kind in known})

    @property
    def skin_out(self) -> int:
        """All but the vehicle's."""
        return self.carried - self.kinds.get("vehicle", 0)

    @property
    def carried(self) -> int:
        """All of it."""
        return sum(self.kinds.values())

    def grams(self, units: int) -> float:
        """So many units of the last decimal in g: on this scale it is shown as they are."""
        return float(units / 10**self.scale.decimals / self.scale.factor)

    def text(self, units: int, *, at_least: bool = False) -> str:
        """So many units of the last decimal, with their unit."""
        number = Scale(self.scale.unit, decimals=self.scale.decimals if units else 0)
        text = number.text(units / 10**self.scale.decimals)
        return f"at least {text}" if at_least else text

    def kind(self, kind: str, *, at_least: bool = False) -> str:
        """One way of carrying with its unit; empty where nothing of it is known."""
        known = kind in self.kinds
        return self.text(self.kinds[kind], at_least=at_least) if known else ""


def parts_shown(
    scale: Scale, grams: Sequence[float | None], units: int | None = None
) -> list[float | None]:
    """Parts in g, brought to whole units of the scale's last decimal that sum to so many units.

    Without ``units``, to their own sum as it is shown. What weighs nothing or is missing stays so.
    """
    per_g = scale.factor * 10**scale.decimals
    exact = {n: round(g * per_g, _EXACT) for n, g in enumerate(grams) if g}
    total = int(as_shown(sum(exact.values()))) if units is None else units
    shares = dict(zip(exact, shared_out(list(exact.values()), total), strict=True))
    return [shares[n] / per_g if n in shares else g for n, g in enumerate(grams)]
