"""A sound file without what a phone or program wrote into it: who, where, when, with what.

The sound itself is copied as it is, by the program ffmpeg; nothing is encoded anew.
"""

import subprocess
from pathlib import Path

from tapscore.disc.programs import NO_CONSOLE, outside
from tapscore.exports.audio.encode import NOTHING_ELSE, mp3_program
from tapscore.wording.catalogue import say

_LONGEST_SEC = 120.0


class NoSoundError(ValueError):
    """The file can't be read as sound."""


def copy_plain_sound(source: Path, target: Path) -> None:
    """Copy a sound file's sound alone.  Raises NoSoundError, and OSError as EncoderMissing."""
    command = [mp3_program(), "-v", "error", "-nostdin", "-y", *NOTHING_ELSE]
    command += ["-i", f"file:{source.resolve()}"]
    command += ["-map", "0:a:0", "-map_metadata", "-1", "-map_chapters", "-1", "-c", "copy"]
    command += ["-fflags", "+bitexact", "-flags:a", "+bitexact", f"file:{target.resolve()}"]
    try:
        done = subprocess.run(
            command,
            capture_output=True,
            timeout=_LONGEST_SEC,
            check=False,
            env=outside(),
            creationflags=NO_CONSOLE,
        )
    except subprocess.TimeoutExpired as error:
        raise NoSoundError(say("{file} takes too long to read", file=source.name)) from error
    if done.returncode:
        target.unlink(missing_ok=True)
        raise NoSoundError(say("{file} can't be read as sound", file=source.name))
