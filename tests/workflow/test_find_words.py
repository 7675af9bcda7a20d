"""Find and replace, lines cut and joined: words, rhythm, and nothing lost."""

from hypothesis import given
from hypothesis import strategies as st

from tapscore.model.metre import Metre
from tapscore.model.story import Line, Story
from tapscore.model.words import printed
from tapscore.storyfile.lane_text import lane_text
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import write_story
from tapscore.workflow.cut_and_join import cut_line, join_lines
from tapscore.workflow.find_words import find_words, replace_words
from tapscore.workflow.fitting import retyped

TEXT = """\
tapscore: 2
title: The lantern
metre: 6/8
refrains:
  row home:
    - words: Row the lan-tern home
      lane: "| X . x x . x | X . . . . . |"
story:
  - section: A lantern
    lines:
      - words: Lan-tern, lan-tern light # by hand
        lane: "| X . . x . . | X . x . . . | X . . . . . |"
        do: hold the lantern low
      - refrain: row home
      - wait: 10
        look for: a look at the lantern
"""
SIX = Metre(6, 8)


def _story(text: str = TEXT) -> Story:
    story = read_text(text).story
    assert story is not None
    return story


def test_words_are_found_wherever_they_are_read() -> None:
    found = find_words(_story(), "LANTERN")
    assert [(each.key, each.text) for each in found] == [
        ("title", "lantern"),
        ("words", "Lantern"),
        ("words", "lantern"),
        ("do", "lantern"),
        ("look_for", "lantern"),
        ("words", "lantern"),
    ]
    assert find_words(_story(), "tern") != ()
    assert find_words(_story(), "tern", whole=True) == ()
    # Words that end or begin with a mark are whole, too.
    for words in ("Lantern,", ", lantern"):
        assert len(find_words(_story(), words, whole=True)) == len(find_words(_story(), words)) > 0
    assert find_words(_story(), "  ") == ()
    assert find_words(_story(), "lan-tern") == ()


def test_replacing_keeps_capitals_hand_made_taps_and_comments() -> None:
    story = _story()
    new = replace_words(story, find_words(story, "lantern"), "candle")
    line = new.sections[0].items[0]
    assert isinstance(line, Line)
    assert printed(line.words) == "Candle, candle light"
    before = story.sections[0].items[0]
    assert isinstance(before, Line)
    assert line.lane == before.lane
    assert line.do == "hold the candle low"
    assert new.sections[0].title == "A candle"
    text = write_story(new)
    assert "lantern" not in text.split("story:")[1]
    assert "# by hand" in text


def test_words_divided_by_hand_stay_divided() -> None:
    line = retyped(Line(""), "Hig-gle-dy pig-gle-dy hen", SIX)
    story = _story().sections[0]
    assert story.items
    whole = _story(TEXT.replace("Lan-tern, lan-tern light", "Hi-ggledy lan-tern light"))
    new = replace_words(whole, find_words(whole, "light"), "glow")
    changed = new.sections[0].items[0]
    assert isinstance(changed, Line)
    assert changed.words == "Hi-ggledy lan-tern glow"
    assert line.words.startswith("Hig-gle-dy")


def test_a_line_is_cut_before_a_word_and_taps_by_hand_stay_in_their_bars() -> None:
    line = _story().sections[0].items[0]
    assert isinstance(line, Line)
    pieces = cut_line(line, 3, SIX)
    assert pieces is not None
    assert [printed(piece.words) for piece in pieces] == ["Lantern,", "lantern light"]
    assert [lane_text(piece.lane) for piece in pieces if piece.lane] == [
        "| X . . x . . |",
        "| X . x . . . | X . . . . . |",
    ]
    assert pieces[0].do == line.do
    assert pieces[1].do is None
    assert cut_line(line, 0, SIX) is None
    assert cut_line(line, 1, SIX) is None
    assert join_lines(pieces, SIX) == line


def test_cut_within_a_bar_leaves_silence_on_both_sides() -> None:
    text = TEXT.replace("Lan-tern, lan-tern light", "One two three").replace(
        "| X . . x . . | X . x . . . | X . . . . . |", "| X . x x . . |"
    )
    by_hand = _story(text).sections[0].items[0]
    assert isinstance(by_hand, Line)
    pieces = cut_line(by_hand, 2, SIX)
    assert pieces is not None
    assert [lane_text(piece.lane) for piece in pieces if piece.lane] == [
        "| X . x . . . |",
        "| . . . x . . |",
    ]


@given(
    st.lists(
        st.sampled_from(("out", "wa-ter", "lit-tle", "boat", "rol-ling")), min_size=2, max_size=9
    ),
    st.integers(0, 20),
)
def test_cut_and_joined_again_says_the_same(words: list[str], at: int) -> None:
    line = retyped(Line(""), " ".join(words), SIX)
    pieces = cut_line(line, at, SIX)
    if pieces is None:
        return
    for piece in pieces:
        assert piece.lane is not None
        assert piece.lane.syllables == len(piece.syllables)
    joined = join_lines(pieces, SIX)
    assert joined == line


def test_what_is_emptied_is_not_there_any_more() -> None:
    """Empty quotes would be read as a warning of nothing."""
    text = TEXT.replace("do: ", "warn first: lean in\n        do: ", 1)
    story = _story(text)
    new = replace_words(story, find_words(story, "lean in"), "")
    line = new.sections[0].items[0]
    assert isinstance(line, Line)
    assert line.warn_first is None
