"""Simulated logbooks whose true rates of use are known: what calibration is measured on.

40 things in systems of 10, 8, 6, 5, 4, 3, 2 and 2. All come along on every trip; 28 are meant for
any weather, 12 had their chance on a share of the trips that is U(.2, .8). Each logbook draws a new
truth, from one of three written, continuous distributions:

- "as modelled": in a system the mean rate is U(0, 1), the logarithm of the strength N(log 5, 1),
  rates are Beta;
- "logit-normal": mean N(0, 1.5) and spread U(.5, 2.5) on the logit;
- "always or seldom": a share U(0, 1) of a system's things have rates Beta(20, 1), the others
  Beta(1, 8).
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import betaln, expit
from scipy.stats import beta
from tarebook.analysis.stats.beta_binomial import Pool
from tarebook.analysis.stats.exact_intervals import clopper_pearson

SIZES = (10, 8, 6, 5, 4, 3, 2, 2)
WORLDS = ("as modelled", "logit-normal", "always or seldom")
TAIL = 0.05


@dataclass(frozen=True)
class Logbook:
    """What was true and what was seen, thing by thing, and each one's system."""

    system: np.ndarray
    rate: np.ndarray
    n: np.ndarray
    used: np.ndarray


def _rates(world: str, size: int, rng: np.random.Generator) -> np.ndarray:
    if world == "as modelled":
        mean, strength = rng.uniform(), 5 * np.exp(rng.normal())
        return rng.beta(mean * strength, (1 - mean) * strength, size)
    if world == "logit-normal":
        return expit(rng.normal(0, 1.5) + rng.uniform(0.5, 2.5) * rng.normal(size=size))
    always = rng.uniform(size=size) < rng.uniform()
    return np.where(always, rng.beta(20, 1, size), rng.beta(1, 8, size))


def simulate(world: str, trips: int, rng: np.random.Generator) -> Logbook:
    """One logbook of so many trips."""
    system = np.repeat(np.arange(len(SIZES)), SIZES)
    rate = np.concatenate([_rates(world, size, rng) for size in SIZES])
    share = np.where(rng.permutation(40) < 28, 1.0, rng.uniform(0.2, 0.8, 40))
    n = rng.binomial(trips, share)
    return Logbook(system, rate, n, rng.binomial(n, rate))


def pooled(book: Logbook) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Mean, low and high of every thing, as the product works them."""
    found = np.zeros((3, len(book.n)))
    for system in range(len(SIZES)):
        mine = np.flatnonzero(book.system == system)
        used, n = book.used[mine].tolist(), book.n[mine].tolist()
        rates = Pool(used, n).rates(used, n)
        found[:, mine] = np.array([(r.value, r.low, r.high) for r in rates]).T
    return found[0], found[1], found[2]


def jeffreys(book: Logbook) -> tuple[np.ndarray, np.ndarray]:
    """Each thing by itself under Jeffreys' prior."""
    a, b = book.used + 0.5, book.n - book.used + 0.5
    return np.where(book.used > 0, beta.ppf(TAIL, a, b), 0), beta.ppf(1 - TAIL, a, b)


def exact(book: Logbook) -> tuple[np.ndarray, np.ndarray]:
    """Each thing by itself, Clopper-Pearson."""
    both = np.array(
        [clopper_pearson(int(k), int(n)) for k, n in zip(book.used, book.n, strict=True)]
    )
    return both[:, 0], both[:, 1]


_MEAN, _STRENGTH = np.meshgrid(np.linspace(0.01, 0.99, 60), np.exp(np.linspace(-2, 6, 50)))
_A, _B = (_MEAN * _STRENGTH).ravel(), ((1 - _MEAN) * _STRENGTH).ravel()


def plugged_in(book: Logbook) -> tuple[np.ndarray, np.ndarray]:
    """Empirical Bayes: the system's likeliest Beta, taken as if it were known."""
    low, high = np.zeros(len(book.n)), np.zeros(len(book.n))
    for system in range(len(SIZES)):
        mine = np.flatnonzero(book.system == system)
        k, n = book.used[mine, None], book.n[mine, None]
        like = (betaln(_A + k, _B + n - k) - betaln(_A, _B)).sum(axis=0)
        a, b = _A[like.argmax()], _B[like.argmax()]
        k, n = book.used[mine], book.n[mine]
        low[mine] = np.where(k > 0, beta.ppf(TAIL, a + k, b + n - k), 0)
        high[mine] = beta.ppf(1 - TAIL, a + k, b + n - k)
    return low, high


def covered(book: Logbook, low: np.ndarray, high: np.ndarray) -> float:
    """Share of the things whose true rate lies in its interval."""
    return float(((low <= book.rate) & (book.rate <= high)).mean())


def mean_and_error(values: list[float]) -> tuple[float, float]:
    """The mean over logbooks and its Monte Carlo error."""
    return float(np.mean(values)), float(np.std(values, ddof=1) / np.sqrt(len(values)))
