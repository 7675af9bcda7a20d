"""A neural voice, played by a small program that writes files as piper does.

The real program with a real voice was tried by hand (see DEVELOPERS.md): a voice is some
60 MB and is the user's to bring.
"""

import sys
from pathlib import Path

import pytest
import soundfile  # type: ignore[import-untyped]

from tapscore.workflow import neural_voice
from tapscore.workflow.neural_voice import NOT_INSTALLED, read_out
from tapscore.workflow.recording_lines import keep_take, lines_to_record
from tests.exports.audio.voice.voices import tone
from tests.workflow.test_recording_lines import story

PROGRAM = """\
import sys, wave
folder = sys.argv[sys.argv.index("-d") + 1]
for number, line in enumerate(sys.stdin.read().splitlines(), 8):
    if {fails!r} in line:
        sys.exit("the voice is hoarse")
    with wave.open(f"{{folder}}/{{number}}.wav", "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(22050)
        file.writeframes(b"\\x00\\x20\\x00\\xe0" * 2000 * len(line.split()))
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "Steps recordings"


@pytest.fixture
def voice(tmp_path: Path) -> Path:
    for name in ("calm.onnx", "calm.onnx.json"):
        (tmp_path / name).write_bytes(b"{}")
    return tmp_path / "calm.onnx"


def program(tmp_path: Path, fails: str = "#") -> list[str]:
    path = tmp_path / "speaker.py"
    path.write_text(PROGRAM.format(fails=fails))
    return [sys.executable, str(path)]


TOLD = story("Up the steps", "down", "in 3 long halls, all the way", "...")


def test_lines_without_a_recording_are_read_out_each_into_its_file(
    folder: Path, voice: Path, tmp_path: Path
) -> None:
    keep_take(folder, lines_to_record(TOLD, folder)[1], tone(1.0), 48_000)
    found = read_out(folder, lines_to_record(TOLD, folder), voice, program=program(tmp_path))
    assert (found.count, found.problem) == (2, "")
    names = [line.file and line.file.name for line in lines_to_record(TOLD, folder)]
    assert names == ["01.wav", "02.wav", "03.wav", None]
    words = [soundfile.info(folder / name).frames / 4000 for name in ("01.wav", "03.wav")]
    assert words == [3, 7]


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        ("the voice", "There is no file calm.onnx:"),
        ("the settings", "There is no file calm.onnx.json"),
        ("a line", "the voice is hoarse"),
        ("the program", "can't be started"),
    ],
)
def test_what_is_wrong_is_said_and_nothing_kept(
    spoil: str, said: str, folder: Path, voice: Path, tmp_path: Path
) -> None:
    if spoil == "the voice":
        voice.unlink()
    if spoil == "the settings":
        voice.with_name("calm.onnx.json").unlink()
    command = program(tmp_path, "halls" if spoil == "a line" else "#")
    if spoil == "the program":
        command = [str(tmp_path / "nothing here")]
    found = read_out(folder, lines_to_record(TOLD, folder), voice, program=command)
    assert found.count == 0
    assert said in found.problem
    assert not folder.exists()


def test_where_a_line_is_passed_over_none_is_kept(
    folder: Path, voice: Path, tmp_path: Path
) -> None:
    """Else every line after it would have the words of its neighbour."""
    whole = PROGRAM.format(fails="#")
    (tmp_path / "speaker.py").write_text(
        f"{whole}\nnext(__import__('pathlib').Path(sys.argv[-1]).glob('*.wav')).unlink()\n"
    )
    command = [sys.executable, str(tmp_path / "speaker.py")]
    found = read_out(folder, lines_to_record(TOLD, folder), voice, program=command)
    assert (found.count, found.problem) == (0, "The voice calm.onnx did not read out every line.")
    assert not folder.exists()


def test_it_can_be_stopped(folder: Path, voice: Path, tmp_path: Path) -> None:
    slow = [sys.executable, "-c", "import time; time.sleep(60)"]
    lines = lines_to_record(TOLD, folder)
    found = read_out(folder, lines, voice, program=slow, cancelled=lambda: True)
    assert found.problem.startswith("Stopped")
    assert not folder.exists()


def test_without_the_program_it_says_how_to_get_it(
    folder: Path, voice: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(neural_voice, "neural_program", lambda: None)
    assert read_out(folder, lines_to_record(TOLD, folder), voice).problem == NOT_INSTALLED
