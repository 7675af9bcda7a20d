"""A recording as a phone makes it, read block by block: 16 kHz, one or two channels."""

import re
import stat
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import numpy as np
from attrs import frozen

from tapscore.disc.programs import NO_CONSOLE, outside
from tapscore.disc.reasons import reason
from tapscore.exports.audio.encode import NOTHING_ELSE, EncoderMissing, NoSuchProgram, mp3_program
from tapscore.exports.audio.voice.decode import (
    AUDIO_RATE,
    LOWEST_GOOD_HZ,
    VIDEO_STREAM,
    RecordingUnusable,
)
from tapscore.rehearsal.bands import RATE_HZ, Floats
from tapscore.wording.catalogue import say

BLOCK_SEC = 20
LONGEST_SEC = 3 * 3600
"""More than this of a file is not read."""
_PROBE_SEC = 20
_DURATION = re.compile(r"Duration: (\d+):(\d\d):(\d\d(?:\.\d+)?)")
_MONO = re.compile(r"Audio: .*?\b(?:mono|1 channels)\b")
_AUDIO = re.compile(r"Stream #\S+.*: Audio:")
_SHORTEST_SEC = 2.0


@frozen
class Recording:
    """A file with sound in it."""

    path: Path
    length_sec: float | None
    """As the file says; None where it does not."""
    channels: int
    rate_hz: int
    is_video: bool

    @property
    def telephone(self) -> bool:
        """Whether its sound is that of a telephone."""
        return self.rate_hz < LOWEST_GOOD_HZ


def look_into(path: Path) -> Recording:
    """What a file holds.  Raises RecordingUnusable where there is no sound to read."""
    try:
        status = path.stat()
        if stat.S_ISREG(status.st_mode):  # the program doesn't tell a right from a fault
            path.open("rb").close()
    except OSError as error:
        raise RecordingUnusable(
            say(
                "{file} can't be read: {why}. Look at the name and the folder.",
                file=path.name,
                why=reason(error),
            )
        ) from error
    if not stat.S_ISREG(status.st_mode):
        raise RecordingUnusable(say("{file} is no file. Choose a recording.", file=path.name))
    if status.st_size == 0:
        raise RecordingUnusable(
            say("{file} is empty. Send it from the phone again.", file=path.name)
        )
    try:
        told = subprocess.run(
            [*_program(path), *_input(path, 0.0)],
            capture_output=True,
            timeout=_PROBE_SEC,
            check=False,
            env=outside(),
            creationflags=NO_CONSOLE,
        )
    except (OSError, subprocess.SubprocessError) as error:
        raise RecordingUnusable(
            say("{file} can't be read. Save it as WAV and try again.", file=path.name)
        ) from error
    about = told.stderr.decode("utf-8", "replace")
    is_video = VIDEO_STREAM.search(about) is not None
    if _AUDIO.search(about) is None:
        raise RecordingUnusable(
            say(
                "{file} is {what:video=a video without sound. Record the sound alone|*=broken, or "
                "no sound file. Send it from the phone again}, or choose another.",
                file=path.name,
                what="video" if is_video else "broken",
            )
        )
    rate = AUDIO_RATE.search(about)
    length = _DURATION.search(about)
    seconds = (
        60 * (60 * int(length[1]) + int(length[2])) + float(length[3])
        if length is not None
        else None
    )
    return Recording(
        path,
        seconds,
        1 if _MONO.search(about) else 2,
        int(rate[1]) if rate is not None else RATE_HZ,
        is_video,
    )


def blocks_of(
    recording: Recording, begin_sec: float = 0.0, end_sec: float | None = None
) -> Iterator[Floats]:
    """Blocks of shape ``(channels, frames)`` at ``RATE_HZ``, full scale 1.

    Raises RecordingUnusable where it ends too soon to hold a telling.  A file that is broken
    further on gives what comes before.
    """
    length = min((end_sec if end_sec is not None else LONGEST_SEC) - begin_sec, LONGEST_SEC)
    channels = recording.channels
    command = [*_program(recording.path), *_input(recording.path, begin_sec), "-vn"]
    command += ["-t", f"{max(length, 0):.3f}", "-ac", str(channels), "-ar", str(RATE_HZ)]
    size = BLOCK_SEC * RATE_HZ * channels * 2
    frames = 0
    with tempfile.TemporaryFile() as said, suppress(BrokenPipeError):
        program = subprocess.Popen(
            [*command, "-f", "s16le", "-"],
            stdout=subprocess.PIPE,
            stderr=said,
            env=outside(),
            creationflags=NO_CONSOLE,
        )
        try:
            assert program.stdout is not None
            while block := program.stdout.read(size):
                whole = np.frombuffer(block[: len(block) // (2 * channels) * 2 * channels], "<i2")
                samples = whole.reshape(-1, channels).T.astype(np.float32)
                samples /= np.float32(32_768)
                frames += samples.shape[1]
                yield samples
        finally:
            program.kill()
            program.wait()
            if program.stdout is not None:
                program.stdout.close()
    if frames < _SHORTEST_SEC * RATE_HZ:
        raise RecordingUnusable(
            say(
                "There are not even {least} seconds to hear in {file}. Send it from the phone "
                "again, or trim it otherwise.",
                least=_SHORTEST_SEC,
                file=recording.path.name,
            )
        )


def part_of(path: Path, begin_sec: float, end_sec: float, rate_hz: int) -> Floats:
    """A place of a recording to be heard, mono, shape ``(frames,)``, at a multiple of 16 kHz.

    Raises RecordingUnusable where it can't be read any more.
    """
    from scipy.signal import resample_poly  # type: ignore[import-untyped]

    blocks = list(blocks_of(look_into(path), begin_sec, max(end_sec, begin_sec + _SHORTEST_SEC)))
    sound: Floats = np.concatenate(blocks, axis=1).mean(axis=0)
    raised: Floats = resample_poly(sound, rate_hz // RATE_HZ, 1).astype(np.float32)
    return raised


def _program(path: Path) -> list[str]:
    try:
        return [mp3_program(), "-hide_banner", "-nostdin", *NOTHING_ELSE]
    except NoSuchProgram as error:
        raise RecordingUnusable(f"{path.name}: {error}") from error
    except EncoderMissing as error:
        raise RecordingUnusable(
            say(
                "{file} can't be read, because the program ffmpeg is missing on this computer. "
                "Install ffmpeg and try again.",
                file=path.name,
            )
        ) from error


def _input(path: Path, begin_sec: float) -> list[str]:
    # the name is given whole, so that no sign in it means anything to the program
    skip = ["-ss", f"{begin_sec:.3f}"] if begin_sec > 0 else []
    return [*skip, "-i", f"file:{path.resolve()}"]
