"""Four dangerous changes to a demo story, each of which the checks once passed without a word."""

import pytest

from tapscore.checks.registry import check
from tapscore.checks.rule import Scene
from tapscore.resources import demo_stories
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text

LANTERN = next(path for path in demo_stories() if path.stem == "the-lantern-boat")


@pytest.mark.parametrize(
    ("old", "new", "rule"),
    [
        ("A: {at: [58, 72], lying", "A: {at: [8, 72], lying", "bodies-on-the-sheet"),
        ("turn: 30", "turn: 1", "turns-long-enough"),
        ("pupils: 4", "pupils: 8", "room-for-all"),
        ("instead: thin blue tablecloth", "instead: a torch flicked on and off", "caution-named"),
    ],
)
def test_a_dangerous_change_is_found(old: str, new: str, rule: str) -> None:
    text = LANTERN.read_text(encoding="utf-8")
    assert old in text
    story = read_text(text.replace(old, new, 1)).story
    assert story is not None
    assert rule in {finding.code for finding in check(Scene(story, perform(story)))}
