"""A copy for next year: nothing of this year is in it, but what somebody chose to keep."""

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.model.story import Line, Story
from tapscore.model.walk import change_lines
from tapscore.resources import demo_stories
from tapscore.storyfile.read import read_file, read_text
from tapscore.storyfile.write import write_story
from tapscore.workflow.next_year import copy_text, next_year, notes_in, traces_in
from tests.strategies import stories

TEXT = """# Our notes: AB leads on Mondays
tapscore: 2
title: The Mill
term: Autumn 2026
class: Willow, Ms K.'s
next year: [fewer waves, "ask CD about 12/3/2026"]
outdoors: the bench by K.L.'s ramp
weather: as on 12.03.2026
picture: 2026-05-03 Willow.jpg
metre: 6/8                       # MT liked it slow
story:
  - section: One
    lines:
      - words: Row the lan-tern
        lane: "| X . x X . x |"
        do: lift J.S. with the hoist, 3 March
        look for: a look
      - words: On to B. go
        lane: "| X . x X . x |"
accepted:
  - finding: warn-before-loud
    why: K.L. loves it
"""


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("told in 2026", ("2026",)),
        ("the 1998 board, room 2050", ("1998", "2050")),
        ("12026 taps, 20266, 1826", ()),
    ],
)
def test_a_year_alone_is_a_trace(text: str, found: tuple[str, ...]) -> None:
    assert traces_in(text) == found


def test_a_warning_is_never_left_out() -> None:
    text = TEXT.replace("        look for: a look", "        warn first: K.L. lifts a hand", 1)
    read = read_text(text)
    assert read.story is not None
    traces = {trace.path[-1]: trace for trace in next_year(read, read.story).traces}
    assert not traces["warn first"].can_go
    with pytest.raises(ValueError, match="can't be left out"):
        copy_text(next_year(read, read.story), [traces["warn first"]])


def test_of_several_wishes_those_go_that_were_chosen() -> None:
    wishes = '["ask AB on 12/3/2026", fewer waves, "ask CD on 13/3/2026", longer waits]'
    read = read_text(TEXT.replace('[fewer waves, "ask CD about 12/3/2026"]', wishes))
    assert read.story is not None
    copy = next_year(read, read.story)
    text = copy_text(copy, [trace for trace in copy.traces if trace.path[0] == "next year"])
    assert "#  - fewer waves\n#  - longer waits\n" in text
    assert "ask" not in text


def test_all_of_this_year_goes_or_is_asked_about() -> None:
    read = read_text(TEXT)
    assert read.story is not None
    assert read.findings == ()
    copy = next_year(read, read.story)
    gone = [what for _, what in copy.gone]
    assert "Our notes: AB leads on Mondays" in gone
    assert "MT liked it slow" in gone
    assert "warn-before-loud: K.L. loves it" in gone
    assert ("Term", "Autumn 2026") in copy.gone
    asked = {trace.where: trace for trace in copy.traces}
    assert asked["Part 1, place 1, do"].found == ("J.S.", "3 March")
    assert asked["class"].found == ("K.",)
    assert asked["outdoors"].found == ("K.L.",)
    assert asked["weather"].can_go
    assert asked["picture"].found == ("2026-05-03",), "a camera's name for a file says when"
    assert not asked["Part 1, place 2, words"].can_go
    text = copy_text(copy, [trace for trace in copy.traces if trace.can_go])
    # The search that proves it: nothing but the line that somebody must look at.
    assert traces_in(text.replace("On to B. go", "")) == ()
    for word in ("AB", "MT", "K.", "2026", "March", "Mondays"):
        assert word not in text
    story = read_text(text).story
    assert story is not None
    assert story.next_year == ("fewer waves",)
    assert text.startswith("# Noted to change this year:\n#  - fewer waves\n")
    first = read.story.sections[0].items[0]
    assert isinstance(first, Line)
    assert story.sections[0].items[0] == evolve(first, do=None)


def test_what_is_kept_stays_as_it_was() -> None:
    read = read_text(TEXT)
    assert read.story is not None
    story = read_text(copy_text(next_year(read, read.story), [])).story
    assert story == evolve(read.story, term=None, accepted=())


def test_words_can_not_be_left_out() -> None:
    read = read_text(TEXT)
    assert read.story is not None
    copy = next_year(read, read.story)
    with pytest.raises(ValueError, match="write it otherwise"):
        copy_text(copy, copy.traces)


@pytest.mark.parametrize("path", demo_stories(), ids=lambda path: path.stem)
def test_demo_stories_are_copied_whole(path: object) -> None:
    from pathlib import Path

    read = read_file(Path(str(path)))
    assert read.story is not None
    copy = next_year(read, read.story)
    assert copy.traces == ()
    text = copy_text(copy, [])
    assert notes_in(text) == ()
    assert read_text(text).story == read.story


@settings(max_examples=60, deadline=None)
@given(stories, st.sampled_from(["AB", "J.S.", "12.3.2026", "3rd May", "2026-03-12"]))
def test_no_trace_that_was_left_out_is_in_the_copy(story: Story, trace: str) -> None:
    def note(_: object, line: Line) -> Line:
        return evolve(line, do=f"wait for {trace} now")

    noted = change_lines(story, note)
    read = read_text(write_story(noted))
    assert read.story is not None
    copy = next_year(read, read.story)
    text = copy_text(copy, [each for each in copy.traces if each.can_go])
    assert f"wait for {trace} now" not in text
    again = read_text(text)
    assert again.story is not None
    assert [t for t in next_year(again, again.story).traces if t.can_go] == []


def test_notes_are_found_and_signs_in_quotes_are_none() -> None:
    text = 'a: "x # no"  # yes\nb: it\'s # two\n# three\nc: d#e\n'
    assert notes_in(text) == ("yes", "two", "three")


def test_a_note_over_several_lines_is_one() -> None:
    text = "# Ask first\n# of all.\n# - Then\n#   on\n# - and on\n#\n# Last\na: b # c\n# d\n"
    assert notes_in(text) == ("Ask first of all.", "- Then on", "- and on", "Last", "c", "d")
