"""Commands that change the current row, or the tap the cursor is on."""

from collections.abc import Callable, Mapping

from attrs import evolve
from PySide6.QtGui import QGuiApplication

from tapscore.gui.editor.editing import StoryEditing
from tapscore.gui.editor.story_view import StoryView
from tapscore.gui.listening.desk import Listening
from tapscore.gui.tap_in import TapInDialog
from tapscore.model.lane_edits import event_places, free_place_after
from tapscore.model.loudness import Loudness, Swell
from tapscore.model.story import Offer, RefrainUse
from tapscore.screen.rows import Row


class RowCommands:
    """Does what the keys and menus say to rows and taps; ``say`` shows a short sentence."""

    def __init__(
        self,
        view: StoryView,
        editing: StoryEditing,
        listening: Listening,
        say: Callable[[str], None],
    ) -> None:
        self._view = view
        self._editing = editing
        self._listening = listening
        self._say = say

    def commands(self) -> Mapping[str, Callable[[], object]]:
        """What each command does, by its id."""
        return {
            "words": self._view.open_current,
            "repeat": lambda: self._with_row(self._editing.duplicate),
            "up": lambda: self._with_row(lambda row: self._editing.move(row, -1)),
            "down": lambda: self._with_row(lambda row: self._editing.move(row, 1)),
            "refrain": lambda: self._with_row(self._editing.make_refrain),
            "delete": self._delete,
            "paste": self._paste,
            "add line": lambda: self._view.go_to(
                self._editing.insert_line(self._view.current_row), edit=True
            ),
            "add wait": lambda: self._view.go_to(self._editing.insert_wait(self._view.current_row)),
            "add offer": self._add_offer,
            "add return": self._add_return,
            "add section": lambda: self._view.go_to(
                self._editing.insert_section(self._view.current_row), edit=True
            ),
            "rhythm": lambda: self._with_row(self._editing.another_rhythm),
            "tap in": self._tap_in,
            "tap": self._tap_or_go_on,
            "add tap": self._add_tap,
            "strong": lambda: self._with_tap(self._editing.toggle_accent),
            "earlier": lambda: self._with_tap(
                lambda row, tap: self._editing.move_tap(row, tap, -1)
            ),
            "later": lambda: self._with_tap(lambda row, tap: self._editing.move_tap(row, tap, 1)),
            "longer": lambda: self._with_tap(lambda row, tap: self._editing.hold(row, tap, True)),
            "shorter": lambda: self._with_tap(lambda row, tap: self._editing.hold(row, tap, False)),
            "louder": lambda: self._louder(1),
            "quieter": lambda: self._louder(-1),
        }

    def _with_row(self, do: Callable[[Row], object]) -> None:
        row = self._view.current_row
        if row is not None:
            result = do(row)
            if isinstance(result, tuple):
                self._view.go_to(result)

    def _with_tap(self, do: Callable[[Row, int], bool]) -> None:
        row, tap = self._view.current_row, self._view.cursor_event
        if row is None or tap is None:
            self._say("Go to a tap first, with the left and right keys.")
        elif not do(row, tap):
            self._say("There is no room for that here.")

    def _tap_or_go_on(self) -> None:
        if self._listening.tapping_along:
            self._listening.practising.touch()
        elif self._listening.holding:
            self._listening.player.go_on()
        else:
            self._with_tap(self._editing.toggle_tap)

    def _delete(self) -> None:
        for row in reversed(self._view.selected_rows):
            self._editing.delete(row)

    def _paste(self) -> None:
        text = QGuiApplication.clipboard().text()
        path = self._editing.paste(self._view.current_row, text)
        if path is not None:
            self._view.go_to(path)

    def _add_offer(self) -> None:
        props = self._editing.story.props
        if not props:
            self._say("Write a prop under Props first.")
            return
        self._view.go_to(self._editing.insert(self._view.current_row, Offer(props[0].name)))

    def _add_return(self) -> None:
        refrains = self._editing.story.refrains
        if not refrains:
            self._say("Make a line the refrain first: Ctrl+R.")
            return
        self._view.go_to(self._editing.insert(self._view.current_row, RefrainUse(refrains[0].name)))

    def _add_tap(self) -> None:
        row = self._view.current_row
        if row is None or row.line is None or row.line.lane is None:
            self._say("Go to a line with a rhythm first.")
            return
        place = free_place_after(row.line.lane, self._view.cursor_event)
        if place is None or not self._editing.add_tap(row, place):
            self._say("There is no empty step after this one. Go to an earlier tap.")
            return
        row = self._view.current_row
        if row is not None and row.line is not None and row.line.lane is not None:
            self._view.move_cursor_to(event_places(row.line.lane).index(place))

    def _tap_in(self) -> None:
        row = self._view.current_row
        if row is None or row.line is None or not row.line.syllables:
            self._say("Go to a line with words first.")
            return
        line = row.line
        dialog = TapInDialog(
            self._view.window(),
            line,
            row.metre,
            lambda lane: self._editing.set_lane(row.path, lane),
        )
        dialog.open()

    def _louder(self, by: int) -> None:
        row, tap = self._view.current_row, self._view.cursor_event
        if row is None or row.line is None:
            return
        now = row.manner.loudness
        if tap is None:
            louder: Swell = tuple(_stepped(level, by) for level in now)
            self._editing.change_manner(
                "Change loudness", (row.path,), lambda m: evolve(m, loudness=louder)
            )
            return
        self._editing.change_tap(
            "Change loudness",
            row,
            tap,
            lambda d: evolve(
                d, loudness=_stepped(d.loudness if d.loudness is not None else now[0], by)
            ),
        )


def _stepped(level: Loudness, by: int) -> Loudness:
    return Loudness(min(max(level + by, 0), 4))
