"""Sound in memory: frames, loops to the sample, parts louder, and the audio guide's own mix."""

from fractions import Fraction

import numpy as np
import pytest
from attrs import evolve

from tapscore.exports.audio.encode import to_frames
from tapscore.exports.audio.mix import mixed_blocks
from tapscore.exports.audio.plan import plan
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, amplitude
from tapscore.exports.audio.story_taps import StoryTaps
from tapscore.exports.audio.versions.slower import slowed
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.screen.passage import Going, Passage, passage_from
from tapscore.screen.passage_sound import (
    HIGHEST_PEAK,
    MY_PART_DB,
    THE_REST_DB,
    USUAL_GAIN_DB,
    PassageSound,
    fill,
    new_sound,
    place_sounds,
    story_factor,
)
from tests.gui.listening.fakes import TWO_WAITS, story_of


def stretch_of(
    story: Story, going: Going | None = None, at: int = 0, *, count_in: bool = True
) -> Passage:
    performance = perform(story)
    going = going or Going(tuple(range(len(performance.segments))))
    passage = passage_from(performance, going, at, count_in=count_in)
    assert passage is not None
    return passage


def sound_of(story: Story, passage: Passage, my_part: str | None = None) -> PassageSound:
    sounds = place_sounds(story, passage, my_part)
    sound = new_sound(sounds, loops=passage.loops)
    fill(sound, sounds, story_factor(story, passage))
    return sound


def onsets(frames: np.ndarray) -> list[int]:
    """First frames of sounds that stand alone, of shape (n, 2): after 20 ms of silence."""
    loud = np.flatnonzero(np.abs(frames).max(axis=1) > 20)
    gaps = np.diff(loud, prepend=-SAMPLE_RATE_HZ) > SAMPLE_RATE_HZ // 50
    return [int(frame) for frame in loud[gaps]]


def test_it_sounds_as_the_audio_guide_does() -> None:
    """The guide of the same lines alone (no wait, no section's name, so no cue tones)."""
    story = story_of()
    alone = evolve(
        story, sections=(evolve(story.sections[0], title="", items=story.sections[0].items[:2]),)
    )
    guide = perform(alone, count_in_bars=1)
    passage = stretch_of(alone)
    sound = sound_of(alone, passage)
    factor = story_factor(alone, passage)
    blocks = [to_frames(b, factor) for b in mixed_blocks(plan(alone, guide), len(sound.first))]
    assert np.abs(sound.first.astype(int) - np.concatenate(blocks)).max() <= 1
    assert np.abs(sound.first).max() > 1000


def test_a_loop_turns_to_the_sample() -> None:
    """An untapped line at 97 a minute: 48,000 * 60 / 97 is no whole number of frames."""
    story = story_of(TWO_WAITS.replace("tempo: 120\n", "tempo: 97\n", 1))
    passage = stretch_of(story, Going((6,), loops=True), count_in=True)
    sound = sound_of(story, passage)
    period = len(sound.again)
    assert period == round(4 * Fraction(60, 97) * SAMPLE_RATE_HZ)
    heard = sound.read(len(sound.first), 20 * period).reshape(20, period, 2)
    assert (heard == heard[0]).all()
    long = sound.read(0, len(sound.first) + 8 * period)
    clicks = np.array(onsets(long))
    assert len(clicks) == 4 + 9 * 4
    assert (clicks[8:] - clicks[4:-4] == period).all()


def test_reading_in_any_pieces_gives_the_same() -> None:
    story = story_of()
    sound = sound_of(story, stretch_of(story, Going((3, 4), loops=True)))
    total = len(sound.first) + 3 * len(sound.again)
    whole = sound.read(0, total)
    at, pieces = 0, []
    for count in [1, 7, 4096, 65_536, 13] * 40:
        pieces.append(sound.read(at, min(count, total - at)))
        at += len(pieces[-1])
    assert at == total
    assert (np.concatenate(pieces) == whole).all()


def test_what_still_sounds_at_the_end_goes_on_over_the_beginning() -> None:
    text = TWO_WAITS.replace('"| X _ . . . . . . |"', '"| . . . . . . . X |"')
    story = story_of(text.replace("tempo: 120\n", "tempo: 240\n", 1))
    once = sound_of(story, stretch_of(story, Going((4,)), count_in=False))
    loop = sound_of(story, stretch_of(story, Going((4,), loops=True), count_in=False))
    tail = once.first[once.lines_frames :].astype(int)
    assert np.abs(tail).max() > 30
    begin = loop.first[: len(tail)].astype(int)
    assert np.abs(loop.again[: len(tail)] - (begin + tail)).max() <= 1
    assert (loop.again[len(tail) :] == loop.first[len(tail) :]).all()


def test_after_the_end_is_silence() -> None:
    story = story_of(TWO_WAITS.replace("X . . . x . . . |", "X . . . x . . t |"))
    sound = sound_of(story, stretch_of(story))
    assert sound.lines_frames < len(sound.first)
    assert not sound.read(len(sound.first), 5000).any()


@pytest.mark.parametrize(("part", "db"), [("beater", MY_PART_DB), ("other", THE_REST_DB)])
def test_my_part_is_louder_and_the_rest_back(part: str, db: float) -> None:
    """Line 1 is tapped by the beater alone; its clicks stay as they are."""
    story = story_of()
    passage = stretch_of(story, Going((0,)))
    usual = place_sounds(story, passage, None)
    mine = place_sounds(story, passage, part)
    taps = len(passage.performance.segments[0].taps)
    ratios = [
        20 * np.log10(np.hypot(b.left, b.right) / np.hypot(a.left, a.right))
        for a, b in zip(usual.body, mine.body, strict=True)
    ]
    changed = [ratio for ratio in ratios if abs(ratio) > 1e-9]
    assert changed == pytest.approx([db] * taps)
    assert len(ratios) > taps
    assert [a.start_frame for a in usual.body] == [b.start_frame for b in mine.body]


def test_slower_taps_are_made_anew_not_stretched() -> None:
    story = story_of()
    half = slowed(story, Fraction(1, 2))
    usual = place_sounds(story, stretch_of(story), None)
    slow = place_sounds(half, stretch_of(half), None)
    assert [p.start_frame for p in slow.body] == [2 * p.start_frame for p in usual.body]
    assert [p.samples.tobytes() for p in slow.body] == [p.samples.tobytes() for p in usual.body]


def test_nothing_is_clipped_when_all_tap_very_loudly() -> None:
    text = TWO_WAITS.replace("by: beater\nroles", "by: everyone\nloudness: very loud\nroles", 1)
    story = story_of(
        text.replace("  other: {}", "".join(f"\n  r{i}: {{}}" for i in range(5))[1:]).replace(
            "by: other", "by: everyone"
        )
    )
    passage = stretch_of(story)
    assert np.abs(sound_of(story, passage).first).max() < 32_767
    assert np.abs(sound_of(story, passage, "beater").first).max() < 32_767


def test_room_is_left_for_ones_own_part_which_is_louder() -> None:
    text = TWO_WAITS.replace("by: beater\nroles", "by: beater\nloudness: very loud\nroles", 1)
    story = story_of(text)
    factor = story_factor(story, stretch_of(story))
    taps = StoryTaps(story)
    loudest = max(
        float(np.abs(sound).max()) * amplitude(gain_db + MY_PART_DB)
        for sound, gain_db in (taps(tap) for tap in perform(story).taps)
    )
    assert factor == pytest.approx(min(amplitude(USUAL_GAIN_DB), HIGHEST_PEAK / loudest))
    assert factor < amplitude(USUAL_GAIN_DB), "else nothing is tried"


def test_one_factor_for_every_stretch_and_speed() -> None:
    story = story_of()
    factors = {story_factor(story, stretch_of(story, at=at)) for at in (0, 3, 8)}
    factors |= {story_factor(story, stretch_of(slowed(story, Fraction(3, 4))))}
    assert len(factors) == 1


def test_what_is_given_up_is_not_finished() -> None:
    story = story_of()
    passage = stretch_of(story)
    sounds = place_sounds(story, passage, None)
    sound = new_sound(sounds, loops=False)
    told: list[int] = []
    fill(sound, sounds, 1.0, lambda: told.append(1), lambda: True)
    assert not sound.first.any()
    assert not told


def test_it_is_told_once_that_enough_is_there_to_begin() -> None:
    """After four seconds of sound, or at the end of what is shorter."""
    story = story_of(TWO_WAITS.replace("tempo: 120\n", "tempo: 40\n", 1))
    long, short = stretch_of(story), stretch_of(story_of(), Going((0,)), count_in=False)
    for passage, begins_sec in ((long, 4.0), (short, None)):
        sounds = place_sounds(story, passage, None)
        sound = new_sound(sounds, loops=False)
        told: list[float] = []

        def ready(sound: PassageSound = sound, told: list[float] = told) -> None:
            told.append(float(np.flatnonzero(sound.first.any(axis=1))[-1]) / SAMPLE_RATE_HZ)

        fill(sound, sounds, 1.0, ready)
        (mixed_sec,) = told
        whole_sec = len(sound.first) / SAMPLE_RATE_HZ
        if begins_sec is None:
            assert whole_sec < 4.0
            assert sound.first[-SAMPLE_RATE_HZ // 5 :].shape[0] < len(sound.first)
        else:
            assert whole_sec > 2 * begins_sec
            assert begins_sec - 1 < mixed_sec < begins_sec + 1.2
