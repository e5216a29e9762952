"""As many directions as the days can tell apart, in place of ever so many bundles.

Gains b of p bundles, independent and of one spread, meet the scores of n days only by X b, X (n, p)
being what was along. With X = U S V' of rank r, X b = U S (V' b), and V' b is again independent
and of that spread, as V has orthonormal columns: r gains in place of p are all that the days speak
of, exactly. Given them b is V (V' b), and beside it what no day tells, spread as beforehand with
covariance I - V V'. Days on which the same things were along make one row, so that r is less than
the number of different such days, whatever is owned.
"""

from dataclasses import dataclass

import numpy as np

from ..arrays import Array, Codes

_NOTHING = 1e-12  # of the largest singular value
Columns = slice | Codes


@dataclass(frozen=True, slots=True, eq=False)
class Span:
    """Columns of the days (n, r), and how p bundles hang on them (p, r).

    ``loads`` is None where bundles are as few as the different days: they are the columns then.
    """

    table: Array
    loads: Array | None

    def turned(self, basis: Array, columns: Columns) -> Array:
        """Rows of a matrix on the directions (r, any), for some of the bundles."""
        rows: Array = basis[columns] if self.loads is None else self.loads[columns] @ basis
        return rows

    def untold(self, columns: Columns) -> Array:
        """Of each bundle's variance beforehand, the share that no day tells of (c)."""
        if self.loads is None:
            return np.zeros(len(np.arange(self.table.shape[1])[columns]))
        share: Array = np.maximum(1 - (self.loads[columns] ** 2).sum(1), 0.0)
        return share

    def untold_within(self, columns: Columns) -> Array:
        """The same as a covariance (c, c)."""
        if self.loads is None:
            own = self.untold(columns)
            return np.zeros((len(own), len(own)))
        loads = self.loads[columns]
        left: Array = np.eye(len(loads)) - loads @ loads.T
        return left


def span_of(columns: Array) -> Span:
    """The directions of columns (n, p); the columns themselves where the days tell them apart."""
    if not columns.shape[1]:
        return Span(columns, None)
    # Counted by their bytes, without sorting: those of 0 and -0 differ, of their sums with 0 not.
    if len({row.tobytes() for row in columns + 0.0}) > columns.shape[1]:
        return Span(columns, None)
    different, place = np.unique(columns, axis=0, return_inverse=True)
    left, size, right = np.linalg.svd(different, full_matrices=False)
    some = size > _NOTHING * size[0]
    return Span((left[:, some] * size[some])[np.ravel(place)], right[some].T)
