"""A question with its answers, all of them whole at any size of letters.

Qt's own box cuts answers off where they are wider than most of the screen.
"""

from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from tapscore.gui.enter import CalmDialog
from tapscore.gui.flow import FlowColumn
from tapscore.gui.scrolled import scrolled
from tapscore.wording.catalogue import say

_LETTERS = 64
_FREE_PX = 60
"""Of the screen, kept beside it."""


class Question(CalmDialog):
    """Says something and waits for one of its answers; closed, the answer is the last."""

    def __init__(
        self,
        parent: QWidget | None,
        text: str,
        more: str,
        answers: tuple[str, ...],
        *,
        loses: bool = False,
    ) -> None:
        """``loses``: the first answer loses something, so that the keys begin at the last."""
        super().__init__(parent)
        self.setWindowTitle("tapscore")
        self.setAccessibleDescription(f"{text}\n{more}".strip())
        self.answer = answers[-1]
        self.text, self.more = _words(text), _words(more)
        self.more.setVisible(bool(more))
        self.buttons = tuple(QPushButton(answer) for answer in answers)
        words = QVBoxLayout()
        words.setContentsMargins(0, 0, 0, 0)
        words.setSpacing(12)
        words.addWidget(self.text)
        words.addWidget(self.more)
        words.addStretch(1)
        flow = FlowColumn()
        for button, answer in zip(self.buttons, answers, strict=True):
            button.clicked.connect(partial(self._answered, answer))
            flow.addWidget(button)
        self.area = scrolled(words, say("The question"))
        self.area.setMinimumSize(1, 1)  # else Qt keeps room for scroll bars
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 16, 20, 16)
        column.setSpacing(16)
        column.addWidget(self.area, 1)
        column.addLayout(flow)
        self._fit(words, flow)
        self.buttons[-1 if loses else 0].setFocus()

    def _fit(self, words: QVBoxLayout, flow: FlowColumn) -> None:
        """As large as words and answers need, as far as the screen goes."""
        self.ensurePolished()
        for each in (self.text, self.more, *self.buttons):
            each.ensurePolished()
        screen = self.screen().availableSize()
        metrics = self.fontMetrics()
        lines = [line for label in (self.text, self.more) for line in label.text().splitlines()]
        longest = max(metrics.horizontalAdvance(line) for line in lines or [""])
        letters = _LETTERS * metrics.averageCharWidth()
        wide = max(min(longest + 8, letters), min(flow.sizeHint().width(), round(1.4 * letters)))
        wide = min(wide, screen.width() - _FREE_PX - 40)
        high = words.heightForWidth(wide) + flow.height_at(wide) + 16 + 32 + 4
        self.resize(wide + 40, min(high, screen.height() - _FREE_PX))

    def _answered(self, answer: str) -> None:
        self.answer = answer
        self.accept()


def _words(text: str) -> QLabel:
    """Signs as they are: a title may hold what looks like marks."""
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label
