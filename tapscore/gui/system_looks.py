"""How the system is set up to look: taken over until the user chooses otherwise here."""

from attrs import field, frozen
from PySide6.QtCore import QLocale, Qt
from PySide6.QtGui import QGuiApplication

from tapscore.workflow.product import Choices

USUAL_PT = {"win32": 9.0, "darwin": 13.0}
OTHER_USUAL_PT = 10.0
"""Text of the system's own controls where nobody changed it (from memory of each system)."""
_LETTER = {
    QLocale.Country.UnitedStates,
    QLocale.Country.Canada,
    QLocale.Country.Mexico,
    QLocale.Country.Philippines,
    QLocale.Country.Chile,
    QLocale.Country.Colombia,
    QLocale.Country.Venezuela,
}
"""Where Letter is the usual paper (Unicode CLDR, paper sizes; from memory)."""
HALF_LETTER = "140x216"


@frozen
class SystemLooks:
    """What holds where the settings say nothing."""

    inks: str = "light"
    scale: float = 1.0
    choices: Choices = field(factory=Choices)


PLAIN = SystemLooks()


def choices_for(locale: QLocale) -> Choices:
    """The papers that are usual where the computer is."""
    if locale.territory() in _LETTER:
        return Choices(card_paper=HALF_LETTER, part_paper="Letter", other_paper="Letter")
    return Choices()


def scale_for(text_pt: float, usual_pt: float) -> float:
    """The system's text size as one of ours: 1 to 2 in quarters."""
    if text_pt <= 0:
        return 1.0
    return min(max(round(text_pt / usual_pt * 4) / 4, 1.0), 2.0)


def system_looks(platform: str) -> SystemLooks:
    """Ask the system; to be asked before the program sets letters of its own."""
    hints = QGuiApplication.styleHints()
    contrast = hints.accessibility().contrastPreference()
    if contrast == Qt.ContrastPreference.HighContrast:
        inks = "high contrast"
    elif hints.colorScheme() == Qt.ColorScheme.Dark:
        inks = "dark"
    else:
        inks = "light"
    text_pt = QGuiApplication.font().pointSizeF()
    scale = scale_for(text_pt, USUAL_PT.get(platform, OTHER_USUAL_PT))
    return SystemLooks(inks, scale, choices_for(QLocale.system()))
