"""Older files are brought up to date before they are read; newer ones are refused."""

import re

import pytest

from tapscore.model.lane import Mark
from tapscore.model.story import Line
from tapscore.rhythm.perform import perform
from tapscore.storyfile import migrate
from tapscore.storyfile.migrate import bring_up_to_date
from tapscore.storyfile.read import read_text
from tapscore.storyfile.shape import VERSION

OLD = """\
# kept
tapscore: 0
name: The Mill   # kept too
story: []
"""


def _from_0(text: str) -> str:
    return re.sub(r"(?m)^name:", "title:", text.replace("tapscore: 0", "tapscore: 1"))


STEPS = {0: _from_0, **migrate.MIGRATIONS}


def test_an_older_file_is_migrated_with_its_comments() -> None:
    source = read_text(OLD, STEPS)
    assert source.findings == ()
    assert source.migrated_from == 0
    assert source.story is not None
    assert source.story.title == "The Mill"
    assert source.text == OLD.replace("name:", "title:").replace("tapscore: 0", "tapscore: 2")


def test_an_older_file_without_a_migration_is_a_finding() -> None:
    source = read_text(OLD)
    assert "wrong-value" in [finding.code for finding in source.findings]


def test_a_migration_that_leaves_the_version_is_a_finding_not_a_loop() -> None:
    assert read_text(OLD, dict.fromkeys(STEPS, lambda text: text)).findings


def test_steps_follow_one_another() -> None:
    steps = {1: lambda text: text + "b", 2: lambda text: text + "c"}
    assert bring_up_to_date("a", 1, 3, steps) == "abc"
    with pytest.raises(KeyError):
        bring_up_to_date("a", 0, 3, steps)


def test_there_is_a_way_from_every_version_there_ever_was() -> None:
    assert sorted(migrate.MIGRATIONS) == list(range(1, VERSION))


def test_a_newer_file_keeps_its_text() -> None:
    text = "tapscore: 99\ntitle: T\nsomething: new\n"
    source = read_text(text)
    assert source.story is None
    assert source.text == text
    assert [f.code for f in source.findings] == ["newer-version"]


VERSION_1 = """\
# the old one - with o and - in a note
tapscore: 1   # one
title: To-and-fro
roles: {one-o: , second-o: }
board: {size_cm: [120, 90], spots: {far-o: [10, 10]}}
refrains:
  row-o:
    - {words: row - row o, lane: "o | X - x(far-o, one-o) oo |", metre: 2/4}
story:
  - section: Go-on
    lines:
      - words: go mer-ry--go--home -- on   # - o
        lane: '| X - o - x x x--x(loud) . |'   # o stays, - stays
      - refrain: row-o
      - {words: lane, do: o-o}
    lane: not ours - o
    mine: {lane: "| o - |"}
"""


def test_version_1_has_other_marks_for_said_alone_and_hold() -> None:
    source = read_text(VERSION_1)
    assert source.migrated_from == 1
    assert source.text == (
        VERSION_1.replace("tapscore: 1 ", "tapscore: 2 ")
        .replace("mer-ry--go--home -- on", "mer-ry=go=home -- on")
        .replace('"o | X - x(far-o, one-o) oo |"', '"s | X _ x(far-o, one-o) ss |"')
        .replace("'| X - o - x x x--x(loud) . |'", "'| X _ s _ x x x__x(loud) . |'")
    )
    story = source.story
    assert story is not None
    assert [s.kind.value for s in perform(story).segments] == ["line", "line", "line"]
    first = story.sections[0].items[0]
    assert isinstance(first, Line)
    assert first.lane is not None
    assert [cell.mark for step in first.lane.bars[0] for cell in step] == [
        Mark.SYLLABLE_TAPPED, Mark.HOLD, Mark.SYLLABLE_ALONE, Mark.HOLD, Mark.SYLLABLE_TAPPED,
        Mark.SYLLABLE_TAPPED,
        Mark.SYLLABLE_TAPPED, Mark.HOLD, Mark.HOLD, Mark.SYLLABLE_TAPPED, Mark.REST,
    ]  # fmt: skip


def test_old_marks_in_a_new_file_are_told_with_the_new_ones() -> None:
    text = VERSION_1.replace("tapscore: 1 ", "tapscore: 2 ")
    said = " ".join(f.message for f in read_text(text).findings)
    assert "Did you mean `s`?" in said
    assert "Did you mean `_`?" in said
