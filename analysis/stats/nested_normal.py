"""A personal level behind values in groups: trips that differ, days within a trip that differ.

x_ij = a + u_i + e_ij with a ~ N(centre, spread^2), u_i ~ N(0, s_group^2), e_ij ~ N(0, s_within^2);
s_group and s_within half-normal. Given both spreads everything is normal (Gelman et al., Bayesian
Data Analysis, 3rd ed., 5.4), so they alone are summed over a grid. With logarithms of ratios as
values, a is the logarithm of a personal factor.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_STEPS = 40
"""Grid points for each of the two spreads; 80 move no quantile by 1 %."""
_LEAST_SD, _MOST_SD = 0.01, 3.0
"""Spreads from and up to so many of their prior's scales are summed over. The points lie evenly on
the logarithm, so that values that hardly differ are told from values that differ little."""


@dataclass(frozen=True)
class NestedNormal:
    """The posterior: a mixture of normals of ``a``, one a pair of spreads.

    Arrays of one length: ``weights`` sum to 1; ``means`` and ``variances`` of ``a``; ``group_sds``
    and ``within_sds`` the spreads. ``values`` and ``groups`` count what it was fitted to.
    ``prior_share``: posterior variance of ``a`` over its prior variance, 1 at most.
    """

    weights: "NDArray[np.float64]"
    means: "NDArray[np.float64]"
    variances: "NDArray[np.float64]"
    group_sds: "NDArray[np.float64]"
    within_sds: "NDArray[np.float64]"
    values: int
    groups: int
    prior_share: float

    def draw(
        self, rng: "np.random.Generator", size: int
    ) -> "tuple[NDArray[np.float64], NDArray[np.float64]]":
        """Draw levels of a new group, a + u, and the spread within it, each of that size."""
        import numpy as np

        at = rng.choice(len(self.weights), size=size, p=self.weights)
        sd = np.sqrt(self.variances[at] + self.group_sds[at] ** 2)
        return self.means[at] + sd * rng.standard_normal(size), self.within_sds[at]


def nested_normal(
    groups: Sequence[Sequence[float]],
    centre: float,
    spread: float,
    group_scale: float,
    within_scale: float,
) -> NestedNormal:
    """Fit groups of values, none of them empty; without a group it is the prior.

    centre, spread: mean and standard deviation of the prior of ``a``. group_scale, within_scale:
    scales of the half-normal priors of the spreads. All in the unit of the values.
    """
    import numpy as np

    steps = np.geomspace(_LEAST_SD, _MOST_SD, _STEPS)
    group_sd, within_sd = (
        each.ravel() for each in np.meshgrid(steps * group_scale, steps * within_scale)
    )
    sizes = np.array([len(group) for group in groups], dtype=float)
    means = np.array([np.mean(group) for group in groups], dtype=float)
    squares = sum(float(np.var(group)) * len(group) for group in groups)
    # One row a pair of spreads, one column a group.
    of_mean = group_sd[:, None] ** 2 + within_sd[:, None] ** 2 / sizes
    precision = 1 / spread**2 + (1 / of_mean).sum(axis=1)
    mean = (centre / spread**2 + (means / of_mean).sum(axis=1)) / precision
    far = (centre / spread) ** 2 + (means**2 / of_mean).sum(axis=1) - precision * mean**2
    log_weight = (
        -0.5 * (group_sd / group_scale) ** 2
        - 0.5 * (within_sd / within_scale) ** 2
        # Even steps of the logarithm: each stands for a stretch as long as the spread is large.
        + np.log(group_sd)
        + np.log(within_sd)
        - (sizes - 1).sum() * np.log(within_sd)
        - 0.5 * squares / within_sd**2
        - 0.5 * np.log(of_mean).sum(axis=1)
        - 0.5 * np.log(precision)
        - 0.5 * far
    )
    weights = np.exp(log_weight - log_weight.max())
    weights /= weights.sum()
    between = float((weights * (mean - (weights * mean).sum()) ** 2).sum())
    variance = float((weights / precision).sum()) + between
    return NestedNormal(
        weights,
        mean,
        1 / precision,
        group_sd,
        within_sd,
        values=int(sizes.sum()),
        groups=len(groups),
        prior_share=min(1.0, variance / spread**2),
    )
