"""A telling as a phone on the board's edge records it: taps, words, room, phone, file."""

import subprocess
from pathlib import Path

import numpy as np
import soundfile  # type: ignore[import-untyped]
from attrs import frozen
from numpy.typing import NDArray
from scipy.signal import butter, fftconvolve, lfilter, resample_poly  # type: ignore[import-untyped]

from tapscore.exports.audio.encode import mp3_program
from tests.rehearsal.simulated.telling import Telling, Word
from tests.rehearsal.simulated.voices import Voice
from tests.rehearsal.simulated.wood import RATE_HZ, board_of

Sound = NDArray[np.float64]
SPEECH_DB = {"L0": None, "L1": -12.0, "L2": -6.0, "L3": 0.0, "L4": 6.0}
"""Speech (95th percentile of 20 ms) against the median tap (its loudest 20 ms)."""
CODECS = ("wav", "mp3", "m4a", "ogg", "amr", "telephone")

_CHAT = (
    "shall we do that bit again",
    "sorry, I lost my place there",
    "ready? Off we go, then",
    "is that the blue one or the green one",
    "mind your cup",
    "yes that was lovely",
)


@frozen
class Scene:
    """How it is recorded."""

    kind: str
    level: str
    seed: int
    codec: str = "wav"


def recorded(telling: Telling, scene: Scene) -> Sound:
    """The sound at 16 kHz, before it becomes a file."""
    rng = np.random.default_rng(scene.seed)
    count = round(RATE_HZ * (telling.length_sec + 1))
    strike = board_of(scene.kind, rng)
    taps, loud = np.zeros(count), []
    for touch in telling.touches:
        made = strike(touch.spot, touch.stroke) * 10 ** (touch.level_db / 20)
        at = round(touch.sec * RATE_HZ)
        made = made[: max(count - at, 0)]
        taps[at : at + len(made)] += made
        loud.append(_loudest_db(made))
    tap_db = float(np.median(loud)) if loud else -10.0
    speech = _speech(telling, count, rng)
    wanted = SPEECH_DB[scene.level]
    room = _room(rng)
    if wanted is None:
        speech *= 0
    elif speech.any():
        speech = fftconvolve(speech, room)[:count]
        speech *= 10 ** ((tap_db + wanted - _speech_db(speech)) / 20)
    if scene.level == "L4":
        taps = fftconvolve(taps, room)[:count]
        b, a = butter(1, 150 / (RATE_HZ / 2), "high")
        taps = lfilter(b, a, taps)
        taps *= 10 ** ((tap_db - _median_tap_db(taps, telling)) / 20)
    elif rng.random() < 0.5:
        taps += rng.uniform(0.02, 0.25) * fftconvolve(taps, room)[:count]
    whole = taps + speech + _noise(count, tap_db, rng)
    return _phone(whole, rng)


def write(sound: Sound, path: Path, codec: str) -> Path:
    """Write it as a phone would; gives the file's path, its ending by the codec."""
    if codec == "wav":
        soundfile.write(path.with_suffix(".wav"), sound, RATE_HZ, subtype="PCM_16")
        return path.with_suffix(".wav")
    if codec == "telephone":
        soundfile.write(path.with_suffix(".wav"), resample_poly(sound, 1, 2), RATE_HZ // 2)
        return path.with_suffix(".wav")
    how = {
        "mp3": ["-ar", "44100", "-b:a", "64k"],
        "m4a": ["-ar", "44100", "-b:a", "48k"],
        "ogg": ["-ar", "48000", "-c:a", "libopus", "-b:a", "24k"],
        "amr": ["-ar", "8000", "-c:a", "libopencore_amrnb", "-b:a", "12.2k"],
        "3gp": ["-ar", "16000", "-c:a", "aac", "-b:a", "32k"],
    }[codec]
    source = path.with_suffix(".source.wav")
    soundfile.write(source, sound, RATE_HZ, subtype="PCM_16")
    made = path.with_suffix(f".{codec}")
    command = [mp3_program(), "-v", "error", "-y", "-i", str(source), "-ac", "1", *how, str(made)]
    subprocess.run(command, check=True)
    source.unlink()
    return made


def _speech(telling: Telling, count: int, rng: np.random.Generator) -> Sound:
    voices = [Voice(rng) for _ in range(int(rng.integers(1, 3)))]
    speech = np.zeros(count)
    for word in [*_grouped(telling.words, rng), *_chatter(telling, rng)]:
        for voice in voices[: 1 + (rng.random() < 0.3)]:
            said = voice.say(word.text, word.length_sec)
            at = max(round((word.sec + rng.normal(0, 0.03)) * RATE_HZ), 0)
            said = said[: max(count - at, 0)]
            speech[at : at + len(said)] += said * rng.uniform(0.6, 1.2)
    return speech


def _grouped(words: list[Word], rng: np.random.Generator) -> list[Word]:
    """Words by themselves on their taps, or run together as a person does who reads."""
    if rng.random() < 0.4:
        return words
    together: list[Word] = []
    most = int(rng.integers(2, 9))
    held: list[Word] = []
    for at, word in enumerate(words):
        held.append(word)
        last = at + 1 == len(words) or words[at + 1].sec - word.sec > 1.5
        if len(held) == most or last:
            length = word.sec + word.length_sec - held[0].sec
            text = " ".join(each.text for each in held)
            together.append(Word(held[0].sec + float(rng.normal(0, 0.1)), length, text))
            held = []
    return together


def _chatter(telling: Telling, rng: np.random.Generator) -> list[Word]:
    """What adults say to one another in between."""
    count = int(rng.poisson(telling.length_sec / 60 * rng.choice([0.5, 4.0])))
    return [
        Word(
            float(rng.uniform(0, telling.length_sec)),
            float(rng.uniform(0.8, 3.0)),
            _CHAT[int(rng.integers(len(_CHAT)))],
        )
        for _ in range(count)
    ]


def _room(rng: np.random.Generator) -> Sound:
    length = rng.uniform(0.2, 0.8)
    count = round(length * RATE_HZ)
    tail = rng.normal(0, 1, count) * np.exp(-6.9 * np.arange(count) / count)
    tail *= rng.uniform(0.3, 1.0) / np.sqrt(np.square(tail).sum())
    tail[0] += 1
    room: Sound = tail
    return room


def _noise(count: int, tap_db: float, rng: np.random.Generator) -> Sound:
    b, a = [0.05], [1, -rng.uniform(0.6, 0.98)]
    noise = lfilter(b, a, rng.normal(0, 1, count))
    noise *= 10 ** ((tap_db - rng.uniform(20, 50)) / 20) / float(np.std(noise))
    time = np.arange(count) / RATE_HZ
    noise += 10 ** ((tap_db - rng.uniform(35, 60)) / 20) * np.sin(2 * np.pi * 50 * time)
    for _ in range(
        int(rng.poisson(count / RATE_HZ / 60 * rng.choice([2.0, 10.0])))
    ):  # chairs, cups, doors
        frames = round(RATE_HZ * rng.uniform(0.005, 0.15))
        low = butter(1, rng.uniform(300, 6000) / (RATE_HZ / 2))
        bump = lfilter(*low, rng.normal(0, 1, frames))
        bump *= np.exp(-4 * np.arange(frames) / frames)
        bump *= 10 ** ((tap_db + rng.uniform(-14, 3) - _loudest_db(bump)) / 20)
        at = int(rng.integers(0, max(count - frames, 1)))
        noise[at : at + frames] += bump[: count - at]
    whole: Sound = noise
    return whole


def _phone(sound: Sound, rng: np.random.Generator) -> Sound:
    if rng.random() < 0.5:
        b, a = butter(1, rng.uniform(60, 250) / (RATE_HZ / 2), "high")
        sound = lfilter(b, a, sound)
    if rng.random() < 0.4:
        sound = _automatic_gain(sound, rng)
    peak = float(np.abs(sound).max()) or 1.0
    sound = sound / peak * 10 ** (rng.uniform(-26, -1) / 20)
    if rng.random() < 0.2:
        sound = np.clip(sound * 10 ** (rng.uniform(3, 14) / 20), -0.99, 0.99)
    whole: Sound = np.clip(sound, -0.99, 0.99)
    return whole


def _automatic_gain(sound: Sound, rng: np.random.Generator) -> Sound:
    step = RATE_HZ // 100
    frames = len(sound) // step
    power = np.square(sound[: frames * step]).reshape(frames, step).mean(axis=1)
    attack, release = np.exp(-0.01 / rng.uniform(0.02, 0.2)), np.exp(-0.01 / rng.uniform(0.4, 2.0))
    level, levels = float(power.mean()) ** 0.5, np.empty(frames)
    for at, now in enumerate(np.sqrt(power)):
        way = attack if now > level else release
        level = way * level + (1 - way) * float(now)
        levels[at] = level
    gain = (levels / float(np.median(levels)) + 0.05) ** -rng.uniform(0.2, 0.6)
    along = np.interp(np.arange(len(sound)), np.arange(frames) * step, gain)
    whole: Sound = sound * along
    return whole


def _frames_db(sound: Sound) -> Sound:
    step = RATE_HZ // 50
    count = max(len(sound) // step, 1)
    power = np.square(np.pad(sound, (0, step))[: count * step]).reshape(count, step).mean(axis=1)
    levels: Sound = 10 * np.log10(power + 1e-12)
    return levels


def _loudest_db(sound: Sound) -> float:
    return float(_frames_db(sound).max()) if len(sound) else -120.0


def _speech_db(speech: Sound) -> float:
    levels = _frames_db(speech)
    return float(np.percentile(levels[levels > levels.max() - 50], 95))


def _median_tap_db(taps: Sound, telling: Telling) -> float:
    loud = [
        _loudest_db(taps[round(t.sec * RATE_HZ) : round((t.sec + 0.08) * RATE_HZ)])
        for t in telling.touches
    ]
    return float(np.median(loud)) if loud else -10.0
