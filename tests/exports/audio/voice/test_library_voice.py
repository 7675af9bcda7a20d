"""The voice that comes along says what the program espeak-ng says."""

import subprocess
import sys

import pytest

from tapscore.disc.programs import installed_program
from tapscore.exports.audio.voice import library_voice, program
from tapscore.exports.audio.voice.program import VoiceMissing, VoiceProgram, speak, voice_program

WORDS = ("Row the lantern, row the lantern home.", "ready?", "Splash!", "Größe, naïve café")


@pytest.fixture
def along(monkeypatch: pytest.MonkeyPatch) -> VoiceProgram:
    """The voice of a computer on which no program speaks."""
    monkeypatch.setattr(program, "installed_program", lambda name: None)
    found = voice_program()
    assert found is not None
    assert found.command == (sys.executable, "-P", "-m", library_voice.__name__)
    assert found.version.startswith("eSpeak NG text-to-speech: 1.5")
    return found


@pytest.mark.parametrize(("voice", "pace"), [("en-gb", 160), ("en-gb+f3", 210), ("de", 120)])
def test_it_says_the_same_twice_and_as_the_program_does(
    along: VoiceProgram, voice: str, pace: int
) -> None:
    installed = installed_program("espeak-ng")
    for words in WORDS:
        first, again = (speak(along, words, voice=voice, words_a_minute=pace) for _ in range(2))
        assert first.rate_hz == 22_050
        assert first.samples.tobytes() == again.samples.tobytes()
        if installed is None:
            continue
        theirs = speak(VoiceProgram((installed,), ""), words, voice=voice, words_a_minute=pace)
        # Other versions differ by a few samples in places.
        assert len(first.samples) == pytest.approx(len(theirs.samples), rel=0.02)


def test_an_unknown_language_is_said(along: VoiceProgram) -> None:
    with pytest.raises(VoiceMissing, match="zz"):
        speak(along, "row", voice="zz", words_a_minute=160)


def test_nothing_heavy_is_imported_for_a_line() -> None:
    heavy = "'numpy' in sys.modules or 'tapscore.cli.app' in sys.modules"
    code = f"import sys, {library_voice.__name__}; sys.exit({heavy})"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_without_either_there_is_no_voice(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(program, "installed_program", lambda name: None)
    monkeypatch.setattr(library_voice, "find_spec", lambda name: None)
    assert voice_program() is None
