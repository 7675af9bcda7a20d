"""Which of the families' languages stand on part sheets and in the home version."""

from attrs import evolve
from PySide6.QtCore import QLocale, Signal, Slot
from PySide6.QtWidgets import QComboBox, QFormLayout, QWidget

from tapscore.gui.settings import Settings
from tapscore.model.story import Story
from tapscore.wording.catalogue import say
from tapscore.workflow.product import Choices
from tapscore.workflow.translations import languages_of

NONE, ALL = say("the story's words alone"), say("every language there is")


class LanguageFields(QWidget):
    """Fields for the languages of a story that has any; ``changed`` when another is chosen.

    What is chosen is remembered for the next story that has words in that language.
    """

    changed = Signal()

    def __init__(self, story: Story, settings: Settings, *, home: bool = True) -> None:
        super().__init__()
        self._settings = settings
        self.parts = _field(say("Language below the words on part sheets"), NONE)
        self.home = _field(say("Language of the home version"), ALL)
        tags = languages_of(story)
        for box, before in zip((self.parts, self.home), settings.languages, strict=True):
            for tag in tags:
                box.addItem(language_name(tag), tag)
            box.setCurrentIndex(max(box.findData(before), 0))
            box.currentIndexChanged.connect(self._chosen)
        form = QFormLayout(self)
        form.setContentsMargins(0, 0, 0, 0)
        form.addRow(say("Part sheets also in"), self.parts)
        if home:
            form.addRow(say("Home version in"), self.home)
        self.setVisible(bool(tags))

    @Slot()
    def _chosen(self) -> None:
        self._settings.languages = (self.parts.currentData(), self.home.currentData())
        self.changed.emit()

    def into(self, choices: Choices) -> Choices:
        """The choices with what is in the fields."""
        part, home = self.parts.currentData(), self.home.currentData()
        return evolve(choices, part_language=part, home_language=home)


def language_name(tag: str) -> str:
    """A language as its readers call it, with its tag: ``polski (pl)``."""
    locale = QLocale(tag)
    if locale.language() == QLocale.Language.C:
        return tag
    return f"{locale.nativeLanguageName()} ({tag})"


def _field(name: str, first: str) -> QComboBox:
    field = QComboBox()
    field.setAccessibleName(name)
    field.addItem(first, "")
    return field
