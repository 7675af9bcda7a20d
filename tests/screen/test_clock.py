from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from tapscore.screen.clock import FREEST_SEC, MonotonicClock, SmoothPosition


def test_the_computers_clock_does_not_go_back() -> None:
    clock = MonotonicClock()
    times = [clock.now_sec() for _ in range(100)]
    assert times == sorted(times)


def test_between_two_answers_it_counts_on() -> None:
    """A device that answers every 21 ms, as measured with Qt's sink, looked at every 16 ms."""
    smooth = SmoothPosition()
    at = [(n * 0.016, smooth.at(n * 0.016, int(n * 0.016 / 0.021) * 0.021)) for n in range(400)]
    settled = at[100:]
    steps = [b[1] - a[1] for a, b in pairwise(settled)]
    assert max(abs(step - 0.016) for step in steps) < 0.003
    assert all(abs(now - position) < 0.022 for now, position in settled)


def test_it_stands_while_the_device_stands() -> None:
    smooth = SmoothPosition()
    for n in range(50):
        smooth.at(n * 0.02, n * 0.02)
    assert smooth.at(60.0, 0.98) <= 0.98 + FREEST_SEC


def test_a_first_answer_before_the_real_beginning_moves_nothing() -> None:
    smooth = SmoothPosition()
    assert [smooth.at(n * 0.1, 0.016) for n in range(5)] == [0.016] * 5


@given(st.lists(st.tuples(st.floats(0, 0.2), st.floats(0, 0.2)), max_size=60))
def test_it_never_goes_back_nor_far_ahead(steps: list[tuple[float, float]]) -> None:
    smooth = SmoothPosition()
    now = heard = last = 0.0
    for passed, played in steps:
        now += passed
        heard += played
        position = smooth.at(now, heard)
        assert position >= last
        assert position <= max(heard + FREEST_SEC, last) + 1e-9
        last = position
