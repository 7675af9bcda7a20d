"""Blocks of frames into a tagged sound file, encoded by a program of its own as they come."""

import base64
import contextlib
import shutil
import struct
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, BinaryIO

import numpy as np

from tapscore.disc.programs import NO_CONSOLE, outside
from tapscore.exports.audio.encode import AudioFormat, EncoderMissing, Frames, mp3_program
from tapscore.exports.audio.mix import CHANNELS
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ
from tapscore.exports.audio.tags import MAKER, Tags, ffmetadata, one_line
from tapscore.model.finding import Finding, Severity
from tapscore.wording.catalogue import say

_CODECS: dict[AudioFormat, list[str]] = {
    "mp3": ["-c:a", "libmp3lame", "-q:a", "4", "-id3v2_version", "4"],
    "m4a": ["-c:a", "aac", "-aac_coder", "fast", "-b:a", "128k", "-movflags", "+faststart"],
    "ogg": ["-c:a", "copy"],
    "flac": ["-c:a", "flac", "-compression_level", "3"],
}
_MUXERS = {"mp3": "mp3", "m4a": "ipod", "ogg": "ogg", "flac": "flac"}
_SUBTYPES = {"wav": "PCM_16", "flac": "PCM_16", "ogg": "VORBIS", "mp3": "MPEG_LAYER_III"}
_COMPRESSION = {"ogg": 0.6}
"""The library's measure: 1 - quality."""
_END_SEC = 300


def program_or_none() -> str | None:
    """The ffmpeg program, or None: then there are no chapters and no cover picture."""
    try:
        return mp3_program()
    except EncoderMissing:
        return None


def look_for_program(file_format: AudioFormat) -> None:
    """Raise EncoderMissing where a format can't be written without ffmpeg, and there is none."""
    if file_format == "m4a" and program_or_none() is None:
        raise EncoderMissing(
            say(
                "M4A files cannot be made, because the program ffmpeg is missing on this computer. "
                "Choose MP3 or WAV, or install ffmpeg and try again."
            )
        )


def without_program(file_format: AudioFormat) -> Iterator[Finding]:
    """What a file lacks where there is no ffmpeg: chapters and a cover picture."""
    if file_format != "wav" and program_or_none() is None:
        yield Finding("encoder-missing", Severity.ADVICE)


@contextmanager
def open_sound_file(
    path: Path, file_format: AudioFormat, tags: Tags
) -> Iterator[Callable[[Frames], None]]:
    """Gives a function that takes frames in order; the file is whole when the block ends.

    On any error what was written is of no use and the caller deletes it.  Raises
    EncoderMissing for M4A without ffmpeg, OSError where the file cannot be written.
    """
    program = program_or_none() if file_format != "wav" else None
    if program is not None and file_format == "ogg":
        # the library's encoder is half as fast again as the program's, which adds the tags
        with tempfile.TemporaryDirectory(prefix="tapscore-") as folder:
            encoded = Path(folder) / "sound.ogg"
            with encoded.open("wb+") as out, _by_library(out, file_format, tags) as write:
                yield write
            with _by_program(program, path, file_format, tags, encoded):
                pass
        return
    if program is not None:
        with _by_program(program, path, file_format, tags) as write:
            yield write
        return
    look_for_program(file_format)
    with path.open("wb+") as out, _by_library(out, file_format, tags) as write:
        yield write


@contextmanager
def written_into(
    out: BinaryIO, audio_format: AudioFormat, tags: Tags
) -> Iterator[Callable[[Frames], None]]:
    """The same into an open file: WAV at once, other formats when all is encoded."""
    if audio_format == "wav":
        with _by_library(out, audio_format, tags) as write:
            yield write
        return
    with tempfile.TemporaryDirectory(prefix="tapscore-") as folder:
        path = Path(folder) / f"sound.{audio_format}"
        with open_sound_file(path, audio_format, tags) as write:
            yield write
        with path.open("rb") as encoded:
            shutil.copyfileobj(encoded, out)
        out.flush()


@contextmanager
def _by_program(
    program: str,
    path: Path,
    file_format: AudioFormat,
    tags: Tags,
    encoded: Path | None = None,
) -> Iterator[Callable[[Frames], None]]:
    with (
        tempfile.TemporaryDirectory(prefix="tapscore-") as folder,
        tempfile.TemporaryFile() as said,
    ):
        command = [program, "-v", "error", "-nostdin", "-y"]
        if encoded is None:
            command += ["-f", "s16le", "-ar", str(SAMPLE_RATE_HZ), "-ac", str(CHANNELS)]
        command += ["-i", "pipe:0" if encoded is None else f"file:{encoded}"]
        command += _tag_inputs(Path(folder), file_format, tags)
        command += [*_CODECS[file_format], "-threads", "1", "-fflags", "+bitexact"]
        command += ["-f", _MUXERS[file_format], f"file:{path.resolve()}"]
        running = subprocess.Popen(
            command,
            stdin=subprocess.PIPE,
            stderr=said,
            env=outside(),
            creationflags=NO_CONSOLE,
        )
        assert running.stdin is not None
        pipe: IO[bytes] = running.stdin

        def write(block: Frames) -> None:
            side_by_side = np.empty(block.shape, np.int16)
            for channel in range(CHANNELS):  # numpy itself would take six times as long
                side_by_side[:, channel] = block[:, channel]
            try:
                pipe.write(side_by_side.data.cast("B"))
            except OSError as error:
                raise _failed(running, said, path) from error

        try:
            yield write
            try:
                pipe.close()
            except OSError as error:
                raise _failed(running, said, path) from error
            if running.wait(_END_SEC) != 0:
                raise _failed(running, said, path)
        finally:
            with contextlib.suppress(OSError):
                pipe.close()
            if running.poll() is None:
                running.kill()
                running.wait()


def _failed(running: "subprocess.Popen[bytes]", said: IO[bytes], path: Path) -> OSError:
    import errno

    with contextlib.suppress(subprocess.TimeoutExpired):
        running.wait(_END_SEC)
    said.seek(0)
    text = said.read().decode("utf-8", "replace")
    if "No space left" in text:
        return OSError(errno.ENOSPC, say("the disc is full"), path.name)
    return OSError(
        say(
            "The program ffmpeg could not write {path}. Look whether the disc is full; else "
            "choose WAV.",
            path=path.name,
        )
    )


def _tag_inputs(folder: Path, file_format: AudioFormat, tags: Tags) -> list[str]:
    text = ffmetadata(tags, chapters_as_comments=file_format in ("ogg", "flac"))
    if file_format == "ogg" and tags.cover_png:
        text += f"METADATA_BLOCK_PICTURE={_picture_block(tags.cover_png)}\n"
    metadata = folder / "tags.txt"
    metadata.write_text(text, encoding="utf-8")
    command = ["-f", "ffmetadata", "-i", f"file:{metadata}"]
    if not tags.cover_png or file_format == "ogg":
        return [*command, "-map", "0:a", "-map_metadata", "1", "-map_chapters", "1"]
    cover = folder / "cover.png"
    cover.write_bytes(tags.cover_png)
    command += ["-i", f"file:{cover}", "-map", "0:a", "-map", "2:v", "-c:v", "copy"]
    command += ["-disposition:v:0", "attached_pic", "-metadata:s:v", "title=Cover"]
    command += ["-metadata:s:v", "comment=Cover (front)"]
    return [*command, "-map_metadata", "1", "-map_chapters", "1"]


def _picture_block(png: bytes) -> str:
    """A front cover as Vorbis comments hold it: the FLAC picture block in base 64."""
    width, height = struct.unpack(">II", png[16:24])
    mime, about = b"image/png", b"Cover"
    block = struct.pack(">II", 3, len(mime)) + mime + struct.pack(">I", len(about)) + about
    block += struct.pack(">IIIII", width, height, 24, 0, len(png)) + png
    return base64.b64encode(block).decode().replace("=", "\\=")


@contextmanager
def _by_library(
    out: BinaryIO, file_format: AudioFormat, tags: Tags
) -> Iterator[Callable[[Frames], None]]:
    import soundfile  # type: ignore[import-untyped]

    try:
        with soundfile.SoundFile(
            _number_or_file(out),
            "w",
            SAMPLE_RATE_HZ,
            CHANNELS,
            subtype=_SUBTYPES[file_format],
            format=file_format.upper(),
            closefd=False,
            compression_level=_COMPRESSION.get(file_format),
        ) as file:
            told = {"title": tags.title, "album": tags.story, "artist": tags.role or MAKER}
            for name, text in told.items():
                if line := one_line(text):  # the library knows no empty ones
                    setattr(file, name, line)

            def write_floats(frames: Frames) -> None:
                """For MP3: of whole numbers libsndfile 1.2.2 makes loud noise in two channels."""
                file.write(frames.astype("float32") / 2**15)

            yield write_floats if file_format == "mp3" else file.write
    except soundfile.SoundFileError as error:
        raise OSError(
            say(
                "The sound file could not be written. Look whether the disc is full, or choose "
                "another folder."
            )
        ) from error


def _number_or_file(out: BinaryIO) -> int | BinaryIO:
    """The system's number of an open file: only so a full disk is told and not lost."""
    try:
        return out.fileno()
    except OSError:
        return out
