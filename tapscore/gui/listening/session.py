"""Listening in one window: joins the bar, the player and the cursor in the rows."""

from PySide6.QtCore import QObject, QTimer, Slot

from tapscore.gui.document import Document
from tapscore.gui.editor.story_rows import StoryRows
from tapscore.gui.editor.story_view import StoryView
from tapscore.gui.listening.following import CursorFollower
from tapscore.gui.listening.listen_bar import ListenBar
from tapscore.gui.listening.player import CursorAt, Player, PlayerState
from tapscore.gui.listening.practising import Practising
from tapscore.model.finding import StoryPath
from tapscore.rhythm.perform import perform
from tapscore.screen import sentences
from tapscore.screen.heard_rows import HeardRows, LoopChoice
from tapscore.screen.passage import Going

EDIT_PAUSE_MS = 300
"""After so long without a further change a loop begins again with the story as it is."""


class Listening(QObject):
    """What the window has to know of listening: a bar, commands, and an end."""

    def __init__(
        self,
        document: Document,
        rows: StoryRows,
        view: StoryView,
        parent: QObject | None = None,
        *,
        player: Player | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._rows = rows
        self._view = view
        self.bar = ListenBar()
        self.player = player or Player(self)
        self.practising = Practising(self.player)
        self.follower = CursorFollower(view, self)
        self._loop = LoopChoice.ONCE
        self._again = QTimer(self)
        self._again.setSingleShot(True)
        self._again.setInterval(EDIT_PAUSE_MS)
        self._again.timeout.connect(self._begin_again)
        self._from: StoryPath = ()
        """The row that listening began in."""
        self._told = ""
        """The problem with the sound that was spoken already."""
        self._practised = ""
        """What was said of the last time somebody tapped along."""
        self._shut = False
        self.player.moved.connect(self._moved)
        self.player.changed.connect(self._changed)
        self.bar.listen.connect(self.listen)
        self.bar.stop.connect(self.stop)
        self.bar.go_on.connect(self.player.go_on)
        self.bar.chosen.connect(self._chosen)
        document.changed.connect(self._story_changed)
        rows.folded.connect(self._folded)
        self.bar.set_roles(document.story.role_names)

    @property
    def going(self) -> bool:
        """Whether something is heard, or waits for a key."""
        return self.player.state is not PlayerState.STILL

    @property
    def tapping_along(self) -> bool:
        """Whether the space bar is for tapping along now."""
        return self.practising.on and self.player.state is PlayerState.PLAYING

    @property
    def holding(self) -> bool:
        """Whether a wait or an offering waits for a key."""
        return self.player.state is PlayerState.HOLDING

    def space(self) -> bool:
        """What the space bar does while listening; False where it does nothing."""
        if self.tapping_along:
            self.practising.touch()
        elif self.holding:
            self.player.go_on()
        else:
            return False
        return True

    def choose_part(self) -> None:
        """Go to the choice of one's own part."""
        self.bar.show_more()
        self.bar.part.setFocus()

    def set_reduced_motion(self, reduced: bool) -> None:
        """Let the cursor jump from syllable to syllable, or glide."""
        self.follower.reduced_motion = reduced

    @Slot()
    def listen(self) -> None:
        """Listen from the current row on, or round and round as chosen."""
        self._listen_from(max(self._view.currentIndex().row(), 0))

    def listen_from_the_beginning(self) -> None:
        """Listen to the whole story, as far as the first wait."""
        self.bar.loop.setCurrentIndex(0)
        self._listen_from(0)

    @Slot()
    def stop(self) -> None:
        """Be silent and take the cursor away."""
        self._again.stop()
        if self.player.state is not PlayerState.STILL:
            self.player.stop()
            self.bar.say(sentences.STOPPED)

    def shut(self) -> None:
        """No timer and no thread runs after this; to be called before the window goes."""
        if self._shut:
            return
        self._shut = True
        self._again.stop()
        self._document.changed.disconnect(self._story_changed)
        self.player.shut()
        self.follower.stop()

    def _listen_from(self, row: int, *, count_in: bool | None = None) -> None:
        self._again.stop()
        story = self._document.story
        rows = HeardRows(self._rows.rows, perform(story))
        going, why_not = self._going(rows, row)
        if going is None:
            self.player.stop()
            self.bar.say(why_not)
            return
        self._from = self._rows.rows[row].path
        self._loop = self.bar.loop_choice
        self.follower.begin(rows, stay_in_refrain=rows.written_in_refrain(row))
        self.practising.on = self.bar.practise.isChecked()
        self.practising.begin(self.bar.part_choice)
        self._practised = ""
        if self.practising.on:
            self._view.setFocus()
        self.player.start(story, going, self.bar.choices, count_in=count_in)

    def _going(self, rows: HeardRows, row: int) -> tuple[Going | None, str]:
        first = rows.from_row(row)
        choice = self.bar.loop_choice
        if choice is LoopChoice.ONCE:
            if first is None:
                unused = rows.written_in_refrain(row)
                return None, sentences.NOT_USED if unused else sentences.NOTHING
            return Going(tuple(range(len(rows.heard))), False, first), ""
        if choice is LoopChoice.LINE:
            these = rows.line(row)
        elif choice is LoopChoice.SECTION:
            these = rows.section(row)
        else:
            selected = {index.row() for index in self._view.selectionModel().selectedRows()}
            these = rows.selected(selected or {row})
        if not any(rows.spoken[segment] for segment in these):
            return None, sentences.NO_LINE
        at = these.index(first) if first in these and choice is LoopChoice.SECTION else 0
        return Going(these, True, at), ""

    def loop_now(self, choice: LoopChoice) -> None:
        """Go round in it, or (chosen already) listen on without going round."""
        was_still = self.player.state is PlayerState.STILL
        self.bar.choose_loop(choice)
        if was_still and self.bar.loop_choice is not LoopChoice.ONCE:
            self.listen()

    @Slot()
    def _chosen(self) -> None:
        """Another choice while listening: the line that is heard begins again."""
        if self.player.state is not PlayerState.STILL:
            self._listen_from(self._row_now())
        elif self.bar.practise.isChecked():
            self.bar.say(sentences.PRACTISE_NEXT)
            self._view.setFocus()

    def _row_now(self) -> int:
        playing = self._view.delegate.playing
        return playing[0] if playing else max(self._view.currentIndex().row(), 0)

    @Slot(object)
    def _moved(self, place: CursorAt | None) -> None:
        self.follower.show(place)
        if place is not None:
            self._say_practised()
            self._say_where()

    @Slot()
    def _changed(self) -> None:
        state = self.player.state
        self.bar.show_state(state)
        if state is PlayerState.PLAYING:
            self._practised = ""
        self._say_practised()
        if state is PlayerState.STILL:
            self.bar.say(self._practised or sentences.ENDED, aloud=bool(self._practised))
        else:
            self._say_where()

    def _say_practised(self) -> None:
        found = self.practising.look() if self.practising.on else ""
        if found:
            self._practised = found
            self.bar.say(found, aloud=True)

    def _say_where(self) -> None:
        segment, place = self.player.segment, self.player.place
        if segment is None or place is None:
            return
        if place.holding:
            text = f"{self._practised} {sentences.holding_sentence(segment)}"
            self.bar.say(text.strip(), aloud=True)
        else:
            text = sentences.playing_sentence(segment, counting_in=place.counting_in)
            if self.practising.on:
                text = self._practised or sentences.PRACTISE
            problem = self.player.problem
            self.bar.say(f"{text} {problem}".strip(), aloud=problem not in ("", self._told))
            self._told = problem

    @Slot()
    def _story_changed(self) -> None:
        self.bar.set_roles(self._document.story.role_names)
        if self.player.state is PlayerState.STILL and not self._again.isActive():
            return
        self.player.stop()
        if self._loop is LoopChoice.ONCE:
            self.bar.say(sentences.CHANGED)
        else:
            self.bar.say(sentences.AGAIN)
            self._again.start()

    @Slot()
    def _folded(self) -> None:
        """Other rows are there: the cursor goes on in the one that shows what is heard now."""
        if self.going:
            self._view.delegate.playing = None
            self.follower.begin(
                HeardRows(self._rows.rows, perform(self._document.story)), stay_in_refrain=False
            )

    @Slot()
    def _begin_again(self) -> None:
        row = self._rows.row_of(self._from)
        if row is not None:
            self._listen_from(row, count_in=False)
