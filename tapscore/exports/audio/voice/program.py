"""The voice program: espeak-ng, run for one text at a time.

The one installed on the computer; where there is none, the library that comes along.
"""

import re
import subprocess
from functools import lru_cache

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.disc.programs import NO_CONSOLE, installed_program, outside
from tapscore.exports.audio.voice import library_voice
from tapscore.wording.catalogue import say

PROGRAM = "espeak-ng"
BRITISH = "en-gb"
_VOICE = re.compile(r"[a-z0-9]{2,8}(?:[-+][a-z0-9]{1,8}){0,4}")
SLOWEST_WPM, FASTEST_WPM = 80, 400
"""Words a minute that the program keeps to."""
_LONGEST_SEC = 20.0
_HEADER_BYTES = 44


class VoiceMissing(OSError):  # noqa: N818 - names what is the matter
    """There is no voice program, or it does not know the language."""


@frozen
class VoiceProgram:
    """A program that speaks, with its version: the same version says the same."""

    command: tuple[str, ...]
    version: str


@frozen(eq=False)
class SpokenSound:
    """Samples of one channel, shape ``(frames,)``, sixteen bits."""

    samples: NDArray[np.int16]
    rate_hz: int


def voice_program() -> VoiceProgram | None:
    """The voice program of this computer; None if there is none."""
    path = installed_program(PROGRAM)
    known = None if path is None else _known((path,))
    ours = library_voice.command() if known is None else None
    return known if ours is None else _known(ours)


@lru_cache(maxsize=4)
def _known(command: tuple[str, ...]) -> VoiceProgram | None:
    try:
        told = subprocess.run(
            [*command, "--version"],
            capture_output=True,
            timeout=_LONGEST_SEC,
            check=True,
            env=outside(),
            creationflags=NO_CONSOLE,
        )
    except (OSError, subprocess.SubprocessError):
        return None
    return VoiceProgram(command, told.stdout.decode("utf-8", "replace").split("Data")[0].strip())


def speak(program: VoiceProgram, text: str, *, voice: str, words_a_minute: int) -> SpokenSound:
    """Let the program say a cleaned text.

    Raises VoiceMissing if it cannot: the language is not known, or it failed.
    """
    if _VOICE.fullmatch(voice) is None:  # the program takes other names for files
        raise VoiceMissing(say("“{voice}” is no language that a voice can have.", voice=voice))
    command = [*program.command, "-b", "1", "-v", voice, "-s", str(words_a_minute), "-z"]
    try:
        told = subprocess.run(
            [*command, "--stdin", "--stdout"],
            input=text.encode(),
            capture_output=True,
            timeout=_LONGEST_SEC,
            check=True,
            env=outside(),
            creationflags=NO_CONSOLE,
        )
    except (OSError, subprocess.SubprocessError) as error:
        raise VoiceMissing(
            say(
                "The program {program} could not speak “{text}” with its voice “{voice}”.",
                program=PROGRAM,
                text=text,
                voice=voice,
            )
        ) from error
    if len(told.stdout) <= _HEADER_BYTES:
        raise VoiceMissing(
            say("The program {program} has no voice for “{voice}”.", program=PROGRAM, voice=voice)
        )
    rate_hz = int.from_bytes(told.stdout[24:28], "little")
    body = told.stdout[_HEADER_BYTES:]
    samples = np.frombuffer(body[: len(body) // 2 * 2], dtype="<i2").astype(np.int16)
    return SpokenSound(samples, rate_hz)
