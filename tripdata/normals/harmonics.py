"""Days from twelve monthly normals: a smooth year whose months have exactly these means.

NOAA makes its daily temperature normals in the same way, with six harmonics, twelve monthly
constraints and a year of 365 days (Arguez & Applequist 2013, J. Atmos. Oceanic Technol. 30(7),
doi:10.1175/JTECH-D-12-00195.1). It has daily observations to settle the one degree of freedom that
the months leave; here it goes to the year that bends least.
"""

from collections.abc import Sequence

from .calendar import DAYS, MONTH_DAYS

HARMONICS = 6


def days_from_months(monthly: Sequence[float]) -> dict[str, float]:
    """Normals of the 365 days, by `MM-DD`, from those of the twelve months.

    The unit is kept. Against NOAA's own daily normals, made from their monthly means, the error is
    0.05 to 0.17 °C (root mean square) and at most 0.27 °C at the stations of the tests.
    Raises ValueError unless there are twelve.
    """
    import numpy as np

    if len(monthly) != len(MONTH_DAYS):
        raise ValueError(f"expected twelve months, got {len(monthly)}")
    turn = 2 * np.pi * np.arange(1, 366) / 365
    waves = [np.ones(365)]
    for k in range(1, HARMONICS + 1):
        waves += [np.cos(k * turn), np.sin(k * turn)]
    basis = np.array(waves).T
    ends = np.cumsum(MONTH_DAYS)
    means = np.array(
        [
            basis[end - length : end].mean(axis=0)
            for end, length in zip(ends, MONTH_DAYS, strict=True)
        ]
    )
    # The integral of the squared second derivative weighs harmonic k by the fourth power of k.
    bend = np.diag([0.0, *(float(k) ** 4 for k in range(1, HARMONICS + 1) for _ in range(2))])
    months = len(MONTH_DAYS)
    system = np.block([[bend, means.T], [means, np.zeros((months, months))]])
    solved = np.linalg.solve(system, np.array([0.0] * len(bend) + list(monthly)))
    return dict(zip(DAYS, (basis @ solved[: len(bend)]).tolist(), strict=True))
