"""Strokes: Hertz's contact, momentum, and the moving board."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.board.bands import band_hz
from tapscore.board.edges import SIMPLE, all_sides
from tapscore.board.hands import ACCENT_STEPS, HANDS, RUBS, STEP_DB
from tapscore.board.plate import solve
from tapscore.board.pulses import LOUDEST
from tapscore.board.stiffness import Plate
from tapscore.board.strokes import band_energy, energy_spectrum, rigid, rub_spectrum, struck
from tapscore.exports.audio import tap_gain
from tapscore.model.strokes import Stroke
from tests.board.boards import BIRCH

MODES = solve(BIRCH, all_sides(SIMPLE), 1000)
MIDDLE = np.array([0.6])
hands = st.sampled_from(list(HANDS))


@pytest.mark.parametrize(
    ("stroke", "peak_n", "contact_ms"),
    [
        (Stroke.FINGERTIPS, 1.6, 7.8),
        (Stroke.FLAT_HAND, 24, 18),
        (Stroke.KNUCKLES, 39, 2.8),
        (Stroke.HEEL_OF_HAND, 49, 18),
    ],
)
def test_on_something_rigid(stroke: Stroke, peak_n: float, contact_ms: float) -> None:
    # The board's notes; key-tapping is 1.1 to 2.9 N (AIHAJ 57, 1996, from memory).
    contact = rigid(HANDS[stroke], 2)
    assert contact.peak_n[0] == pytest.approx(peak_n, rel=0.06)
    assert contact.contact_sec[0] * 1000 == pytest.approx(contact_ms, rel=0.03)


@pytest.mark.parametrize("stroke", list(HANDS))
def test_hertz_without_damping(stroke: Stroke) -> None:
    # Hertz: F = 1.25 m v^2 / depth, t = 2.94 depth / v; damping takes little off the peak.
    hand = HANDS[stroke]
    depth = hand.contact_sec * hand.speed_m_s / 2.94
    undamped = 1.25 * hand.mass_kg * hand.speed_m_s**2 / depth
    assert 0.9 * undamped < rigid(hand, 2).peak_n[0] < undamped


@settings(max_examples=20)
@given(hands, st.floats(0, 4), st.floats(0.05, 1.15), st.floats(0.05, 1.15))
def test_momentum_is_kept(stroke: Stroke, loudness: float, x: float, y: float) -> None:
    # Newton: the push on the board is what the hand loses.
    hand = HANDS[stroke]
    contact = struck(MODES, stroke, loudness, np.array([x]), np.array([y]))
    touching = np.flatnonzero(contact.force_n[0])
    after = contact.hand_m_s[0, min(touching[-1], hand.steps - 3)]
    lost = hand.mass_kg * (hand.speed_at(loudness) - after)
    assert contact.force_n.sum() * hand.step_sec == pytest.approx(lost, rel=0.03)


@settings(max_examples=20)
@given(hands, st.floats(0, 4), st.floats(0.05, 1.15), st.floats(0.05, 1.15))
def test_no_energy_is_made(stroke: Stroke, loudness: float, x: float, y: float) -> None:
    hand = HANDS[stroke]
    contact = struck(MODES, stroke, loudness, np.array([x]), np.array([y]))
    into_board = (contact.force_n * contact.board_m_s).sum() * hand.step_sec
    assert -1e-9 <= into_board <= 0.5 * hand.mass_kg * hand.speed_at(loudness) ** 2


@pytest.mark.parametrize("stroke", list(HANDS))
def test_the_board_gives_way(stroke: Stroke) -> None:
    # Lowest forces in the middle by this model when it was made, no outside source: nobody has
    # published a hand's force on plywood (typing: 1.1 to 2.9 N, AIHAJ 57, 1996, from memory).
    on_board = struck(MODES, stroke, 2, MIDDLE, MIDDLE).peak_n[0]
    on_edge = struck(MODES, stroke, 2, np.array([0.02]), np.array([0.02])).peak_n[0]
    on_table = rigid(HANDS[stroke], 2).peak_n[0]
    lowest = {
        Stroke.FINGERTIPS: 1.35,
        Stroke.FLAT_HAND: 11.5,
        Stroke.KNUCKLES: 15,
        Stroke.HEEL_OF_HAND: 16.5,
    }
    assert lowest[stroke] < on_board < on_edge <= on_table * 1.001


def test_heavy_sheet_is_like_something_rigid() -> None:
    thick = Plate(1.2, 1.2, 9e6, 9e6, 1e6, 4e6, 300)
    modes = solve(thick, all_sides(SIMPLE), 1500, (16, 16))
    for stroke, hand in HANDS.items():
        found = struck(modes, stroke, 2, MIDDLE, MIDDLE).peak_n[0]
        assert found == pytest.approx(rigid(hand, 2).peak_n[0], rel=0.01)


def test_a_step_of_loudness_is_five_decibels_of_speed_and_two_of_a_moving_hand() -> None:
    """As the audio guide's steps (``tap_gain``); an accent adds two decibels, .4 of a step."""
    for hand in HANDS.values():
        assert hand.speed_at(3) / hand.speed_at(2) == pytest.approx(10 ** (STEP_DB / 20))
        assert hand.speed_at(2) == hand.speed_m_s
    for rub in RUBS.values():
        assert rub.rms_at(4) / rub.rms_at(0) == pytest.approx(5, rel=0.01), (
            "0.1 N very quiet, 0.5 very loud"
        )
    assert tap_gain.STEP_DB == STEP_DB == 5
    assert tap_gain.ACCENT_DB / STEP_DB == ACCENT_STEPS
    assert LOUDEST == 4 + ACCENT_STEPS


def test_louder_is_stronger_and_shorter() -> None:
    # Hertz: contact time goes with speed to the power of -1/5 without damping.
    contacts = [rigid(HANDS[Stroke.KNUCKLES], loudness) for loudness in (0, 1, 2, 3, 4)]
    peaks = [contact.peak_n[0] for contact in contacts]
    times = [contact.contact_sec[0] for contact in contacts]
    assert peaks == sorted(peaks)
    assert times == sorted(times, reverse=True)
    assert times[0] / times[4] == pytest.approx(10 ** (20 / 20 / 5), rel=0.06)


def test_spectrum_against_parseval() -> None:
    contact = rigid(HANDS[Stroke.KNUCKLES], 2)
    hz = np.arange(0.5, 6000, 1.0)
    in_time = (contact.force_n**2).sum() * contact.step_sec
    assert 2 * energy_spectrum(contact, hz).sum() == pytest.approx(in_time, rel=1e-3)
    low = energy_spectrum(contact, np.array([0.01]))[0, 0]
    assert low == pytest.approx((contact.force_n.sum() * contact.step_sec) ** 2, rel=1e-4)


def test_rub_keeps_its_rms() -> None:
    for stroke, rub in RUBS.items():
        hz = np.arange(1.0, 8000.0)
        energy = 2 * rub_spectrum(rub, 2, 0.5, hz).sum()
        assert energy == pytest.approx(rub.rms_n**2 * 0.5, rel=0.25), stroke
        assert rub.rms_at(0) == pytest.approx(0.1, rel=0.01)
        assert rub.rms_at(4) == pytest.approx(0.5, rel=0.01)


def test_long_rubs_count_as_a_second() -> None:
    hz = band_hz()
    one, four = (rub_spectrum(RUBS[Stroke.SWEEP], 2, sec, hz) for sec in (1.0, 4.0))
    assert (one == four).all()
    assert rub_spectrum(RUBS[Stroke.SWEEP], 2, 0.5, hz) == pytest.approx(one / 2)


def test_prescribed_force_exaggerates_the_middle() -> None:
    # A force that doesn't ask what gives way makes the middle too strong against the edge: by
    # 5 to 9 dB in this model, no outside source.
    x = np.array([0.6, 0.06])
    energy = band_energy(MODES, Stroke.HEEL_OF_HAND, 2, x, np.full(2, 0.6))
    band = int(np.abs(band_hz() - 60).argmin())
    assert 3 < 10 * np.log10(energy[1, band] / energy[0, band]) < 12


def test_free_movement_is_that_of_the_infinite_sheet_at_first() -> None:
    # An unbounded thin sheet answers an impulse with the steady speed 1 / (8 sqrt(D rho h))
    # (Cremer, Heckl and Petersson, Structure-borne sound; from memory).
    from tapscore.board.strokes import answer

    impedance = 8 * ((BIRCH.d11_nm * BIRCH.d22_nm) ** 0.5 * BIRCH.mass_kg_per_m2) ** 0.5
    shapes = MODES.at(MIDDLE, MIDDLE)
    moves = answer(shapes, MODES.hz, 0.03, 1e-4, 40)[0]
    assert moves[20:40].mean() == pytest.approx(1 / impedance, rel=0.12)
