"""Running time: tapping + refrains + waits + turns (common practice, no source)."""

import pytest

from tapscore.model.wordings import clock
from tapscore.rhythm.perform import perform
from tapscore.rhythm.running_time import running_time
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
