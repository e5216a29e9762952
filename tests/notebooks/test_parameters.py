import nbformat
import pytest
from tarebook.notebooks.parameters import Value, checked, declared
from tarebook.notebooks.runner import file_stem
from tarebook.tripdata.errors import QuestionError

SOURCE = """\
trip: str = ""  # the trip's name
chances: int = 3
share: float = 0.5
full: bool = True
plain = 7"""


def known() -> dict:
    cell = nbformat.v4.new_code_cell(SOURCE, metadata={"tags": ["parameters"]})
    kernel = {"name": "python3", "language": "python", "display_name": "Python 3"}
    return declared(nbformat.v4.new_notebook(cells=[cell], metadata={"kernelspec": kernel}))


def test_a_notebook_declares_its_parameters_in_order_with_their_types() -> None:
    found = known()
    assert list(found) == ["trip", "chances", "share", "full", "plain"]
    assert [each.kind for each in found.values()] == ["str", "int", "float", "bool", "int"]
    assert [each.default for each in found.values()] == ["", 3, 0.5, True, 7]


@pytest.mark.parametrize(
    ("name", "given", "taken"),
    [
        ("trip", "007", "007"),
        ("chances", 4, 4),
        ("chances", " 4 ", 4),
        ("chances", "-4", -4),
        ("share", 1, 1.0),
        ("share", ".25", 0.25),
        ("share", "1e-3", 0.001),
        ("full", "no", False),
        ("full", False, False),
        ("plain", "8", 8),
    ],
)
def test_values_of_the_right_type_are_taken(name: str, given: Value, taken: Value) -> None:
    values = checked("debrief", known(), {name: given})
    assert values == {name: taken}
    assert type(values[name]) is type(taken)


@pytest.mark.parametrize(
    ("name", "given", "message"),
    [
        ("tripp", "x", 'report debrief: no parameter "tripp"; did you mean "trip"?'),
        (
            "zzz",
            "x",
            'report debrief: no parameter "zzz"; it takes trip, chances, share, full, plain',
        ),
        ("chances", "three", 'report debrief: chances: expected a whole number, got "three"'),
        ("chances", "1_000", 'report debrief: chances: expected a whole number, got "1_000"'),
        ("chances", 3.5, "report debrief: chances: expected a whole number, got 3.5"),
        ("chances", True, "report debrief: chances: expected a whole number, got True"),
        ("share", "nan", 'report debrief: share: expected a number, got "nan"'),
        ("share", "1e400", 'report debrief: share: expected a number, got "1e400"'),
        ("share", float("inf"), "report debrief: share: expected a number, got inf"),
        ("full", "perhaps", 'report debrief: full: expected yes or no, got "perhaps"'),
        ("trip", 7, "report debrief: trip: expected text, got 7"),
    ],
)
def test_wrong_names_and_values_are_refused(name: str, given: Value, message: str) -> None:
    with pytest.raises(QuestionError) as told:
        checked("debrief", known(), {name: given})
    assert str(told.value) == message


def test_values_come_in_the_notebooks_own_order() -> None:
    given = {"full": True, "trip": "x"}
    assert list(checked("debrief", known(), given)) == ["trip", "full"]


@pytest.mark.parametrize(
    ("values", "stem"),
    [
        ((), "debrief"),
        (("2026-05-river",), "debrief-2026-05-river"),
        (("2026 summer",), "debrief-2026-summer"),
        (("../../etc/passwd",), "debrief-.-.-etc-passwd"),
        (("a\x00b\\c:d",), "debrief-a-b-c-d"),
        (("Über-雪", 3), "debrief-Über-雪-3"),
        (("U\u0308ber",), "debrief-Über"),
        (("..",), "debrief"),
    ],
)
def test_file_names_are_safe(values: tuple[Value, ...], stem: str) -> None:
    assert file_stem("debrief", values) == stem


def test_file_names_are_never_too_long() -> None:
    assert len(file_stem("debrief", ["雪" * 200]).encode()) <= 150
