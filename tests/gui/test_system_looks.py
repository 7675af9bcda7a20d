"""What the system is set up for holds until somebody chooses otherwise."""

from pathlib import Path

import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtGui import QFont, QGuiApplication
from PySide6.QtWidgets import QApplication

from tapscore.gui import system_looks as looks
from tapscore.gui.settings import Settings
from tapscore.gui.system_looks import HALF_LETTER, SystemLooks, choices_for, scale_for, system_looks
from tapscore.workflow.product import Choices


@pytest.mark.parametrize(
    ("locale", "other", "card"),
    [
        ("en_GB", "A4", "A5"),
        ("de_DE", "A4", "A5"),
        ("en_US", "Letter", HALF_LETTER),
        ("fr_CA", "Letter", HALF_LETTER),
        ("C", "A4", "A5"),
    ],
)
def test_paper_by_region(locale: str, other: str, card: str) -> None:
    choices = choices_for(QLocale(locale))
    assert (choices.other_paper, choices.card_paper) == (other, card)


@pytest.mark.parametrize(
    ("text_pt", "scale"), [(8, 1), (9, 1), (11, 1.25), (13.5, 1.5), (18, 2), (40, 2), (-1, 1)]
)
def test_text_as_large_as_the_system_s(text_pt: float, scale: float) -> None:
    assert scale_for(text_pt, 9.0) == scale


def test_settings_begin_as_the_system_has_it_and_then_are_one_s_own(tmp_path: Path) -> None:
    usual = SystemLooks("dark", 1.5, Choices(other_paper="Letter"))
    settings = Settings(tmp_path / "s.json", usual)
    assert (settings.inks, settings.scale, settings.choices) == ("dark", 1.5, usual.choices)
    settings.inks, settings.scale, settings.choices = "light", 1.0, Choices()
    again = Settings(tmp_path / "s.json", usual)
    assert (again.inks, again.scale, again.choices) == ("light", 1.0, Choices())


def test_the_system_is_asked(qapp: QApplication, monkeypatch: pytest.MonkeyPatch) -> None:
    class Accessibility:
        preference = Qt.ContrastPreference.NoPreference

        def contrastPreference(self) -> Qt.ContrastPreference:  # noqa: N802
            return self.preference

    class Hints:
        scheme = Qt.ColorScheme.Dark

        def colorScheme(self) -> Qt.ColorScheme:  # noqa: N802
            return self.scheme

        def accessibility(self) -> Accessibility:
            return Accessibility()

    monkeypatch.setattr(QGuiApplication, "styleHints", staticmethod(Hints))
    monkeypatch.setattr(QGuiApplication, "font", staticmethod(lambda: QFont("x", 18)))
    assert (system_looks("win32").inks, system_looks("win32").scale) == ("dark", 2.0)
    assert system_looks("darwin").scale == 1.5
    Hints.scheme = Qt.ColorScheme.Light
    assert system_looks("linux").inks == "light"
    Accessibility.preference = Qt.ContrastPreference.HighContrast
    assert system_looks("linux").inks == "high contrast"
    assert SystemLooks() == looks.PLAIN
