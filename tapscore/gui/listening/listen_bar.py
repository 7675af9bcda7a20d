"""The bar below the story: listen, stop, go on, and how to listen."""

from fractions import Fraction

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QToolButton,
    QWidget,
)

from tapscore.exports.audio.versions.slower import SPEEDS
from tapscore.gui.aloud import say_aloud
from tapscore.gui.flow import FlowBar
from tapscore.gui.listening.player import PlayChoices, PlayerState
from tapscore.gui.sound_fields import LoudestChoice
from tapscore.model.loudness import Loudness
from tapscore.screen.heard_rows import LoopChoice
from tapscore.screen.sentences import AT_REST
from tapscore.wording.catalogue import say

EVERYONE = say("everyone alike")
LEAST_STATUS_PX = 280


class ListenBar(FlowBar):
    """Buttons and choices; every one has a name and can be reached with Tab."""

    listen = Signal()
    stop = Signal()
    go_on = Signal()
    chosen = Signal()
    """Speed, loop, part or count-in is another."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(say("Listening"), last_px=LEAST_STATUS_PX, parent=parent)
        self.listen_button = _button(
            say("Listen from here"), say("Listen from the line you are in: F5")
        )
        self.stop_button = _button(say("Stop"), say("Stop listening: F6"))
        self.go_on_button = _button(
            say("Go on"), say("Leave the wait or the offering: Space or F7")
        )
        self.loop = _combo(say("Loop"), say("What is heard over and over"))
        self.speed = _combo(
            say("Speed"), say("How fast it is heard; the story itself stays as it is")
        )
        self.part = _combo(say("My part"), say("Whose taps are louder than the others'"))
        self.count_in = QCheckBox(say("Count in"))
        self.count_in.setAccessibleDescription(say("Clicks for a bar before the first line"))
        self.count_in.setChecked(True)
        self.practise = QCheckBox(say("Practise"))
        self.practise.setAccessibleDescription(
            say("Your part is not heard: tap it on the space bar yourself")
        )
        self.practise.setToolTip(self.practise.accessibleDescription())
        self.mono = QCheckBox(say("Mono"))
        self.mono.setAccessibleDescription(say("The same in both ears, for one earphone"))
        self.mono.setToolTip(self.mono.accessibleDescription())
        self.loudest = LoudestChoice(None)
        self.status = QLabel(AT_REST)
        self.status.setAccessibleDescription(say("What is heard"))
        self.status.setWordWrap(True)
        self.status.setTextFormat(Qt.TextFormat.PlainText)
        for choice in LoopChoice:
            self.loop.addItem(choice.words, choice)
        for speed in SPEEDS:
            self.speed.addItem(speed.name, speed.share)
        self.set_roles(())
        self._build()
        self.listen_button.clicked.connect(self.listen)
        self.stop_button.clicked.connect(self.stop)
        self.go_on_button.clicked.connect(self.go_on)
        for combo in (self.loop, self.speed, self.part, self.loudest):
            combo.currentIndexChanged.connect(self.chosen)
        self.count_in.toggled.connect(self.chosen)
        for box in (self.practise, self.mono):
            box.toggled.connect(self.chosen)
        self.show_state(PlayerState.STILL)

    @property
    def loop_choice(self) -> LoopChoice:
        """What is heard over and over."""
        return LoopChoice(self.loop.currentData())

    @property
    def choices(self) -> PlayChoices:
        """How to listen."""
        share = SPEEDS[max(self.speed.currentIndex(), 0)].share
        count_in = self.count_in.isChecked()
        part, left_out = self.part_choice, None
        if self.practise.isChecked():
            part, left_out = None, part
        return PlayChoices(Fraction(share), part, count_in, left_out, *self.ears)

    @property
    def part_choice(self) -> str | None:
        """Whose part is chosen; None for everyone alike."""
        return self.part.currentText() if self.part.currentIndex() > 0 else None

    @property
    def ears(self) -> tuple[bool, Loudness | None]:
        """Whether both ears hear the same, and how loud the loudest taps are heard."""
        return self.mono.isChecked(), self.loudest.loudest

    def show_ears(self, mono: bool, loudest: Loudness | None) -> None:
        """Show what was chosen last."""
        self.mono.setChecked(mono)
        self.loudest.choose(loudest)

    def choose_loop(self, choice: LoopChoice) -> None:
        """Choose what is heard over and over; choosing the same again chooses nothing."""
        same = choice is self.loop_choice
        self.loop.setCurrentIndex(0 if same else list(LoopChoice).index(choice))

    def step_speed(self, steps: int) -> None:
        """Slower (1) or less slow (-1)."""
        at = min(max(self.speed.currentIndex() + steps, 0), self.speed.count() - 1)
        self.speed.setCurrentIndex(at)

    def set_roles(self, roles: tuple[str, ...]) -> None:
        """Offer these parts; the one chosen stays chosen if it is still there."""
        wanted = [EVERYONE, *roles]
        if [self.part.itemText(i) for i in range(self.part.count())] == wanted:
            return
        chosen = self.part.currentText() if self.part.currentIndex() > 0 else EVERYONE
        with QSignalBlocker(self.part):
            self.part.clear()
            self.part.addItems(wanted)
            self.part.setCurrentIndex(wanted.index(chosen) if chosen in wanted else 0)

    def show_state(self, state: PlayerState) -> None:
        """Enable what can be done now; the focus goes on to what comes next."""
        holding = state is PlayerState.HOLDING
        inside = self.stop_button.hasFocus() or self.go_on_button.hasFocus()
        inside = inside or self.listen_button.hasFocus()
        self.go_on_button.setEnabled(holding)
        self.stop_button.setEnabled(state is not PlayerState.STILL)
        if inside:
            next_button = self.stop_button if self.stop_button.isEnabled() else self.listen_button
            (self.go_on_button if holding else next_button).setFocus()

    def say(self, sentence: str, *, aloud: bool = False) -> None:
        """Put a sentence into the bar; it stays until the next.

        ``aloud`` asks a screen reader, where there is one, to speak it at once.
        """
        if self.status.text() == sentence:
            return
        self.status.setText(sentence)
        if aloud:
            say_aloud(self.status, sentence)

    def _build(self) -> None:
        self.more = QToolButton()
        self.more.setText(say("More"))
        self.more.setCheckable(True)
        self.more.setAccessibleName(say("More ways to listen"))
        self.more.setToolTip(say("Loop, speed, your own part"))
        self.more.setAccessibleDescription(say("Loop, speed, your own part"))
        extras = (
            _labelled(say("L&oop"), self.loop),
            _labelled(say("S&peed"), self.speed),
            _labelled(say("&My part"), self.part),
            self.count_in,
            self.practise,
            self.mono,
            _labelled(say("&Taps are heard"), self.loudest),
        )
        main = _group(self.listen_button, self.stop_button, self.go_on_button, self.more)
        for widget in (main, *extras, self.status):
            self.add(widget)
        for widget in extras:
            self.more.toggled.connect(widget.setVisible)
            widget.hide()

    def show_more(self) -> None:
        """Unfold the ways to listen."""
        self.more.setChecked(True)


def _button(text: str, about: str) -> QPushButton:
    button = QPushButton(text)
    button.setAccessibleName(text)
    button.setAccessibleDescription(about)
    button.setToolTip(about)
    return button


def _combo(name: str, about: str) -> QComboBox:
    combo = QComboBox()
    combo.setAccessibleName(name)
    combo.setAccessibleDescription(about)
    combo.setToolTip(about)
    combo.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
    return combo


def _group(*widgets: QWidget) -> QWidget:
    group = QWidget()
    row = QHBoxLayout(group)
    row.setContentsMargins(0, 0, 8, 0)
    row.setSpacing(8)
    for widget in widgets:
        row.addWidget(widget)
    return group


def _labelled(text: str, combo: QComboBox) -> QWidget:
    label = QLabel(text)
    label.setBuddy(combo)
    return _group(label, combo)
