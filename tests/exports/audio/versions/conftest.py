"""A voice that hums and needs no program, for all tests here."""

from pathlib import Path

import pytest

from tapscore.exports.audio.voice import kept_speech, telling
from tapscore.exports.audio.voice.program import SpokenSound, VoiceProgram
from tests.exports.audio.voice.voices import spoken


@pytest.fixture(autouse=True)
def _hum(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    def says(program: VoiceProgram, text: str, *, voice: str, words_a_minute: int) -> SpokenSound:
        return spoken(text, words_a_minute)

    kept: Path = tmp_path_factory.mktemp("kept")
    monkeypatch.setenv("TAPSCORE_VOICE_CACHE", str(kept))
    monkeypatch.setattr(kept_speech, "speak", says)
    monkeypatch.setattr(telling, "voice_program", lambda: VoiceProgram(("nowhere",), "test"))
