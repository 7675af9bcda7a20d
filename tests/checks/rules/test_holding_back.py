"""What only follows from a broken line isn't said, nor the same thing twice in one line."""

from pathlib import Path

from tapscore.checks.holding_back import one_of_a_kind
from tapscore.model.finding import Finding, Severity
from tapscore.wording.about import About
from tapscore.workflow.open_story import open_story

WHOLE = """\
tapscore: 2
title: T
metre: 6/8
props: {bell: {what: a bell, instead: a cup}}
story:
  - section: One
    lines:
      - words: Row the lan-tern
        lane: "| X . x X . x |"
        %s
      - words: row the lan-tern
        lane: "| X . x X . x |"
        prop out: bell
"""


def _codes(tmp_path: Path, text: str) -> list[str]:
    path = tmp_path / "story.yaml"
    path.write_text(text, encoding="utf-8")
    return [finding.code for finding in open_story(path).findings]


def test_what_follows_from_a_line_that_cannot_be_read_is_held_back(tmp_path: Path) -> None:
    whole = WHOLE % "prop in: bell"
    assert _codes(tmp_path, whole) == []
    broken = whole.replace("words: Row the lan-tern", "[words, Row]", 1)
    assert "props-come-first" in _codes(tmp_path, whole.replace("prop in: bell", "do: look"))
    assert all(not code.startswith("props-") for code in _codes(tmp_path, broken))
    assert _codes(tmp_path, broken)


def test_a_broken_lane_is_all_that_is_said_of_its_line(tmp_path: Path) -> None:
    text = (WHOLE % "prop in: bell").replace('"| X . x X . x |"', '"| X ? x ! X . x |"', 1)
    assert _codes(tmp_path, text) == ["lane"]


def test_one_of_a_kind_in_a_line_counted_but_every_hazard() -> None:
    def found(index: int, **about: str) -> Finding:
        path = ("story", 0, "lines", index, "lane")
        return Finding("lane", Severity.MUST_MEND, path, about=About(case="bracket", **about))

    kept = one_of_a_kind((found(0), found(0), found(1), found(0)))
    assert [finding.path[3] for finding in kept] == [0, 1]
    assert kept[0].message.endswith("There are 2 more of this kind in the line.")
    assert "more of this kind" not in kept[1].message
    assert len(one_of_a_kind((found(0, caution="heat"), found(0, caution="foam")))) == 2


def test_what_is_general_is_said_once() -> None:
    def loud(index: int) -> Finding:
        about = About(line=None, level=3, earlier=None, stage="on the board")
        return Finding(
            "warn-before-loud", Severity.LOOK_AGAIN, ("story", 0, "lines", index), about=about
        )

    first, second = one_of_a_kind((loud(0), loud(1)))
    assert "whole body" in first.remedy
    assert "whole body" not in second.remedy
