import html
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tarebook.analysis.display import markup

HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "</script><!--",
    "{{7*7}} {% raw %}",
    "`a` $x$ $$y$$ \\(z\\) **b** [c](javascript:alert(1))",
    "\u202egnp.exe\u2066",
    "tab\tline\nbell\x07 nul\x00 next\x85 \u2028",
    "lone \ud800",
)


@pytest.mark.parametrize("text", HOSTILE)
def test_escaped_text_has_no_markup_and_reads_as_typed(text: str) -> None:
    safe = markup.escape(text)
    assert not set("<>\"'") & set(safe)
    assert html.unescape(safe) == markup.clean(text)
    safe.encode("utf-8")


def test_control_and_direction_characters_go_and_lines_become_blanks() -> None:
    assert markup.clean("a\r\nb\x07\u202ec\u2028d\x00") == "a bc d"
    assert markup.clean("\ud83d \ufeffx") == "\ufffd x"


def test_scripts_of_any_direction_stay_and_right_to_left_is_kept_apart() -> None:
    assert markup.isolate("Jørgen 雪 👩\u200d🚒") == "Jørgen 雪 👩\u200d🚒"
    assert markup.isolate("חצובה") == "<bdi>חצובה</bdi>"


@settings(max_examples=60)
@given(st.text())
def test_cleaning_is_done_once_and_always_printable_in_utf8(text: str) -> None:
    once = markup.clean(text)
    assert markup.clean(once) == once
    once.encode("utf-8")


@settings(max_examples=60)
@given(st.recursive(st.none() | st.booleans() | st.integers() | st.text(), st.lists))
def test_embedded_json_is_the_same_value_and_cannot_leave_its_element(value: object) -> None:
    text = markup.embed_json(value)
    assert json.loads(text) == value
    assert not set("<>&\u2028\u2029") & set(text)


def test_embedded_json_refuses_what_json_cannot_say() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        markup.embed_json(float("nan"))


def test_slugs_are_identifiers() -> None:
    assert markup.slug("How cold was it?") == "how-cold-was-it"
    assert markup.slug('"><x y=1') == "x-y-1"
    assert markup.slug("雪") == "x"
    assert markup.slug("3 nights") == "x-3-nights"
