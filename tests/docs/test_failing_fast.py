"""A test that fails must say so soon: also one that compares two long texts."""

import difflib


def test_long_texts_that_differ_are_told_apart_where_they_first_do() -> None:
    one = [f"<td id=x-{number}>{'abc ' * 20}</td>\n" for number in range(2000)]
    other = [one[0], *(line.replace("x-", "y-") for line in one[1:])]
    told = list(difflib.ndiff(one, other))
    assert told[0] == "  1 lines are equal, of 2000 and 2000; then, as far as 3 lines:\n"
    assert [line[:11] for line in told[1:]] == ["- <td id=x-"] * 3 + ["+ <td id=y-"] * 3
    assert list(difflib.ndiff(["a\n"], ["b\n"])) == ["- a\n", "+ b\n"]
