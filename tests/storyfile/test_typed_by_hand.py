"""What is typed into a form's field, and a story put together from parts of others."""

from fractions import Fraction
from typing import Any

import pytest
from attrs import evolve

from tapscore.model.board import Board, Place
from tapscore.model.comfort import Comfort, Stage
from tapscore.model.loudness import Loudness
from tapscore.model.story import Line, Offer, Prop, Section, Story, Wait
from tapscore.model.tempo import Tempo
from tapscore.storyfile.read import read_text
from tapscore.storyfile.shape import to_document
from tapscore.storyfile.typed import (
    WrongValueError,
    field_of,
    text_of,
    typed_value,
    value_of,
    words_of,
)
from tapscore.storyfile.write import PartOrigins, write_story

# what a thing is, its key, what is typed, the value, and how the file says it
TYPED: tuple[tuple[type, str, str, Any, str], ...] = (
    (Story, "title", " The   Mill ", "The Mill", "The Mill"),
    (Story, "tempo", "54 to 40", Tempo(Fraction(54), Fraction(40)), "54 to 40"),
    (Story, "loudness", "mf", (Loudness.MEDIUM,), "medium"),
    (Story, "pupils", "6", 6, "6"),
    (Section, "section", "One", "One", "One"),
    (Line, "do", "nod", "nod", "nod"),
    (Wait, "wait", "7.5", Fraction(15, 2), "7.5"),
    (Offer, "turn", "45", Fraction(45), "45"),
    (Prop, "sets", "3", 3, "3"),
    (Board, "gap_mm", "20", Fraction(20), "20"),
    (Place, "lying", "yes", True, "true"),
    (Comfort, "stage", "On a table", Stage.ON_A_TABLE, "on a table"),
    (Line, "warned through", "voice", ("voice",), "voice"),
)


@pytest.mark.parametrize(("made", "key", "said", "value", "written"), TYPED)
def test_a_typed_value(made: type, key: str, said: str, value: Any, written: str) -> None:
    field = field_of(made, key)
    assert typed_value(field, said) == value
    assert text_of(field, value) == written
    assert typed_value(field, "  ") is None
    assert text_of(field, None) == ""


@pytest.mark.parametrize(
    ("made", "key", "said", "instead"),
    [
        (Story, "pupils", "six", "a whole number of pupils from 1 to 30"),
        (Story, "tempo", "fast", "a number of beats a minute from 20 to 300"),
        (Place, "head", "up", "one of `north`, `east`, `south`, `west`"),
        (Wait, "wait", "0", "a number of seconds from 1 to 600"),
    ],
)
def test_what_to_write_instead(made: type, key: str, said: str, instead: str) -> None:
    with pytest.raises(WrongValueError) as error:
        typed_value(field_of(made, key), said)
    assert str(error.value).startswith("Write ")
    assert instead in str(error.value)


def test_fields_know_their_attribute_and_their_words() -> None:
    story = read_text(FILE).story
    assert story is not None
    assert value_of(field_of(Story, "tempo"), story) == Tempo(Fraction(54))
    assert value_of(field_of(Story, "tapscore"), story) == 2
    assert value_of(field_of(Section, "spot"), story.sections[0]) == "middle"
    assert value_of(field_of(Story, "class"), story) is None
    assert words_of(field_of(Place, "head")) == ("north", "east", "south", "west")
    assert words_of(field_of(Story, "title")) == ()
    with pytest.raises(KeyError):
        field_of(Story, "no such key")


FILE = """\
# head
tapscore: 2
title: T   # name
tempo: 54
board: {size_cm: [120, 90], spots: {middle: [60, 45]}}
story:
  - section: One
    spot: middle
    lines:
      # first
      - words: aa   # said
"""


def test_parts_of_documents_keep_the_text_they_came_from() -> None:
    base = read_text(FILE).story
    assert base is not None
    old = to_document(base)
    changed = {**old, "title": "U"}
    made = PartOrigins(old).story(changed, base)
    assert made is not None
    assert made.title == "U"
    assert write_story(made) == FILE.replace("title: T ", "title: U ")
    bare = evolve(base, origin=None)
    anew = PartOrigins(old).story(changed, bare)
    assert anew is not None
    assert anew == made
    assert "# first" not in write_story(anew)
