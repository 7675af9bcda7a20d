"""Running time: tapping + refrains + waits + turns (common practice, no source)."""

import pytest

from tapscore.model.story import Story
from tapscore.model.wordings import clock
from tapscore.rhythm.perform import perform
from tapscore.rhythm.running_time import around_sec, in_all_sec, length_words, running_time
from tapscore.storyfile.read import read_text


def _eight_lines(sets: int) -> str:
    """Eight lines of 10 s (five bars of 2/4 at 60), each with refrain, wait and offering."""
    lane = "| x . . . | . . . . | . . . . | . . . . | . . . . |"
    lines = (
        f'      - words: a\n        lane: "{lane}"\n      - refrain: home\n      - wait: 10\n'
        "      - offer: beads\n        turn: 30\n"
    )
    return (
        "tapscore: 2\ntitle: T\nmetre: 2/4\ntempo: 60\npupils: 6\n"
        f"props: {{beads: {{sets: {sets}}}}}\nrefrains:\n  home:\n    - words: b\n"
        f'      lane: "{lane}"\nstory:\n  - section: One\n    lines:\n' + lines * 8
    )


@pytest.mark.parametrize(("sets", "minutes"), [(1, 28), (2, 16)])
def test_worked_example(sets: int, minutes: int) -> None:
    """Sum over lines of tapping + refrain + wait + turn x ceil(pupils / prop sets).

    Common practice, no source: eight lines, 10 s each for tapping, refrain and wait, six
    pupils, 30 s turns; one prop set 28 minutes, two sets 16 minutes.
    """
    source = read_text(_eight_lines(sets))
    assert source.findings == ()
    assert source.story is not None
    total = running_time(perform(source.story)).total
    assert total.least_sec == minutes * 60
    assert (total.tapping_sec, total.refrains_sec, total.waits_sec) == (80, 80, 80)
    assert total.turns_sec == 8 * 30 * 6 / sets


def test_a_count_in_is_not_told() -> None:
    story = read_text(_eight_lines(1)).story
    assert story is not None
    with_clicks = running_time(perform(story, count_in_bars=2))
    assert with_clicks == running_time(perform(story))


def test_sections_add_up_even_with_one_name() -> None:
    text = (
        "tapscore: 2\ntitle: T\nmetre: 4/4\ntempo: 60\nstory:\n"
        "  - section: A\n    lines: [{wait: 5}]\n  - section: B\n    lines: [{wait: 7}]\n"
        "  - section: A\n    lines: [{wait: 11}]\n"
    )
    story = read_text(text).story
    assert story is not None
    time = running_time(perform(story))
    assert [(s.title, s.waits_sec) for s in time.sections] == [("A", 5), ("B", 7), ("A", 11)]
    assert time.total.least_sec == 23


@pytest.mark.parametrize(
    ("seconds", "shown"), [(0, "0:00"), (59.5, "1:00"), (60, "1:00"), (125.4, "2:05")]
)
def test_clock(seconds: float, shown: str) -> None:
    assert clock(seconds) == shown


def _length_story(stage: str, *, pupils: int = 5) -> Story:
    """Two lines of 8 s, a refrain of 4 s, waits of 10 and 25 s, an offering of three turns.

    Metre 4/4 at 60; five pupils and two sets: three turns of 12 s.
    """
    bar = " X . . . . . . . |"
    story = read_text(
        f"tapscore: 2\ntitle: T\nmetre: 4/4\ntempo: 60\npupils: {pupils}\n{stage}"
        "props: {cup: {what: cup, sets: 2}}\n"
        f"refrains:\n  home:\n    - {{words: b, lane: '|{bar}'}}\n"
        f"story:\n  - section: One\n    lines:\n      - {{words: a, lane: '|{bar * 2}'}}\n"
        "      - wait: 10\n      - refrain: home\n"
        f"  - section: Two\n    lines:\n      - {{words: a, lane: '|{bar * 2}'}}\n"
        "      - {offer: cup, turn: 12}\n      - wait: 25\n"
    ).story
    assert story is not None
    return story


def test_what_is_likely_to_come_on_top() -> None:
    """By hand from the house's figures: 3 to 15 s before a line, 15 to 45 s to hand a prop over

    for each turn, and an answer to a wait may take a wave of 20 s (Munde 2012)."""
    time = running_time(perform(_length_story("")))
    one, two = time.sections
    assert (one.tapping_sec, one.refrains_sec, one.waits_sec, one.turns_sec) == (8, 4, 10, 0)
    assert (two.tapping_sec, two.refrains_sec, two.waits_sec, two.turns_sec) == (8, 0, 25, 36)
    assert (one.fixed_sec, one.least_sec) == (12, 22)
    # two lines, and the wait up to 20 s
    assert one.longer_sec == (2 * 3, 2 * 15 + 10)
    assert one.likely_sec == (28, 62)
    # a line and three turns; the wait of 25 s is longer than a wave
    assert two.longer_sec == (3 + 3 * 15, 15 + 3 * 45)
    assert (two.least_sec, two.likely_sec) == (69, (117, 219))
    assert (time.total.least_sec, time.total.likely_sec) == (91, (145, 281))
    assert (time.total.tapping_sec, time.total.fixed_sec) == (16, 20)


@pytest.mark.parametrize(
    ("stage", "low_sec", "high_sec"),
    [
        # five minutes for the board; for each of five pupils 1 to 2 minutes, or hoisted 6 to 10
        ("", 300 + 5 * 60, 300 + 5 * 120),
        ("comfort: {stage: on a table}\n", 300 + 5 * 60, 300 + 5 * 120),
        ("comfort: {stage: beside the board}\n", 300 + 5 * 60, 300 + 5 * 120),
        ("comfort: {stage: on the board}\n", 300 + 5 * 375, 300 + 5 * 600),
    ],
)
def test_setting_up_and_coming_down(stage: str, low_sec: int, high_sec: int) -> None:
    story = _length_story(stage)
    performance = perform(story)
    total = running_time(performance).total
    assert around_sec(story) == (low_sec, high_sec)
    assert in_all_sec(story, total) == (145 + low_sec, 281 + high_sec)
    low, high = (145 + low_sec) / 60, (281 + high_sec) / 60
    assert length_words(story, performance) == (
        "1:31 at least, likely 2:25 to 4:41 (minutes:seconds)",
        f"with setting up and coming down {low:.0f} to {high:.0f} minutes in all",
    )
