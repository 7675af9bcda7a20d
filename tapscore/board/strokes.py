"""The force of a stroke on the moving board.

A blow is a mass that meets the board through a soft contact (Hunt and Crossley: Hertz's law
with damping) and rides on it until it comes off; then the hand is taken away.  The board
under it moves as its modes say, without pupils: contact is over before much comes back from
them.  A prescribed force would make the middle 5 to 9 dB too strong against the edge.
"""

from functools import lru_cache
from math import inf, log10, pi

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.board.bands import band_hz
from tapscore.board.hands import EXPONENT, HANDS, RUBS, Hand, Rub
from tapscore.board.one_thread import one_blas_thread
from tapscore.board.plate import Modes
from tapscore.model.strokes import Stroke

Array = NDArray[np.float64]

USUAL_RUB_SEC = 0.5
_FELT_SEC = 1.0
"""Feeling sums over about a second (Verrillo, from memory): a longer rub counts as this."""
_SHORTEST_RUB_SEC = 0.08


@frozen(eq=False)
class Contact:
    """Forces of blows (blows, steps) with the board's and the hand's speed until they part."""

    step_sec: float
    force_n: Array
    board_m_s: Array
    hand_m_s: Array

    @property
    def peak_n(self) -> Array:
        """Largest force of each blow."""
        return np.asarray(self.force_n.max(axis=1))

    @property
    def contact_sec(self) -> Array:
        """How long each blow touches."""
        return np.asarray((self.force_n > 0).sum(axis=1) * self.step_sec)


def answer(
    shapes: Array, modes_hz: Array, loss_factor: float, step_sec: float, steps: int
) -> Array:
    """Movement (m) at each struck point after a unit impulse there, shape (points, steps)."""
    omega = np.maximum(2 * pi * modes_hz, 1e-3)[:, None]
    t = step_sec * np.arange(steps)
    one = np.sin(omega * t) * np.exp(-0.5 * loss_factor * omega * t) / omega
    return np.asarray(np.square(shapes) @ one)


def rigid(hand: Hand, loudness: float) -> Contact:
    """A blow on something that does not move."""
    return _march(hand, np.array([hand.speed_at(loudness)]), np.zeros((1, hand.steps)))


def struck(modes: Modes, stroke: Stroke, loudness: float, x_m: Array, y_m: Array) -> Contact:
    """Blows of one kind, one at each point (m); raises KeyError for a scratch or a sweep."""
    hand = HANDS[stroke]
    with one_blas_thread():
        shapes = modes.at(x_m, y_m)
        moves = answer(shapes, modes.hz, modes.plate.loss_factor, hand.step_sec, hand.steps)
    return _march(
        hand, np.full(len(moves), hand.speed_at(loudness)), moves, _most_n(hand, loudness)
    )


@lru_cache(maxsize=64)
def _most_n(hand: Hand, loudness: float) -> float:
    """The peak on something rigid, which no board pushes back harder than."""
    return float(rigid(hand, loudness).peak_n[0])


def _march(hand: Hand, speed: Array, moves: Array, most_n: float = inf) -> Contact:
    """Step through the contact by central differences; all blows at once.

    The steps are too long for a sheet that is far lighter than its stiffness makes likely, as
    a wrong measurement gives one: ``most_n`` keeps what comes of it from growing without end.
    """
    blows, steps = moves.shape
    dt = hand.step_sec
    force = np.zeros((blows, steps))
    board = np.zeros((blows, steps))
    hands = np.zeros((blows, steps))
    backward = np.ascontiguousarray(moves[:, ::-1]) * dt
    k, loss = hand.stiffness, hand.loss_sec_per_m
    hands[:, 1] = here = speed * dt
    before = np.zeros(blows)
    pressed_before = np.zeros(blows)
    touching = np.ones(blows, bool)
    for n in range(1, steps - 1):
        board[:, n] = np.einsum("bm,bm->b", force[:, 1:n], backward[:, steps - n : steps - 1])
        pressed = here - board[:, n]
        rate = (pressed - pressed_before) / dt
        push = k * np.maximum(pressed, 0.0) ** EXPONENT * np.maximum(1 + loss * rate, 0.0)
        touching &= pressed > 0
        if not touching.any():
            break
        push = np.minimum(push, most_n) * touching
        force[:, n] = push
        here, before = 2 * here - before - (dt * dt / hand.mass_kg) * push, here
        hands[:, n + 1] = here
        pressed_before = pressed
    return Contact(dt, force, _rate(board, dt), _rate(hands, dt))


def _rate(moves: Array, dt: float) -> Array:
    return np.asarray(np.gradient(moves, dt, axis=1), np.float64)


def energy_spectrum(contact: Contact, hz: Array) -> Array:
    """Squared size of the force's Fourier transform (N s)^2, shape (blows, len(hz))."""
    t = contact.step_sec * np.arange(contact.force_n.shape[1])
    turns = 2 * pi * t[:, None] * hz
    with one_blas_thread():
        real, imaginary = contact.force_n @ np.cos(turns), contact.force_n @ np.sin(turns)
    return np.asarray((real**2 + imaginary**2) * contact.step_sec**2)


def rub_spectrum(rub: Rub, loudness: float, length_sec: float, hz: Array) -> Array:
    """As ``energy_spectrum`` for a rub of ``length_sec``, shape (len(hz),).

    Noise, flat in its band, falling by 12 dB an octave outside.
    """
    shape = 1 / (1 + (rub.low_hz / hz) ** 4) / (1 + (hz / rub.high_hz) ** 4)
    density = rub.rms_at(loudness) ** 2 / (rub.high_hz - rub.low_hz)
    return np.asarray(0.5 * density * _counted_sec(length_sec) * shape)


def rub_gain_db(rub: Rub, loudness: float, length_sec: float) -> float:
    """How much more a rub gives than a medium one of half a second."""
    louder = 20 * log10(rub.rms_at(loudness) / rub.rms_n)
    return louder + 10 * log10(_counted_sec(length_sec) / USUAL_RUB_SEC)


def _counted_sec(length_sec: float) -> float:
    return min(max(length_sec, _SHORTEST_RUB_SEC), _FELT_SEC)


def band_energy(
    modes: Modes,
    stroke: Stroke,
    loudness: float,
    x_m: Array,
    y_m: Array,
    length_sec: float = USUAL_RUB_SEC,
) -> NDArray[np.float32]:
    """Squared force (N s)^2 in every band for a stroke at each point, shape (points, bands)."""
    hz = band_hz()
    if stroke in RUBS:
        one = rub_spectrum(RUBS[stroke], loudness, length_sec, hz)
        return np.broadcast_to(one, (len(x_m), len(hz))).astype(np.float32)
    return energy_spectrum(struck(modes, stroke, loudness, x_m, y_m), hz).astype(np.float32)
