"""A story with gaps, from the page to begin on."""

from pytestqt.qtbot import QtBot

from tapscore.gui.files import FileWork
from tapscore.gui.start_page import StartPage
from tapscore.gui.starter_dialog import StarterDialog


def opened(files: FileWork) -> tuple[StartPage, StarterDialog]:
    files.new()
    page = files.start_page
    assert page is not None
    page.starter.click()
    (dialog,) = page.findChildren(StarterDialog)
    return page, dialog


def test_gaps_are_asked_for_and_the_story_opens(qtbot: QtBot, files: FileWork) -> None:
    _, dialog = opened(files)
    names = [dialog.which.itemText(i) for i in range(dialog.which.count())]
    dialog.which.setCurrentIndex(names.index("The Journey"))
    assert dialog.fields["ride"].placeholderText() == "bus"
    assert dialog.fields["ride"].accessibleName() == "What do we travel in?"
    dialog.fields["ride"].setText("rocket")
    assert "The rocket is waiting, hear it hum." in dialog.words.toPlainText()
    dialog.make.click()
    window = files.windows[-1]
    assert window.document.story.title == "The Journey"
    assert window.document.path is None
    said = window.document.text().replace("-", "")
    assert "The rocket is waiting" in said
    assert "bus" not in said
    assert files.start_page is None


def test_what_is_no_word_is_said_before_anything_is_made(qtbot: QtBot, files: FileWork) -> None:
    page, dialog = opened(files)
    (field, *_) = dialog.fields.values()
    field.setText("4 {x}")
    assert "letters alone" in dialog.said.text()
    assert not dialog.make.isEnabled()
    field.setText("")
    assert dialog.make.isEnabled()
    dialog.reject()
    page.reject()
