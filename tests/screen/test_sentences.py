"""What the listening bar says, sentence by sentence."""

import numpy as np
import pytest
from attrs import evolve

from tapscore.exports.audio.story_taps import StoryTaps
from tapscore.model.loudness import Loudness
from tapscore.model.story import Role, Story
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance, Segment
from tapscore.rhythm.practised import LineNote, Practised, Timing
from tapscore.screen.passage import Going, Passage, passage_from
from tapscore.screen.passage_sound import (
    PassageSound,
    part_gain_db,
    place_sounds,
    story_factor,
)
from tapscore.screen.sentences import (
    NO_TAPS,
    NOT_TAPPED,
    TOGETHER,
    holding_sentence,
    playing_sentence,
    practice_sentence,
)
from tapscore.screen.sheets import PrintRun, fits_on, out_of_reach, runs, same, turned
from tests.gui.listening.fakes import story_of


@pytest.fixture(scope="module")
def told() -> Performance:
    return perform(story_of())


def test_what_is_heard(told: Performance) -> None:
    def playing(segment: Segment, counting_in: bool = False) -> str:
        return playing_sentence(segment, counting_in=counting_in)

    segments = told.segments
    assert playing(segments[0]) == "Line 1, 120 a minute."
    assert playing(segments[0], True) == "Counting in to line 1."
    assert playing(segments[3]) == "Refrain back, 120 a minute."
    assert playing(segments[5]) == "Line 3, slowing 120 to 60."
    assert playing(evolve(segments[0], number=None)) == "The line, 120 a minute."


def test_what_everybody_waits_for(told: Performance) -> None:
    wait, offer = told.segments[2], told.segments[7]
    assert holding_sentence(wait) == "Wait. Look for: a look. Space or F7 goes on."
    assert holding_sentence(offer) == "Offer bell to each pupil. Space or F7 goes on."


A, B, H, D, T = Timing.AHEAD, Timing.BEHIND, Timing.HURRYING, Timing.DRAGGING, Timing.TOGETHER
# of the lines 1, 2, back, back, 3: what is noted, of the whole as well, and what is said
NOTES: list[tuple[list[LineNote], Timing, str]] = [
    ([], T, NO_TAPS),
    ([LineNote(0, T)], T, TOGETHER),
    ([LineNote(0, T)], A, "Together in line 1. A little ahead all through. Wait for the click."),
    (
        *([LineNote(0, T)], B),
        "Together in line 1. A little behind all through. Wireless headphones make the sound "
        "late: try it without.",
    ),
    ([LineNote(0, A), LineNote(1, A)], T, "A little ahead in line 1 and line 2."),
    ([LineNote(0, B)], T, "A little behind in line 1."),
    ([LineNote(0, H), LineNote(1, T)], T, "Together in line 2. Getting faster in line 1."),
    ([LineNote(0, D)], T, "Getting slower in line 1."),
    ([LineNote(3, D), LineNote(4, D)], T, "Getting slower in refrain back."),
    ([LineNote(0, T, missing=True)], T, "There are more taps for you in line 1."),
    ([LineNote(0, T, more=True)], T, "You tapped more than is written in line 1."),
    # not both of one line; and two things at the most
    ([LineNote(0, T, missing=True, more=True)], T, "There are more taps for you in line 1."),
    (
        *([LineNote(0, A), LineNote(1, B), LineNote(5, H)], T),
        "A little ahead in line 1. A little behind in line 2.",
    ),
    (
        *([LineNote(0, T), LineNote(1, T), LineNote(3, T), LineNote(5, A)], T),
        "Together in line 1, line 2 and refrain back. A little ahead in line 3.",
    ),
    (
        *([*(LineNote(at, T) for at in (0, 1, 3, 4)), LineNote(5, A)], T),
        "Together in most lines. A little ahead in line 3.",
    ),
]


@pytest.mark.parametrize(("lines", "whole", "said"), NOTES)
def test_what_is_said_after_tapping(
    told: Performance, lines: list[LineNote], whole: Timing, said: str
) -> None:
    assert practice_sentence(Practised(tuple(lines), whole), told) == said


def test_nothing_tapped(told: Performance) -> None:
    assert practice_sentence(Practised((LineNote(0, T),), tapped=False), told) == NOT_TAPPED


def test_ones_own_part_stands_out_by_twelve_decibels() -> None:
    """3 dB more and 9 dB less (common practice, no source)."""
    assert part_gain_db("a", None) == 0
    assert part_gain_db("a", "a") == 3
    assert part_gain_db("b", "a") == -9


def passage_of(story: Story, *segments: int) -> Passage:
    passage = passage_from(perform(story), Going(segments), 0, count_in=False)
    assert passage is not None
    return passage


def test_the_one_factor_is_as_usual_unless_taps_together_would_be_clipped() -> None:
    """3 dB below full scale; twelve adults who tap very loudly come to nine tenths of it."""
    story = story_of()
    quiet = evolve(story, manner=evolve(story.manner, loudness=(Loudness.VERY_QUIET,)))
    assert story_factor(quiet, passage_of(quiet, 0)) == pytest.approx(10 ** (-3 / 20))
    many = evolve(
        story,
        roles=tuple(Role(f"r{n}") for n in range(12)),
        manner=evolve(story.manner, loudness=(Loudness.VERY_LOUD,), by=("everyone",)),
    )
    loud = passage_of(many, 0)
    factor = story_factor(many, loud)
    taps = StoryTaps(many)
    together = [
        sum(
            float(np.abs(sound).max()) * 10 ** ((gain_db + 3) / 20)
            for sound, gain_db in (taps(tap) for tap in many_taps)
        )
        for many_taps in (
            [tap for tap in loud.performance.taps if tap.onset_beats == beat] for beat in range(4)
        )
    ]
    assert factor == pytest.approx(0.9 / max(together))
    assert factor < 10 ** (-3 / 20)


def test_seconds_of_a_passages_sound() -> None:
    sound = PassageSound(48_000, 24_000, 36_000)
    assert (sound.lines_sec, sound.first_sec, sound.period_sec) == (0.75, 1.0, 0.5)
    assert PassageSound(48_000, 0, 36_000).period_sec is None
    sound.first[:] = 1
    sound.again[:] = [[2, 3]] * 24_000
    read = sound.read(47_999, 3)
    assert read.tolist() == [[1, 1], [2, 3], [2, 3]]
    assert sound.read(10, 0).shape == (0, 2)


def test_whom_one_leaves_out_is_not_heard() -> None:
    story = story_of()
    passage = passage_of(story, 0, 1)
    every = len(place_sounds(story, passage, None).body)
    taps = [tap.role for s in perform(story).segments[:2] for tap in s.taps]
    for role in ("beater", "other", "nobody"):
        left = len(place_sounds(story, passage, None, left_out=role).body)
        assert every - left == taps.count(role)


def test_sheets_and_pages_by_their_millimetres() -> None:
    a4, a5 = (210.0, 297.0), (148.0, 210.0)
    assert same(a4, (210.9, 296.1))
    assert not same(a4, (211.0, 297.0))
    assert not same(a4, (297.0, 210.0))
    assert turned((297.0, 210.0), a5) == (210, 297)
    assert turned(a4, (210.0, 148.0)) == (297, 210)
    assert turned(a4, (148.0, 148.0)) == (210, 297)
    assert fits_on((210.9, 297.0), a4)
    assert not fits_on((211.0, 297.0), a4)
    assert fits_on(a4, (297.0, 210.0))
    assert runs((4, 2, 9), (a4, a4, a5)) == (PrintRun(a4, (4, 2)), PrintRun(a5, (9,)))
    assert runs((4, 2, 9), (a4, a5, a4)) == (
        PrintRun(a4, (4,)),
        PrintRun(a5, (2,)),
        PrintRun(a4, (9,)),
    )
    assert runs((), ()) == ()
    assert out_of_reach((5, 5, 5, 5), (5.5, 5.5, 5.5, 5.5)) is None
    assert out_of_reach((5, 5, 5, 5), (5.6, 5, 7, 5)) == "left 6 mm, right 7 mm"
