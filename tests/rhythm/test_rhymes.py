"""Five public-domain rhymes in their traditional metres, as real input.

The metres are those of the usual tunes; words and rhythms are written from memory.
"""

from pathlib import Path

import pytest

from tapscore.checks.all_rules import rule
from tapscore.checks.rule import Scene
from tapscore.exports.musicxml import score_file
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_file

RHYMES = Path(__file__).parent.parent / "data" / "rhymes"
# beats, tempo and so seconds, counted by hand from the bars of the tune
BY_HAND = {
    "twinkle": ("4/4", 12 * 4, 96, 30.0),  # six lines of two bars
    "hickory": ("6/8", 10 * 2, 60, 20.0),  # ten bars, pickups inside them
    "lavender": ("3/4", 10 * 3, 90, 20.0),  # three, two, three and two bars
    "london-bridge": ("4/4", 8 * 4, 96, 20.0),  # eight bars
    "row-your-boat": ("6/8", 8 * 2, 64, 15.0),  # eight bars
}


def test_there_are_five() -> None:
    assert sorted(path.stem for path in RHYMES.glob("*.yaml")) == sorted(BY_HAND)


@pytest.mark.parametrize("name", BY_HAND)
def test_rhyme(name: str) -> None:
    metre, beats, tempo, seconds = BY_HAND[name]
    source = read_file(RHYMES / f"{name}.yaml")
    assert source.findings == ()
    story = source.story
    assert story is not None
    assert str(story.manner.metre) == metre
    assert story.manner.tempo is not None
    assert story.manner.tempo.start == tempo
    performance = perform(story)
    assert sum(segment.beats for segment in performance.segments) == beats
    assert performance.length_sec == seconds
    scene = Scene(story, performance)
    for rule_id in ("bars-full", "pickup-joins", "accent-on-beat"):
        found = rule(rule_id)
        assert found is not None
        assert list(found.find(scene)) == []
    # these tunes begin on a strong beat, so every strong tap is a whole number of beats in
    assert all(tap.onset_beats.denominator == 1 for tap in performance.taps if tap.accent)
    assert score_file(story).startswith(b"<?xml")
