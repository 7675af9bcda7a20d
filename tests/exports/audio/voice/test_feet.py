"""Lines divided where stressed words meet the beat."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.exports.audio.voice.feet import WEAK_SYLLABLE_SEC, feet
from tapscore.model.metre import Metre
from tapscore.model.story import Line
from tapscore.model.tempo import Tempo
from tapscore.rhythm.perform import perform
from tests.exports.audio.audio_stories import lane, story


def test_a_foot_begins_at_each_beat_that_a_word_begins_on() -> None:
    told = story(
        Line("Out on the wa-ter the lit-tle boat lay", lane("XxxXxx", "XxxX..")),
        metre=Metre(6, 8),
        tempo=Tempo(Fraction(54)),
    )
    (line,) = perform(told).lines
    found = feet(line)
    assert [foot.words for foot in found] == ["Out on the", "water the", "little boat", "lay"]
    beat = 60 / 54
    assert [foot.start_sec for foot in found] == pytest.approx([0, beat, 2 * beat, 3 * beat])
    assert [foot.room_sec for foot in found[:3]] == pytest.approx([beat] * 3)


@given(st.lists(st.sampled_from("xXs."), min_size=4, max_size=12), st.integers(30, 200))
def test_feet_hold_all_words_once_in_order_and_in_time(marks: list[str], tempo: int) -> None:
    said = sum(mark in "xXo" for mark in marks)
    words = " ".join(["la", "tum"][i % 2] for i in range(said))
    bars = ("".join(marks).ljust(16, "."),)
    told = story(
        Line(words, lane(*(b[i : i + 8] for b in bars for i in (0, 8)))),
        tempo=Tempo(Fraction(tempo)),
    )
    (line,) = perform(told).lines
    found = feet(line)
    assert " ".join(foot.words for foot in found) == words
    ends = [foot.start_sec + foot.room_sec for foot in found]
    assert all(foot.room_sec > 0 for foot in found)
    assert all(
        end <= following.start_sec + 1e-6 for end, following in zip(ends, found[1:], strict=False)
    )


def test_a_weak_word_that_leads_in_is_said_just_before_the_strong_one() -> None:
    told = story(
        Line("the moon came to look", lane("XxxXxx", pickup="x")),
        metre=Metre(6, 8),
        tempo=Tempo(Fraction(54)),
    )
    (line,) = perform(told).lines
    first = feet(line)[0]
    assert first.words == "the moon came to"
    strong = line.syllables[1].onset_sec
    assert first.start_sec == pytest.approx(strong - WEAK_SYLLABLE_SEC)
    assert first.start_sec + first.room_sec == pytest.approx(line.syllables[4].onset_sec)
    (near,) = perform(
        story(Line("the moon came to look", lane("XxxXxx", pickup="x")), metre=Metre(6, 8),
              tempo=Tempo(Fraction(150)))
    ).lines  # fmt: skip
    assert feet(near)[0].start_sec == pytest.approx(near.syllables[0].onset_sec)


@pytest.mark.parametrize("words", ["see Num No. 3", "see Hen-ry VIII", "go at 10.30"])
def test_a_number_is_said_with_what_tells_how_it_is_said(words: str) -> None:
    count = len(Line(words, None).syllables)
    told = story(Line(words, lane("X.......", *["X......."] * (count - 1))))
    (line,) = perform(told).lines
    found = [foot.words for foot in feet(line)]
    assert len(found) == count - words.count("-") - 1
    assert found[-1] in ("No. 3", "Henry VIII", "at 10.30")
