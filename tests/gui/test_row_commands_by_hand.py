"""Commands on the rows that are chosen, without a window: what is done, said, and chosen next."""

from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import pytest
from attrs import evolve
from PySide6.QtGui import QGuiApplication, QKeySequence
from PySide6.QtWidgets import QApplication

from tapscore.gui import row_commands as do
from tapscore.gui.commands import command as can
from tapscore.gui.commands.every import COMMANDS
from tapscore.model.fewer_taps import Tapped
from tapscore.model.finding import StoryPath
from tapscore.model.lane import TapDetail
from tapscore.model.lane_edits import cell_at, event_places
from tapscore.model.loudness import Loudness
from tapscore.model.story import Offer, RefrainUse
from tapscore.screen.rows import Row
from tests.gui.answers import Answers
from tests.gui.test_editing_by_hand import HOME, ONE, TWO, Desk


class View:
    """A list of rows that remembers where it was sent."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.names: tuple[str, ...] = ()
        self.cursor_event: int | None = None
        self.syllable: int | None = None
        self.first_chosen = 3
        self.went: list[tuple[StoryPath, bool]] = []
        self.chosen: list[StoryPath] = []
        self.rested: list[int] = []
        self.moved: list[int | None] = []
        self.ended = 0
        self.tapping = False

    @property
    def selected_rows(self) -> tuple[Row, ...]:
        return tuple(self._desk.some(*self.names))

    chosen_rows = selected_rows

    @property
    def current_row(self) -> Row | None:
        return self.selected_rows[-1] if self.names else None

    def syllable_here(self) -> int | None:
        return self.syllable

    def go_to(self, path: StoryPath, *, edit: bool = False) -> None:
        self.went.append((path, edit))

    def choose(self, paths: tuple[StoryPath, ...]) -> None:
        self.chosen = list(paths)

    def rest_at(self, number: int) -> None:
        self.rested.append(number)

    def end_typing(self) -> None:
        self.ended += 1

    def move_cursor_to(self, event: int | None) -> None:
        self.moved.append(event)

    def set_tapping(self, on: bool) -> None:
        self.tapping = on


class Window:
    def __init__(self) -> None:
        self.desk = Desk()
        self.document, self.editing = self.desk.document, self.desk.editing
        self.view = View(self.desk)
        self.answers = Answers()
        self.files = SimpleNamespace(asking=self.answers)
        self.said: list[str] = []
        self.heard_space = False
        self.listening = SimpleNamespace(space=lambda: self.heard_space, going=False, holding=False)
        self.settings = SimpleNamespace(spelling=True, scale=1.0)

    @property
    def rows(self) -> Any:
        return SimpleNamespace(rows=self.desk.rows())

    def say(self, text: str) -> None:
        self.said.append(text)

    def on(self, *names: str, event: int | None = None) -> "Window":
        self.view.names, self.view.cursor_event = names, event
        return self


@pytest.fixture
def window(qapp: QApplication) -> Any:
    return Window()


def at(section: int, line: int) -> StoryPath:
    return ("story", section, "lines", line)


def test_cut_copied_and_pasted_below(window: Any) -> None:
    do.cut(window.on("then the sun", "wait"))
    assert window.said == ["Copied 2 rows."]
    assert window.desk.all() == [*ONE[:3], *TWO, *HOME]
    assert window.view.rested == [3]
    do.paste(window.on("last the rain"))
    assert window.desk.all() == [*ONE[:3], *TWO, "then the sun", "wait", *HOME]
    assert window.desk.step() == "Paste"
    assert window.view.chosen == [at(1, 2), at(1, 3)]
    do.copy(window.on("first the moon"))
    assert window.said[1:] == ["Copied."]
    assert QGuiApplication.clipboard().text() == "first the moon"


@pytest.mark.parametrize("words", [False, True])
def test_of_several_chosen_it_is_pasted_below_the_last(window: Any, words: bool) -> None:
    do.copy(window.on("last the rain"))
    if words:
        QGuiApplication.clipboard().setText("last the rain")
    do.paste(window.on("first the moon", "then the sun"))
    assert window.desk.all()[:6] == [
        *("One", "first the moon", "home", "then the sun", "last the rain", "wait"),
    ]
    assert window.view.chosen == [at(0, 3)]


def test_words_from_elsewhere_are_pasted_or_refused(window: Any) -> None:
    QGuiApplication.clipboard().setText("the fox\nthe hen")
    do.paste(window.on("first the moon"))
    assert window.desk.all()[:4] == ["One", "first the moon", "the fox", "the hen"]
    assert window.view.chosen == [at(0, 1), at(0, 2)]
    QGuiApplication.clipboard().setText(" ")
    do.paste(window.on("first the moon"))
    assert window.said == ["There are no words in what was copied."]
    QGuiApplication.clipboard().setText("the end")
    do.paste(window.on())
    assert window.desk.all()[-3:] == ["the end", *HOME]


def test_words_alone_are_copied_of_lines(window: Any) -> None:
    do.copy_words(window.on("first the moon", "wait", "then the sun"))
    assert QGuiApplication.clipboard().text() == "first the moon\nthen the sun"
    assert window.said == ["Copied the words of 2 lines."]


def test_nothing_is_taken_away_of_a_refrain_s_own_heading(window: Any) -> None:
    do.delete(window.on())
    assert window.view.rested == []
    do.delete(window.on("wait"))
    assert window.desk.all() == [*ONE[:4], *TWO, *HOME]
    assert window.view.rested == [3]


def test_undo_and_redo_close_what_is_typed_first(window: Any) -> None:
    do.delete(window.on("wait"))
    do.undo(window)
    assert window.desk.all() == [*ONE, *TWO, *HOME]
    do.redo(window)
    assert window.desk.all() == [*ONE[:4], *TWO, *HOME]
    assert window.view.ended == 2


@pytest.mark.parametrize(
    ("command", "chosen"),
    [
        (do.repeat, [at(0, 3)]),
        (lambda w: do.move(w, 1), [at(0, 3)]),
        (lambda w: do.move(w, -1), [at(0, 1)]),
    ],
)
def test_what_is_chosen_next(
    command: Callable[[Any], None], chosen: list[StoryPath], window: Any
) -> None:
    command(window.on("then the sun"))
    assert window.view.chosen == chosen


def test_a_line_is_cut_where_the_cursor_is(window: Any) -> None:
    window.on("wait").view.syllable = 1
    do.cut_in_two(window)
    window.on("then the sun").view.syllable = None
    do.cut_in_two(window)
    window.view.syllable = 0
    do.cut_in_two(window)
    assert window.said == [
        "Go to a line first.",
        "Go to the tap, or in the words to the place, where the next line begins.",
        "A line is cut before a word that is not its first.",
    ]
    window.view.syllable = 2
    do.cut_in_two(window)
    assert window.desk.all()[3:5] == ["then the", "sun"]
    assert window.view.went == [(at(0, 3), False)]
    do.join(window.on("then the"))
    assert window.view.went[1:] == [(at(0, 2), False)]
    do.join(window.on("wait"))
    do.join(window.on())
    assert window.said[3:] == ["Only lines that follow one another can be joined."] * 2


@pytest.mark.parametrize(
    ("typed", "went", "said"),
    [
        ("2", at(0, 2), None),
        ("3", at(1, 1), None),
        ("moon", at(0, 0), None),
        ("4", None, "There is no line with “4”."),
        ("zebra", None, "There is no line with “zebra”."),
        ("", None, None),
    ],
)
def test_go_to_a_number_or_words(
    typed: str, went: StoryPath | None, said: str | None, window: Any
) -> None:
    window.answers.choices = [typed]
    do.go_to_line(window)
    assert window.answers.asked == ["Its number (1 to 3), or some of its words:"]
    assert window.view.went == ([(went, False)] if went else [])
    assert window.said == ([said] if said else [])


def test_a_refrain_is_made_written_out_or_refused(window: Any) -> None:
    do.make_refrain(window.on("then the sun"))
    assert window.view.chosen == [at(0, 2)]
    do.make_refrain(window.on("then the sun"))
    assert window.said == ["Choose lines that follow one another and are in no refrain yet."]


@pytest.mark.parametrize(
    ("command", "rows", "path", "edit"),
    [
        (do.add_line, [*ONE[:2], "", *ONE[2:]], at(0, 1), True),
        (do.add_wait, [*ONE[:2], "wait", *ONE[2:]], at(0, 1), False),
        (do.add_offer, [*ONE[:2], "offering", *ONE[2:]], at(0, 1), False),
        (do.add_return, [*ONE[:2], "home", *ONE[2:]], at(0, 1), False),
    ],
)
def test_what_is_added_below(
    command: Callable[[Any], None], rows: list[str], path: StoryPath, edit: bool, window: Any
) -> None:
    command(window.on("first the moon"))
    assert window.desk.all() == [*rows, *TWO, *HOME]
    assert window.view.went == [(path, edit)]


def test_the_first_prop_is_offered_and_the_first_refrain_returns(window: Any) -> None:
    story = window.document.story
    (cup,), (home,) = story.props, story.refrains
    more = evolve(
        story,
        props=(evolve(cup, name="bell"), cup),
        refrains=(evolve(home, name="away"), home),
    )
    window.document.edit("More", more)
    do.add_offer(window.on("first the moon"))
    do.add_return(window.on("last the rain"))
    added = {row.path: row.item for row in window.desk.rows()}
    assert added[at(0, 1)] == Offer("bell")
    assert added[at(1, 2)] == RefrainUse("away")


def test_a_new_section_has_its_heading_open_and_a_wait_ten_seconds(window: Any) -> None:
    do.add_section(window.on("first the moon"))
    assert window.view.went == [(("story", 1), True)]
    do.add_wait(window.on("last the rain"))
    (wait,) = [row.item for row in window.desk.rows() if row.path == at(2, 2)]
    assert wait.least_sec == 10


def test_rhythms_and_fewer_taps_say_what_came_of_it(window: Any) -> None:
    do.another_rhythm(window.on("then the sun"))
    assert window.said[0].startswith("Rhythm ")
    do.another_rhythm(window.on("wait"))
    assert len(window.said) == 1
    do.fewer_taps(window.on("last the rain"), Tapped.STRONG)
    assert len(window.said) == 1
    do.fewer_taps(window.on("last the rain"), Tapped.STRONG)
    assert window.said[1:] == ["They are tapped like that already."]


def test_the_metre_is_said_of_the_section(window: Any) -> None:
    do.which_metre(window.on("first the moon"))
    assert window.said[0].startswith("One: ")
    do.which_metre(window.on("row it home"))
    do.which_metre(window.on())
    assert window.said[1:] == ["Go to a line of a section first."] * 2


def tap(window: Any, name: str, event: int) -> TapDetail | None:
    line = window.desk.row(name).line
    assert line is not None
    return cell_at(line.lane, event_places(line.lane)[event]).detail


def test_taps_under_the_cursor(window: Any) -> None:
    do.toggle_tap(window.on("then the sun"))
    assert window.document.undo_stack.count() == 0, "no tap, nothing to do"
    do.toggle_tap(window.on("then the sun", event=1))
    assert window.desk.step() == "Tap or no tap"
    window.heard_space = True
    do.toggle_tap(window)
    assert window.document.undo_stack.count() == 1, "while listening it is not for this"
    do.with_tap(window, lambda *_: False)
    assert window.said == [do.NO_ROOM]
    do.toggle_tapping(window)
    assert window.view.tapping is True
    do.toggle_tapping(window)
    assert window.view.tapping is False


def test_a_tap_is_added_in_the_next_empty_step(window: Any) -> None:
    do.add_tap(window.on("wait"))
    do.add_tap(window.on())
    assert window.document.undo_stack.count() == 0
    do.add_tap(window.on("then the sun", event=0))
    assert window.desk.step() == "Add tap"
    assert window.view.moved == [1]
    for event in (3, 4, 5):
        do.add_tap(window.on("then the sun", event=event))
    assert window.view.moved == [1, 4, 5, 6]
    do.add_tap(window.on("then the sun", event=6))
    assert window.said == ["There is no empty step after this one. Go to an earlier tap."]


def test_louder_is_for_the_tap_or_else_for_the_lines(window: Any) -> None:
    """The line is loud; a tap of its own is taken from where it is."""
    do.louder(window.on("then the sun", event=2), -1)
    assert tap(window, "then the sun", 2) == TapDetail(loudness=Loudness.MEDIUM)
    do.louder(window.on("then the sun", event=2), -1)
    assert tap(window, "then the sun", 2) == TapDetail(loudness=Loudness.QUIET)
    do.louder(window.on("then the sun", event=1), 1)
    assert tap(window, "then the sun", 1) == TapDetail(loudness=Loudness.VERY_LOUD)
    do.louder(window.on("then the sun", "last the rain"), 1)
    assert window.desk.row("then the sun").line.manner.loudness == (Loudness.VERY_LOUD,)
    assert window.desk.row("first the moon").line.manner.loudness is None


def test_a_tap_in_a_swell_goes_on_from_how_loud_it_is(window: Any) -> None:
    """Quiet to medium over three taps: the second is half a step between."""

    def swell(*levels: Loudness) -> None:
        path = window.desk.row("then the sun").path
        window.editing.change_items(
            "Swell", (path,), lambda line: evolve(line, manner=evolve(line.manner, loudness=levels))
        )

    swell(Loudness.QUIET, Loudness.LOUD)
    do.louder(window.on("then the sun", event=2), 1)
    assert tap(window, "then the sun", 2) == TapDetail(loudness=Loudness.VERY_LOUD)
    do.louder(window.on("then the sun", event=1), -1)
    assert tap(window, "then the sun", 1) == TapDetail(loudness=Loudness.QUIET)
    for by, level in ((1, Loudness.MEDIUM), (-1, Loudness.QUIET)):
        window.document.undo_stack.setIndex(0)
        swell(Loudness.QUIET, Loudness.MEDIUM)
        do.louder(window.on("then the sun", event=1), by)
        assert tap(window, "then the sun", 1) == TapDetail(loudness=level)


def test_what_is_said_without_a_tap_is_made_no_louder(window: Any) -> None:
    do.toggle_tap(window.on("then the sun", event=1))
    before = window.document.story
    do.louder(window.on("then the sun", event=1), 1)
    assert window.document.story is before
    assert window.said == ["This is said without a tap."]


def test_tapped_at_a_spot(window: Any) -> None:
    assert do.tap_at(window.on("then the sun", event=1), "door") == "This tap is at door."
    assert tap(window, "then the sun", 1) == TapDetail(spot="door")
    assert window.desk.step() == "Tap at door"
    assert do.tap_at(window.on("first the moon", "wait"), "door") == "Tapped at door."
    assert window.desk.row("first the moon").line.manner.spot == "door"
    assert do.tap_at(window.on("wait"), "door") == "Choose lines first, then door."


# --- when each can be done


@pytest.mark.parametrize(
    ("when", "names", "event", "holds"),
    [
        (can.SOME_ROW, (), None, False),
        (can.SOME_ROW, ("One",), None, True),
        (can.CHOSEN, ("wait",), None, True),
        (can.CHOSEN, (), None, False),
        (can.SOME_ITEM, ("One",), None, False),
        (can.SOME_ITEM, ("One", "wait"), None, True),
        (can.SOME_LINE, ("wait",), None, False),
        (can.SOME_LINE, ("wait", "then the sun"), None, True),
        (can.WITH_RHYTHM, ("wait",), None, False),
        (can.WITH_RHYTHM, ("then the sun",), None, True),
        (can.WITH_RHYTHM, (), None, False),
        (can.ON_TAP, ("then the sun",), None, False),
        (can.ON_TAP, ("then the sun",), 0, True),
        (can.SOME_PROP, (), None, True),
        (can.SOME_REFRAIN, (), None, True),
        (can.CAN_UNDO, (), None, False),
        (can.CAN_REDO, (), None, False),
        (can.GOING, (), None, False),
        (can.HOLDING, (), None, False),
        (can.SPELLING, (), None, True),
        (can.LARGER, (), None, True),
        (can.SMALLER, (), None, False),
        (can.ALWAYS, (), None, True),
    ],
)
def test_when_something_can_be_done(
    when: can.When, names: tuple[str, ...], event: int | None, holds: bool, window: Any
) -> None:
    assert when.holds(window.on(*names, event=event)) is holds
    assert when.otherwise or when is can.ALWAYS


def test_larger_and_smaller_end(window: Any) -> None:
    for scale, larger, smaller in ((1.0, True, False), (1.5, True, True), (2.0, False, True)):
        window.settings.scale = scale
        assert can.LARGER.holds(window) is larger
        assert can.SMALLER.holds(window) is smaller


def test_keys_of_text_fields_are_the_story_s_only_in_the_story() -> None:
    """Else Ctrl+V in a field would paste lines, and Delete take them away."""
    kinds = QKeySequence.StandardKey
    standard = (
        *(kinds.Cut, kinds.Copy, kinds.Paste, kinds.SelectAll, kinds.Delete, kinds.Backspace),
        *(kinds.MoveToNextWord, kinds.MoveToPreviousWord, kinds.MoveToStartOfLine),
    )
    texts = {key.toString() for each in standard for key in QKeySequence.keyBindings(each)}
    shared = {
        command.id
        for command in COMMANDS
        if texts & {QKeySequence(key).toString() for key in command.keys.split(", ") if key}
    }
    assert {"cut", "copy", "paste", "select all", "delete"} <= shared
    assert {command.id for command in COMMANDS if command.in_story} >= shared
