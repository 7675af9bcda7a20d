"""Every change between two states is told, and can be taken back alone."""

from random import Random

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.model.story import Line, Section, Story
from tapscore.storyfile.read import read_text
from tapscore.storyfile.shape import to_document
from tapscore.workflow.keeping.changes import story_changes, taken_back
from tapscore.workflow.keeping.merge import merge
from tests.storyfile.random_edits import Editor
from tests.strategies import seeds, stories

TEXT = """\
tapscore: 2
title: The Lantern Boat
metre: 6/8
tempo: 54
roles:
  leader: {}
  beat-keeper: {}
story:
  - section: Evening
    lines:
      - words: Out on the wa-ter
        lane: "| X x x X x . |"
      - words: Row, row
        loudness: quiet
      - wait: 10
  - section: Night
    lines:
      - words: Home a-gain
"""


def _story(text: str = TEXT) -> Story:
    story = read_text(text).story
    assert story is not None
    return story


def _edited(story: Story, seed: int) -> Story:
    return Editor(seed, story, ("row", "the lan-tern", "a-way", "yes", "12")).edit().story


def _sentences(text: str) -> list[str]:
    return [change.sentence for change in story_changes(_story(), _story(text))]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("Row, row", "Row, row, row", "Evening, line 2: words was “Row, row”, is “Row, row, row”"),
        ("loudness: quiet", "loudness: loud", "line 2: loudness was “quiet”, is “loud”"),
        ("        loudness: quiet\n", "", "Evening, line 2: taken out: loudness: “quiet”"),
        ("      - wait: 10\n", "", "Evening: taken out: “wait 10”"),
        ("Home a-gain", "Home a-gain\n      - words: Sleep", "Night, line 2: new: “Sleep”"),
        ("section: Night", "section: Dawn", "Dawn: section was “Night”, is “Dawn”"),
        ("tempo: 54", "tempo: 60", "the story: tempo was “54”, is “60”"),
        ("  beat-keeper: {}\n", "", "roles: taken out: beat-keeper: “”"),
    ],
)
def test_what_is_said(old: str, new: str, said: str) -> None:
    sentences = _sentences(TEXT.replace(old, new))
    assert len(sentences) == 1
    assert sentences[0].endswith(said)


def test_one_line_is_taken_back_and_the_rest_stays() -> None:
    new = _story(TEXT.replace("Row, row", "Row a-way").replace("Home a-gain", "Home now"))
    first, second = story_changes(_story(), new)
    assert taken_back(new, first) == _story(TEXT.replace("Home a-gain", "Home now"))
    assert taken_back(new, second) == _story(TEXT.replace("Row, row", "Row a-way"))


@given(stories, seeds)
@settings(max_examples=60)
def test_all_taken_back_is_the_older_story(old: Story, seed: int) -> None:
    random = Random(seed)
    new = old
    for _ in range(random.randint(1, 5)):
        new = _edited(new, random.randrange(2**32))
    for _ in range(200):
        changes = story_changes(old, new)
        if not changes:
            break
        assert all(change.sentence for change in changes)
        earlier = taken_back(new, random.choice(changes))
        assert earlier is not None
        assert earlier != new
        new = earlier
    assert to_document(new) == to_document(old)


@given(stories, stories)
@settings(max_examples=40)
def test_two_different_stories(one: Story, other: Story) -> None:
    assert bool(story_changes(one, other)) == (one != other)


@given(stories, seeds)
@settings(max_examples=60)
def test_what_one_changed_is_taken(base: Story, seed: int) -> None:
    edited = _edited(base, seed)
    for mine, theirs in ((edited, base), (base, edited), (edited, edited)):
        merged = merge(base, mine, theirs)
        assert merged.story == edited
        assert not merged.clashes


@given(st.permutations(range(6)), st.integers(0, 6))
def test_different_lines_are_put_together(order: list[int], mine_count: int) -> None:
    lines = tuple(Line(f"the words of line {number}") for number in range(6))
    base = Story("T", sections=(Section("One", lines),))

    def changed(numbers: list[int], how: str) -> Story:
        new = tuple(
            evolve(line, words=f"{line.words} {how}") if number in numbers else line
            for number, line in enumerate(lines)
        )
        return evolve(base, sections=(Section("One", new),))

    mine, theirs = order[:mine_count], order[mine_count:]
    merged = merge(base, changed(mine, "now"), changed(theirs, "then"))
    assert not merged.clashes
    assert merged.story is not None
    for number, item in enumerate(merged.story.sections[0].items):
        assert isinstance(item, Line)
        assert item.words == f"the words of line {number} {'now' if number in mine else 'then'}"


def test_the_same_line_is_asked_about() -> None:
    base = _story()
    mine = _story(TEXT.replace("Row, row", "Row, ROW").replace("tempo: 54", "tempo: 60"))
    theirs = _story(TEXT.replace("Row, row", "Row, tow").replace("- wait: 10", "- wait: 12"))
    for wins, words in ((True, "Row, ROW"), (False, "Row, tow")):
        merged = merge(base, mine, theirs, mine_wins=wins)
        assert [clash.sentence for clash in merged.clashes] == [
            "Evening, line 2: yours says “Row, ROW”, the file's says “Row, tow”"
        ]
        expected = TEXT.replace("Row, row", words).replace("tempo: 54", "tempo: 60")
        assert merged.story == _story(expected.replace("- wait: 10", "- wait: 12"))


def test_words_and_rhythm_of_one_line_are_not_mixed() -> None:
    mine = _story(TEXT.replace("Out on the wa-ter", "Out on the wide wa-ter"))
    theirs = _story(TEXT.replace("| X x x X x . |", "| X . x X x x |"))
    merged = merge(_story(), mine, theirs)
    assert len(merged.clashes) == 1
    assert merged.story == mine


def test_a_line_taken_out_here_and_changed_there() -> None:
    mine = _story(TEXT.replace("      - words: Row, row\n        loudness: quiet\n", ""))
    theirs = _story(TEXT.replace("loudness: quiet", "loudness: loud"))
    merged = merge(_story(), mine, theirs)
    assert [clash.sentence for clash in merged.clashes] == [
        "Evening, line 2: yours takes it out, the file's says “Row, row”"
    ]
    assert merged.story == mine
    assert merge(_story(), mine, theirs, mine_wins=False).story == theirs


def test_both_put_something_in() -> None:
    mine = _story(TEXT.replace("      - wait: 10", "      - words: Mine\n      - wait: 10"))
    theirs = _story(TEXT.replace("      - wait: 10", "      - words: Theirs\n      - wait: 10"))
    merged = merge(_story(), mine, theirs)
    assert not merged.clashes
    assert merged.story is not None
    assert [getattr(item, "words", "") for item in merged.story.sections[0].items][2:4] == [
        "Mine",
        "Theirs",
    ]


def test_a_line_that_was_taken_out_comes_back_beside_the_one_that_stays() -> None:
    new = _story(TEXT.replace("      - words: Row, row\n        loudness: quiet\n", ""))
    (change,) = story_changes(_story(), new)
    assert taken_back(new, change) == _story()
