"""The price of leaving things at home: of more things never lower."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tarebook.analysis.display.words import wanted
from tarebook.analysis.usage.items import usage
from tarebook.analysis.usage.missing_odds import missing_odds, wanted_at_most
from tarebook.analysis.usage.verdicts import judge

TODAY = date(2026, 11, 25)


@pytest.fixture(scope="module")
def judged(demo: Any) -> Any:
    counted = usage(demo)
    return counted, judge(counted, {}, TODAY)


@settings(max_examples=60)
@given(st.data())
def test_leaving_more_never_comes_out_at_a_lower_price(judged: Any, data: st.DataObject) -> None:
    counted, things = judged
    less = data.draw(st.lists(st.sampled_from(things), min_size=1, max_size=6, unique_by=id))
    more = data.draw(st.lists(st.sampled_from(things), min_size=1, max_size=6, unique_by=id))
    every = list({each.about.item: each for each in (*less, *more)}.values())
    one, all_ = missing_odds(counted, less), missing_odds(counted, every)
    assert one.value <= all_.value + 1e-12
    assert one.low <= all_.low + 1e-12
    assert one.high <= all_.high + 1e-12
    again = missing_odds(counted, every[::-1])
    assert (again.low, again.high) == pytest.approx((all_.low, all_.high), abs=1e-9)
    assert wanted_at_most(one, len(less)).startswith("you would want ")


def test_the_words_of_a_price_never_fall_either() -> None:
    """From once in so many trips to so many times a trip, in the order of what is expected."""
    often = []
    for n in range(1, 3000):
        told = wanted(n / 1000, 2).replace("\u202f", "")
        words = told.removeprefix("you would want one of them ")
        if words == "less than once in 1000 trips":
            often.append(0.0)
        elif words == "about once on every trip":
            often.append(1.0)
        elif words.startswith("about once in "):
            often.append(1 / float(words.split()[3]))
        else:
            often.append(float(words.split()[1]))
    assert often == sorted(often)
