"""What was guessed from plain words, above the story, with one press to change each."""

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from tapscore.gui.document import Document
from tapscore.gui.flow import FlowColumn
from tapscore.model.edits import join_sections, without_refrain
from tapscore.model.fewer_taps import Tapped
from tapscore.model.metre import Metre
from tapscore.model.story import Story
from tapscore.rhythm.unroll import story_manner
from tapscore.wording.catalogue import say
from tapscore.wording.grammar import quoted
from tapscore.workflow.metre_choice import other_metres
from tapscore.workflow.refitting import with_one_metre
from tapscore.workflow.thinning import thinned

MOST_METRES, MOST_REFRAINS = 3, 3


class GuessStrip(QWidget):
    """Follows the story while it is shown; emits ``put_away`` when the user has seen enough."""

    put_away = Signal()

    def __init__(self, document: Document) -> None:
        super().__init__()
        self._document = document
        self._text = QLabel()
        self._text.setWordWrap(True)
        self._text.setAccessibleDescription(say("What was guessed"))
        self.close_button = QPushButton(say("Put away"))
        self.close_button.setAccessibleName(say("Put the guesses away"))
        self.close_button.clicked.connect(self.put_away)
        self._flow = FlowColumn()
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 6, 16, 6)
        column.addWidget(self._text)
        column.addLayout(self._flow)
        self.buttons: list[QPushButton] = []
        document.changed.connect(self._follow)

    def begin(self) -> None:
        """Show it."""
        self.setVisible(True)
        self._show()

    def _follow(self) -> None:
        if self.isVisible():
            self._show()

    def _show(self) -> None:
        story = self._document.story
        had_focus = any(button.hasFocus() for button in self.buttons)
        while self._flow.count():
            self._flow.takeAt(0)
        for button in self.buttons:
            button.deleteLater()
        self.buttons = []
        self._text.setText(guesses(story))
        for metre in other_metres(story)[:MOST_METRES]:
            self._offer(
                say("In {metre}", metre=str(metre)),
                say("In {metre}", metre=str(metre)),
                partial(_in_metre, metre=metre),
            )
        if len(join_sections(story).sections) < len(story.sections):
            self._offer(say("One section"), say("One section"), join_sections)
        if _on_the_beat(story):
            name = say("Tap every syllable")
            self._offer(name, name, lambda told: thinned(told, Tapped.EVERY)[0])
        for refrain in story.refrains[:MOST_REFRAINS]:
            name = say("Write “{refrain}” out", refrain=refrain.name)
            self._offer(name, name, partial(without_refrain, name=refrain.name))
        self._flow.addWidget(self.close_button)
        if had_focus:
            (self.buttons or [self.close_button])[0].setFocus()

    def _offer(self, text: str, step: str, change: Callable[[Story], Story]) -> None:
        button = QPushButton(text.replace("&", "&&"))
        button.setToolTip(say("Undo takes it back."))
        button.clicked.connect(lambda: self._document.edit(step, change(self._document.story)))
        self._flow.addWidget(button)
        self.buttons.append(button)


def guesses(story: Story) -> str:
    """What a story made from plain words took for granted, in a sentence."""
    own = dict.fromkeys(str(s.manner.metre) for s in story.sections if s.manner.metre is not None)
    metre = str(story_manner(story).metre)
    for other in own:
        metre = say("{metre} with {other}", metre=metre, other=other)
    names = [quoted(refrain.name) for refrain in story.refrains]
    if not names:
        refrain = say("no refrain")
    else:
        refrain = say(
            "the {count:refrain|refrains} {names}{more:0=|*= and {more} more}",
            count=len(names),
            names=", ".join(names[:MOST_REFRAINS]),
            more=max(len(names) - MOST_REFRAINS, 0),
        )
    sections = say("{count:1 section|# sections}", count=len(story.sections))
    return say(
        "Guessed from the words: {metre}, {refrain}, {sections}.{lines:0=|1= In one line only "
        "the beats are tapped: every syllable would be a buzz.|*= In {lines} lines only the beats "
        "are tapped: every syllable would be a buzz.}",
        metre=metre,
        refrain=refrain,
        sections=sections,
        lines=_on_the_beat(story),
    )


def _on_the_beat(story: Story) -> int:
    """How many lines have syllables that are said and not tapped."""
    return len(thinned(story, Tapped.EVERY)[1])


def _in_metre(story: Story, metre: Metre) -> Story:
    return with_one_metre(story, metre).story
