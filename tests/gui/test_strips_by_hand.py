"""Strips, fields and lists by themselves, without a window: what each press and key does."""

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest
from attrs import evolve
from PySide6.QtCore import QEvent, QMimeData, Qt
from PySide6.QtGui import QGuiApplication, QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from tapscore.gui import clipboard
from tapscore.gui.document import Document
from tapscore.gui.editor.editing import StoryEditing
from tapscore.gui.editor.row_pointing import steps_between
from tapscore.gui.editor.story_delegate import WordsField
from tapscore.gui.editor.story_rows import FINDING_ROLE, NOTED_ROLE, ROW_ROLE, StoryRows
from tapscore.gui.editor.tap_strip import TapStrip
from tapscore.gui.enter import CalmDialog
from tapscore.gui.find_strip import FindStrip
from tapscore.gui.forms.choices import ChoiceEntry, SwellEntry
from tapscore.gui.forms.entries import FlagEntry, NamesEntry, WordsEntry
from tapscore.gui.guess_strip import GuessStrip, guesses
from tapscore.gui.hints import HINTS, HintStrip
from tapscore.gui.listening.listen_bar import ListenBar
from tapscore.gui.listening.player import PlayChoices, PlayerState
from tapscore.gui.tap_in import TapInDialog
from tapscore.model.finding import Finding, Severity, StoryPath
from tapscore.model.lane import Lane
from tapscore.model.lane_edits import CellPlace
from tapscore.model.loudness import Loudness
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Refrain, RefrainUse, Section, Story
from tapscore.model.words import printed
from tapscore.screen.heard_rows import LoopChoice
from tapscore.screen.rows import Row, rows_of
from tapscore.storyfile.lane_text import lane_text
from tapscore.storyfile.read import read_text
from tapscore.wording.about import About
from tapscore.workflow.new_story import typed_story_text
from tests.gui.answers import Answers
from tests.gui.test_editing_by_hand import TEXT, said

pytestmark = pytest.mark.usefixtures("qapp")
SHIFT = Qt.KeyboardModifier.ShiftModifier


class View:
    """Remembers where it was sent."""

    def __init__(self) -> None:
        self.went: list[StoryPath] = []

    def go_to(self, path: StoryPath, *, focus: bool = True) -> None:
        assert not focus, "the keys stay in the strip"
        self.went.append(path)


@pytest.fixture
def document(qtbot: QtBot) -> Document:
    return Document(read_text(TEXT), None)


# --- finding


class Finder:
    """The strip, with what it says and where it goes."""

    def __init__(self, qtbot: QtBot, document: Document) -> None:
        self.document, self.view, self.told = document, View(), list[str]()
        view: Any = self.view
        self.strip = FindStrip(view, StoryEditing(document))
        qtbot.addWidget(self.strip)
        self.done: list[bool] = []
        self.strip.said.connect(self.told.append)
        self.strip.done.connect(lambda: self.done.append(True))
        document.changed.connect(self.strip.refresh)
        self.strip.begin()

    def look_for(self, words: str) -> str:
        self.strip.wanted.setText(words)
        return self.strip.where.text()

    def lines(self) -> list[str]:
        return [
            printed(item.words)
            for section in self.document.story.sections
            for item in section.items
            if isinstance(item, Line)
        ]


@pytest.fixture
def finding(qtbot: QtBot, document: Document) -> Finder:
    return Finder(qtbot, document)


def test_keys_that_mean_nothing_in_the_strip_go_on_to_the_window(finding: Finder) -> None:
    for key, ours in ((Qt.Key.Key_Escape, True), (Qt.Key.Key_F5, False)):
        event = QKeyEvent(QEvent.Type.KeyPress, key, Qt.KeyboardModifier.NoModifier)
        finding.strip.keyPressEvent(event)
        assert event.isAccepted() is ours
    assert finding.done == [True]


def enabled(strip: FindStrip) -> set[bool]:
    return {
        each.isEnabled() for each in (strip.next, strip.before, strip.replace, strip.replace_all)
    }


FIRST, SUN, RAIN = (
    ("story", 0, "lines", 0),
    ("story", 0, "lines", 2),
    ("story", 1, "lines", 1),
)


def test_how_many_places_and_which_one(finding: Finder) -> None:
    assert finding.strip.where.text() == ""
    assert enabled(finding.strip) == {False}
    assert finding.look_for("zebra") == "nowhere in the story"
    assert finding.look_for("rain") == "in 1 place"
    assert finding.look_for(" the ") == "in 4 places", "then the sun has it twice"
    assert enabled(finding.strip) == {True}
    finding.strip.whole.setChecked(True)
    assert finding.strip.where.text() == "in 3 places"
    assert finding.view.went == []
    for click, where, path in (
        ("next", "1 of 3", FIRST),
        ("next", "2 of 3", SUN),
        ("next", "3 of 3", RAIN),
        ("next", "1 of 3", FIRST),
        ("before", "3 of 3", RAIN),
    ):
        getattr(finding.strip, click).click()
        assert finding.strip.where.text() == where
        assert finding.view.went[-1] == path


def test_backwards_first_begins_at_the_last(finding: Finder) -> None:
    finding.look_for("the")
    finding.strip.whole.setChecked(True)
    finding.strip.go(-1)
    assert finding.strip.where.text() == "3 of 3"


def test_where_it_stands_is_told_unless_it_is_in_the_words(finding: Finder) -> None:
    finding.look_for("One")
    finding.strip.go(1)
    assert finding.strip.where.text() == "1 of 1 in a heading"


def test_keys_go_on_go_back_and_end(finding: Finder, qtbot: QtBot) -> None:
    finding.look_for("the")
    finding.strip.whole.setChecked(True)
    QTest.keyClick(finding.strip, Qt.Key.Key_Return)
    QTest.keyClick(finding.strip, Qt.Key.Key_Enter)
    assert finding.strip.where.text() == "2 of 3"
    QTest.keyClick(finding.strip, Qt.Key.Key_Return, SHIFT)
    assert finding.strip.where.text() == "1 of 3"
    assert finding.done == []
    QTest.keyClick(finding.strip, Qt.Key.Key_Escape)
    assert finding.done == [True]


def test_the_first_press_of_replace_goes_there_the_next_replaces(finding: Finder) -> None:
    finding.look_for("the")
    finding.strip.whole.setChecked(True)
    finding.strip.new.setText("a")
    finding.strip.replace.click()
    assert finding.lines()[0] == "first the moon", "nothing is replaced unseen"
    assert finding.strip.where.text() == "1 of 3"
    finding.strip.replace.click()
    assert finding.lines() == ["first a moon", "then the sun", "last the rain"]
    assert finding.strip.where.text() == "1 of 2"
    assert finding.view.went[-1] == SUN
    finding.strip.go(1)
    finding.strip.replace.click()
    assert finding.lines() == ["first a moon", "then the sun", "last a rain"]
    assert finding.strip.where.text() == "in 1 place", "the last one is behind: what is left"
    finding.strip.replace.click()
    assert finding.strip.where.text() == "1 of 1"
    finding.strip.replace.click()
    assert finding.strip.where.text() == "nowhere in the story"


def test_what_was_put_in_is_not_replaced_again(finding: Finder) -> None:
    finding.look_for("the")
    finding.strip.new.setText("the other")
    for _ in range(5):
        finding.strip.replace.click()
    assert finding.lines() == [
        *("first the other moon", "the othern the other sun", "last the other rain"),
    ]
    assert finding.strip.where.text() == "in 8 places"
    assert finding.document.undo_stack.count() == 4
    finding.strip.replace.click()
    assert finding.strip.where.text() == "1 of 8", "it goes there before it replaces anew"


def test_all_at_once_is_one_step_and_told(finding: Finder) -> None:
    finding.look_for("the")
    finding.strip.whole.setChecked(True)
    finding.strip.new.setText("the the")
    finding.strip.replace_all.click()
    assert finding.told == ["Replaced in 3 places. Undo takes it back."]
    assert finding.document.undo_stack.count() == 1
    assert finding.strip.where.text() == "in 6 places"
    finding.look_for("rain")
    finding.strip.replace_all.click()
    assert finding.told[1:] == ["Replaced in 1 place. Undo takes it back."]
    finding.strip.wanted.setText("zebra")
    finding.strip._replace_all()
    assert len(finding.told) == 2


def test_a_story_changed_meanwhile_keeps_the_place(finding: Finder) -> None:
    finding.look_for("the")
    finding.strip.whole.setChecked(True)
    finding.strip.go(1)
    finding.strip.go(1)
    editing = StoryEditing(finding.document)
    editing.rename_section(0, "the beginning")
    assert finding.strip.where.text() == "3 of 4"
    finding.strip.hide()
    editing.rename_section(0, "One")
    assert finding.strip.where.text() == "3 of 4", "not looked for while it is hidden"


# --- tapping in


class Tapping:
    def __init__(self, qtbot: QtBot) -> None:
        self.kept: list[Lane] = []
        self.answers = Answers()
        self.sec = 0.0
        self.parent = QWidget()
        qtbot.addWidget(self.parent)
        self.dialog = TapInDialog(
            self.parent,
            Line("row the boat home"),
            Metre(2, 4),
            self.kept.append,
            clock=lambda: self.sec,
            asking=self.answers,
        )

    def tap(self, *gaps: float) -> None:
        for gap in gaps:
            self.sec += gap
            QTest.keyClick(self.dialog, Qt.Key.Key_Space)

    @property
    def said(self) -> str:
        return self.dialog.said.text()


@pytest.fixture
def tapping(qtbot: QtBot) -> Tapping:
    return Tapping(qtbot)


def test_syllables_are_counted_until_all_are_there(tapping: Tapping) -> None:
    assert tapping.said.startswith("Say the words and press the space bar with every syllable.")
    for number in (1, 2, 3):
        tapping.tap(0.5)
        assert tapping.said == f"{number} of 4 syllables."
    assert tapping.dialog.ways.isHidden()
    tapping.tap(0.5)
    assert tapping.said == "Press Return to keep this rhythm, or tap it again."
    assert not tapping.dialog.ways.isHidden()
    assert tapping.dialog.ways.count() > 0
    tapping.dialog.again.click()
    assert tapping.said.startswith("Say the words")
    assert tapping.dialog.ways.isHidden()
    assert not tapping.dialog.keep_button.isEnabled()


def test_the_way_chosen_is_kept(tapping: Tapping) -> None:
    tapping.tap(0.0, 0.5, 0.5, 0.5)
    ways = [tapping.dialog.ways.itemText(n) for n in range(tapping.dialog.ways.count())]
    assert len(ways) > 1
    tapping.dialog.ways.setCurrentIndex(1)
    tapping.dialog.keep_button.click()
    assert [lane_text(lane) in ways[1] for lane in tapping.kept] == [True]


def test_return_keeps_only_what_is_there(tapping: Tapping) -> None:
    QTest.keyClick(tapping.dialog, Qt.Key.Key_Return)
    assert tapping.kept == []
    tapping.tap(0.0, 0.5, 0.5, 0.5)
    QTest.keyClick(tapping.dialog, Qt.Key.Key_Enter)
    assert len(tapping.kept) == 1


@pytest.mark.parametrize(("taps", "asked"), [(0, False), (3, False), (4, True), (5, True)])
def test_only_a_whole_rhythm_is_asked_about(taps: int, asked: bool, tapping: Tapping) -> None:
    tapping.dialog.open()
    tapping.tap(*[0.5] * taps)
    tapping.answers.choices = ["Go on with it"] if asked else []
    tapping.dialog.reject()
    assert tapping.answers.asked == (["This rhythm is not kept yet."] if asked else [])
    assert tapping.dialog.isVisible() is asked
    tapping.answers.choices = ["Throw it away"]
    tapping.dialog.reject()
    assert not tapping.dialog.isVisible()
    assert tapping.kept == []


# --- the clipboard


def test_rows_are_copied_whole_and_as_words(document: Document) -> None:
    rows = StoryRows(document).rows
    data = clipboard.copied_rows(rows[:-1], document.story)
    assert data.text().splitlines() == [
        "ONE",
        "first the moon",
        "(refrain: home)",
        "row it home",
        "then the sun",
        "(wait at least 10 seconds)",
        "TWO",
        "(offer cup to each pupil)",
        "last the rain",
        "home",
    ]
    copied = clipboard.read_copied(data)
    assert copied.items == tuple(row.item for row in rows[:-1] if row.item is not None)
    assert [refrain.name for refrain in copied.refrains] == ["home"]
    assert copied.words == copied.problem == ""
    assert clipboard.read_copied(data, words_only=True).words == data.text()
    heading = clipboard.copied_rows(rows[:1], document.story)
    assert not heading.hasFormat(clipboard.MIME)
    line = clipboard.read_copied(clipboard.copied_rows(rows[1:2], document.story))
    assert line.refrains == ()


def test_refrains_within_a_refrain_are_copied_too() -> None:
    lines = {name: Line(name) for name in "abcd"}
    refrains = (
        Refrain("home", (lines["a"], RefrainUse("hill"))),
        Refrain("hill", (lines["b"], RefrainUse("home"))),  # round and round: a finding, no end
        Refrain("other", (lines["c"],)),
    )
    story = Story("S", refrains=refrains, sections=(Section("One", (RefrainUse("home"),)),))
    copied = clipboard.read_copied(clipboard.copied_rows(rows_of(story)[1:2], story))
    assert [refrain.name for refrain in copied.refrains] == ["home", "hill"]


def words(text: str) -> QMimeData:
    data = QMimeData()
    data.setText(text)
    return data


@pytest.mark.parametrize(
    ("text", "taken", "problem"),
    [
        ("the fox\tran\x07home", "the fox ran home", ""),
        (" \n\t", "", "There are no words in what was copied."),
        ("x " * 60, "x " * 60, ""),
        ("x " * 61, "", "One line of it has 61 words: too many for one breath."),
        ("a\n" * 100_000, "a\n" * 100_000, ""),
        ("a\n" * 100_000 + "b", "", "far too much for one story (200,001 letters)"),
    ],
)
def test_words_from_elsewhere(text: str, taken: str, problem: str) -> None:
    found = clipboard.read_copied(words(text))
    assert found.words == taken
    assert problem in found.problem
    assert bool(found.problem) is bool(problem)


def test_what_is_no_words_at_all() -> None:
    assert clipboard.read_copied(QMimeData()).problem == "There are no words in what was copied."


def test_refrains_come_along_unless_one_is_called_so(document: Document) -> None:
    mine = document.story
    home, other = Refrain("home", (Line("x"),)), Refrain("other", (Line("y"),))
    assert clipboard.with_refrains(mine, (home,)) is mine
    both = clipboard.with_refrains(mine, (home, other))
    assert both.refrains == (*mine.refrains, other)


# --- rows as a screen reader and the view know them


def found(path: StoryPath, severity: Severity) -> Finding:
    return Finding(
        "unknown-key", severity, path, None, About(key="x", what="a line", near=None, known=("do",))
    )


def test_rows_are_marked_with_the_worst_that_was_found(document: Document) -> None:
    rows = StoryRows(document)
    changed: list[int] = []
    rows.dataChanged.connect(lambda first, last: changed.extend(range(first.row(), last.row() + 1)))
    rows.set_findings(
        (
            found((*FIRST, "words"), Severity.LOOK_AGAIN),
            found(FIRST, Severity.MUST_MEND),
            found((*FIRST, "lane"), Severity.LOOK_AGAIN),
            found(SUN, Severity.ADVICE),
            found((), Severity.MUST_MEND),
        )
    )
    marked = {n: rows.data(rows.index(n, 0), FINDING_ROLE) for n in range(rows.rowCount())}
    assert {n: mark for n, mark in marked.items() if mark} == {1: "must mend"}
    assert changed == [1]
    assert len(rows.found_in(rows.rows[1])) == 3
    assert rows.found_in(rows.rows[4]) == ()
    rows.set_findings(())
    assert changed == [1, 1]
    rows.set_findings(())
    assert changed == [1, 1], "nothing is marked otherwise"


def test_what_is_read_aloud_of_a_row(document: Document) -> None:
    rows = StoryRows(document)

    def aloud(number: int) -> str:
        role = int(Qt.ItemDataRole.AccessibleTextRole)
        return str(rows.data(rows.index(number, 0), role))

    plain = aloud(1)
    rows.set_findings((found(FIRST, Severity.MUST_MEND),))
    rows.set_noted(frozenset({FIRST}))
    rows.set_unknown(frozenset({"moon"}))
    assert aloud(1) == (
        f"{plain}. {Severity.MUST_MEND.words}. Notes in the class record. "
        "Not in the dictionary: moon"
    )
    assert rows.data(rows.index(1, 0), NOTED_ROLE) is True
    assert rows.data(rows.index(4, 0), NOTED_ROLE) is False
    assert rows.data(rows.index(1, 0), int(Qt.ItemDataRole.EditRole)) == "first the moon"
    assert rows.data(rows.index(0, 0), int(Qt.ItemDataRole.EditRole)) == "One"
    about = rows.data(rows.index(5, 0), int(Qt.ItemDataRole.AccessibleDescriptionRole))
    assert about == "wait; press Enter to change it"
    typed = [
        said(row)
        for n, row in enumerate(rows.rows)
        if rows.flags(rows.index(n, 0)) & Qt.ItemFlag.ItemIsEditable
    ]
    assert typed[:3] == ["One", "first the moon", "row it home"]
    assert "wait" not in typed


def test_only_rows_that_change_are_told(document: Document) -> None:
    rows, editing = StoryRows(document), StoryEditing(document)
    told: list[tuple[str, int, int]] = []
    rows.dataChanged.connect(lambda a, b: told.append(("changed", a.row(), b.row())))
    rows.rowsInserted.connect(lambda _, a, b: told.append(("come", a, b)))
    rows.rowsRemoved.connect(lambda _, a, b: told.append(("gone", a, b)))

    def row(name: str) -> Row:
        return next(each for each in rows.rows if said(each) == name)

    editing.type_lines(row("then the sun"), ["then the star"])
    assert told == [("changed", 4, 4)]
    told.clear()
    editing.delete([row("wait")])
    assert told == [("gone", 5, 5)]
    told.clear()
    document.undo_stack.undo()
    assert told == [("come", 5, 5)]


def test_a_refrain_s_line_is_found_where_it_is_nearest(document: Document) -> None:
    rows = StoryRows(document)
    path = ("refrains", "home", 0)
    numbers = [n for n, row in enumerate(rows.rows) if row.path == path]
    assert numbers == [3, 10]
    assert rows.row_of(path) == 10, "where it is written"
    assert rows.row_of(path, 0) == 3
    assert rows.row_of(path, 8) == 10
    assert rows.row_of((*FIRST, "words")) == 1
    assert rows.row_of(("nowhere",)) is None


def test_folding_what_is_folded_does_nothing(document: Document) -> None:
    rows = StoryRows(document)
    folded: list[bool] = []
    rows.folded.connect(lambda: folded.append(True))
    head = rows.rows[0]
    assert not rows.fold(head, shown=True)
    assert not rows.fold(rows.rows[1], shown=False), "a line folds nothing"
    assert rows.fold(head, shown=False)
    assert rows.rowCount() == 6
    assert rows.rows[0].folded == 5
    assert not rows.fold(rows.rows[0], shown=False)
    assert rows.fold(rows.rows[0], shown=True)
    assert folded == [True, True]
    assert rows.data(rows.index(0, 0), ROW_ROLE) is rows.rows[0]


def test_steps_from_a_tap_to_a_place(document: Document) -> None:
    row = StoryRows(document).rows[1]
    assert steps_between(row, 0, CellPlace(0, 0, 0)) == 0
    assert steps_between(row, 0, CellPlace(1, 2, 0)) == 6
    assert steps_between(row, 2, CellPlace(0, 1, 0)) == -3
    assert steps_between(StoryRows(document).rows[0], 0, CellPlace(0, 0, 0)) == 0


# --- the bar to listen with


@pytest.fixture
def bar(qtbot: QtBot) -> ListenBar:
    made = ListenBar()
    qtbot.addWidget(made)
    made.set_roles(("leader", "helper"))
    return made


def test_how_one_listens(bar: ListenBar) -> None:
    told: list[bool] = []
    bar.chosen.connect(lambda: told.append(True))
    assert bar.choices == PlayChoices(Fraction(1), None, True, None, False)
    bar.speed.setCurrentIndex(1)
    bar.part.setCurrentText("helper")
    bar.count_in.setChecked(False)
    bar.mono.setChecked(True)
    bar.loudest.setCurrentIndex(2)
    quiet = Loudness.MEDIUM
    assert bar.choices == PlayChoices(Fraction(3, 4), "helper", False, None, True, quiet)
    bar.practise.setChecked(True)
    assert bar.choices == PlayChoices(Fraction(3, 4), None, False, "helper", True, quiet)
    assert bar.part_choice == "helper"
    assert len(told) == 6
    bar.part.setCurrentIndex(0)
    assert bar.choices.left_out is None


@pytest.mark.parametrize("ears", [(True, Loudness.MEDIUM), (False, None), (True, None)])
def test_what_was_chosen_for_the_ears_is_shown(
    ears: tuple[bool, Loudness | None], bar: ListenBar
) -> None:
    bar.show_ears(*ears)
    assert bar.ears == ears


def test_slower_and_less_slow_end_at_both_ends(bar: ListenBar) -> None:
    shares = []
    for step in (-1, 1, 1, 1, -1):
        bar.step_speed(step)
        shares.append(bar.choices.speed)
    assert shares == [1, Fraction(3, 4), Fraction(1, 2), Fraction(1, 2), Fraction(3, 4)]


def test_the_same_loop_chosen_again_is_none(bar: ListenBar) -> None:
    assert bar.loop_choice is LoopChoice.ONCE
    for choice, now in (
        (LoopChoice.LINE, LoopChoice.LINE),
        (LoopChoice.SECTION, LoopChoice.SECTION),
        (LoopChoice.SECTION, LoopChoice.ONCE),
    ):
        bar.choose_loop(choice)
        assert bar.loop_choice is now


def test_a_part_that_is_still_there_stays_chosen(bar: ListenBar) -> None:
    told: list[bool] = []
    bar.part.setCurrentText("helper")
    bar.chosen.connect(lambda: told.append(True))
    bar.set_roles(("helper", "third"))
    assert bar.part_choice == "helper"
    bar.set_roles(("third",))
    assert bar.part_choice is None
    assert told == [], "nobody chose anything"


@pytest.mark.parametrize(
    ("state", "stop", "go_on"),
    [
        (PlayerState.STILL, False, False),
        (PlayerState.PREPARING, True, False),
        (PlayerState.PLAYING, True, False),
        (PlayerState.HOLDING, True, True),
    ],
)
def test_what_can_be_pressed(state: PlayerState, stop: bool, go_on: bool, bar: ListenBar) -> None:
    bar.show_state(state)
    assert bar.listen_button.isEnabled()
    assert (bar.stop_button.isEnabled(), bar.go_on_button.isEnabled()) == (stop, go_on)


def test_the_focus_goes_to_what_comes_next(qtbot: QtBot, bar: ListenBar) -> None:
    with qtbot.waitExposed(bar):
        bar.show()
    bar.activateWindow()
    bar.listen_button.setFocus()
    for state, button in (
        (PlayerState.PLAYING, bar.stop_button),
        (PlayerState.HOLDING, bar.go_on_button),
        (PlayerState.PLAYING, bar.stop_button),
        (PlayerState.STILL, bar.listen_button),
    ):
        bar.show_state(state)
        assert bar.focusWidget() is button
    bar.more.setFocus()
    bar.show_state(PlayerState.HOLDING)
    assert bar.focusWidget() is bar.more, "it takes no focus from elsewhere"


def test_the_letter_of_a_label_leads_to_its_choice(bar: ListenBar) -> None:
    labels = [each for each in bar.findChildren(QLabel) if "&" in each.text()]
    assert {each.text(): each.buddy() for each in labels} == {
        "L&oop": bar.loop,
        "S&peed": bar.speed,
        "&My part": bar.part,
        "&Taps are heard": bar.loudest,
    }


def test_more_ways_are_folded_away_at_first(bar: ListenBar) -> None:
    extras = (bar.loop, bar.speed, bar.part, bar.count_in, bar.practise, bar.mono)
    assert not any(each.isVisibleTo(bar) for each in extras)
    bar.show_more()
    assert all(each.isVisibleTo(bar) for each in extras)
    assert all(each.accessibleName() or each.text() for each in (*extras[3:], bar.more))
    assert all(each.accessibleName() and each.accessibleDescription() for each in extras[:3])


# --- fields of forms


def told_by(entry: Any) -> list[Callable[[Any], Any]]:
    changes: list[Callable[[Any], Any]] = []
    entry.changed.connect(changes.append)
    return changes


def test_words_are_told_at_every_key_and_stay_as_typed(qtbot: QtBot) -> None:
    entry = WordsEntry()
    qtbot.addWidget(entry)
    changes = told_by(entry)
    QTest.keyClicks(entry, "a  b ")
    assert [change("old") for change in changes][-1] == "a b"
    entry.show_value("a b")
    assert entry.text() == "a  b ", "what is being typed stays"
    entry.show_value("c")
    assert entry.text() == "c"
    entry.show_value(None, "nothing yet")
    assert (entry.text(), entry.placeholderText()) == ("", "nothing yet")
    entry.clear()
    QTest.keyClicks(entry, "x")
    QTest.keyClick(entry, Qt.Key.Key_Backspace)
    assert changes[-1]("old") is None
    entry.setText("x")
    entry.show_several()
    assert (entry.text(), entry.placeholderText()) == ("", "several")


def test_words_that_are_needed_are_never_told_empty(qtbot: QtBot) -> None:
    entry = WordsEntry("hint", needed=True)
    qtbot.addWidget(entry)
    changes = told_by(entry)
    QTest.keyClicks(entry, "x")
    QTest.keyClick(entry, Qt.Key.Key_Backspace)
    assert [change(None) for change in changes] == ["x"]
    entry.show_value("", "other")
    assert entry.placeholderText() == "hint"


def test_yes_no_and_several(qtbot: QtBot) -> None:
    entry = FlagEntry("Backs")
    qtbot.addWidget(entry)
    changes = told_by(entry)
    entry.show_several()
    assert entry.checkState() is Qt.CheckState.PartiallyChecked
    entry.show_value(True)
    assert entry.isChecked()
    entry.click()
    assert changes[0](True) is False
    entry.show_value(False)
    assert not entry.isTristate()


@pytest.mark.parametrize(
    ("shown", "nothing", "pressed", "old", "new"),
    [
        (("a",), (), "b", ("a",), ("a", "b")),
        (("a", "b"), (), "b", ("a", "b"), ("a",)),
        ((), ("a",), "b", (), ("a", "b")),
        ((), ("a", "b"), "a", (), ("b",)),
        (("everyone",), (), "b", ("everyone",), ("a", "c")),
        (("a",), (), "b", ("c",), ("c", "b")),
        (("a",), (), "b", ("b",), ("b",)),
    ],
)
def test_one_press_is_for_one_name(
    shown: tuple[str, ...],
    nothing: tuple[str, ...],
    pressed: str,
    old: tuple[str, ...],
    new: tuple[str, ...],
    qtbot: QtBot,
) -> None:
    entry = NamesEntry("taps")
    qtbot.addWidget(entry)
    entry.offer(("a", "b", "c"))
    entry.show_value(shown, nothing)
    ticked = {name for name, box in entry.boxes.items() if box.isChecked()}
    assert ticked == set(entry.boxes if "everyone" in shown else shown or nothing)
    assert entry.boxes["a"].accessibleName() == "a taps"
    changes = told_by(entry)
    entry.boxes[pressed].click()
    assert changes[0](old) == new


def test_a_choice_shows_what_is_not_among_its_choices(qtbot: QtBot) -> None:
    entry = ChoiceEntry([("one", 1), ("two", 2)])
    qtbot.addWidget(entry)
    changes = told_by(entry)

    def items() -> list[str]:
        return [entry.itemText(n) for n in range(entry.count())]

    entry.show_value(2)
    assert (items(), entry.currentText()) == (["not said", "one", "two"], "two")
    entry.show_value(7, "usual")
    assert (items(), entry.currentText()) == (["usual", "7", "one", "two"], "7")
    entry.show_value(None, "usual")
    assert (items(), entry.currentText()) == (["usual", "one", "two"], "usual")
    entry.show_several()
    assert (items(), entry.currentText()) == (["several", "one", "two"], "several")
    entry.activated.emit(0)
    assert changes == [], "several is no choice"
    entry.activated.emit(2)
    assert changes[0](None) == 2
    needed = ChoiceEntry([("one", 1)], needed=True)
    qtbot.addWidget(needed)
    needed.show_value(1)
    assert [needed.itemText(n) for n in range(needed.count())] == ["one"]


def test_a_loudness_and_the_one_it_changes_to(qtbot: QtBot) -> None:
    entry = SwellEntry()
    qtbot.addWidget(entry)
    changes = told_by(entry)
    quiet, loud, medium = Loudness.QUIET, Loudness.LOUD, Loudness.MEDIUM
    entry.show_value((quiet, loud))
    assert (entry.first.currentText(), entry.last.currentText()) == ("quiet", "to loud")
    assert entry.last.isEnabled()
    entry.first.changed.emit(lambda _: (medium,))
    assert changes[-1]((quiet, loud)) == (medium, loud), "it still changes to the same"
    assert changes[-1]((quiet,)) == (medium,)
    assert changes[-1](None) == (medium,)
    entry.first.changed.emit(lambda _: None)
    assert changes[-1]((quiet, loud)) is None
    entry.last.changed.emit(lambda _: medium)
    assert changes[-1]((quiet, loud)) == (quiet, medium)
    assert changes[-1]((quiet,)) == (quiet, medium)
    entry.last.changed.emit(lambda _: None)
    assert changes[-1]((quiet, loud)) == (quiet,)
    assert changes[-1](None) is None
    for value, enabled_now in (((quiet,), True), (None, False), ((quiet, loud, medium), False)):
        entry.show_value(value)
        assert entry.last.isEnabled() is enabled_now
        assert entry.last.currentText() == "and stays so"
    entry.show_several()
    assert not entry.last.isEnabled()


# --- what was guessed from plain words


def test_at_most_three_metres_and_three_refrains_are_offered(qtbot: QtBot) -> None:
    story = read_text(TEXT).story
    assert story is not None
    names = ("home", "b", "c", "d", "e")
    many = evolve(story, refrains=tuple(Refrain(name, (Line(name),)) for name in names))
    assert "the refrains “home”, “b”, “c” and 2 more, 2 sections" in guesses(many)
    assert "the refrain “home”, 2 sections" in guesses(story)
    assert "no refrain, 2 sections" in guesses(evolve(story, refrains=()))
    document = Document(read_text(TEXT), None)
    document.edit("Many", many)
    strip = GuessStrip(document)
    qtbot.addWidget(strip)
    strip.begin()
    texts = [button.text() for button in strip.buttons]
    assert [text for text in texts if "out" in text] == [
        f"Write “{name}” out" for name in ("home", "b", "c")
    ]
    assert len([text for text in texts if text.startswith("In ")]) <= 3
    assert "One section" in texts
    before = document.undo_stack.count()
    strip.buttons[texts.index("One section")].click()
    assert document.undo_stack.undoText() == "One section"
    assert document.undo_stack.count() == before + 1
    assert len(document.story.sections) == 1
    assert "One section" not in [button.text() for button in strip.buttons]
    section = document.story.sections[0]
    returned = evolve(section, items=(*section.items, RefrainUse("b")))
    document.edit("Returns", evolve(document.story, sections=(returned,)))
    (second,) = [button for button in strip.buttons if button.text() == "Write “b” out"]
    second.click()
    assert [refrain.name for refrain in document.story.refrains] == ["home", "c", "d", "e"]
    assert document.story.sections[0].items[-1] == Line("b")
    (text,) = strip.findChildren(QLabel)
    assert (text.text(), text.isVisibleTo(strip)) == (guesses(document.story), True)
    put_away: list[bool] = []
    strip.put_away.connect(lambda: put_away.append(True))
    strip.close_button.click()
    assert put_away == [True]


def test_what_is_tapped_on_the_beat_alone_is_told_and_changed_by_one_press(qtbot: QtBot) -> None:
    story = read_text(TEXT).story
    assert story is not None
    assert "the beats" not in guesses(story)
    text = typed_story_text(
        "Pitter and patter, the rain comes down,\nBoom! says the thunder, all over the town!"
    )
    document = Document(read_text(text), None)
    assert guesses(document.story).endswith(
        "In 2 lines only the beats are tapped: every syllable would be a buzz."
    )
    strip = GuessStrip(document)
    qtbot.addWidget(strip)
    strip.begin()
    (every,) = [button for button in strip.buttons if button.text() == "Tap every syllable"]
    every.click()
    assert document.undo_stack.undoText() == "Tap every syllable"
    assert guesses(document.story).endswith("1 section.")
    assert "Tap every syllable" not in [button.text() for button in strip.buttons]


def test_hints_are_read_one_by_one_and_put_away_after_the_last(qtbot: QtBot) -> None:
    strip = HintStrip()
    qtbot.addWidget(strip)
    (text,) = strip.findChildren(QLabel)
    put_away: list[bool] = []
    strip.put_away.connect(lambda: put_away.append(True))
    for number, hint in enumerate(HINTS, 1):
        assert text.text() == f"<b>{number} of {len(HINTS)}</b>  {hint}"
        assert strip.next.text() == ("Done" if hint is HINTS[-1] else "Next")
        assert put_away == []
        strip.next.click()
    assert put_away == [True]
    strip.close_button.click()
    assert put_away == [True, True]


def test_the_keys_leave_a_button_that_went_grey_and_no_other(qtbot: QtBot) -> None:
    dialog = CalmDialog()
    qtbot.addWidget(dialog)
    one, other = QPushButton("One", dialog), QPushButton("Other", dialog)
    dialog.show()
    one.setFocus()
    dialog.leave_what_is_grey(one, other)
    assert dialog.focusWidget() is one
    one.setEnabled(False)
    dialog.leave_what_is_grey(None, other)
    dialog.leave_what_is_grey(one, other)
    assert dialog.focusWidget() is other


# --- the field in which a line's words are typed


class Field:
    def __init__(self, qtbot: QtBot) -> None:
        self.field = WordsField()
        qtbot.addWidget(self.field)
        self.pasted: list[tuple[str, ...]] = []
        self.cuts: list[str] = []
        self.field.lines_pasted.connect(self.pasted.append)
        self.field.cut_wanted.connect(lambda: self.cuts.append(self.field.text()))

    def paste(self, text: str, at: int, select: int = 0) -> str:
        QGuiApplication.clipboard().setText(text)
        self.field.setText("row the boat")
        self.field.setCursorPosition(at)
        if select:
            self.field.setSelection(at, select)
        QTest.keyClick(self.field, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
        return self.field.text()


@pytest.fixture
def field(qtbot: QtBot) -> Field:
    return Field(qtbot)


def test_words_are_typed_and_shift_enter_cuts(field: Field) -> None:
    QTest.keyClicks(field.field, "row it")
    assert field.field.text() == "row it"
    QTest.keyClick(field.field, Qt.Key.Key_Return)
    assert field.cuts == []
    QTest.keyClick(field.field, Qt.Key.Key_Return, SHIFT)
    QTest.keyClick(field.field, Qt.Key.Key_Enter, SHIFT)
    assert field.cuts == ["row it", "row it"]


@pytest.mark.parametrize(
    ("text", "at", "select", "left", "lines"),
    [
        ("my ", 4, 0, "row my the boat", []),
        ("my\n", 4, 3, "row my boat", []),
        ("\n\n", 4, 0, "row the boat", []),
        ("a\n\nb c", 4, 0, "row a", [("row a", "b cthe boat")]),
        ("a\nb\nc", 4, 4, "row a", [("row a", "b", "cboat")]),
        ("a  a\n b", 0, 12, "a a", [("a a", "b")]),
    ],
)
def test_several_lines_pasted_stay_several(
    text: str, at: int, select: int, left: str, lines: list[tuple[str, ...]], field: Field
) -> None:
    assert field.paste(text, at, select) == left
    assert field.pasted == lines


def test_the_tapping_mode_says_its_letters_and_how_it_ends(qtbot: QtBot) -> None:
    strip = TapStrip()
    qtbot.addWidget(strip)
    assert strip.isHidden(), "only while the mode lasts"
    assert strip.text.accessibleDescription() == "Tapping mode"
    (button,) = strip.findChildren(QPushButton)
    assert button.accessibleName() == "End the tapping mode"
    done: list[bool] = []
    strip.done.connect(lambda: done.append(True))
    button.click()
    assert done == [True]
