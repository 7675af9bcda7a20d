"""What a tap on this board sounds like: a relative model, not a recording.

Position, stroke, loudness and the pupils on the board all change the colour.  A phone's
speaker drops what is below about 150 Hz: the sound cannot convey what is felt.
"""

from fractions import Fraction
from functools import lru_cache
from math import pi

import numpy as np
from numpy.typing import NDArray

from tapscore.board.default_board import SOUNDING_BOARD
from tapscore.board.edges import Edges, edges_of
from tapscore.board.facade import bare_board, described
from tapscore.board.hands import ACCENT_STEPS, HANDS, RUBS
from tapscore.board.kept_modes import GRID
from tapscore.board.one_thread import one_blas_thread
from tapscore.board.plywood import Measured
from tapscore.board.pulses import CLICK_MS, LOUDEST, PULSES, RUB_SOUNDS
from tapscore.board.pupils import patches_on
from tapscore.board.radiation import Ear, ear
from tapscore.model.board import Board, Point
from tapscore.model.strokes import Stroke

DEEPEST_HZ = 120.0
"""What a phone or a small speaker cannot play is left out, so that the rest can be louder."""


@lru_cache(maxsize=32)
def pulse_spectrum(stroke: Stroke, loudness: float, rate_hz: int) -> NDArray[np.complex64]:
    """Spectrum (N s) of a blow of ``loudness`` (0 to 4.4), every hertz to half the rate."""
    pulse, hand = PULSES[stroke], HANDS[stroke]
    contact_sec, push_sec, share, click_share = pulse.at(loudness)
    force = _bump(0.0, push_sec, rate_hz)
    sizes = sum(size for _, size in pulse.parts)
    for delay_ms, size in pulse.parts:
        force += share * size / sizes * _bump(delay_ms / 1000, contact_sec, rate_hz)
        click = share * click_share * size / sizes
        force += click * _bump(delay_ms / 1000, CLICK_MS / 1000, rate_hz)
    momentum = hand.mass_kg * hand.speed_at(loudness)
    spectrum = np.fft.rfft(momentum * force) / rate_hz
    return np.asarray(spectrum * _high_pass(rate_hz), np.complex64)


def _bump(start_sec: float, length_sec: float, rate_hz: int) -> NDArray[np.float64]:
    """A raised cosine of unit area, in a second of frames."""
    way = (np.arange(rate_hz) / rate_hz - start_sec) / length_sec
    bump = np.sin(pi * np.clip(way, 0, 1)) ** 2
    return np.asarray(bump / bump.sum() * rate_hz)


@lru_cache(maxsize=2)
def _high_pass(rate_hz: int) -> NDArray[np.complex128]:
    """Two Butterworth stages of second order."""
    s = 1j * np.arange(rate_hz // 2 + 1) / DEEPEST_HZ
    return np.asarray((s**2 / (1 + s * 2**0.5 + s**2)) ** 2)


def moving_noise(stroke: Stroke, count: int, loudness: float, rate_hz: int) -> NDArray[np.float32]:
    """A noise force (N) of ``count`` frames, shaped frame by frame, the same at every call."""
    rub = RUB_SOUNDS[stroke]
    size, hop = 1024, 256
    brighter = 0.8 * loudness / LOUDEST
    noise = np.random.default_rng(7).standard_normal(count + 2 * size)
    window = np.hanning(size + 1)[:size]
    starts = np.arange(0, count + size, hop)
    spectra = np.fft.rfft(noise[starts[:, None] + np.arange(size)] * window, axis=1)
    hz = np.maximum(np.fft.rfftfreq(size, 1 / rate_hz), 1.0)
    way = np.clip((starts - size / 2) / count, 0, 1)
    centre_hz = rub.from_hz * (rub.to_hz / rub.from_hz) ** way * 2**brighter
    band = np.exp(-0.5 * (np.log2(hz / centre_hz[:, None]) / (rub.octaves / 2)) ** 2)
    pieces = np.fft.irfft(spectra * band, size, axis=1)
    out = np.zeros(starts[-1] + size)
    for start, piece in zip(starts, pieces, strict=True):
        out[start : start + size] += piece * window
    force = out[size : size + count]
    t = np.arange(count) / rate_hz
    if rub.grain_hz:
        force *= 0.3 + 0.7 * np.exp(-5 * ((rub.grain_hz * (1 + brighter) * t) % 1.0))
    force *= np.minimum(t / 0.006, 1) * (1 - 0.45 * t / t[-1])
    rms = float(np.sqrt(np.mean(force**2)))
    return np.asarray(force * RUBS[stroke].rms_at(loudness) / rms, np.float32)


Samples = NDArray[np.float32]
SAMPLE_RATES_HZ = (44_100, 48_000)
COLOURS_PER_STEP = 5
"""Shades between one step of loudness and the next."""
_RUB_STEP_SEC = 0.01
_FADE_SEC = 0.1
STRUCK_SEC = 0.6
_RUB_PARTS = 7
_RUB_REACH_MM = 100
# Few sounds are kept here: whoever makes them fit to be heard keeps those.


def board_tap_sound(
    board: Board | None,
    stroke: Stroke,
    loudness: Fraction,
    at: Point,
    *,
    accent: bool,
    length_sec: float,
    sample_rate_hz: int = 48_000,
    edges: Edges | None = None,
    measured: Measured | None = None,
) -> Samples:
    """One tap at a point of the board, mono, in pascals at the ear (shape (frames,)).

    ``loudness`` from 0 to 4.  ``length_sec``, not nought, counts for a scratch or a sweep alone.
    Without a board the stated one sounds (``SOUNDING_BOARD``).  The same array is given again
    for the same cell of the board, stroke and loudness: it cannot be written to.  Raises
    ValueError for a sample rate other than 44 100 or 48 000 Hz.
    """
    if sample_rate_hz not in SAMPLE_RATES_HZ:
        raise ValueError(f"the sample rate is 44100 or 48000 Hz, not {sample_rate_hz}")
    bare = bare_board(board or SOUNDING_BOARD)
    colour = round((float(loudness) + (ACCENT_STEPS if accent else 0.0)) * COLOURS_PER_STEP)
    cell = board_cell(board, at)
    key = (bare, edges_of(bare.strips) if edges is None else edges, measured)
    if stroke in RUB_SOUNDS:
        steps = round(length_sec / _RUB_STEP_SEC)
        return _rubbed(key, stroke, colour, cell, steps, sample_rate_hz)
    return _struck(key, stroke, colour, cell, sample_rate_hz)


def board_cell(board: Board | None, at: Point) -> tuple[int, int]:
    """The cell (of 32 x 32, column and row) a point is in; taps in one cell sound the same."""
    whole = board or SOUNDING_BOARD
    return _cell(float(at.x_mm / whole.width_mm)), _cell(float(at.y_mm / whole.depth_mm))


_Key = tuple[Board, Edges, Measured | None]


def _cell(share: float) -> int:
    return min(max(int(share * GRID), 0), GRID - 1)


@lru_cache(maxsize=2)
def _ear(key: _Key) -> Ear:
    bare, edges, measured = key
    plate = described(bare, measured).plate
    return ear(plate, edges, patches_on(bare))


@lru_cache(maxsize=4)
def _struck(key: _Key, stroke: Stroke, colour: int, cell: tuple[int, int], rate_hz: int) -> Samples:
    force = pulse_spectrum(stroke, colour / COLOURS_PER_STEP, rate_hz)
    samples = np.fft.irfft(_spectrum(key, cell, rate_hz) * force, rate_hz)
    return _finished(samples[: round(STRUCK_SEC * rate_hz)] * np.float32(rate_hz), rate_hz)


def _spectrum(key: _Key, cell: tuple[int, int], rate_hz: int) -> NDArray[np.complex64]:
    """Pressure per newton at every line up to half the sample rate."""
    listening = _ear(key)
    plate = listening.modes.plate
    x_m = (cell[0] + 0.5) * plate.width_m / GRID
    y_m = (cell[1] + 0.5) * plate.depth_m / GRID
    with one_blas_thread():
        modal = listening.hears(x_m, y_m)
    whole = np.full(rate_hz // 2 + 1, listening.prompt_pa_per_n, np.complex64)
    way = _crossing(listening.lines)
    whole[: listening.lines] = modal * (1 - way) + listening.prompt_pa_per_n * way
    return whole


@lru_cache(maxsize=2)
def _crossing(lines: int) -> NDArray[np.float32]:
    """From modes to the prompt sound, just below the highest mode."""
    way = np.clip((np.arange(lines) / (lines - 1) - 0.87) / 0.13, 0, 1)
    return np.asarray(np.sin(way * pi / 2) ** 2, np.float32)


@lru_cache(maxsize=2)
def _rubbed(
    key: _Key,
    stroke: Stroke,
    colour: int,
    cell: tuple[int, int],
    steps: int,
    rate_hz: int,
) -> Samples:
    """Noise whose band moves, heard from one point after another of the hand's way."""
    count = round(steps * _RUB_STEP_SEC * rate_hz)
    force = moving_noise(stroke, count, colour / COLOURS_PER_STEP, rate_hz)
    size = fast_length(count + rate_hz)
    total = np.zeros(size // 2 + 1, np.complex64)
    way = np.arange(count) / (count - 1) * (_RUB_PARTS - 1)
    cells_per_mm = GRID / float(key[0].width_mm)
    for part in range(_RUB_PARTS):
        window = np.maximum(1 - np.abs(way - part), 0).astype(np.float32)
        reach_mm = _RUB_REACH_MM * (2 * part / (_RUB_PARTS - 1) - 1)
        across = min(max(cell[0] + round(reach_mm * cells_per_mm), 0), GRID - 1)
        answer = np.fft.irfft(_spectrum(key, (across, cell[1]), rate_hz), rate_hz)
        total += np.fft.rfft(force * window, size) * np.fft.rfft(answer, size)
    heard = np.fft.irfft(total, size)[: count + round(_FADE_SEC * rate_hz)]
    return _finished(heard, rate_hz)


def fast_length(count: int) -> int:
    """The least length from ``count`` on that has no prime factor above 5, for a fast transform."""
    best = 1 << (count - 1).bit_length()
    fives = 1
    while fives < best:
        odd = fives
        while odd < best:
            twos = -(-count // odd)
            best = min(best, odd << (twos - 1).bit_length())
            odd *= 3
        fives *= 5
    return best


def _finished(samples: NDArray[np.floating], rate_hz: int) -> Samples:
    fade = _fade(round(_FADE_SEC * rate_hz))
    samples[-len(fade) :] *= fade
    finished = np.ascontiguousarray(samples, np.float32)
    finished.setflags(write=False)
    return finished


@lru_cache(maxsize=4)
def _fade(count: int) -> Samples:
    return np.asarray(np.cos(np.linspace(0, pi / 2, count)) ** 2, np.float32)
