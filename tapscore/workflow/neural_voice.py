"""Lines read out by a neural voice that the user brings, kept as recordings.

The program piper (the extra ``neural``) runs apart, once for all lines, and writes a file
for each; from then on these are recordings like any other: begun on their taps, stretched
to the line, replaced by the teacher's own whenever she likes.
"""

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

from attrs import frozen

from tapscore.disc.programs import NO_CONSOLE, installed_program, outside, packed
from tapscore.disc.reasons import reason
from tapscore.wording.catalogue import say
from tapscore.workflow.recording_lines import LineToRecord, bring_in

NOT_INSTALLED = say(
    "The neural voice is not installed. Install tapscore with its extra “neural”, or leave it: "
    "without recordings the usual synthetic voice speaks."
)
_POLL_SEC = 0.05
_LONGEST_SEC = 600.0


@frozen
class ReadOut:
    """What came of it."""

    count: int
    """How many lines were read out."""
    problem: str = ""


def neural_program() -> list[str] | None:
    """How the program is called on this computer; None if it is not there.

    Only what is installed counts, and it runs with ``-P``: a file ``piper.py`` that happens
    to lie in the current folder is never started.
    """
    with suppress(PackageNotFoundError):
        distribution("piper-tts")
        if not packed():  # there the app itself would be started
            return [sys.executable, "-P", "-m", "piper"]
    found = installed_program("piper")
    return [found] if found is not None else None


def read_out(
    folder: Path,
    lines: Sequence[LineToRecord],
    voice: Path,
    *,
    cancelled: Callable[[], bool] = lambda: False,
    program: Sequence[str] | None = None,
) -> ReadOut:
    """Have the lines without a recording read out by the voice in a file (``*.onnx``).

    Nothing is kept of a run that failed or was stopped.
    """
    from tapscore.exports.audio.voice.clean import cleaned

    command = list(program) if program is not None else neural_program()
    if command is None:
        return ReadOut(0, NOT_INSTALLED)
    settings = voice.with_name(f"{voice.name}.json")
    missing = next((path for path in (voice, settings) if not path.is_file()), None)
    if missing is not None:
        return ReadOut(
            0,
            say(
                "There is no file {missing}: a voice is two files in one folder, NAME.onnx and "
                "NAME.onnx.json.",
                missing=missing.name,
            ),
        )
    texts = {line: cleaned(line.words) for line in lines if line.file is None}
    wanted = [line for line, text in texts.items() if text]
    with tempfile.TemporaryDirectory(prefix="tapscore-") as made:
        said = "".join(f"{texts[line]}\n" for line in wanted)
        problem = _run([*command, "-m", str(voice.resolve()), "-d", made], said, cancelled)
        sounds = sorted(Path(made).glob("*.wav"), key=lambda path: (len(path.name), path.name))
        if problem or len(sounds) != len(wanted):
            return ReadOut(
                0,
                problem or say("The voice {voice} did not read out every line.", voice=voice.name),
            )
        try:
            for line, sound in zip(wanted, sounds, strict=True):
                bring_in(folder, line, sound)
        except OSError as error:
            return ReadOut(
                0,
                say(
                    "It can't be written into {folder}: {why}.",
                    folder=folder.name,
                    why=reason(error),
                ),
            )
    return ReadOut(len(wanted))


def _run(command: list[str], text: str, cancelled: Callable[[], bool]) -> str:
    """Run a program with a text to read; why it failed, or nothing."""
    with tempfile.TemporaryFile("w+", encoding="utf-8") as said, tempfile.TemporaryFile() as asked:
        asked.write(text.encode())
        asked.seek(0)
        try:
            running = subprocess.Popen(
                command,
                stdin=asked,
                stdout=subprocess.DEVNULL,
                stderr=said,
                env=outside(),
                creationflags=NO_CONSOLE,
            )
        except OSError as error:
            return say("The voice can't be started: {why}.", why=reason(error))
        end = time.monotonic() + _LONGEST_SEC
        while running.poll() is None:
            if cancelled() or time.monotonic() > end:
                running.kill()
                running.wait()
                return say("Stopped. Nothing was kept.")
            time.sleep(_POLL_SEC)
        if running.returncode == 0:
            return ""
        said.seek(0)
        last = said.read().strip().splitlines()[-1:]
        return say("The voice failed: {why}.", why=last[0] if last else say("it does not say why"))
