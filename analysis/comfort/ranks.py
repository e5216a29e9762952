"""Whether a verdict hangs on scores being numbers: the same bundles with scores as ranks."""

import numpy as np

from ..stats.arrays import Array
from ..stats.proportional_odds import LOGISTIC_SD, fit_ordinal
from ..stats.score_model.grid import Priors
from .gain import AspectGains


def p_helps_as_ranks(aspect: AspectGains) -> Array | None:
    """Probability (p) that each bundle helps, with scores as ranks; in the order of the bundles.

    Spreads are those of the main fit, put on the scale of the logistic noise. None where all scores
    are the same.
    """
    from scipy.special import ndtr  # type: ignore[import-untyped]

    data, fit = aspect.days.data, aspect.fit
    if len(np.unique(data.scores)) < 2:
        return None
    scale = LOGISTIC_SD / float(np.mean(fit.likely[:, 3]))
    trips = np.eye(fit.trips)[data.trips]
    table = np.hstack([*(each - each.mean(0) for each in (data.along, data.covariates)), trips])
    spread = np.where(data.comforts, fit.comfort_sd.value, fit.rest_sd.value) * np.sqrt(data.sizes)
    slopes = np.full(data.covariates.shape[1], Priors().slope_sd)
    slopes = slopes if data.slope_sds is None else data.slope_sds
    doubts = np.zeros(len(spread)) if data.doubts is None else data.doubts
    sds = [spread, slopes, np.full(fit.trips, fit.trip_sd.value)]
    ordinal = fit_ordinal(data.scores, table, (np.concatenate(sds) * scale) ** -2.0)
    p = data.along.shape[1]
    helps: Array = ndtr(
        ordinal.coefficients[:p] / np.sqrt(np.diag(ordinal.covariance)[:p] + (doubts * scale) ** 2)
    )
    return helps
