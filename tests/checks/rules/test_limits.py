"""Where rules begin to fire, worked out by hand from the figures they name."""

import re

import pytest

from tapscore.checks.all_rules import ALL_RULES, mended
from tapscore.checks.registry import check
from tapscore.checks.rule import Scene
from tapscore.checks.shape.start_and_finish import FINISH
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Line
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text


def _found(text: str, rule_id: str) -> list[Finding]:
    read = read_text(text)
    assert read.findings == ()
    assert read.story is not None
    scene = Scene(read.story, perform(read.story))
    return [finding for finding in check(scene) if finding.code == rule_id]


def _line(lane: str, tempo: str, extra: str = "", words: str = '""') -> str:
    return (
        f"tapscore: 2\ntitle: T\nmetre: 4/4\ntempo: {tempo}\n{extra}story:\n  - section: One\n"
        f'    lines:\n      - words: {words}\n        lane: "{lane}"\n'
    )


@pytest.mark.parametrize(
    ("tempo", "fires"),
    [("100", False), ("101", True), ("110", True), ("20 to 100", False), ("60 to 110", True)],
)
def test_hands_reach_their_limit_at_150_ms(tempo: str, fires: bool) -> None:
    """Quarters of a beat: at 100 beats a minute 600 / 4 = 150 ms, at 101 148.5 ms.

    In a ramp the taps stand at its end, in the last beat.
    """
    lane = "| . . . . . . tt tt |"
    assert bool(_found(_line(lane, tempo), "hands-can-keep-up")) == fires


def test_two_adults_may_share_what_one_cannot() -> None:
    lane = "| t(leader) t(drum) t(leader) t(drum) . . . . |"
    roles = "roles: {leader: , drum: }\n"
    fast = "240"  # half a beat is 125 ms, a whole one 250
    assert _found(_line(lane, fast, roles), "hands-can-keep-up") == []
    alone = lane.replace("drum", "leader")
    (finding,) = _found(_line(alone, fast, roles), "hands-can-keep-up")
    assert "the leader" in finding.message
    assert "125 milliseconds" in finding.message


@pytest.mark.parametrize(
    ("tempo", "fires"), [("40", False), ("39", True), ("150", False), ("151", True)]
)
def test_beats_last_between_400_and_1500_ms(tempo: str, fires: bool) -> None:
    """60 / 40 = 1.5 s and 60 / 150 = 0.4 s (Repp 2006, with margins)."""
    assert bool(_found(_line("| t . t . t . t . |", tempo), "beat-easy-to-follow")) == fires


@pytest.mark.parametrize(("tempo", "fires"), [("120", False), ("121", True)])
def test_four_syllables_a_second(tempo: str, fires: bool) -> None:
    """Half beats at 120 are 0.25 s: four of them take just a second."""
    text = _line("| x x x x x x x x |", tempo, words="a a a a a a a a")
    assert bool(_found(text, "words-unhurried")) == fires


@pytest.mark.parametrize(("x", "fires"), [("75", False), ("75.1", True)])
def test_reach_is_75_cm(x: str, fires: bool) -> None:
    board = (
        f"board: {{size_cm: [200, 90], spots: {{s: [{x}, 0]}}, seats: {{w: [0, 0]}}}}\n"
        "roles: {leader: {seat: w}}\nspot: s\n"
    )
    assert bool(_found(_line("| t . . . . . . . |", "60", board), "spots-in-reach")) == fires


@pytest.mark.parametrize(
    ("at", "rest", "says"),
    [
        # Five years old: 109.2 cm long, head 17.9, shoulders 26.8, hips 19.6 (their halves).
        ("85, 45", "lying: true, head: west", "0 cm from the head"),  # the head is at 39, 45
        ("86, 63", "lying: true, head: west", "9 cm from the head"),  # 40, 63: 18 - 9
        ("86, 69.1", "lying: true, head: west", ""),  # 24.1 - 8.95 cm
        ("60, 56.5", "lying: true, head: east", "just where"),  # the legs: 11.5 - 9.8
        ("60, 57", "lying: true, head: east", ""),
        ("53, 45", "lying: false", "just where"),  # 13 cm: 13.4
        ("54, 45", "lying: false", "just where"),  # 14 cm: 13.4 + 2
        ("56, 45", "lying: false", ""),
    ],
)
def test_clear_of_heads_and_bodies(at: str, rest: str, says: str) -> None:
    """The spot is at 40, 45: 15 cm from a head's edge, 2 cm from the rest of a body."""
    board = (
        "board: {size_cm: [120, 90], spots: {s: [40, 45]},\n"
        f"  places: {{A: {{at: [{at}], {rest}}}}}}}\nspot: s\n"
    )
    found = _found(_line("| t . . . . . . . |", "60", board), "clear-of-pupils")
    assert bool(found) == bool(says)
    assert all(says in finding.message for finding in found)


def _two(first: str, second: str, between: str = "", comfort: str = "") -> str:
    return (
        f"tapscore: 2\ntitle: T\nmetre: 4/4\n{comfort}story:\n  - section: One\n    lines:\n"
        f'      - words: ""\n        lane: "| t . . . t . . . |"\n        loudness: {first}\n'
        f"{between}"
        f'      - words: ""\n        lane: "| t . . . t . . . |"\n        loudness: {second}\n'
    )


_WAIT = "      - wait: 10\n        look for: a look\n"


@pytest.mark.parametrize(
    ("first", "second", "between", "fires"),
    [
        ("quiet", "medium", "", False),
        ("quiet", "loud", "", True),
        ("medium", "loud", "", False),
        ("quiet to medium", "loud", "", False),
        ("medium to quiet", "loud", "", True),
        ("medium", "loud", _WAIT, True),  # silence comes between
        ("loud", "medium", _WAIT, False),
        ("very loud", "quiet", "", False),
    ],
)
def test_more_than_a_step_louder_needs_a_warning(
    first: str, second: str, between: str, fires: bool
) -> None:
    found = _found(_two(first, second, between), "warn-before-loud")
    assert ("Line 2" in "".join(f.message for f in found)) == fires


def test_comfort_changes_what_rules_say() -> None:
    louder = _two("quiet", "loud")
    (usual,) = _found(louder, "warn-before-loud")
    assert usual.severity is Severity.LOOK_AGAIN
    (table,) = _found(
        _two("quiet", "loud", comfort="comfort: {stage: on a table}\n"), "warn-before-loud"
    )
    assert table.severity is Severity.ADVICE
    (board,) = _found(
        _two("quiet", "loud", comfort="comfort: {stage: on the board}\n"), "warn-before-loud"
    )
    assert board.severity is Severity.LOOK_AGAIN
    assert "whole body" in board.remedy
    wide = "comfort: {largest jump: 2}\n"
    assert _found(_two("quiet", "loud", comfort=wide), "warn-before-loud") == []
    gentle = "comfort: {introduce gently: true}\n"
    (ceiling,) = _found(_two("quiet", "loud", comfort=gentle), "under-the-ceiling")
    assert "a gentle introduction: medium" in ceiling.message


@pytest.mark.parametrize(
    ("least", "wait", "fires"), [("", "10", False), ("", "9.9", True), ("12", "10", True)]
)
def test_least_wait(least: str, wait: str, fires: bool) -> None:
    """Johnson & Parker (2013): 10 s of 5, 10 and 15; the teacher's own least wins."""
    comfort = f"comfort: {{least wait: {least}}}\n" if least else ""
    between = f"      - wait: {wait}\n        look for: a look\n"
    text = _two("quiet", "quiet", between, comfort)
    assert bool(_found(text, "waits-long-enough")) == fires


def test_what_is_mended_does_not_hang_on_names() -> None:
    """Props and refrains whose names read like parts of sentences, as no words are read back."""
    name = "without a cue that it begins"
    lines = "".join(
        f'      - words: {word}\n        lane: "| x . . . . . . . |"\n{more}'
        for word, more in (
            ("One", "        prop in: [a, “a” comes]\n"),
            *((word, "") for word in ("Two", "Three", "Four", "Five")),
        )
    )
    text = (
        "tapscore: 2\ntitle: T\nmetre: 4/4\nprops: {a: {what: x}, “a” comes: {what: y}}\n"
        f"refrains: {{{name}: [{{words: Again}}]}}\nstory:\n  - section: One\n    lines:\n"
        f"      - refrain: {name}\n{lines}"
    )
    story = read_text(text).story
    assert story is not None
    for finding in _found(text, "props-leave"):
        new = mended(story, finding)
        assert new is not None
        last = new.sections[0].items[-1]
        assert isinstance(last, Line)
        assert last.props_out == (finding.about["prop"],)
    (finish,) = _found(text, "start-and-finish")
    new = mended(story, finish)
    assert new is not None
    last = new.sections[0].items[-1]
    assert isinstance(last, Line)
    assert last.do == FINISH


@pytest.mark.parametrize(("pupils", "fires"), [(6, False), (7, True)])
def test_three_minutes_of_turns(pupils: int, fires: bool) -> None:
    """Six turns of 30 s are 3 minutes."""
    text = (
        f"tapscore: 2\ntitle: T\npupils: {pupils}\nprops: {{bell: {{what: a bell}}}}\nstory:\n"
        "  - section: One\n    lines:\n      - offer: bell\n        look for: a look\n"
    )
    found = _found(text, "enough-sets")
    assert bool(found) == fires
    if found:
        assert "3.5 minutes" in found[0].message
        assert "2 sets" in found[0].remedy


FIGURES = {
    "one-breath": "12 24",
    "words-unhurried": "183 2019 4",
    "hands-can-keep-up": "2006 100 125 150",
    "hand-has-time-to-move": "150",
    "spots-in-reach": "65 10",
    "hands-clear-of-pupils": "9",
    "way-out-clear": "90 45",
    "work-shared": "80 100",
    "loud-not-long": "15",
    "clear-of-pupils": "15 2 1977",
    "bodies-apart": "5",
    "room-for-all": "5",
    "few-things-at-once": "3 2",
    "waits-are-there": "2013 5 10 15 0 1",
    "waits-long-enough": "2013 5 10 15 0 1 2012 20 60",
    "not-too-many-lines": "6 12 10 20 2015 2016",
    "props-set-down-clear": "8 1977",
    "enough-sets": "3",
    "felt-jump": "10",
    "felt-weak": "15",
    "felt-left-out": "15",
    "clear-of-floor": "18.5",
}


@pytest.mark.parametrize("code", FIGURES)
def test_the_figures_that_a_rule_says_it_goes_by(code: str) -> None:
    """A second time by hand: what is read of a rule is what it does, in the units it is read in."""
    (rule,) = (rule for rule in ALL_RULES if rule.id == code)
    assert re.findall(r"\d+(?:\.\d+)?", str(rule.source)) == FIGURES[code].split()
