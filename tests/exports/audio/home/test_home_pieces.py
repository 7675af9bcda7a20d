"""What sounds at home from one press to the next: nothing runs through a wait, nothing is lost."""

from collections.abc import Iterator
from fractions import Fraction

import numpy as np
from attrs import evolve
from hypothesis import given, settings

from tapscore.exports.audio.heard import TapsHeard
from tapscore.exports.audio.home.pieces import HomePiece, home_story, sounding
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ
from tapscore.exports.audio.versions.sounds import PRESSED_SEC, VersionSounds, version_sounds
from tapscore.exports.audio.versions.version import VersionKind, passages
from tapscore.exports.audio.voice.telling import Teller
from tapscore.model.loudness import Loudness
from tapscore.model.story import Line, Section, Story, Translation, Wait
from tapscore.model.walk import change_lines
from tapscore.model.words import printed
from tapscore.resources import demo_stories
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import SegmentKind
from tapscore.storyfile.read import read_file, read_text
from tests.hill import HEAD, line, lines_of
from tests.strategies import stories

DEMO = next(path for path in demo_stories() if path.stem == "the-lantern-boat")


def demo() -> Story:
    story = read_file(DEMO).story
    assert story is not None
    return story


@given(stories)
@settings(max_examples=60)
def test_every_line_and_every_stop_is_told_once_and_in_order(story: Story) -> None:
    heard = perform(story)
    told = list(passages(heard.segments))
    lines = [segment for passage in told for segment in passage.lines]
    assert lines == [each for each in heard.segments if each.kind is SegmentKind.LINE]
    stops = [each for passage in told for each in passage.stops if each.line is None]
    assert stops == [each for each in heard.segments if each.line is None]
    for passage in told:
        assert not any(each.line and each.line.warn_first for each in passage.lines[1:])


def test_the_demo_stops_where_it_says() -> None:
    """By hand from the file: three waits, one turn, two lines with a warning after others."""
    story = demo()
    told = home_story(story)
    waits = sum(each.kind is SegmentKind.WAIT for each in perform(story).segments)
    assert sum("Wait, still" in said for piece in told.whole for said in piece.then) == waits == 3
    assert any("Give beads time" in said for piece in told.whole for said in piece.then)
    assert [name for name, _ in told.refrains] == ["row home"]
    (_, (refrain,)), *_ = told.refrains
    assert [line.words for line in refrain.lines] == [
        "Row the lantern, row the lantern,",
        "row the lantern home.",
    ]
    warned = [piece for piece in told.whole if piece.first]
    assert next(piece.lines[0].words for piece in warned).startswith("big waves")
    assert not any("every pupil" in note for note in _notes(told.whole))


def _notes(pieces: tuple[HomePiece, ...]) -> Iterator[str]:
    for piece in pieces:
        for each in piece.lines:
            yield from each.notes


def test_what_sounds_alike_is_one_sound() -> None:
    story = demo()
    before = len(sounding(home_story(story)))
    *_, last = story.sections
    twice = evolve(story, sections=(*story.sections, evolve(last, title="Once more")))
    assert len(sounding(home_story(twice))) <= before + 1


def test_translations_stand_with_their_line() -> None:
    told = (Translation("pl", "Domek"),)
    story = change_lines(demo(), lambda _, line: evolve(line, translations=told))
    assert all(
        line.translations == told for piece in home_story(story).whole for line in piece.lines
    )


def test_words_and_taps_sound_without_clicks_and_not_louder_than_medium() -> None:
    story = demo()
    silent = Teller({}, {}, None)
    for version in sounding(home_story(story)):
        assert version.kind is VersionKind.HOME
        sounds = version_sounds(version, silent, TapsHeard(loudest=Loudness.MEDIUM))
        assert len(sounds.sounds) == len(version.performance().taps), "taps alone, no click or cue"
        first = min(placed.start_frame for placed in sounds.sounds)
        assert first >= round(PRESSED_SEC * SAMPLE_RATE_HZ)
        assert _highest(sounds) <= _highest(version_sounds(version, silent)) + 1e-6


def _highest(sounds: VersionSounds) -> float:
    return max(
        float(np.max(np.abs(placed.samples)) * np.hypot(placed.left, placed.right))
        for placed in sounds.sounds
    )


def test_a_story_that_begins_with_a_wait_or_has_no_words() -> None:
    story = evolve(
        demo(), sections=(Section("One", (Wait(Fraction(10)), Line("Home."))),), refrains=()
    )
    told = home_story(story)
    assert told.whole[0].version is None
    assert told.whole[0].then
    assert printed(told.whole[1].lines[0].words) == "Home."
    assert home_story(evolve(demo(), sections=(), refrains=())).whole == ()


def test_a_refrain_that_comes_once_is_heard_by_itself_too() -> None:
    once = read_text(
        "tapscore: 2\ntitle: t\nrefrains:\n  home:\n    - {words: row home, lane: '| x . x . |'}\n"
        "story:\n  - section: A\n    lines:\n      - refrain: home\n"
    ).story
    assert once is not None
    ((name, (piece,)),) = home_story(once).refrains
    assert (name, [line.words for line in piece.lines]) == ("home", ["row home"])


def test_what_returns_within_a_refrain_is_heard_where_it_is_heard_by_itself() -> None:
    """Its lines were heard one after the other, without the one that is told between them."""
    text = f"{HEAD}refrains:\n  tick:\n{line('Tick', 'by: ann')}"
    text += f"  whole:\n{line('Row', 'by: ann')}      - refrain: tick\n{line('Home', 'by: ann')}"
    told = home_story(lines_of("      - refrain: whole\n", text))
    heard = {
        name: [each.words for piece in pieces for each in piece.lines]
        for name, pieces in told.refrains
    }
    assert heard == {"tick": ["Tick"], "whole": ["Row", "Tick", "Home"]}
