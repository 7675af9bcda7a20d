"""The three rules of metre, counted by hand, and what happens when a rule breaks."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from attrs import evolve

from tapscore.checks.registry import RULES, check
from tapscore.checks.rule import Found, Scene, found
from tapscore.model.finding import Finding, Severity
from tapscore.resources import demo_stories
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_file, read_text


def _findings(text: str) -> tuple[Finding, ...]:
    source = read_text(text)
    assert source.findings == ()
    assert source.story is not None
    return check(Scene(source.story, perform(source.story)))


def test_a_rule_that_breaks_is_a_finding_and_the_others_go_on() -> None:
    def broken(scene: Scene) -> Iterator[Found]:
        yield found(("title",), case="before it breaks")
        raise ZeroDivisionError("by nought")

    bad = RULES[0].bad
    story = read_text(bad).story
    assert story is not None
    findings = check(Scene(story, perform(story)), (evolve(RULES[0], find=broken), *RULES))
    broke = [finding for finding in findings if finding.code == "rule-broke"]
    assert len(broke) == 1
    assert broke[0].severity is Severity.LOOK_AGAIN
    assert RULES[0].title in broke[0].message
    assert "ZeroDivisionError: by nought" in broke[0].message
    assert [f.code for f in findings if f.code != "rule-broke"][-1] == RULES[0].id


@pytest.mark.parametrize("path", demo_stories(), ids=lambda path: path.stem)
def test_demo_stories_need_no_mending(path: Path) -> None:
    source = read_file(path)
    assert source.story is not None
    found = check(Scene(source.story, perform(source.story)))
    assert [f for f in (*source.findings, *found) if f.must_mend] == []


def _lines(*lanes: str) -> str:
    count = [sum(c in "xXo" for c in lane) for lane in lanes]
    items = "".join(
        f'      - words: {" ".join("la" for _ in range(n)) or "–"}\n        lane: "{lane}"\n'
        for n, lane in zip(count, lanes, strict=True)
    )
    return f"tapscore: 2\ntitle: T\nmetre: 6/8\nstory:\n  - section: One\n    lines:\n{items}"


def _of(text: str, rule_id: str) -> list[str]:
    return [f.message for f in _findings(text) if f.code == rule_id]


def test_bars_full_counts_steps() -> None:
    for lane, steps in (("| X . x . x | X . x X . x |", 5), ("| X . x X . x x | X . x |", 7)):
        (message,) = _of(_lines(lane), "bars-full")
        assert f"{steps} steps" in message
        assert "bar 1" in message.casefold()
        assert "a bar of 6/8 has 6" in message
    assert "pickup" in _of(_lines("x x x x x x | X . x X . x |"), "bars-full")[0]
    assert _of(_lines("| X . x X . x | X . |"), "bars-full") == []


def test_pickup_joins_the_bar_before() -> None:
    assert _of(_lines("| X . x X . |", "x | X . x X . x |"), "pickup-joins") == []
    (message,) = _of(_lines("| X . x X . x |", "x | X . x X . x |"), "pickup-joins")
    assert "lacks nothing" in message
    assert "brings 1 step" in message


def test_accent_between_beats() -> None:
    (message,) = _of(_lines("| x . X . . . |"), "accent-on-beat")
    assert "“la”" in message
    assert "bar 1" in message
    (message,) = _of(_lines("| . . . . . |", "T | x . . . . . |"), "accent-on-beat")
    assert "in the pickup" in message


def test_a_refrain_is_reported_once_however_often_it_returns() -> None:
    text = (
        "tapscore: 2\ntitle: T\nmetre: 6/8\nrefrains:\n  home:\n    - words: la\n"
        '      lane: "| . X . . . . |"\nstory:\n  - section: One\n    lines:\n'
        "      - refrain: home\n      - refrain: home\n"
    )
    assert len(_of(text, "accent-on-beat")) == 1
