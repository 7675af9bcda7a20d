"""Rules about what is felt: their examples, when they run, and what they say."""

import subprocess
import sys
from math import log10

import pytest
from hypothesis import given, settings

from tapscore.board.facade import BoardTap, felt_levels
from tapscore.board.words import USUAL_JUMP_DB, USUAL_WEAK_DB
from tapscore.checks.accepting import accept
from tapscore.checks.all_rules import ALL_RULES, FELT_RULES
from tapscore.checks.examples import TAPS, on_board
from tapscore.checks.felt.felt_left_out import left_out
from tapscore.checks.felt.levels import felt_story
from tapscore.checks.registry import RULES, check, check_story
from tapscore.checks.rule import Rule, Scene
from tapscore.model.finding import Finding
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text
from tests.strategies import stories

each_rule = pytest.mark.parametrize("rule", FELT_RULES, ids=lambda rule: rule.id)


def _story(text: str) -> Story:
    read = read_text(text)
    assert read.findings == ()
    assert read.story is not None
    return read.story


def _scene(text: str) -> Scene:
    story = _story(text)
    return Scene(story, perform(story))


def _found(text: str) -> tuple[Finding, ...]:
    return check(_scene(text), ALL_RULES)


@each_rule
def test_bad_example_is_found_by_its_rule_alone(rule: Rule) -> None:
    found = _found(rule.bad)
    assert {finding.code for finding in found} == {rule.id}
    for finding in found:
        assert finding.message.endswith(".")
        assert finding.remedy.endswith(".")
    read = read_text(rule.bad)
    assert all(finding.span is not None for finding in read.placed(found))


@each_rule
def test_good_example_is_clean(rule: Rule) -> None:
    assert _found(rule.good) == ()


def test_they_are_no_part_of_the_usual_check() -> None:
    assert not set(FELT_RULES) & set(RULES)
    assert check(_scene(FELT_RULES[0].bad)) == ()
    assert len({rule.id for rule in ALL_RULES}) == len(ALL_RULES)


@pytest.mark.parametrize("places", ["", "  places: {A: {at: [60, 20]}}\n"])
def test_numpy_is_loaded_only_for_a_board_with_places(places: str) -> None:
    """In a process of its own, as the tests themselves load numpy."""
    code = (
        "import sys\n"
        "from tapscore.storyfile.read import read_text\n"
        "from tapscore.workflow.open_story import checked\n"
        f"text = {on_board(TAPS, places='')!r}.replace('  places: {{}}\\n', {places!r})\n"
        "source = read_text(text)\n"
        "assert source.story is not None\n"
        "checked(source)\n"
        "print('numpy' in sys.modules)\n"
        "checked(source, felt=True)\n"
        "print('numpy' in sys.modules)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", str(bool(places))]


def test_a_warning_and_a_louder_mark_are_enough() -> None:
    (jump,) = [rule for rule in FELT_RULES if rule.id == "felt-jump"]
    warned = jump.bad.rstrip("\n") + "\n        warn first: ready?\n"
    assert "felt-jump" not in {finding.code for finding in _found(warned)}
    louder = jump.bad.rstrip("\n") + "\n        loudness: very loud\n"
    assert {finding.code for finding in _found(louder)} == {"warn-before-loud"}


def test_beside_the_board_nothing_is_felt() -> None:
    for rule in FELT_RULES:
        beside = rule.bad.replace("metre:", "comfort: {stage: beside the board}\nmetre:", 1)
        assert not {f.code for f in _found(beside)} & {each.id for each in FELT_RULES}


def test_levels_are_those_of_the_facade() -> None:
    scene = _scene(on_board(TAPS, places="A: {at: [60, 20]}, B: {at: [8, 82]}"))
    found = felt_story(scene)
    assert found is not None
    taps = scene.performance.taps
    board = scene.story.board
    assert board is not None
    at = board.spot("middle")
    assert at is not None
    levels = felt_levels(board, [BoardTap(at, tap.stroke, tap.level, tap.accent) for tap in taps])
    mine = [touch.level_db for line in found.lines for touch in line.touches]
    assert mine == [pytest.approx(row) for row in levels.level_db]
    assert felt_story(scene) is found


def test_two_adults_at_once_are_felt_as_their_energies_together() -> None:
    """Twice the energy is 3.01 dB, by the definition of the decibel."""
    alone = on_board(TAPS, places="A: {at: [60, 20]}")
    both = alone.replace("loudness:", "roles: {one: {}, two: {}}\nby: [one, two]\nloudness:", 1)
    one, two = (felt_story(_scene(text)) for text in (alone, both))
    assert one is not None
    assert two is not None
    for first, second in zip(one.lines[0].touches, two.lines[0].touches, strict=True):
        assert second.level_db[0] - first.level_db[0] == pytest.approx(3.0103, abs=1e-3)


def test_a_place_left_out_is_left_out_by_the_levels() -> None:
    (rule,) = [rule for rule in FELT_RULES if rule.id == "felt-left-out"]
    story = felt_story(_scene(rule.bad))
    assert story is not None
    assert list(left_out(story)) == [("One", ("A",))]
    most = max(touch.level_db[0] for line in story.lines for touch in line.touches)
    assert most <= USUAL_WEAK_DB
    assert USUAL_JUMP_DB == 10


def test_what_is_accepted_is_not_shown_and_the_usual_check_knows_it() -> None:
    (rule,) = [rule for rule in FELT_RULES if rule.id == "grain-known"]
    scene = _scene(rule.bad)
    (finding,) = check(scene, ALL_RULES)
    story = accept(scene.story, finding, "measured tomorrow")
    done = check_story(Scene(story, perform(story)), ALL_RULES)
    assert done.findings == ()
    assert [each.why for each in done.accepted] == ["measured tomorrow"]
    assert check(Scene(story, perform(story))) == ()


@given(stories)
@settings(max_examples=25)
def test_random_stories_never_break_a_rule(story: Story) -> None:
    for finding in check(Scene(story, perform(story)), FELT_RULES):
        assert finding.code != "rule-broke", finding.message


def test_a_sweep_is_felt_as_long_as_it_lasts_to_a_second() -> None:
    """Half a second, a second and two: as much energy twice over is 3 dB, beyond a second none."""
    lanes = ("| x . . . . . . . |", "| x _ . . . . . . |", "| x _ _ _ . . . . |")
    lines = "".join(f"      - {{words: Swish, lane: '{lane}'}}\n" for lane in lanes)
    told = felt_story(
        _scene(
            "tapscore: 2\ntitle: T\nmetre: 4/4\ntempo: 60\nstroke: sweep\nspot: s\n"
            "board: {size_cm: [120, 90], spots: {s: [30, 30]}, places: {A: {at: [80, 50]}}}\n"
            f"story:\n  - section: One\n    lines:\n{lines}"
        )
    )
    assert told is not None
    short, longer, longest = (line.touches[0].level_db[0] for line in told.lines)
    assert longer - short == pytest.approx(10 * log10(2), abs=0.01)
    assert longest == pytest.approx(longer)
