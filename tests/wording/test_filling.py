"""How holes in texts are filled, case by case."""

from collections.abc import Mapping
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.wording.about import About, Datum, LineName
from tapscore.wording.text import fill, parts_of


def _said(text: str, about: Mapping[str, Datum]) -> str:
    return fill(None, text, about)


@pytest.mark.parametrize(
    ("text", "value", "said"),
    [
        ("{x}", "bell", "bell"),
        ("{x}", 3, "3"),
        ("{x}", Fraction(6, 1), "6"),
        ("{x}", Fraction(5, 2), "2.5"),
        ("{x:.0f} cm", 80.4, "80 cm"),
        ("{x:.1f}", Fraction(7, 2), "3.5"),
        ("{x:1 step|# steps}", 1, "1 step"),
        ("{x:1 step|# steps}", 0, "0 steps"),
        ("{x:1 step|# steps}", Fraction(3), "3 steps"),
        ("{x:0=nothing|1=one|*={x:# step|# steps}}", 0, "nothing"),
        ("{x:0=nothing|1=one|*={x:# step|# steps}}", 4, "4 steps"),
        ("it {x:slow=drags|fast=runs}", "fast", "it runs"),
        ("{x:0=nothing|*={x:.1f}}", 0.0, "nothing"),
        ("{x:=nobody|*=the {x}}", None, "nobody"),
        ("{x:=nobody|*=the {x}}", "leader", "the leader"),
        ("{x:and}", ("a", "b", "c"), "a, b and c"),
        ("{x:quoted or}", ("a", "b"), "“a” or “b”"),
        ("{x:quoted list}", ("a",), "“a”"),
        ("{x:prop=“{each}” comes|do=a doing}", ("prop:a: b", "do"), "“a: b” comes, a doing"),
        ("{x:loudness}", 0.4, "very quiet"),
        ("{x:loudness}", 3.5, "very loud"),
        ("{x}", LineName(4), "Line 4"),
        ("{x:inside}", LineName(4), "line 4"),
        ("{x:inside}", LineName(refrain="Row"), "the refrain “Row”"),
        ("{x}", LineName(refrain="Row", place=2), "Line 2 of the refrain “Row”"),
    ],
)
def test_filling(text: str, value: Datum, said: str) -> None:
    assert _said(text, {"x": value}) == said


@given(st.text(), st.text())
def test_words_of_the_story_are_never_read_as_holes(one: str, other: str) -> None:
    about = About(one=one, other=other)
    assert _said("{one}, {other:=|*=<{other}>}", about) == f"{one}, {f'<{other}>' if other else ''}"


def test_what_is_missing_or_broken_is_a_fault_of_the_program() -> None:
    with pytest.raises(KeyError):
        _said("{missing}", {})
    with pytest.raises(ValueError, match="close"):
        parts_of("{x:a|b")


def test_about_is_a_value() -> None:
    one, other = About(a=1, b="x"), About(b="x", a=1)
    assert one == other
    assert hash(one) == hash(other)
    assert one.and_also(a=2)["a"] == 2
    assert one["a"] == 1
    assert {one, other} == {one}
