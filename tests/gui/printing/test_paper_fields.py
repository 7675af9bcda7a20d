"""Paper sizes as a teacher types them, and what the export dialog makes of its fields."""

import pytest
from attrs import evolve
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from tapscore.gui.export_dialog import ExportDialog
from tapscore.gui.main_window import MainWindow
from tapscore.gui.printing.language_fields import LanguageFields
from tapscore.gui.printing.paper_fields import PaperFields
from tapscore.gui.sound_fields import SoundFields
from tapscore.model.loudness import Loudness
from tapscore.model.story import Translation
from tapscore.model.walk import change_lines
from tapscore.workflow.product import Choices


@pytest.fixture
def fields(qtbot: QtBot) -> PaperFields:
    made = PaperFields(Choices())
    qtbot.addWidget(made)
    made.show()
    return made


def typed(fields: PaperFields, text: str) -> Choices:
    edit = fields.paper.lineEdit()
    assert edit is not None
    edit.setText(text)
    edit.editingFinished.emit()
    return fields.choices


def test_an_own_size_is_read_and_written_as_everywhere(fields: PaperFields) -> None:
    assert typed(fields, "180 x 120 mm").card_paper == typed(fields, "120x180").card_paper
    assert "120" in fields.paper.currentText()
    assert typed(fields, "letter").card_paper == "Letter"
    assert not fields.wrong.isVisible()


def test_part_sheets_are_as_needed_unless_a_paper_is_chosen(fields: PaperFields) -> None:
    offered = [fields.part_paper.itemText(row) for row in range(fields.part_paper.count())]
    assert offered[:2] == ["A4, or A3 where needed", fields.paper.itemText(0)]
    assert len(set(offered)) == len(offered) == fields.paper.count() + 1


def test_each_field_has_a_name_and_says_what_it_takes(fields: PaperFields) -> None:
    named = {
        fields.part_paper: "Paper of the part sheets",
        fields.paper: "Paper of the cards",
        fields.other_paper: "Paper of everything else",
        fields.per_sheet: "Cards on a sheet",
        fields.distance: "How far away part sheets and cards are read",
        fields.edge: "Blank edge of every page",
        fields.backs: "Backs for printing on both sides",
    }
    assert {field: field.accessibleName() for field in named} == named
    for size in (fields.part_paper, fields.paper, fields.other_paper):
        assert "in millimetres, such as 120x180" in size.accessibleDescription()
        assert size.toolTip() == size.accessibleDescription()
        size.lineEdit().setText("A5")  # type: ignore[union-attr]
        size.lineEdit().editingFinished.emit()  # type: ignore[union-attr]
        assert size.currentText() == "A5"
    choices = fields.choices
    assert (choices.part_paper, choices.card_paper, choices.other_paper) == ("A5",) * 3
    assert (fields.edge.minimum(), fields.edge.maximum(), fields.edge.text()) == (0, 30, "as usual")
    assert (fields.distance.minimum(), fields.distance.maximum()) == (0.3, 3.0)
    fields.distance.stepUp()
    assert fields.choices.distance_m == choices.distance_m + 0.25


def test_so_many_cards_stand_on_a_sheet_as_is_said(fields: PaperFields) -> None:
    found = {}
    for row in range(fields.per_sheet.count()):
        fields.per_sheet.setCurrentIndex(row)
        found[fields.per_sheet.currentText()] = fields.choices.per_sheet
    assert found == {"one": 1, "two, to cut apart": 2, "four, to cut apart": 4}


def test_what_cannot_be_read_is_said_below_and_the_last_size_stays(fields: PaperFields) -> None:
    typed(fields, "A6")
    for text in ("postcard", "20x20", "900x900", ""):
        assert typed(fields, text).card_paper == "A6"
        assert fields.wrong.isVisible()
        assert "A" in fields.wrong.text()
    assert typed(fields, "A4").card_paper == "A4"
    assert not fields.wrong.isVisible()


def test_ears_are_spared_as_chosen(qtbot: QtBot) -> None:
    fields = SoundFields(Choices(sound="flac", mono=True, loudest_heard=Loudness.MEDIUM))
    qtbot.addWidget(fields)
    same = fields.into(Choices())
    assert (same.sound, same.mono, same.loudest_heard) == ("flac", True, Loudness.MEDIUM)
    fields.loudest.setCurrentIndex(0)
    fields.mono.setChecked(False)
    assert fields.into(same).loudest_heard is None
    assert not fields.into(same).mono


def test_the_dialog_passes_everything_on(demo: MainWindow) -> None:
    demo.actions_by_id["export"].trigger()
    (dialog,) = demo.findChildren(ExportDialog)
    typed(dialog.papers, "120x180")
    dialog.papers.edge.setValue(9.0)
    dialog.sound.loudest.setCurrentIndex(2)
    dialog.sound.mono.setChecked(True)
    choices = dialog._choices()
    assert "120" in choices.card_paper
    assert choices.margin_mm == 9.0
    assert choices.loudest_heard is Loudness.MEDIUM
    assert choices.mono
    assert choices.recordings is not None
    dialog.close()


def test_languages_can_be_chosen_where_a_line_has_any(qtbot: QtBot, demo: MainWindow) -> None:
    story = demo.document.story
    without = LanguageFields(story, demo.settings)
    qtbot.addWidget(without)
    assert without.isHidden()
    assert without.into(Choices()) == Choices()
    told = (Translation("pl", "Domek"), Translation("cy", "Adref"))
    spoken = change_lines(story, lambda _, line: evolve(line, translations=told))
    fields = LanguageFields(spoken, demo.settings)
    qtbot.addWidget(fields)
    assert not fields.isHidden()
    labels = [each.text() for each in fields.findChildren(QLabel)]
    assert labels == ["Part sheets also in", "Home version in"]
    assert fields.into(Choices()) == Choices()
    assert [fields.home.itemText(at) for at in (1, 2)] == ["polski (pl)", "Cymraeg (cy)"]
    with qtbot.waitSignal(fields.changed):
        fields.parts.setCurrentIndex(1)
    fields.home.setCurrentIndex(2)
    choices = fields.into(Choices())
    assert (choices.part_language, choices.home_language) == ("pl", "cy")
    later = LanguageFields(spoken, demo.settings, home=False)
    qtbot.addWidget(later)
    assert later.into(Choices()) == choices, "the next run has them again"
    other = LanguageFields(story, demo.settings)
    qtbot.addWidget(other)
    assert other.into(Choices()) == Choices(), "a story without them is printed without"
