"""What is found in a story is what the reader finds in its text."""

from collections import Counter
from collections.abc import Callable
from fractions import Fraction
from itertools import count

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.model.comfort import Comfort
from tapscore.model.edits import change_line, insert_item
from tapscore.model.finding import Finding, StoryPath
from tapscore.model.story import Prop, Story, Wait
from tapscore.model.tempo import Tempo
from tapscore.storyfile.nodes import DUPLICATE_KEY, YAML_CODES
from tapscore.storyfile.origins import block_origin
from tapscore.storyfile.read import StoryText, read_text
from tapscore.storyfile.story_findings import MOST_FINDINGS, located, story_findings
from tapscore.storyfile.write import spliced_text, write_story
from tapscore.workflow.open_story import checked, checked_story
from tests.forgetting import never_seen
from tests.storyfile.random_edits import Editor
from tests.storyfile.test_fuzz import DEMOS, MESSY, mutated
from tests.strategies import WORDS, seeds, stories

FIRST: StoryPath = ("story", 0, "lines", 0)
Said = tuple[str, StoryPath, str]


def _said(findings: tuple[Finding, ...]) -> Counter[Said]:
    # A key's second time says in which line its first is, and that may have moved.
    return Counter(
        (f.code, () if f.code in YAML_CODES else f.path, f.message)
        for f in findings
        if f.code != DUPLICATE_KEY
    )


def readable(text: str, seed: int) -> StoryText:
    """A file with mistakes that is still a story."""
    mistaken = (read_text(mutated(text, each)) for each in count(seed))
    return next(source for source in mistaken if source.story is not None)


@given(st.sampled_from([*DEMOS, MESSY]), seeds)
@settings(max_examples=80, deadline=None)
def test_edited_files_with_mistakes(text: str, seed: int) -> None:
    story = readable(text, seed).story
    assert story is not None
    for turn in range(3):
        story = Editor(seed + turn, story, WORDS).edit().story
        back = read_text(write_story(story))
        # A key's second time comes to life where its first is renamed or deleted.
        # A section that could not be understood is told of in other words once it is changed,
        # names with double spaces are other names in a file, and a text that is laid out anew
        # has its mistakes in comments.
        if (
            back.story != story
            or not all(section.title for section in story.sections)
            or spliced_text(story) is None
            or any(f.code == DUPLICATE_KEY for f in back.findings)
        ):
            return
        if len(back.findings) <= MOST_FINDINGS // 2:
            assert _said(story_findings(story)) == _said(back.findings)


@given(st.sampled_from([*DEMOS, MESSY]), seeds, st.booleans())
@settings(max_examples=40, deadline=None)
def test_what_was_found_before_changes_nothing(text: str, seed: int, mistaken: bool) -> None:
    """All findings, their order and their places, as if no story had ever been looked at."""
    story = readable(text, seed).story if mistaken else read_text(text).story
    assert story is not None
    told = [story]
    for turn in range(5):
        told.append(Editor(seed + turn, told[-1], WORDS).edit().story)
    kept = [checked_story(each) for each in (*told, *reversed(told))]
    anew = [checked_story(never_seen(each)) for each in told]
    assert kept == [*anew, *reversed(anew)]


@given(stories, stories)
@settings(max_examples=60)
def test_a_story_made_anew(first: Story, second: Story) -> None:
    assert story_findings(first) == ()
    assert story_findings(evolve(second, origin=first.origin)) == ()


CHANGES = (
    (lambda story: evolve(story, comfort=Comfort(largest_jump=0)), ("comfort", "largest jump")),
    (lambda story: evolve(story, title=""), ("title",)),
    (lambda story: evolve(story, pupils=99), ("pupils",)),
    (
        lambda story: evolve(story, manner=evolve(story.manner, tempo=Tempo(Fraction(999)))),
        ("tempo",),
    ),
    (lambda story: evolve(story, props=(Prop("spoon", sets=0),)), ("props", "spoon", "sets")),
    (
        lambda story: change_line(story, FIRST, lambda line: evolve(line, words="x" * 2500)),
        (*FIRST, "words"),
    ),
    (
        lambda story: change_line(
            story, FIRST, lambda line: evolve(line, manner=evolve(line.manner, spot="moon"))
        ),
        (*FIRST, "spot"),
    ),
    (lambda story: insert_item(story, FIRST, Wait(Fraction(0))), (*FIRST, "wait")),
)


@pytest.mark.parametrize(("change", "path"), CHANGES)
def test_what_the_window_could_make_and_no_file_can_hold(
    change: Callable[[Story], Story], path: StoryPath
) -> None:
    """The finding comes while she writes, and is the one the reader would give."""
    story = read_text(DEMOS[0]).story
    assert story is not None
    story = change(story)
    found = [f for f in story_findings(story) if f.path == path]
    assert [f.must_mend for f in found] == [True]
    if block_origin(story) is not None:
        assert _said(story_findings(story)) == _said(read_text(write_story(story)).findings)


@pytest.mark.parametrize("text", DEMOS)
def test_places_come_from_origins(text: str) -> None:
    """For a story just read they are those in its text, and in its order."""
    key = "stroke:" if "stroke:" in text else "loudness:"
    source = read_text(text.replace("spot: wheel", "spot: moon").replace(key, f"x{key}"))
    assert source.story is not None
    in_text = checked(source).findings
    in_story = checked_story(source.story).findings
    assert sorted(map(repr, in_story)) == sorted(map(repr, in_text))
    lines = [found.span.line for found in in_story if found.span and found.path[0] == "story"]
    assert lines == sorted(lines)
    assert lines


@given(st.sampled_from(DEMOS), seeds)
@settings(max_examples=80, deadline=None)
def test_places_of_mistakes(text: str, seed: int) -> None:
    source = readable(text, seed)
    assert source.story is not None
    if len(source.findings) >= MOST_FINDINGS:
        return
    places = {(f.code, f.path, f.message): f.span for f in source.findings}
    for found in located(source.story, story_findings(source.story)):
        if found.code not in YAML_CODES:
            assert found.span == places[found.code, found.path, found.message]
