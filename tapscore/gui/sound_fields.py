"""How sound files are made: their kind, and what is kind to the listener's ears."""

from attrs import evolve
from PySide6.QtWidgets import QCheckBox, QComboBox, QFormLayout, QWidget

from tapscore.model.loudness import Loudness
from tapscore.wording.catalogue import say
from tapscore.workflow.product import SOUNDS, Choices

AS_WRITTEN = say("as loud as written")
CEILINGS = (Loudness.LOUD, Loudness.MEDIUM, Loudness.QUIET)


class LoudestChoice(QComboBox):
    """How loud the loudest taps are heard, whatever is written."""

    def __init__(self, loudest: Loudness | None) -> None:
        super().__init__()
        self.addItem(AS_WRITTEN)
        self.addItems([say("{ceiling} at most", ceiling=ceiling.word) for ceiling in CEILINGS])
        self.choose(loudest)
        about = say("How loud taps are heard, for the listener's comfort")
        self.setAccessibleName(about)
        self.setAccessibleDescription(say("Taps written louder are heard at this loudness"))
        self.setToolTip(about)

    def choose(self, loudest: Loudness | None) -> None:
        """Choose a ceiling; another than those offered is as none."""
        self.setCurrentIndex(1 + CEILINGS.index(loudest) if loudest in CEILINGS else 0)

    @property
    def loudest(self) -> Loudness | None:
        """The ceiling; None where taps are heard as loud as written."""
        at = self.currentIndex()
        return CEILINGS[at - 1] if at > 0 else None


class SoundFields(QWidget):
    """Fields for the sound part of choices."""

    def __init__(self, choices: Choices) -> None:
        super().__init__()
        self.kind = QComboBox()
        self.kind.addItems(SOUNDS)
        self.kind.setCurrentText(choices.sound)
        self.kind.setAccessibleName(say("Kind of sound file"))
        self.loudest = LoudestChoice(choices.loudest_heard)
        self.mono = QCheckBox(say("the same in both ears"))
        self.mono.setChecked(choices.mono)
        self.short = QCheckBox(say("turns of ten seconds, not as written"))
        self.short.setChecked(choices.short_turns)
        form = QFormLayout(self)
        form.setContentsMargins(0, 0, 0, 0)
        form.addRow(say("Sound"), self.kind)
        form.addRow(say("Taps are heard"), self.loudest)
        form.addRow("", self.mono)
        form.addRow("", self.short)

    def into(self, choices: Choices) -> Choices:
        """The choices with what is in the fields."""
        return evolve(
            choices,
            sound=SOUNDS[self.kind.currentIndex()],
            loudest_heard=self.loudest.loudest,
            mono=self.mono.isChecked(),
            short_turns=self.short.isChecked(),
        )
