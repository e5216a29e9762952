"""The change of a product of two factors, split between them so that nothing is left over.

The symmetric split of T. L. Bennet 1920, J. R. Stat. Soc. 83:455 (from memory): the change of each
factor at the mean of the other. Worked in fractions, so that the parts sum to the last digit.
"""

from fractions import Fraction

Factors = tuple[Fraction, Fraction]


def bennet_split(old: Factors, new: Factors) -> Factors:
    """What the change of each factor made of the change of the product."""
    first, second = new[0] - old[0], new[1] - old[1]
    return first * (old[1] + new[1]) / 2, second * (old[0] + new[0]) / 2
