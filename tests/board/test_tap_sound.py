"""Tap sounds: time, colour, place, loudness."""

from fractions import Fraction
from itertools import pairwise
from types import SimpleNamespace

import numpy as np
import pytest
from attrs import evolve
from numpy.typing import NDArray

from tapscore.board.default_board import SOUNDING_BOARD
from tapscore.board.edges import SIMPLE, all_sides
from tapscore.board.plate import solve
from tapscore.board.pulses import PULSES, RUB_SOUNDS
from tapscore.board.radiation import rayleigh_weights
from tapscore.board.tap_sound import board_tap_sound, fast_length
from tapscore.model.board import Board
from tapscore.model.strokes import Stroke
from tests.board.boards import BIRCH, TWO_PLACES, at

POINT = at(330, 300)


def sound(
    stroke: Stroke,
    level: int = 2,
    *,
    board: Board | None = TWO_PLACES,
    point: tuple[float, float] = (330, 300),
    accent: bool = False,
    length_sec: float = 0.5,
    rate: int = 48_000,
) -> NDArray[np.float32]:
    return board_tap_sound(
        board,
        stroke,
        Fraction(level),
        at(*point),
        accent=accent,
        length_sec=length_sec,
        sample_rate_hz=rate,
    )


def centre_hz(samples: NDArray[np.float32], rate: int = 48_000) -> float:
    power = np.abs(np.fft.rfft(samples)) ** 2
    hz = np.fft.rfftfreq(len(samples), 1 / rate)
    return float((hz * power).sum() / power.sum())


def fall_sec(samples: NDArray[np.float32]) -> float:
    """Until what is left has a thousandth of the energy."""
    left = np.cumsum(np.square(samples[::-1], dtype=float))[::-1]
    return float(np.argmax(left < left[0] / 1000)) / 48_000


@pytest.mark.parametrize("stroke", list(Stroke))
def test_form(stroke: Stroke) -> None:
    for rate in (44_100, 48_000):
        samples = sound(stroke, rate=rate)
        assert samples.dtype == np.float32
        assert np.isfinite(samples).all()
        assert not samples.flags.writeable
        assert len(samples) == round(0.6 * rate)
        assert abs(samples[-1]) < 1e-3 * np.abs(samples).max()


def test_same_sound_is_given_again() -> None:
    assert sound(Stroke.KNUCKLES) is sound(Stroke.KNUCKLES, point=(331, 301))
    assert sound(Stroke.KNUCKLES) is not sound(Stroke.KNUCKLES, point=(700, 301))


@pytest.mark.parametrize("stroke", list(PULSES))
def test_it_begins_with_the_blow(stroke: Stroke) -> None:
    for level in range(5):
        samples = np.square(sound(stroke, level), dtype=float)
        assert samples[: 48 * 25].sum() > 0.2 * samples.sum()
        assert np.argmax(samples) < 48 * 14


@pytest.mark.parametrize("stroke", list(PULSES))
def test_with_pupils_it_is_a_thud(stroke: Stroke) -> None:
    # The board's notes: to -30 dB in 80 to 220 ms with pupils; a bare board rings longer.
    with_pupils = sound(stroke)
    bare = sound(stroke, board=evolve(TWO_PLACES, places=()))
    assert 0.05 < fall_sec(with_pupils) < 0.26
    assert fall_sec(bare) > fall_sec(with_pupils)


@pytest.mark.parametrize("stroke", list(Stroke))
def test_loud_is_brighter_and_not_only_stronger(stroke: Stroke) -> None:
    centres = [centre_hz(sound(stroke, level)) for level in (0, 2, 4)]
    levels = [float(np.square(sound(stroke, level), dtype=float).sum()) for level in range(5)]
    assert centres[2] > 1.15 * centres[0]
    assert centres == sorted(centres)
    assert all(b > 1.3 * a for a, b in pairwise(levels))
    assert centre_hz(sound(stroke, accent=True)) >= centre_hz(sound(stroke)) * 0.98


def test_an_accent_is_two_fifths_of_a_step_louder() -> None:
    accented = sound(Stroke.FINGERTIPS, accent=True)
    louder = board_tap_sound(
        TWO_PLACES, Stroke.FINGERTIPS, Fraction(12, 5), POINT, accent=False, length_sec=0.5
    )
    assert np.array_equal(accented, louder)
    assert np.abs(accented).max() > 1.15 * np.abs(sound(Stroke.FINGERTIPS)).max()


def test_strokes_sound_unlike() -> None:
    centres = {stroke: centre_hz(sound(stroke)) for stroke in Stroke}
    assert centres[Stroke.KNUCKLES] > centres[Stroke.HEEL_OF_HAND]
    assert centres[Stroke.SCRATCH] > centres[Stroke.SWEEP]


def test_position_matters() -> None:
    here, there = (sound(Stroke.KNUCKLES, point=point) for point in ((330, 300), (90, 800)))
    likeness = float(here @ there / np.sqrt((here @ here) * (there @ there)))
    assert likeness < 0.98


def test_rubs_last_as_long_as_the_tap() -> None:
    for stroke in RUB_SOUNDS:
        for length_sec in (0.3, 1.5):
            samples = sound(stroke, length_sec=length_sec)
            assert len(samples) == round((length_sec + 0.1) * 48_000)
            half = np.square(samples[: len(samples) // 2], dtype=float).sum()
            assert 0.3 < half / np.square(samples, dtype=float).sum() < 0.9


def test_default_board_without_a_story() -> None:
    plain = sound(Stroke.FINGERTIPS, board=None)
    assert plain is sound(Stroke.FINGERTIPS, board=SOUNDING_BOARD)
    assert 0.05 < fall_sec(plain) < 0.26


def test_other_sample_rates_are_refused() -> None:
    with pytest.raises(ValueError, match="44100 or 48000"):
        sound(Stroke.FINGERTIPS, rate=22_050)


def test_lowest_mode_radiates_as_a_small_source() -> None:
    # Far below kl = 1 Rayleigh's integral is rho / (2 pi R) times the moved volume; the ear is
    # 0.9 m above and 0.5 m south of the middle of a sheet 20 cm wide.
    from tapscore.board.stiffness import Plate

    small = Plate(0.2, 0.2, 0.4, 0.4, 0.1, 0.15, 2.7)
    modes = solve(small, all_sides(SIMPLE), 60)
    nodes, weights = np.polynomial.legendre.leggauss(30)
    shape = modes.grid((nodes + 1) * 0.1, (nodes + 1) * 0.1)[0]
    volume = float(np.einsum("yx,y,x->", shape, weights, weights)) * 0.01
    wanted = 1.2 * volume / (2 * np.pi * np.hypot(0.9, 0.5))
    assert abs(rayleigh_weights(modes)[0]) == pytest.approx(abs(wanted), rel=0.01)


def test_a_mode_as_long_as_sound_in_air_radiates_as_rayleigh_s_integral_says() -> None:
    """By Gauss-Legendre nodes instead of equal cells, with the phase each point arrives in."""
    modes = solve(BIRCH, all_sides(SIMPLE), 600)
    nodes, parts = np.polynomial.legendre.leggauss(60)
    x, y = (nodes + 1) * BIRCH.width_m / 2, (nodes + 1) * BIRCH.depth_m / 2
    areas = np.outer(parts, parts) * BIRCH.width_m * BIRCH.depth_m / 4
    south = y[:, None] - BIRCH.depth_m / 2 + 0.5
    away = np.sqrt(0.9**2 + south**2 + (x[None, :] - BIRCH.width_m / 2) ** 2)
    k = 2 * np.pi * modes.hz[:, None, None] / 343
    arriving = modes.grid(x, y) * np.exp(-1j * k * away) / away * areas
    wanted = np.abs(arriving.sum(axis=(1, 2))) * 1.2 / (2 * np.pi)
    found = np.abs(rayleigh_weights(modes))
    assert modes.hz.max() > 300
    assert found == pytest.approx(wanted, rel=0.02, abs=0.002 * wanted.max())


def test_blows_are_shorter_and_the_skin_meets_the_wood_more_the_louder() -> None:
    for pulse in PULSES.values():
        for softest, loudest in (pulse.contact_ms, pulse.push_ms):
            assert softest > loudest > 0
        assert 0 < pulse.contact_share[0] < pulse.contact_share[1] < 1
        assert pulse.parts[0] == (0, 1), "the first contact is the largest"
        for (early, large), (late, small) in pairwise(pulse.parts):
            assert early < late
            assert large > small > 0


def test_a_tap_is_heard_from_the_middle_of_the_cell_it_is_in(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Not from its edge; and the highest eighth fades over to the prompt sound."""
    from tapscore.board import tap_sound
    from tapscore.board.kept_modes import GRID

    asked: list[tuple[float, float]] = []

    class Listening:
        modes, lines, prompt_pa_per_n = SimpleNamespace(plate=BIRCH), 2000, 5.0

        def hears(self, x_m: float, y_m: float) -> NDArray[np.complex64]:
            asked.append((x_m, y_m))
            return np.full(2000, 1.0, np.complex64)

    monkeypatch.setattr(tap_sound, "_ear", lambda _: Listening())
    heard = tap_sound._spectrum((None, None, None), (3, 10), 8000)  # type: ignore[arg-type]
    wide, deep = BIRCH.width_m / GRID, BIRCH.depth_m / GRID
    assert asked[0] == pytest.approx((3.5 * wide, 10.5 * deep))
    assert len(heard) == 4001
    assert set(heard[:1700]) == {1}
    assert set(heard[2000:]) == {5}
    fade = np.abs(heard[1730:2000])
    assert (np.diff(fade) >= 0).all()
    assert abs(heard[1869]) == pytest.approx(3, abs=0.01), "half of each in the middle"


def test_prompt_sound_joins_the_modes() -> None:
    # In the mean over points, modes below 2 kHz and the point force above are about as strong.
    from tapscore.board.radiation import ear

    listening = ear(BIRCH, all_sides(SIMPLE), ())
    rng = np.random.default_rng(1)
    power = np.mean(
        [np.abs(listening.hears(*rng.uniform(0.1, 1.1, 2))[1200:1700]) ** 2 for _ in range(24)]
    )
    assert 0.1 < listening.prompt_pa_per_n / np.sqrt(power) < 3


def test_fast_lengths_are_those_of_the_reference_library() -> None:
    from scipy.fft import next_fast_len  # type: ignore[import-untyped]

    for count in (*range(1, 2000), 54_321, 79_190, 345_601):
        assert fast_length(count) == next_fast_len(count, real=True)
