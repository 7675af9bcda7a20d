"""Which language the window speaks: what there is to choose, and Qt's own words."""

from functools import partial

from PySide6.QtCore import QLibraryInfo, QTranslator
from PySide6.QtWidgets import QApplication

from tapscore.gui.commands.command import Command
from tapscore.gui.story_window import StoryWindow
from tapscore.wording.catalogue import language, languages, say


def choose(window: StoryWindow, *, code: str, name: str) -> None:
    """Another language from the next start on: what is shown already stays as it is."""
    window.settings.language = code
    window.say(say("From the next start on the language is {name}.", name=name))


def is_chosen(window: StoryWindow, *, code: str) -> bool:
    """Whether the next start speaks this one."""
    return (window.settings.language or language()) == code


def language_commands() -> tuple[Command, ...]:
    """A command for each language; none where there is only English."""
    there = languages()
    if len(there) < 2:
        return ()
    return tuple(
        Command(
            f"language {code}",
            say("Language: {name}", name=name),
            "",
            say("Window, findings and papers speak it from the next start on"),
            partial(choose, code=code, name=name),
            on=partial(is_chosen, code=code),
        )
        for code, name in there
    )


def speak_qt(app: QApplication) -> None:
    """Let Qt's own buttons and dialogs speak the language, if Qt has it; else they are English."""
    if language() == "en":
        return
    translator = QTranslator(app)
    folder = QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)
    if translator.load(f"qtbase_{language()}", folder):
        app.installTranslator(translator)
