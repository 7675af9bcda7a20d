"""Where a team is recorded and by what, by another model than ``simulated/recording.py``.

A classroom or a hall, children next door, chairs and dropped things; a phone's automatic gain with
a limiter, its filter against rumble and its suppression of noise; files down to a telephone's.
"""

import subprocess
from pathlib import Path

import numpy as np
import soundfile  # type: ignore[import-untyped]
from attrs import frozen
from numpy.typing import NDArray
from scipy.signal import (  # type: ignore[import-untyped]
    butter,
    fftconvolve,
    istft,
    resample_poly,
    sosfilt,
    stft,
)

from tapscore.exports.audio.encode import mp3_program
from tests.rehearsal.elsewhere.contact import BOARDS, RATE_HZ, TOOLS, Strike, strike_with
from tests.rehearsal.simulated.recording import SPEECH_DB
from tests.rehearsal.simulated.telling import Telling
from tests.rehearsal.simulated.voices import Voice

Sound = NDArray[np.float64]
FILES: dict[str, list[str] | None] = {
    "wav": None,
    "telephone": None,
    "mp3 16k": ["-ar", "16000", "-c:a", "libmp3lame", "-b:a", "16k", "mp3"],
    "mp3 32k": ["-ar", "22050", "-c:a", "libmp3lame", "-b:a", "32k", "mp3"],
    "amr": ["-ar", "8000", "-c:a", "libopencore_amrnb", "-b:a", "12.2k", "amr"],
    "amr 5k": ["-ar", "8000", "-c:a", "libopencore_amrnb", "-b:a", "5.15k", "amr"],
    "amr wide": ["-ar", "16000", "-c:a", "libvo_amrwbenc", "-b:a", "12650", "3gp"],
    "m4a": ["-ar", "32000", "-c:a", "aac", "-b:a", "24k", "m4a"],
    "ogg": ["-ar", "16000", "-c:a", "libopus", "-b:a", "12k", "-application", "voip", "ogg"],
}
"""How ffmpeg is asked, its last word the ending; the first two are written without it."""
_SOFT_WORDS = "the boat goes round and round the pond and home again"


@frozen
class Place:
    """What is otherwise than in a quiet room with a good phone."""

    tool: str
    board: str
    level: str
    seed: int
    file: str = "wav"
    hall: bool = False
    children: bool = False
    other_tools: tuple[str, ...] = ()
    """Some adults tap with one of these instead."""


def recorded_at(telling: Telling, place: Place) -> Sound:
    """The sound at 16 kHz, before it becomes a file."""
    rng = np.random.default_rng(place.seed)
    count = round(RATE_HZ * (telling.length_sec + 1))
    taps, tap_db = _taps(telling, place, count, rng)
    seconds = rng.uniform(1.2, 2.5) if place.hall else rng.uniform(0.25, 0.7)
    room = _room(seconds, rng)
    by_air = rng.uniform(0.05, 0.35) * (2.0 if place.hall else 1.0)
    far = fftconvolve(taps, room)[:count]
    taps += by_air * far * float(np.abs(taps).max()) / (float(np.abs(far).max()) or 1.0)
    whole = taps
    wanted = SPEECH_DB[place.level]
    if wanted is not None and telling.words:
        speech = _speech(telling, count, rng)
        speech = 0.6 * speech + fftconvolve(speech, room)[:count]
        whole = whole + speech * 10 ** ((tap_db + wanted - _loud_db(speech)) / 20)
    if place.children:
        whole = whole + _children(count, tap_db, rng)
    hiss = sosfilt(butter(1, 900, fs=RATE_HZ, output="sos"), rng.normal(0, 1, count))
    whole = whole + hiss * 10 ** ((tap_db + rng.uniform(-60, -28) + 3) / 20)
    return _phone(whole, rng)


def write_file(sound: Sound, path: Path, file: str) -> Path:
    """Write it as a phone would; gives the file's path, its ending by the kind of file."""
    if file == "telephone":
        soundfile.write(path.with_suffix(".wav"), resample_poly(sound, 1, 2), RATE_HZ // 2)
        return path.with_suffix(".wav")
    how = FILES[file]
    source = path.with_suffix(".wav")
    soundfile.write(source, sound, RATE_HZ, subtype="PCM_16")
    if how is None:
        return source
    made = path.with_suffix(f".{how[-1]}")
    command = [mp3_program(), "-v", "error", "-y", "-i", str(source), "-ac", "1", *how[:-1]]
    subprocess.run([*command, str(made)], check=True)
    source.unlink()
    return made


def _taps(
    telling: Telling, place: Place, count: int, rng: np.random.Generator
) -> tuple[Sound, float]:
    """All touches, and the median one's level (its loudest 20 ms) in dB."""
    board = BOARDS[place.board]
    usual = strike_with(TOOLS[place.tool], board, rng)
    by_role: dict[str, Strike] = {}
    spots: dict[str, float] = {}
    whole, loud = np.zeros(count), []
    for touch in telling.touches:
        if touch.role not in by_role:
            other = bool(place.other_tools) and rng.random() < 0.4
            tool = place.other_tools[int(rng.integers(len(place.other_tools)))] if other else None
            by_role[touch.role] = usual if tool is None else strike_with(TOOLS[tool], board, rng)
        farther_db = spots.setdefault(touch.spot, float(rng.normal(0, 3)))
        made = by_role[touch.role](touch.spot, touch.level_db)
        made = made * 10 ** ((touch.level_db + farther_db) / 20)
        at = round(touch.sec * RATE_HZ)
        made = made[: max(count - at, 0)]
        whole[at : at + len(made)] += made
        if len(made):
            loud.append(_frames_db(made).max())
    return whole, float(np.median(loud)) if loud else -10.0


def _speech(telling: Telling, count: int, rng: np.random.Generator) -> Sound:
    voice = Voice(rng)
    speech = np.zeros(count)
    for word in telling.words:
        said = voice.say(word.text, word.length_sec)
        at = max(round(word.sec * RATE_HZ), 0)
        said = said[: max(count - at, 0)]
        speech[at : at + len(said)] += said * rng.uniform(0.7, 1.2)
    return speech


def _children(count: int, tap_db: float, rng: np.random.Generator) -> Sound:
    """Voices next door, high calls, chairs that scrape, things that fall."""
    sound = np.zeros(count)
    seconds = count / RATE_HZ
    voice = Voice(rng)
    for _ in range(int(rng.poisson(seconds / 5))):
        said = voice.say(_SOFT_WORDS, float(rng.uniform(1.5, 3)))
        _put(sound, sosfilt(butter(2, 1200, fs=RATE_HZ, output="sos"), said), rng, 0.25)
    for _ in range(int(rng.poisson(seconds / 15))):
        time = np.arange(round(rng.uniform(0.2, 0.8) * RATE_HZ)) / RATE_HZ
        hz = rng.uniform(350, 900) * (1 + 0.2 * np.sin(2 * np.pi * rng.uniform(2, 6) * time))
        call = sum(np.sin(n * 2 * np.pi * np.cumsum(hz) / RATE_HZ) / n for n in range(1, 5))
        _put(sound, call * np.hanning(len(time)), rng, 0.4)
    for _ in range(int(rng.poisson(seconds / 20))):
        time = np.arange(round(rng.uniform(0.2, 1.0) * RATE_HZ)) / RATE_HZ
        scrape = sosfilt(
            butter(2, (200, 2500), "band", fs=RATE_HZ, output="sos"), rng.normal(0, 1, len(time))
        )
        scrape *= (1 + np.sign(np.sin(2 * np.pi * rng.uniform(15, 40) * time))) * np.hanning(
            len(time)
        )
        _put(sound, scrape, rng, 0.4)
    for _ in range(int(rng.poisson(seconds / 20))):
        time = np.arange(round(0.25 * RATE_HZ)) / RATE_HZ
        thud = np.sin(2 * np.pi * rng.uniform(60, 250) * time) * np.exp(-time / 0.03)
        _put(sound, thud + 0.2 * rng.normal(0, 1, len(time)) * np.exp(-time / 0.01), rng, 0.6)
    loudest = float(np.abs(sound).max()) or 1.0
    return sound / loudest * 10 ** ((tap_db + rng.uniform(-8, 6)) / 20)


def _put(sound: Sound, made: Sound, rng: np.random.Generator, loud: float) -> None:
    at = int(rng.integers(max(len(sound) - len(made), 1)))
    made = made[: len(sound) - at]
    sound[at : at + len(made)] += loud * rng.uniform(0.3, 1) * made / (np.abs(made).max() + 1e-9)


def _room(seconds: float, rng: np.random.Generator) -> Sound:
    """A tail that is duller the longer it lasts, after a few early echoes."""
    count = round(seconds * RATE_HZ)
    time = np.arange(count) / RATE_HZ
    tail = rng.normal(0, 1, count) * np.exp(-6.9 * time / seconds)
    dull = sosfilt(butter(1, 1500, fs=RATE_HZ, output="sos"), tail)
    share = np.minimum(time / seconds * 2, 1)
    room: Sound = (1 - share) * tail + share * dull
    for _ in range(5):
        room[int(rng.integers(80, min(800, count)))] += rng.normal(0, 3)
    return room / float(np.sqrt(np.square(room).sum()))


def _phone(sound: Sound, rng: np.random.Generator) -> Sound:
    if rng.random() < 0.6:
        order, hz = int(rng.integers(1, 4)), rng.uniform(80, 400)
        sound = sosfilt(butter(order, hz, "high", fs=RATE_HZ, output="sos"), sound)
    if rng.random() < 0.35:
        sound = _without_noise(sound, rng)
    sound = sound / (float(np.percentile(np.abs(sound), 99.9)) or 1.0) * rng.uniform(0.05, 1.0)
    if rng.random() < 0.5:
        sound = _levelled(sound, rng)
    if rng.random() < 0.15:
        sound = sound * rng.uniform(2, 6)
    limited: Sound = np.clip(sound, -0.99, 0.99)
    return limited


def _levelled(sound: Sound, rng: np.random.Generator) -> Sound:
    """Automatic gain: quick down, slow up, towards one loudness."""
    step = RATE_HZ // 200
    frames = len(sound) // step + 1
    padded = np.pad(sound, (0, frames * step - len(sound)))
    peaks = np.abs(padded).reshape(frames, step).max(axis=1)
    up = 10 ** (rng.uniform(3, 20) / 20 / 200)
    most, target = rng.uniform(2, 10), rng.uniform(0.2, 0.8)
    gain, gains = 1.0, np.empty(frames)
    for at, peak in enumerate(peaks):
        wanted = min(target / (peak + 1e-6), most)
        gain = gain + 0.5 * (wanted - gain) if wanted < gain else min(gain * up, wanted)
        gains[at] = gain
    along: Sound = np.interp(np.arange(len(sound)), np.arange(frames) * step, gains)
    return sound * along


def _without_noise(sound: Sound, rng: np.random.Generator) -> Sound:
    """What a phone takes for noise is turned down, with what warbles along."""
    _, _, lines = stft(sound, RATE_HZ, nperseg=512)
    power = np.abs(lines) ** 2
    floor = np.percentile(power, 30, axis=1, keepdims=True)
    gain = np.clip(1 - rng.uniform(1, 4) * floor / (power + 1e-20), rng.uniform(0.05, 0.3), 1)
    for at in range(1, gain.shape[1]):
        gain[:, at] = np.maximum(gain[:, at], 0.6 * gain[:, at - 1])
    _, clean = istft(lines * np.sqrt(gain), RATE_HZ, nperseg=512)
    clean = clean[: len(sound)]
    whole: Sound = np.pad(clean, (0, len(sound) - len(clean)))
    return whole


def _frames_db(sound: Sound) -> Sound:
    step = RATE_HZ // 50
    count = -(-len(sound) // step)
    power = np.square(np.pad(sound, (0, count * step - len(sound)))).reshape(count, step)
    levels: Sound = 10 * np.log10(power.mean(axis=1) + 1e-12)
    return levels


def _loud_db(speech: Sound) -> float:
    levels = _frames_db(speech)
    return float(np.percentile(levels[levels > levels.max() - 50], 95))
