"""Sixteen-bit frames, which formats there are, and the program that writes most of them."""

import os
import shutil
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from tapscore.wording.catalogue import say

AudioFormat = Literal["mp3", "m4a", "ogg", "flac", "wav"]
_FORMATS = (
    "wav,w64,mp3,aac,mov,mp4,m4a,3gp,3g2,mj2,ogg,flac,matroska,webm,avi,asf,amr,amrnb,amrwb,"
    "aiff,au,caf,ac3,eac3,dts,wv,ape,tta,tak,mpeg,mpegts,flv,rm,voc,oma,qcp,spx"
)
NOTHING_ELSE = ("-protocol_whitelist", "file", "-format_whitelist", _FORMATS)
"""A list of files or of addresses, called a recording, would have the program open those."""

Frames = NDArray[np.int16]
"""Shape ``(frames, 2)``."""

_FULL_SCALE = 2**15 - 1
_NAMED = "IMAGEIO_FFMPEG_EXE"
"""What imageio-ffmpeg believes without looking."""


class EncoderMissing(OSError):  # noqa: N818 - names what is the matter
    """No program that writes a compressed format was found."""


class NoSuchProgram(OSError):  # noqa: N818 - names what is the matter
    """What the user's environment names as ffmpeg can't be run."""


def lossy(audio_format: AudioFormat) -> bool:
    """Whether the format may overshoot the peaks it is given."""
    return audio_format in ("mp3", "m4a", "ogg")


def to_frames(block: NDArray[np.float32], factor: float) -> Frames:
    """Floats of shape ``(2, frames)`` as sixteen-bit frames; clipped only beyond full scale."""
    scaled = np.rint(block.T * np.float32(factor * _FULL_SCALE))
    whole: Frames = np.clip(scaled, -_FULL_SCALE, _FULL_SCALE).astype(np.int16)
    return whole


def mp3_program() -> str:
    """The ffmpeg program that comes with imageio-ffmpeg, or the system's own.

    Raises EncoderMissing if there is neither, and NoSuchProgram if the environment names another.
    """
    try:
        from imageio_ffmpeg import get_ffmpeg_exe  # type: ignore[import-untyped]

        program = str(get_ffmpeg_exe())
    except (ImportError, RuntimeError) as error:
        raise EncoderMissing(
            say("The program ffmpeg is missing on this computer. Install ffmpeg and try again.")
        ) from error
    if _NAMED in os.environ and shutil.which(program) is None:
        raise NoSuchProgram(
            say(
                "The environment variable {variable} says that ffmpeg is “{program}”, and no such "
                "program can be run. Let it name ffmpeg, or take the variable away.",
                variable=_NAMED,
                program=program,
            )
        )
    return program
