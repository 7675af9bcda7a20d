"""What comes in from a word processor, and that a fresh story has no finding about rhythm."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tapscore.model.fewer_taps import Tapped, tapped_on
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Story
from tapscore.model.words import printed
from tapscore.storyfile.lane_text import lane_text
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import write_story
from tapscore.workflow.fitting import retyped, spaced
from tapscore.workflow.metre_choice import likely_metres
from tapscore.workflow.new_story import near_repeats, new_story_text
from tapscore.workflow.open_story import checked
from tapscore.workflow.plain_words import words_of
from tapscore.workflow.thinning import without_buzz

RHYTHM = {
    "bars-full",
    "pickup-joins",
    "stress-on-beat",
    "same-words-same-rhythm",
    "accent-on-beat",
    "no-hidden-accent",
    "lane-fits-words",
    "taps-thin-enough",
}


def made(tmp_path: Path, text: str) -> Story:
    source = tmp_path / "words.txt"
    source.write_text(text, encoding="utf-8", newline="")
    read = read_text(new_story_text(source))
    assert read.story is not None
    about_rhythm = [found.code for found in checked(read).findings if found.code in RHYTHM]
    assert not about_rhythm, (about_rhythm, new_story_text(source))
    return read.story


def words(story: Story) -> list[str]:
    return [
        printed(item.words)
        for section in story.sections
        for item in section.items
        if isinstance(item, Line)
    ]


MIXED = """\
Stomp, stomp, stomp through the great big trees,
dinosaur, dinosaur, please don't sneeze.

Over the hills on a galloping horse,
hurrying homewards of course, of course.

Hush now, sleepy moon, rest on the bay,
softly the stars have all drifted away.
"""


@pytest.mark.parametrize(
    "text",
    [
        MIXED,
        "Splash",
        "Splash!\n",
        "Where's the cat?\nWhat was that?\nWho is it?\nIs it you?\nWhy?",
        "the rain came down\nand the wind blew round\nand we all ran home\nto the warm and the dry",
        "Hello everybody\r\nGoodbye Bear\r\n\r\nHow are you today?\r\n",
        "“Night-night,” said Bear.\n‘Ding-dong,’ said the bell.\n   \n\t\n“We’re not tired!”",
        "• Up the hill\n• Down the hill\n1. One little duck\n2) Two little ducks\n(3) Three",
        "Narrator: Once there was a fox\nFox: Hello\nNarrator: said the fox\nFox: Goodbye",
        "# A title\n\n## One\nRow the boat\n\nVerse 2\nrow it home\n\nChorus:\nrow the boat",
        "\n".join(f"Line {n} goes to the big blue sea" for n in range(200)),
        "It was the middle of the night and there was a knock\nand then it was quiet again\n" * 3,
        "“Who’s there?” said the mouse—‘Only me,’ said the cat…\nWait...what?\nUp,up and/or away",
        "Gallop and gallop and over the hill\nhurrying home\n\nStamp stamp stamp stamp\n\n"
        "Hush little baby the moon is so bright\n\nTick tock tick tock\nHow many are left?",
        "one line\n \u00a0 \n\t\n   \nanother line\n\n\n\n",
        "Where did it go?\nWhere did it go?\nInto the\nwhere did it go to from here",
        "it's umbrella 21 the the",
        "higgledy-piggledy hello\nand Abdul-Rahman said hello\nhiggledy-piggledy he",
        "It's only me said Mr O'Brien\nand Mrs D'Souza-O'Connor\nof Stow-on-the-Wold, said I",
        "five four three two one\nzoom\nand there they are\nin the sky",
    ],
    ids=lambda text: text[:18],
)
def test_no_finding_about_rhythm(tmp_path: Path, text: str) -> None:
    made(tmp_path, text)


_WORDS = (
    "the and a hello everybody splash potato where's what umbrella again butterfly goodbye "
    "we're into little bear running seventeen 21 swish tomorrow it's under"
)


@settings(
    deadline=None, max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    st.lists(
        st.lists(st.sampled_from(_WORDS.split()), min_size=1, max_size=9).map(" ".join),
        min_size=1,
        max_size=7,
    ),
    st.integers(1, 4),
)
def test_no_finding_about_rhythm_whatever_the_words(
    tmp_path: Path, lines: list[str], every: int
) -> None:
    parts = [lines[at : at + every] for at in range(0, len(lines), every)]
    made(tmp_path, "\n\n".join("\n".join(part) for part in parts))


def test_a_story_may_walk_in_one_section_and_rock_in_another(tmp_path: Path) -> None:
    story = made(tmp_path, MIXED)
    metres = [section.manner.metre or story.manner.metre for section in story.sections]
    assert str(metres[0]) in ("2/4", "4/4")
    assert str(metres[1]) == "6/8"


def test_bullets_numbers_and_labels_are_no_words() -> None:
    found = words_of(
        "• Up\n– Down\n1. One\n(2) Two\na) Three\nNarrator: Once\n3 ducks swam\nStop: go"
    )
    assert found.parts[0].lines == (
        "Up",
        "Down",
        "One",
        "Two",
        "Three",
        "Once",
        "3 ducks swam",
        "Stop: go",
    )
    assert found.labels == ("Narrator",)


def test_a_word_processor_s_own_bullets_and_roman_numbers_are_no_words() -> None:
    pasted = "\uf0b7\tUp\n➢ Down\n☆ Left\niv) Right\n(iii) Round\nII. And\nI can\nmix. it\n→ on"
    assert words_of(pasted).parts[0].lines == (
        *("Up", "Down", "Left", "Right", "Round", "And", "I can", "mix. it", "on"),
    )


def test_one_label_known_makes_names_labels() -> None:
    found = words_of("Narrator: In came the bear\nBear: I am cold\nStop: go\nThe Fox: Sit down")
    assert found.labels == ("Narrator", "Bear", "The Fox")
    assert found.parts[0].lines[1:] == ("I am cold", "Stop: go", "Sit down")


def test_words_that_a_mark_alone_parts_are_two(tmp_path: Path) -> None:
    """As pasted from a word processor: each gets its syllable, and the line its taps."""
    story = made(tmp_path, "“Who’s there?” said the mouse—‘Only me,’ said the cat…")
    assert words(story) == ["“Who’s there?” said the mouse— ‘Only me,’ said the cat…"]
    assert story.sections[0].title == "Who’s there"
    (line,) = story.sections[0].items
    assert isinstance(line, Line)
    assert line.lane is not None
    for word in ("10:30", "3.5", "e.g.", "p.m.", "o'clock", "well-known", "lan=tern"):
        assert spaced(word) == word
    assert spaced("wait...what") == "wait... what"


def test_words_that_do_not_tell_their_metre() -> None:
    made = likely_metres([["..."], ["!", "…"]])
    assert (str(made.story), list(map(str, made.sections))) == ("4/4", ["4/4", "4/4"])
    assert made.why == "The words did not tell; 4/4 is a guess."


@pytest.mark.parametrize(
    ("line", "name"),
    [
        ("Good morning everybody, good morning sun", "Good morning everybody"),
        ("Where did the honey go?", "Where did the honey go"),
        ("Hello Amina, hello Sam", "Hello Amina, hello Sam"),
        ("Who is at the door, today or tomorrow?", "Who is at the door"),
        ("Under the big old apple tree", "Under the big old apple tree"),
        ("Is it in the garden, is it in the bed?", "Is it in the garden"),
        ("It was a very windy day", "It was a very windy day"),
        ("What has he got in his little bag", "What has he got"),
        ("Boo, did you get a scare today?", "Boo, did you get a scare"),
        ("Shake the rug and sweep the floor", "Shake the rug"),
        ("Down by the river we go", "Down by the river"),
        ("Today we visit the old garden", "Today we visit"),
        ("Sunshine is warm on the washing line", "Sunshine is warm"),
        ("The sun comes up over everything", "The sun comes up"),
        ("Look, look, look", "Look, look, look"),
    ],
)
def test_a_section_is_named_by_words_that_go_together(tmp_path: Path, line: str, name: str) -> None:
    assert made(tmp_path, f"{line}\nand on we go").sections[0].title == name


def test_a_story_without_a_title_has_its_files_name(tmp_path: Path) -> None:
    source = tmp_path / "the-windy_hill.txt"
    source.write_text("Up we go\nDown we go\n", encoding="utf-8")
    assert "title: The windy hill\n" in new_story_text(source)


def test_labels_left_out_are_said_in_the_head(tmp_path: Path) -> None:
    source = tmp_path / "words.txt"
    source.write_text("Narrator: Once\nNarrator: upon a time", encoding="utf-8")
    assert "“Narrator:” before lines is left out" in " ".join(new_story_text(source).split("\n# "))


def test_hyphens_and_apostrophes_in_names_and_print(tmp_path: Path) -> None:
    text = "Ding-dong bell\nWe’re not going home\n\nNight-night, mouse\nWe’re not going home\n"
    story = made(tmp_path, text)
    assert words(story) == ["Ding-dong bell", "Night-night, mouse"]
    assert [refrain.name for refrain in story.refrains] == ["we're not going"]
    assert [section.title for section in story.sections] == ["Ding-dong bell", "Night-night, mouse"]


@pytest.mark.parametrize("hyphen", ["\u2010", "\u2011"])
def test_hyphens_of_word_processors_are_hyphens(tmp_path: Path, hyphen: str) -> None:
    story = made(tmp_path, f"Night{hyphen}night moon\nDing{hyphen}dong bell")
    assert words(story) == ["Night-night moon", "Ding-dong bell"]
    lines = [item for section in story.sections for item in section.items]
    assert all(isinstance(line, Line) and line.lane is not None for line in lines)
    line = lines[0]
    assert isinstance(line, Line)
    typed = retyped(line, f"bye{hyphen}bye moon", Metre(4, 4))
    assert typed.words == "bye-bye moon"


def test_a_verse_that_nearly_returns_is_offered(tmp_path: Path) -> None:
    text = (
        "Row the boat to the river bend\nrow it here and back again\n\nA duck came by\n\n"
        "Row the boat to the river bend\nrow it there and back again, friend\n"
    )
    near = near_repeats(words_of(text).parts)
    assert [(one[0], two[0]) for one, two in near] == [("Row the boat to the river bend",) * 2]
    source = tmp_path / "words.txt"
    source.write_text(text, encoding="utf-8")
    assert "nearly returns" in " ".join(new_story_text(source).split("\n# ")[:12]).replace(
        "   ", ""
    )


BUSY = """\
hurrying, scurrying, tumbling mice,
merrily nibbling a barrel of rice.
hurrying, scurrying, over the sea.

Slow, slow, snow.
Down, down, down.
"""


def test_a_metre_and_fewer_taps_can_be_asked_for(tmp_path: Path) -> None:
    source = tmp_path / "words.txt"
    source.write_text(MIXED, encoding="utf-8")
    read = read_text(new_story_text(source, metre=Metre(3, 4), tapped=Tapped.BEATS))
    assert read.story is not None
    assert str(read.story.manner.metre) == "3/4"
    assert all(section.manner.metre is None for section in read.story.sections)
    lanes = [i.lane for s in read.story.sections for i in s.items if isinstance(i, Line) and i.lane]
    assert lanes == [tapped_on(lane, Metre(3, 4), Tapped.BEATS) for lane in lanes]
    assert not [f for f in checked(read).findings if f.code in RHYTHM]


def test_parts_that_would_be_a_buzz_are_tapped_on_the_beat(tmp_path: Path) -> None:
    """In all their lines, and no syllable is lost; every tap can be asked for."""
    source = tmp_path / "words.txt"
    source.write_text(BUSY, encoding="utf-8")
    text = new_story_text(source, metre=Metre(6, 8))
    story, every = (
        read_text(made).story
        for made in (text, new_story_text(source, metre=Metre(6, 8), tapped=Tapped.EVERY))
    )
    assert story is not None
    assert every is not None
    assert "In 1 part only the beats are tapped" in " ".join(text.split("\n# "))
    lanes = [[i.lane for i in s.items if isinstance(i, Line)] for s in story.sections]
    full = [[i.lane for i in s.items if isinstance(i, Line)] for s in every.sections]
    assert lanes[1] == full[1]
    assert lanes[0] != full[0]
    assert lanes[0] == [lane and tapped_on(lane, Metre(6, 8), Tapped.BEATS) for lane in full[0]]
    assert "taps-thin-enough" in {f.code for f in checked(read_text(write_story(every))).findings}


def test_a_slow_part_keeps_its_taps_beside_a_quick_one() -> None:
    quick = "words: la la la la, lane: '| x x x x |'"
    slow = "words: la la, lane: '| x . x . |'"
    lines = "".join(f"      - {{{quick}}}\n" for _ in range(6))
    read = read_text(
        "tapscore: 2\ntitle: T\nmetre: 2/4\ntempo: 100\nstory:\n"
        f"  - section: Quick\n    lines:\n{lines}"
        f"  - section: Slow\n    tempo: 30\n    lines:\n      - {{{slow}}}\n"
        "      - {words: la la la, lane: '| x . x x |'}\n"
    )
    assert read.story is not None
    thin, parts = without_buzz(read.story)
    assert parts == 1
    assert thin.sections[1] == read.story.sections[1]
    first = thin.sections[0].items[0]
    assert isinstance(first, Line)
    assert first.lane is not None
    assert lane_text(first.lane) == "| x s x s |"
