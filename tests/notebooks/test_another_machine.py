"""A report is the same byte for byte on a machine whose arithmetic differs in the last place.

Processors differ in what their fastest code gives for exp, log, the functions of SciPy and linear
algebra: in a unit in the last place, hardly ever in more. Here each such result is moved up or down
by one, at random. What pictures are drawn from is compared, with the digest of it that names their
parts; the renderer makes of the same the same.
"""

import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import scipy.special
from reports_read import shown_by

PLAIN = ("exp", "expm1", "log", "log1p", "logaddexp", "power")
ALGEBRA = ("inv", "solve", "pinv", "slogdet")
SPECIAL = (
    *("ndtr", "ndtri", "log_ndtr", "betainc", "betaincinv", "betaln", "gammainc", "gammaincinv"),
    *("gammaln", "expit", "logit", "stdtr", "stdtrit", "logsumexp", "softmax"),
)


class Elsewhere:
    """A function of numbers as another machine has it; its reductions stay."""

    def __init__(self, of: Any, luck: np.random.Generator) -> None:
        self._of, self._luck = of, luck
        self.moved = 0

    def __call__(self, *given: Any, **more: Any) -> Any:
        found = self._of(*given, **more)
        if isinstance(found, tuple):
            return type(found)(*map(self._move, found))
        return found if "out" in more else self._move(found)

    def _move(self, found: Any) -> Any:
        if np.asarray(found).dtype != np.float64:
            return found
        self.moved += np.size(found)
        way = np.where(self._luck.random(np.shape(found)) < 0.5, -np.inf, np.inf)
        with np.errstate(all="ignore"):
            moved = np.nextafter(found, way)
        # Chances stay chances, and what is exactly nothing or one is so on every machine.
        exact = (np.asarray(found) == 0) | (np.asarray(found) == 1)
        kept = np.where(exact | ~np.isfinite(found), found, moved)
        return kept if np.ndim(found) else kept[()]

    def __getattr__(self, name: str) -> Any:
        return getattr(self._of, name)


def on_another_machine(patch: pytest.MonkeyPatch, seed: int) -> list[Elsewhere]:
    luck = np.random.default_rng(seed)
    homes: list[tuple[Any, tuple[str, ...]]] = [
        (np, PLAIN),
        (np.linalg, ALGEBRA),
        (scipy.special, SPECIAL),
    ]
    ours = [m for name, m in list(sys.modules.items()) if name.startswith("tarebook.analysis")]
    # Another machine has worked nothing out yet.
    for kept in {id(v): v for m in ours for v in vars(m).values()}.values():
        if hasattr(kept, "cache_clear"):
            kept.cache_clear()
    made = []
    for home, names in homes:
        for name in names:
            former = getattr(home, name)
            other = Elsewhere(former, luck)
            made.append(other)
            patch.setattr(home, name, other)
            for module in ours:
                for key, value in list(vars(module).items()):
                    if value is former:
                        patch.setattr(module, key, other)
    return made


@pytest.mark.parametrize(
    "report", ["base_weight_trend", "comfort_value", "temperature_context", "season_cull"]
)
def test_a_report_is_the_same_elsewhere(
    demo_folder: Path, monkeypatch: pytest.MonkeyPatch, report: str
) -> None:
    _, here = shown_by(demo_folder, report, drawn=False)
    made = on_another_machine(monkeypatch, seed=1)
    _, there = shown_by(demo_folder, report, drawn=False)
    assert sum(each.moved for each in made) > 100, "hardly anything was worked out otherwise"
    assert len(here) == len(there) > 3
    for one, other in zip(here, there, strict=True):
        assert one == other
