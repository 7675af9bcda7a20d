"""The versions' own figures, written by hand (a house's choices, by ear, no source)."""

from fractions import Fraction
from math import log10

import numpy as np
import pytest
from attrs import evolve

from tapscore.exports.audio.click_sound import click_sound
from tapscore.exports.audio.cue_tones import TONES, cue_tone
from tapscore.exports.audio.heard import TapsHeard
from tapscore.exports.audio.plan import PlacedSound, plan
from tapscore.exports.audio.versions.slower import SPEEDS
from tapscore.exports.audio.versions.sounds import VersionSounds, _loop_end, version_sounds
from tapscore.exports.audio.versions.version import (
    SoundVersion,
    VersionKind,
    passages,
    pause_words,
    versions,
)
from tapscore.exports.audio.voice.loudness import speech_sounds
from tapscore.exports.audio.voice.telling import Speech, SpeechAt, Teller, teller
from tapscore.model.loudness import Loudness
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance
from tapscore.rhythm.role_view import RoleView
from tapscore.storyfile.read import read_text
from tests.exports.audio.voice.voices import tone

# 2/4 at 60: a bar is 2 s.  Two roles, who tap a line each and one together.
TEXT = """\
tapscore: 2
title: Small
metre: 2/4
tempo: 60
pupils: 3
roles: {leader: , helper: }
props: {cup: {what: cup}}
story:
  - section: One
    lines:
      - {words: one, lane: "| X . . . |", by: leader}
      - {words: two, lane: "| X . . . |", by: helper, warn first: hands up}
      - {wait: 7, look for: a look}
      - {offer: cup, turn: 20}
      - {words: three, lane: "| X . . . |", by: everyone}
  - section: Two
    lines:
      - {words: four, lane: "| X . . . |", by: helper, warn first: ready}
"""


@pytest.fixture(scope="module")
def story() -> Story:
    found = read_text(TEXT).story
    assert found is not None
    return found


def silent(story: Story) -> Teller:
    found = teller(perform(story), None, None)
    found.voice = None
    return found


def of(story: Story, kind: VersionKind) -> list[SoundVersion]:
    return [version for version in versions(story) if version.kind is kind]


def test_speeds_and_counts_before_the_first_line(story: Story) -> None:
    """Two bars of two before the whole, one before what goes round, none before taps alone."""
    assert [
        (v.speed, v.performance().segments[0].length_sec) for v in of(story, VersionKind.WHOLE)
    ] == [
        *((Fraction(1), 4), (Fraction(3, 4), 4 / 0.75), (Fraction(1, 2), 8)),
    ]
    assert [speed.share for speed in SPEEDS] == [1, Fraction(3, 4), Fraction(1, 2)]
    starts = {
        kind: {version.performance().lines[0].start_sec for version in of(story, kind)}
        for kind in (VersionKind.PART, VersionKind.SECTION, VersionKind.LINE, VersionKind.TAPS)
    }
    assert starts == {
        VersionKind.PART: {4},
        VersionKind.SECTION: {2},
        VersionKind.LINE: {2},
        VersionKind.TAPS: {0},
    }
    assert {v.kind for v in versions(story) if v.loops} == {VersionKind.SECTION, VersionKind.LINE}


def gains_db(made: VersionSounds, version: SoundVersion) -> dict[str, set[float]]:
    """Against the whole story's, by role; a second's taps are one role's but for line three."""
    written = plan(version.story, version.performance())
    usual = {(p.start_frame, id(p.sound)): (p.left, p.right) for p in written}
    roles = {round(t.onset_sec * 48_000): t.role for t in made.performance.taps}
    together = made.performance.segments[5].start_sec
    shared = (click_sound(downbeat=True), click_sound(downbeat=False), *map(cue_tone, TONES))
    found: dict[str, set[float]] = {}
    for placed in made.sounds:
        left, right = usual[placed.start_frame, id(placed.sound)]
        assert placed.left * right == pytest.approx(placed.right * left), "on the same side"
        common = any(placed.sound is sound for sound in shared)
        if not common and placed.start_frame == round(together * 48_000):
            continue
        role = "common" if common else roles[placed.start_frame]
        found.setdefault(role, set()).add(round(20 * log10(placed.left / left), 6))
    return found


def test_the_others_are_twelve_decibels_softer_in_ones_own_part(story: Story) -> None:
    for version in of(story, VersionKind.PART):
        found = gains_db(version_sounds(version, silent(story)), version)
        other = {"leader": "helper", "helper": "leader"}[version.role or ""]
        assert found == {version.role: {0.0}, other: {-12.0}, "common": {0.0}}


def test_a_ceiling_holds_in_ones_own_part_and_its_words_are_heard(
    story: Story, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Very loud taps at medium, 10 dB lower, and the others' 12 dB below that."""
    loud = evolve(story, manner=evolve(story.manner, loudness=(Loudness.VERY_LOUD,)))
    asked: list[dict[str, object]] = []
    spoken = SpeechAt(5, silent(story)._spool.put(tone(0.1)))

    def speech(_self: Teller, _performance: Performance, **said: object) -> Speech:
        asked.append(said)
        return Speech((spoken,), ())

    monkeypatch.setattr(Teller, "speech", speech)
    shared = (click_sound(downbeat=True), click_sound(downbeat=False), *map(cue_tone, TONES))
    for version in of(loud, VersionKind.PART):
        heard = TapsHeard(loudest=Loudness.MEDIUM)
        made = version_sounds(version, silent(loud), heard)
        taps = [
            each
            for each in made.sounds
            if not any(each.sound is sound for sound in (*shared, spoken.sound))
        ]
        levels = {round(10 * log10(each.left**2 + each.right**2), 6) for each in taps}
        assert levels == {-10.0, -22.0}
        assert [each.start_frame for each in made.sounds if each.sound is spoken.sound] == [5]
        view = asked[-1]["view"]
        assert isinstance(view, RoleView)
        assert view.role == version.role


def test_a_loop_s_bars_are_as_long_as_its_last() -> None:
    """Three lines at 60, 120 and 240: a bar of two lasts half a second at the end."""
    lines = "".join(
        f"      - {{words: la, lane: '| X . . . |', tempo: {tempo}}}\n" for tempo in (60, 120, 240)
    )
    told = read_text(
        f"tapscore: 2\ntitle: t\nmetre: 2/4\nstory:\n  - section: A\n    lines:\n{lines}"
    ).story
    assert told is not None
    performance = perform(told)
    end_sec = performance.length_sec
    assert end_sec == 2 + 1 + 0.5
    assert _loop_end(performance, round((end_sec + 0.6) * 48_000)) == round((end_sec + 1) * 48_000)


def test_words_are_beside_a_medium_tap_and_cues_softer() -> None:
    """8 dB below a very loud tap, where a medium one is 10; cues 3 dB below the words."""
    held = silent(Story("t"))._spool.put(tone(0.1))
    line, cue = speech_sounds(Speech((SpeechAt(5, held),), (SpeechAt(9, held),)))
    for placed, start, db in ((line, 5, -8.0), (cue, 9, -11.0)):
        assert placed.start_frame == start
        assert placed.left == placed.right
        assert 10 * log10(placed.left**2 + placed.right**2) == pytest.approx(db)


def test_where_taps_alone_stop_and_what_is_said_there(story: Story) -> None:
    taps = of(story, VersionKind.TAPS)
    assert [(v.stem, v.title, v.line_names, v.then) for v in taps] == [
        ("taps-01", "1, from 1", ("01",), "Warn first: hands up"),
        (
            *("taps-02", "2, from 2", ("02",)),
            "Wait 7 seconds or longer; look for a look. Offer the cup: 3 turns of 20 seconds",
        ),
        ("taps-03", "3, from 3", ("03",), "Warn first: ready"),
        (
            *("taps-04", "4, from 4", ("04",)),
            "The story is finished: say so, in the same way every time",
        ),
    ]
    told = list(passages(perform(story).segments))
    assert [len(passage.lines) for passage in told] == [1, 1, 1, 1]
    assert [len(passage.stops) for passage in told] == [1, 2, 1, 0]
    one = read_text(TEXT.replace("pupils: 3", "pupils: 1")).story
    assert one is not None
    assert pause_words(perform(one).segments[3]) == "Offer the cup: 1 turn of 20 seconds"


def test_taps_alone_are_taps_alone_and_last_half_a_second_more(story: Story) -> None:
    for version in of(story, VersionKind.TAPS):
        made = version_sounds(version, silent(story))
        assert len(made.sounds) == len(made.performance.taps)
        assert made.length_frames == round((made.performance.length_sec + 0.5) * 48_000)


def test_at_home_taps_begin_a_moment_after_the_press(story: Story) -> None:
    """0.4 s, and no clicks, no cues, no count; the story goes on as it is written."""
    version = SoundVersion(VersionKind.HOME, "home", "t", story)
    made = version_sounds(version, silent(story))
    onsets = [round((tap.onset_sec + 0.4) * 48_000) for tap in made.performance.taps]
    assert [placed.start_frame for placed in made.sounds] == pytest.approx(onsets, abs=1)
    last = max(placed.end_frame for placed in made.sounds)
    assert made.length_frames == last + 24_000


@pytest.mark.parametrize(("begins", "taps_later"), [(-9_600, 0.2), (4_800, 0.0)])
def test_at_home_words_before_the_first_tap_begin_after_the_press_too(
    begins: int, taps_later: float, story: Story, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A line spoken 0.2 s before its tap moves all by as much; one behind it moves none."""
    speaker = silent(story)
    words = SpeechAt(begins, speaker._spool.put(tone(0.1)))
    monkeypatch.setattr(Teller, "speech", lambda *_, **__: Speech((words,), ()))
    made = version_sounds(SoundVersion(VersionKind.HOME, "home", "t", story), speaker)
    starts = [placed.start_frame for placed in made.sounds]
    assert starts == sorted(starts)
    first_tap = made.performance.taps[0].onset_sec
    moved = round((first_tap + 0.4 + taps_later) * 48_000)
    assert moved in starts
    assert min(starts) == 19_200


def test_a_loop_goes_on_by_whole_bars_until_its_last_tap_has_rung(story: Story) -> None:
    loud = read_text(
        TEXT.replace("| X . . . |", "| . . . X |").replace("tempo: 60", "tempo: 240")
    ).story
    assert loud is not None
    bar = 0.5
    for version in of(loud, VersionKind.LINE):
        made = version_sounds(version, silent(loud))
        sounds: tuple[PlacedSound, ...] = made.sounds
        last = max(placed.end_frame for placed in sounds) / 48_000
        bars = made.length_frames / 48_000 / bar
        assert bars == pytest.approx(round(bars))
        # a bar to count in and the line, and as many as it rings beyond a twentieth of a second
        needed = 2 + max(int(np.ceil((last - 0.05 - 2 * bar) / bar - 1e-9)), 0)
        assert round(bars) == needed
    performance = of(loud, VersionKind.LINE)[0].performance()
    for over_sec, more in ((0.049, 3), (0.051, 4)):
        last_frame = round((performance.length_sec + 3 * bar + over_sec) * 48_000)
        end_sec = performance.length_sec + more * bar
        assert _loop_end(performance, last_frame) == round(end_sec * 48_000)
