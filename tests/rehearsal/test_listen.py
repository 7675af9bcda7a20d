"""Simulated rehearsals found again: boards that no detector was trained on, and no other story."""

import numpy as np
import pytest

from tapscore.rehearsal.listen import listen
from tapscore.rehearsal.told import ToldRehearsal
from tests.rehearsal.rehearsals import Rehearsed, levels, rehearsed
from tests.rehearsal.simulated.others import music, silence, talk_alone


def _right(heard: Rehearsed, told: ToldRehearsal) -> tuple[int, int, int]:
    """Lines within 0.2 s, sure lines, and sure lines that are not."""
    true = {line.segment: line for line in heard.telling.lines}
    right = sure = wrong = 0
    for line in told.lines:
        off = (
            abs(float(np.median(line.taps_sec - np.array(true[line.segment].taps_sec))))
            if line.found
            else 9.0
        )
        right += off < 0.2
        sure += line.sure
        wrong += line.sure and off >= 0.2
    return right, sure, wrong


@pytest.mark.parametrize(
    ("name", "level", "least_right", "least_sure"),
    [
        ("the-rainy-walk", "L0", 11, 10),
        ("the-lantern-boat", "L1", 14, 12),
        ("the-bread-van", "L2", 13, 7),
        ("the-rainy-walk", "L3", 9, 5),
    ],
)
def test_lines_are_found_on_a_board_that_was_left_out_of_training(
    name: str, level: str, least_right: int, least_sure: int
) -> None:
    heard = rehearsed(name, level, 7)
    right, sure, wrong = _right(heard, heard.told())
    assert right >= least_right
    assert sure >= least_sure
    assert wrong == 0


def test_tempos_of_sure_lines_are_those_that_were_told() -> None:
    heard = rehearsed("the-rainy-walk", "L0", 7)
    true = {line.segment: line.ratio for line in heard.telling.lines}
    for line in heard.told().lines:
        if line.sure:
            assert line.ratio == pytest.approx(true[line.segment], rel=0.015)


def test_whether_words_are_spoken_is_heard() -> None:
    assert not rehearsed("the-rainy-walk", "L0", 7).told().words_spoken
    assert rehearsed("the-rainy-walk", "L3", 7).told().words_spoken


def test_what_is_not_this_story_cannot_be_told() -> None:
    walk, boat = rehearsed("the-rainy-walk", "L0", 7), rehearsed("the-lantern-boat", "L1", 7)
    assert not listen(levels(walk.sound), boat.lines).can_tell
    assert not listen(levels(boat.sound), walk.lines).can_tell
    for sound in (music(3), silence(3), talk_alone(walk.performance, 3), np.zeros(80_000)):
        told = listen(levels(sound), walk.lines)
        assert not told.can_tell
        assert sum(line.sure for line in told.lines) <= 2


def test_progress_goes_on_and_may_end_the_work() -> None:
    heard = rehearsed("the-rainy-walk", "L0", 7)
    shares: list[float] = []
    listen(levels(heard.sound), heard.lines, going=shares.append)
    assert shares == sorted(shares)
    assert shares[-1] > 0.9

    def stop(_: float) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        listen(levels(heard.sound), heard.lines, going=stop)
