"""``frozen`` makes what attrs' own makes, only later."""

from typing import Any

import attrs
import pytest
from attrs import field

from tapscore.model import frozen as ours
from tapscore.model.story import Line


def _made(decorator: Any) -> Any:
    @decorator
    class Thing:
        name: str
        size: int = 1
        origin: object = field(default=None, eq=False, repr=False)

    return Thing


@pytest.fixture(params=[attrs.frozen, ours.frozen], ids=["attrs", "ours"])
def kind(request: pytest.FixtureRequest) -> Any:
    return _made(request.param)


def test_equal_where_the_fields_that_count_are(kind: Any) -> None:
    one, same, other = kind("a", 2, "here"), kind("a", 2, "there"), kind("a", 3)
    assert one == same
    assert one != other
    assert hash(one) == hash(same)
    assert {one: 1}[same] == 1
    assert one != ("a", 2)
    assert one.__eq__(object()) is NotImplemented


def test_hashed_first_and_compared_later(kind: Any) -> None:
    one, same = kind("a"), kind("a")
    assert len({one, same}) == 1
    assert one == same


def test_what_can_not_be_hashed_says_so(kind: Any) -> None:
    with pytest.raises(TypeError, match="unhashable"):
        hash(kind([]))


def test_shown_by_its_fields(kind: Any) -> None:
    assert repr(kind("a", 2, "here")) == "Thing(name='a', size=2)"


def test_frozen_slotted_and_evolved(kind: Any) -> None:
    one = kind("a")
    with pytest.raises(attrs.exceptions.FrozenInstanceError):
        one.name = "b"
    assert not hasattr(one, "__dict__")
    assert attrs.evolve(one, size=2) == kind("a", 2)


@pytest.mark.parametrize("decorator", [attrs.frozen, ours.frozen], ids=["attrs", "ours"])
def test_another_class_is_never_equal(decorator: Any) -> None:
    one, other = _made(decorator), _made(decorator)
    assert one("a") == one("a")
    assert one("a") != other("a")

    @decorator
    class Longer(one):  # type: ignore[misc, valid-type]
        more: int = 0

    assert Longer("a", more=1) != Longer("a", more=2)
    assert Longer("a") != one("a")
    assert repr(Longer("a")).endswith("Longer(name='a', size=1, more=0)")


def test_options_of_attrs() -> None:
    @ours.frozen(eq=False)
    class Same:
        name: str

    @ours.frozen(cache_hash=True)
    class Kept:
        name: str

    assert Same("a") != Same("a")
    assert repr(Same("a")).endswith("Same(name='a')")
    assert hash(Kept("a")) == hash(Kept("a"))
    assert Kept("a") == Kept("a")


def test_a_line_of_a_story_is_one_of_them() -> None:
    assert Line("Out") == Line("Out")
    assert Line("Out") != Line("In")
    assert "words='Out'" in repr(Line("Out"))
