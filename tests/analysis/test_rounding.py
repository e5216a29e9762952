import math

from hypothesis import given
from hypothesis import strategies as st
from tarebook.analysis.display.rounding import apportioned


def test_the_largest_remainders_go_up() -> None:
    # Thirds of a whole: worked by hand.
    assert apportioned([1 / 3, 1 / 3, 1 / 3]) == [1, 0, 0]
    assert apportioned([0.5, 0.3, 0.2]) == [1, 0, 0]
    assert apportioned([-0.5, 0.7, -0.2]) == [-1, 1, 0]
    assert apportioned([1.26, 2.13, -0.39], 1) == [1.3, 2.1, -0.4]
    assert apportioned([]) == []


@given(
    st.lists(st.integers(-5_000_000, 5_000_000).map(lambda mg: mg / 1000), max_size=40),
    st.integers(0, 2),
)
def test_what_is_shown_sums_to_the_rounded_sum(values: list[float], decimals: int) -> None:
    shown = apportioned(values, decimals)
    unit = 10**decimals
    assert round(math.fsum(shown) * unit) == round(round(math.fsum(values) * unit, 6))
    assert all(abs(a - b) < 1 / unit for a, b in zip(values, shown, strict=True))
