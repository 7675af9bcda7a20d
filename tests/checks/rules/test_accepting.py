"""Findings accepted with a reason, found again after edits, and given up when not needed."""

import pytest
from attrs import evolve

from tapscore.checks.accepting import accept, place_name, same_place
from tapscore.checks.registry import RULES, check, check_story
from tapscore.checks.rule import Rule, Scene
from tapscore.model.accepted import Acceptance
from tapscore.model.edits import change_line, insert_item
from tapscore.model.finding import Finding
from tapscore.model.selection import delete_all, repeat_all
from tapscore.model.story import Line, Story
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import write_story

LINES = """\
tapscore: 2
title: T
metre: 6/8
loudness: quiet
story:
  - section: Sea
    lines:
      # the boat
      - words: Row the lan-tern
        lane: "| X . x X . x |"
      - words: Crash went the wave!
        lane: "| X x x X . . |"
        loudness: loud
      - wait: 3
        look for: a look
"""
LOUD = ("story", 0, "lines", 1)


def _scene(story: Story) -> Scene:
    return Scene(story, perform(story))


def _read(text: str) -> Story:
    read = read_text(text)
    assert read.findings == ()
    assert read.story is not None
    return read.story


def _codes(story: Story) -> list[str]:
    return [finding.code for finding in check(_scene(story))]


def _find(story: Story, code: str) -> Finding:
    return next(f for f in check(_scene(story)) if f.code == code)


@pytest.fixture
def story() -> Story:
    return _read(LINES)


def test_accepted_findings_are_counted_and_not_shown(story: Story) -> None:
    assert _codes(story) == ["warn-before-loud", "waits-long-enough"]
    story = accept(story, _find(story, "warn-before-loud"), "  we all wait  for it ")
    assert _codes(story) == ["waits-long-enough"]
    (accepted,) = check_story(_scene(story)).accepted
    assert accepted.finding.code == "warn-before-loud"
    assert accepted.why == "we all wait for it"
    text = write_story(story)
    assert text.startswith(LINES)
    assert text.removeprefix(LINES) == (
        "accepted:\n  - finding: warn-before-loud\n    where: Crash went the wave!\n"
        "    why: we all wait for it\n"
    )
    assert _codes(_read(text)) == ["waits-long-enough"]


def test_it_survives_edits_elsewhere(story: Story) -> None:
    story = accept(story, _find(story, "warn-before-loud"), "meant")
    story = accept(story, _find(story, "waits-long-enough"), "a joke")
    assert _codes(story) == []
    assert story.accepted[1].where == "wait after Crash went the wave!"
    more = insert_item(story, ("story", 0, "lines", 0), Line("row and row"))
    assert _codes(delete_all(more, [("story", 0, "lines", 0)])) == []
    hyphens = change_line(story, LOUD, lambda line: evolve(line, words="Crash, went the wave"))
    assert _codes(hyphens) == []
    assert _codes(repeat_all(story, (("story", 0, "lines", 0),))[0]) == []


def test_other_words_are_another_line(story: Story) -> None:
    story = accept(story, _find(story, "warn-before-loud"), "meant")
    other = change_line(story, LOUD, lambda line: evolve(line, words="Boom went the wave"))
    assert sorted(_codes(other)) == ["accepted-not-needed", "waits-long-enough", "warn-before-loud"]


def test_what_is_no_longer_found_is_flagged(story: Story) -> None:
    story = accept(story, _find(story, "warn-before-loud"), "meant")
    mended = change_line(story, LOUD, lambda line: evolve(line, warn_first="ready?"))
    (finding,) = [f for f in check(_scene(mended)) if f.code == "accepted-not-needed"]
    assert finding.path == ("accepted", 0)
    assert "Crash went the wave!" in finding.message
    # a check of some rules says nothing about the acceptances of others
    assert check(_scene(mended), RULES[:1]) == ()


def test_everywhere_and_unknown(story: Story) -> None:
    everywhere = evolve(story, accepted=(Acceptance("waits-long-enough", "short class"),))
    assert _codes(everywhere) == ["warn-before-loud"]
    unknown = evolve(story, accepted=(Acceptance("wait-long-enough", "x"),))
    (finding,) = [f for f in check(_scene(unknown)) if f.code == "accepted-unknown"]
    assert "Did you mean `waits-long-enough`?" in finding.message


def test_a_reason_is_needed_and_musts_stay(story: Story) -> None:
    with pytest.raises(ValueError, match="reason"):
        accept(story, _find(story, "warn-before-loud"), " ")
    broken = _read(LINES.replace("| X . x X . x |", "| X . x X . x . . |"))
    finding = _find(broken, "bars-full")
    with pytest.raises(ValueError, match="must be mended"):
        accept(broken, finding, "meant")
    forced = evolve(broken, accepted=(Acceptance("bars-full", "meant"),))
    assert {"bars-full", "accepted-must-mend"} <= set(_codes(forced))


def test_a_reason_is_needed_in_the_file() -> None:
    read = read_text(LINES + "accepted:\n  - finding: waits-long-enough\n")
    (finding,) = read.findings
    assert "`why:` is missing" in finding.message


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_every_finding_but_a_must_can_be_accepted(rule: Rule) -> None:
    story = _read(rule.bad)
    for finding in check(_scene(story)):
        if not finding.must_mend:
            story = accept(story, finding, "meant")
    assert all(finding.must_mend for finding in check(_scene(story)))
    again = _read(write_story(story))
    assert again.accepted == story.accepted


def test_places_in_words(story: Story) -> None:
    assert place_name(story, (*LOUD, "lane")) == "Crash went the wave!"
    assert place_name(story, ("story", 0)) == "section Sea"
    assert place_name(story, ("props", "bell")) == "prop bell"
    assert place_name(story, ()) is None
    assert same_place("Row the lan-tern", "row the lantern!")
    assert not same_place("Row the lantern", None)
    assert not same_place("–", "…")
