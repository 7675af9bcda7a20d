"""The list to choose a microphone from, which follows what is plugged in."""

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QComboBox, QWidget

from tapscore.gui.recording.sound_in import SoundIn
from tapscore.wording.catalogue import say

NO_MICROPHONES = say("none found")


class MicrophoneChoice(QComboBox):
    """The usual microphone first; what was chosen stays chosen while it is there."""

    went = Signal(str)
    """The chosen one is gone, and another is chosen by itself: what to say of it.

    A sound server goes on with that one, even for what is being recorded.
    """
    came = Signal()
    """There is a microphone, and there was none."""

    def __init__(self, sound_in: SoundIn, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._in = sound_in
        self.setAccessibleName(say("Microphone"))
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(10)
        self._list()
        sound_in.watch(self._list)

    @Slot()
    def _list(self) -> None:
        names = self._in.names() or [NO_MICROPHONES]
        chosen = self.currentText()
        self.clear()
        self.addItems(names)
        if chosen in names:
            self.setCurrentText(chosen)
        elif chosen == NO_MICROPHONES:
            self.came.emit()
        elif chosen and names[0] != NO_MICROPHONES:
            self.went.emit(
                say("“{gone}” went away: “{now}” is chosen now.", gone=chosen, now=names[0])
            )
