"""Onsets against the exact closed forms and three independent readers."""

import warnings
from fractions import Fraction
from io import BytesIO
from itertools import pairwise
from typing import Any

import mido  # type: ignore[import-untyped]
import pytest
from hypothesis import given, settings

from tapscore.exports.audio.clicks import clicks
from tapscore.exports.midi import click_guide
from tapscore.model.lane import Cell, Lane, Mark
from tapscore.model.manner import PartialManner
from tapscore.model.story import Line, RefrainUse, Story, Wait
from tapscore.model.tempo import Tempo
from tapscore.rhythm.perform import perform
from tests.exports.midi.midi_reading import absolute, notes, read, seconds_at, texts
from tests.exports.midi.midi_stories import ROLES, guide_performance, lane, metre, stories, story

MICROSECOND = 1.0001e-6


def _ramp() -> Story:
    return story(Line("a", lane(*["x......."] * 4)), tempo=Tempo(Fraction(120), Fraction(80)))


def _busy() -> Story:
    return story(
        Line("Out on the wa-ter the boat", lane("Xxxxxx", "X.x___", pickup="x")),
        RefrainUse("row home"),
        Wait(Fraction(7)),
        Line("Crash goes", lane("Xx.xxx"), PartialManner(tempo=Tempo(Fraction(72), Fraction(41)))),
        Line(
            "four", lane("xxxxxxxx"), PartialManner(metre=metre("4/4"), tempo=Tempo(Fraction(97)))
        ),
        RefrainUse("row home"),
        roles=ROLES,
        metre=metre("6/8"),
        tempo=Tempo(Fraction(61)),
        by=("everyone",),
    )


def test_closed_form_of_a_ramp() -> None:
    # x*p0 + (p1 - p0)*x^2/(2B): 120 to 80 over 16 beats is exactly 10 s.
    told = _ramp()
    file = read(click_guide(told, perform(told)))
    assert file.length == pytest.approx(10, abs=MICROSECOND)
    seconds = seconds_at(file)
    for beat in range(16):
        exact = beat * 0.5 + 0.25 * beat * beat / 32
        start = notes(file.tracks[-1])[beat][0]
        assert start == beat * 480
        assert float(seconds[start]) == pytest.approx(exact, abs=MICROSECOND)


def _tap_times(told: Story, role: str) -> list[float]:
    return sorted({tap.onset_sec for tap in guide_performance(told).taps if tap.role == role})


def test_mido_hears_the_taps_within_a_microsecond() -> None:
    told = _busy()
    file = mido.MidiFile(file=BytesIO(click_guide(told, guide_performance(told))))
    now = 0.0
    heard: dict[int, list[float]] = {}
    for message in file:  # mido's own seconds
        now += message.time
        if message.type == "note_on":
            heard.setdefault(message.note, []).append(now)
    for note, role in zip((76, 77, 60), ROLES, strict=True):
        assert heard[note] == pytest.approx(_tap_times(told, role.name), abs=MICROSECOND)


def test_pretty_midi_hears_the_same() -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it imports pkg_resources
        import pretty_midi  # type: ignore[import-untyped]

    told = _busy()
    performance = guide_performance(told)
    heard: Any = pretty_midi.PrettyMIDI(BytesIO(click_guide(told, performance)), charset="utf-8")
    by_name = {part.name: part for part in heard.instruments}
    assert all(part.is_drum for part in heard.instruments)
    for role in ROLES:
        starts = sorted(note.start for note in by_name[role.name].notes)
        assert starts == pytest.approx(_tap_times(told, role.name), abs=MICROSECOND)
    said = sorted(s.onset_sec for segment in performance.segments for s in segment.syllables)
    lyrics = [(lyric.time, lyric.text) for lyric in heard.lyrics]
    assert [time for time, _ in lyrics] == pytest.approx(said, abs=MICROSECOND)
    assert lyrics[0][1] == "Out "
    downbeats = heard.get_downbeats()
    clicked = [click.onset_sec for click in clicks(performance) if click.downbeat]
    assert all(min(abs(downbeats - t)) < MICROSECOND for t in clicked)


def test_music21_hears_the_same_within_a_millisecond() -> None:
    from music21 import converter

    told = _busy()
    score: Any = converter.parse(
        click_guide(told, guide_performance(told)), format="midi", quantizePost=False
    )
    part = next(p for p in score.parts if p.partName == "leader")
    offsets = {float(note.offset) for note in part.flatten().notes}
    seconds = {
        float(entry["element"].offset): entry["offsetSeconds"]
        for entry in score.flatten().secondsMap
        if "NotRest" in entry["element"].classes
    }
    heard = sorted(seconds[offset] for offset in offsets)
    assert heard == pytest.approx(_tap_times(told, "leader"), abs=1e-3)


def test_a_step_in_seven_sounds_on_its_second() -> None:
    seven = tuple(Cell(Mark.TAP_ALONE) for _ in range(7))
    told = story(Line("", Lane((), ((seven, seven, seven, seven),))), metre=metre("2/4"))
    file = read(click_guide(told, perform(told)))
    seconds = seconds_at(file)
    heard = [float(seconds[start]) for start, *_ in notes(file.tracks[2])]
    assert heard == pytest.approx([i / 14 for i in range(28)], abs=MICROSECOND)


@settings(max_examples=150, deadline=None)
@given(stories())
def test_any_performance_is_written_whole(told: Story) -> None:
    performance = guide_performance(told)
    file = read(click_guide(told, performance))
    assert file.type == 1
    assert file.ticks_per_beat == 480
    seconds = seconds_at(file)
    for track in file.tracks:
        assert all(message.time >= 0 for message in track)
        assert sum(message.type == "end_of_track" for message in track) == 1
        spans = [(start, end) for start, end, *_ in notes(track)]
        assert all(end <= start for (_, end), (start, _) in pairwise(spans))
    for role, track in zip(performance.roles, file.tracks[2:-1], strict=True):
        heard = [float(seconds[start]) for start, *_ in notes(track)]
        written = sorted({tap.onset_beats for tap in performance.taps if tap.role == role})
        exact = [performance.seconds(beat) for beat in written]
        assert heard == pytest.approx(exact, abs=MICROSECOND)
    clicked = [float(seconds[start]) for start, *_ in notes(file.tracks[-1])]
    assert clicked == pytest.approx([c.onset_sec for c in clicks(performance)], abs=MICROSECOND)
    said = [float(seconds[tick]) for tick, _ in texts(file.tracks[1], "lyrics")]
    exact = [s.onset_sec for segment in performance.segments for s in segment.syllables]
    assert said == pytest.approx(exact, abs=MICROSECOND)
    end = absolute(file.tracks[0])[-1][0]
    assert float(seconds[end]) == pytest.approx(performance.length_sec, abs=MICROSECOND)
