"""Sixteen-bit frames into a sound file: WAV as they come, MP3 once all are there."""

import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import BinaryIO, Literal

import numpy as np
from numpy.typing import NDArray

from tapscore.exports.audio.mix import CHANNELS
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ

AudioFormat = Literal["wav", "mp3"]
AUDIO_FORMATS: tuple[AudioFormat, ...] = ("wav", "mp3")

Frames = NDArray[np.int16]
"""Shape ``(frames, 2)``."""

_FULL_SCALE = 32_767
_MP3_SETTINGS = ["-q:a", "4"]
"""Variable bit rate, about 160 kbit/s for a dense guide."""


class EncoderMissing(OSError):  # noqa: N818 - names what is the matter
    """No program that writes MP3 was found."""


def lossy(audio_format: AudioFormat) -> bool:
    """Whether the format may overshoot the peaks it is given."""
    return audio_format == "mp3"


def to_frames(block: NDArray[np.float32], factor: float) -> Frames:
    """Floats of shape ``(2, frames)`` as sixteen-bit frames; clipped only beyond full scale."""
    scaled = np.rint(block.T * np.float32(factor * _FULL_SCALE))
    whole: Frames = np.clip(scaled, -_FULL_SCALE, _FULL_SCALE).astype(np.int16)
    return whole


def mp3_program() -> str:
    """The ffmpeg program that comes with imageio-ffmpeg, or the system's own.

    Raises EncoderMissing if there is neither.
    """
    try:
        from imageio_ffmpeg import get_ffmpeg_exe  # type: ignore[import-untyped]

        return str(get_ffmpeg_exe())
    except (ImportError, RuntimeError) as error:
        raise EncoderMissing(
            "The audio guide cannot be made as MP3, because the program ffmpeg is missing on "
            "this computer. Make it as WAV, or install ffmpeg and try again."
        ) from error


@contextmanager
def open_writer(
    out: BinaryIO, audio_format: AudioFormat, *, title: str, length_frames: int
) -> Iterator[Callable[[Frames], None]]:
    """Gives a function that takes ``length_frames`` frames in order, and writes ``out``.

    MP3 is encoded at the end, if nothing went wrong before.  Raises EncoderMissing for MP3
    without ffmpeg, OSError where the file cannot be written.
    """
    clean = " ".join(title.replace("\0", " ").encode("utf-8", "replace").decode().splitlines())
    if audio_format == "wav":
        with _wav(out, clean) as write:
            yield write
        return
    whole = np.zeros((length_frames, CHANNELS), np.int16)
    filled = 0

    def keep(block: Frames) -> None:
        nonlocal filled
        whole[filled : filled + len(block)] = block
        filled += len(block)

    yield keep
    _encode_mp3(whole, out, clean)


@contextmanager
def _wav(out: BinaryIO, title: str) -> Iterator[Callable[[Frames], None]]:
    import soundfile  # type: ignore[import-untyped]

    try:
        with soundfile.SoundFile(
            _number_or_file(out),
            "w",
            SAMPLE_RATE_HZ,
            CHANNELS,
            subtype="PCM_16",
            format="WAV",
            closefd=False,
        ) as file:
            if title:
                file.title = title
            yield file.write
    except soundfile.SoundFileError as error:
        raise OSError(
            "The sound file could not be written. Look whether the disk is full, or choose "
            "another folder."
        ) from error


def _number_or_file(out: BinaryIO) -> int | BinaryIO:
    """The system's number of an open file: only so a full disk is told and not lost."""
    try:
        number = out.fileno()
    except OSError:
        return out
    out.flush()
    return number


def _encode_mp3(whole: Frames, out: BinaryIO, title: str) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it uses audioop and looks for other programs
        from pydub import AudioSegment  # type: ignore[import-untyped]
        from pydub.exceptions import CouldntEncodeError  # type: ignore[import-untyped]

    segment = AudioSegment(
        data=whole.data.cast("B"), sample_width=2, frame_rate=SAMPLE_RATE_HZ, channels=CHANNELS
    )
    segment.converter = mp3_program()
    try:
        segment.export(out, format="mp3", parameters=_MP3_SETTINGS, tags={"title": title})
    except CouldntEncodeError as error:
        raise OSError(
            "The program ffmpeg could not write the MP3 file. Look whether the disk is full; "
            "else make the guide as WAV."
        ) from error
