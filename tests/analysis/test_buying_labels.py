"""Names of candidates stand clear of the dashed lines of their picture, and of each other."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st
from tarebook.analysis.buying.page.labels import BREAK, Placed, placed

LETTER_PX, LINE_PX = 6.3, 15


def ends(place: Placed, x: float) -> tuple[float, float]:
    """The px at which a name begins and ends."""
    wide = max(map(len, place.text.split(BREAK))) * LETTER_PX
    return (x - 10 - wide, x - 10) if place.to_left else (x + 10, x + 10 + wide)


def test_a_name_whose_dot_is_near_a_line_stands_on_the_other_side_of_its_dot() -> None:
    (right,) = placed([("Down jacket, lighter", 345.0, 100.0)], [335.0], 620.0)
    assert right == Placed("Down jacket, lighter", False, 0)
    (left,) = placed([("Down jacket, lighter", 325.0, 100.0)], [335.0], 620.0)
    assert left == Placed("Down jacket, lighter", True, 0)


def test_a_long_name_between_two_lines_is_broken_rather_than_struck_out() -> None:
    (place,) = placed([("Larger tent, in case of guests", 30.0, 100.0)], [140.0, 240.0], 270.0)
    assert BREAK in place.text
    assert place.text.split(BREAK) == ["Larger tent, in", "case of guests"]
    start, end = ends(place, 30.0)
    assert 40 <= start < end < 136


def test_two_names_whose_dots_are_near_each_other_do_not_meet() -> None:
    dots = [
        ("Larger tent, in case of guests", 30.0, 115.0),
        ("Warmer quilt: 8 nights", 122.0, 154.0),
    ]
    places = placed(dots, [140.0, 240.0], 270.0)
    boxes = []
    for place, (_, x, y) in zip(places, dots, strict=True):
        top = y - place.up_px - LINE_PX / 2
        high = len(place.text.split(BREAK)) * LINE_PX
        boxes.append((*ends(place, x), top, top + high))
    for one, other in pairwise(boxes):
        beside = one[1] <= other[0] or other[1] <= one[0]
        assert beside or one[3] <= other[2] or other[3] <= one[2]


@given(
    st.lists(
        st.tuples(st.text("ab c", max_size=50), st.floats(0, 620), st.floats(0, 340)), max_size=6
    )
)
def test_every_name_has_a_place_with_all_of_its_words(dots: list[tuple[str, float, float]]) -> None:
    places = placed(dots, [100.0, 300.0], 620.0)
    told = [place.text.replace(BREAK, "").replace(" ", "") for place in places]
    assert told == [name.replace(" ", "") for name, _, _ in dots]
