"""A recording into samples at the one rate, with what was found wrong in plain words."""

import re
import stat
import subprocess
import warnings
from pathlib import Path

import numpy as np
from attrs import frozen

from tapscore.disc.programs import NO_CONSOLE, outside
from tapscore.disc.reasons import reason
from tapscore.exports.audio.encode import NOTHING_ELSE, EncoderMissing, NoSuchProgram, mp3_program
from tapscore.exports.audio.filters import with_rate
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, Sound, amplitude
from tapscore.exports.audio.voice.shaping import levelled, resampled
from tapscore.wording.catalogue import say

LONGEST_SEC = 120
LOWEST_GOOD_HZ = 16_000
_SILENT_DB = -70.0
"""Against full scale; a room's own noise is louder."""
_QUIET_DB = -38.0
"""Against the recording's loudest moment: breath and room, no speech."""
_KEPT_MS = 20
_NEARLY_FULL = 30_000
_SELDOM = 0.001
_FULL = 0.999
_LONGEST_RUN_SEC = 60
VIDEO_STREAM = re.compile(r"Stream #\S+.*: Video: (?!.*attached pic)")
AUDIO_RATE = re.compile(r"Audio: .*?(\d+) Hz")


class RecordingUnusable(Exception):  # noqa: N818 - names what is the matter
    """A recording cannot be used; the message says why and what to do."""


@frozen(eq=False)
class Recorded:
    """A recorded line, trimmed and at the loudness of all speech, with remarks on it."""

    sound: Sound
    remarks: tuple[str, ...] = ()


def read_recording(path: Path) -> Recorded:
    """Decode one file.

    Raises RecordingUnusable for what is broken, silent, or no sound at all.
    """
    samples, rate_hz, remarks = _decoded(path)
    if not np.isfinite(samples).all():
        raise RecordingUnusable(say("{path} is damaged. Record this line again.", path=path.name))
    if len(samples) >= LONGEST_SEC * rate_hz:
        remarks.append(
            say(
                "{path} is longer than {longest:1 second|# seconds}; the rest was left out.",
                path=path.name,
                longest=LONGEST_SEC,
            )
        )
    if rate_hz < LOWEST_GOOD_HZ:
        remarks.append(
            say(
                "{path} has the sound of a telephone ({rate} kHz). It was used; a "
                "recording at 44 or 48 kHz is clearer.",
                path=path.name,
                rate=rate_hz / 1000,
            )
        )
    if len(samples) and float(np.mean(np.abs(samples) >= _FULL)) > _SELDOM:
        remarks.append(
            say(
                "{path} is overloaded. It was used; record it again further from the microphone.",
                path=path.name,
            )
        )
    sound = edited(resampled(samples, rate_hz))
    if not len(sound):
        raise RecordingUnusable(
            say(
                "{path} is silent. Look whether the microphone was on, and record it again.",
                path=path.name,
            )
        )
    return Recorded(levelled(sound), tuple(remarks))


def whole_recording(path: Path) -> tuple[Sound, int]:
    """The samples of a file and their rate, as they were recorded; raises RecordingUnusable."""
    samples, rate_hz, _ = _decoded(path)
    return samples, rate_hz


def edited(sound: Sound) -> Sound:
    """Without the silence before and after, its ends faded; empty if all is silent."""
    peak = float(np.abs(sound).max(initial=0.0))
    if peak < amplitude(_SILENT_DB):
        return sound[:0]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it uses audioop and looks for other programs
        from pydub import AudioSegment  # type: ignore[import-untyped]
        from pydub.silence import detect_leading_silence  # type: ignore[import-untyped]

    # brought to nearly full scale first, as this library counts in sixteen bits
    whole = np.rint(sound * (_NEARLY_FULL / peak)).astype(np.int16)
    segment = AudioSegment(
        data=whole.tobytes(), sample_width=2, frame_rate=SAMPLE_RATE_HZ, channels=1
    )
    threshold = segment.max_dBFS + _QUIET_DB
    lead_ms = detect_leading_silence(segment, threshold, 10)
    tail_ms = detect_leading_silence(segment.reverse(), threshold, 10)
    begin, end = max(lead_ms - _KEPT_MS, 0), len(segment) - max(tail_ms - _KEPT_MS, 0)
    cut = segment[begin:end].fade_in(5).fade_out(15)
    samples: Sound = np.array(cut.get_array_of_samples(), np.float32) * (peak / _NEARLY_FULL)
    return samples.astype(np.float32)


def _decoded(path: Path) -> tuple[Sound, int, list[str]]:
    import soundfile  # type: ignore[import-untyped]

    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            raise RecordingUnusable(say("{path} is no file. Choose a recording.", path=path.name))
        if status.st_size == 0:
            raise RecordingUnusable(say("{path} is empty. Record this line again.", path=path.name))
        path.open("rb").close()  # the library doesn't tell a right from a fault
        with soundfile.SoundFile(path) as file:
            rate_hz = int(file.samplerate)
            samples = file.read(rate_hz * LONGEST_SEC, dtype="float32", always_2d=True)
        return _one_channel(samples), rate_hz, []
    except soundfile.SoundFileError:
        return _by_program(path)
    except OSError as error:
        raise RecordingUnusable(
            say("{path} can't be read: {why}.", path=path.name, why=reason(error))
        ) from error


def _by_program(path: Path) -> tuple[Sound, int, list[str]]:
    try:
        program = mp3_program()
    except NoSuchProgram as error:
        raise RecordingUnusable(f"{path.name}: {error}") from error
    except EncoderMissing as error:
        raise RecordingUnusable(
            say(
                "{path} can't be read, because the program ffmpeg is missing on this computer. "
                "Save the recording as WAV, or install ffmpeg.",
                path=path.name,
            )
        ) from error
    # the name is given whole, so that no sign in it means anything to the program
    command = [program, "-hide_banner", "-nostdin", *NOTHING_ELSE]
    command += ["-i", f"file:{path.resolve()}", "-vn"]
    command += ["-t", str(LONGEST_SEC), "-ac", "1", "-ar", str(SAMPLE_RATE_HZ), "-f", "f32le", "-"]
    try:
        told = subprocess.run(
            command,
            capture_output=True,
            timeout=_LONGEST_RUN_SEC,
            check=False,
            env=outside(),
            creationflags=NO_CONSOLE,
        )
    except (OSError, subprocess.SubprocessError) as error:
        raise RecordingUnusable(
            say("{path} can't be read. Save it as WAV and try again.", path=path.name)
        ) from error
    about = told.stderr.decode("utf-8", "replace")
    samples = np.frombuffer(told.stdout[: len(told.stdout) // 4 * 4], "<f4").astype(np.float32)
    is_video = VIDEO_STREAM.search(about) is not None
    if not len(samples):
        raise RecordingUnusable(
            say("{file} is a video without sound. Record this line again.", file=path.name)
            if is_video
            else say("{file} is broken, or no sound file. Record this line again.", file=path.name)
        )
    remarks = (
        [say("{path} is a video; only its sound was used.", path=path.name)] if is_video else []
    )
    rate = AUDIO_RATE.search(about)
    if rate is not None and int(rate[1]) < LOWEST_GOOD_HZ:
        lowest = int(rate[1])
        return resampled_down(samples, lowest), lowest, remarks
    return samples, SAMPLE_RATE_HZ, remarks


def resampled_down(samples: Sound, rate_hz: int) -> Sound:
    """Back to the rate it was recorded at, so that one rule speaks of it."""
    return with_rate(samples, SAMPLE_RATE_HZ, rate_hz)


def _one_channel(samples: Sound) -> Sound:
    """The mean of all channels, or the loudest one where they would cancel."""
    together: Sound = samples.mean(axis=1)
    energies = np.square(samples).sum(axis=0)
    if float(np.square(together).sum()) < 0.2 * float(energies.max(initial=0.0)):
        loudest: Sound = samples[:, int(energies.argmax())].copy()
        return loudest
    return together
