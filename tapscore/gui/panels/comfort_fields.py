"""What pupils are spared: ceiling, jumps, waits and how far the board is introduced."""

from collections.abc import Callable
from fractions import Fraction

from attrs import evolve
from PySide6.QtCore import QSignalBlocker
from PySide6.QtWidgets import QCheckBox, QFormLayout

from tapscore.gui.document import Document
from tapscore.gui.panels.fields import choice_field, show_choice, show_number, whole_field
from tapscore.model.comfort import Comfort, Stage
from tapscore.model.loudness import WORDS, parse_loudness

NOT_SAID = "not said"
STAGES = tuple(stage.value for stage in Stage)


class ComfortFields:
    """Fields in a form; every change is a step at once."""

    def __init__(self, form: QFormLayout, document: Document) -> None:
        self._document = document
        self.stage = choice_field(form, "Pupils are", self._stage_changed)
        self.ceiling = choice_field(
            form,
            "Nothing above",
            lambda text: self._change(lambda c: evolve(c, ceiling=parse_loudness(text))),
        )
        self.jump = whole_field(
            form,
            "Unwarned steps",
            0,
            4,
            "",
            lambda n: self._change(lambda c: evolve(c, largest_jump=n)),
        )
        self.jump.setToolTip("How many steps louder something may come without a warning")
        self.wait = whole_field(
            form,
            "Waits at least",
            1,
            60,
            " s",
            lambda n: self._change(lambda c: evolve(c, least_wait_sec=Fraction(n))),
        )
        self.gently = QCheckBox("introduce gently")
        self.gently.setAccessibleName("Introduce gently")
        form.addRow("", self.gently)
        self.gently.clicked.connect(
            lambda on: self._change(lambda c: evolve(c, introduce_gently=bool(on)))
        )

    def refresh(self) -> None:
        """Show the settings as they are now."""
        comfort = self._document.story.comfort or Comfort()
        stage = comfort.stage.value if comfort.stage else NOT_SAID
        show_choice(self.stage, (NOT_SAID, *STAGES), stage)
        ceiling = comfort.ceiling.word if comfort.ceiling is not None else NOT_SAID
        show_choice(self.ceiling, (NOT_SAID, *WORDS), ceiling)
        show_number(self.jump, comfort.jump_steps)
        show_number(self.wait, round(comfort.wait_sec))
        with QSignalBlocker(self.gently):
            self.gently.setChecked(comfort.introduce_gently)

    def _stage_changed(self, text: str) -> None:
        stage = Stage(text) if text in STAGES else None
        self._change(lambda comfort: evolve(comfort, stage=stage))

    def _change(self, change: Callable[[Comfort], Comfort]) -> None:
        story = self._document.story
        comfort = change(story.comfort or Comfort())
        new = evolve(story, comfort=None if comfort == Comfort() else comfort)
        self._document.edit("Change comfort", new, join="comfort")
