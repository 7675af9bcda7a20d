"""Shows in the story's rows what is heard, and brings the row into sight calmly.

A refrain is heard at its return, and its lines are shown there unless that is folded. Where it
is folded: if every line of the refrain is in sight where it is written, the cursor goes along
those lines, since they have the marks; otherwise it crosses the row of the return, so that the
view need not leap down to the refrain and back. This is settled when the return begins. Whoever
starts from a refrain's own line stays with those lines.
"""

from PySide6.QtCore import QEasingCurve, QObject, QPropertyAnimation
from PySide6.QtWidgets import QAbstractItemView

from tapscore.gui.editor.story_view import StoryView
from tapscore.gui.listening.player import CursorAt
from tapscore.screen.heard_rows import HeardRows

SCROLL_MS = 450
_TOP_SHARE = 0.25
"""Where in the window a row comes to stand that was out of sight."""


class CursorFollower(QObject):
    """Puts the listening cursor into the rows of one view."""

    def __init__(self, view: StoryView, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._view = view
        self.reduced_motion = False
        """The cursor jumps from syllable to syllable, and the view does not glide."""
        self._rows: HeardRows | None = None
        self._stay_in_refrain = False
        self._return: tuple[int, bool] | None = None
        """The return being heard (its first segment), and whether its own lines show it."""
        self._scroll = QPropertyAnimation(view.verticalScrollBar(), b"value", self)
        self._scroll.setEasingCurve(QEasingCurve.Type.InOutQuad)
        self._scroll.setDuration(SCROLL_MS)

    def begin(self, rows: HeardRows, *, stay_in_refrain: bool) -> None:
        """Follow another passage."""
        self._rows = rows
        self._stay_in_refrain = stay_in_refrain
        self._return = None

    def show(self, place: CursorAt | None) -> None:
        """Move the cursor, or take it away."""
        if place is None or self._rows is None:
            self._put(None)
            return
        share = place.stepped_share if self.reduced_motion else place.share
        heard = self._rows.heard[place.segment]
        if heard.inner_row is not None and not self._stay_in_refrain:
            self._put((heard.inner_row, share))
        elif heard.own_row is not None and self._shown_in_refrain(place.segment):
            self._put((heard.own_row, share))
        else:
            self._put((heard.row, heard.share_in_row(share)))

    def stop(self) -> None:
        """Nothing moves any more."""
        self._scroll.stop()
        self._put(None)

    def _shown_in_refrain(self, segment: int) -> bool:
        if self._stay_in_refrain:
            return True
        assert self._rows is not None
        heard = self._rows.heard
        first = segment
        while first and heard[first - 1].row == heard[segment].row:
            first -= 1
        if self._return is None or self._return[0] != first:
            these = [h.own_row for h in heard[first:] if h.row == heard[first].row]
            self._return = (first, all(own is not None and self._in_sight(own) for own in these))
        return self._return[1]

    def _in_sight(self, row: int) -> bool:
        rect = self._view.visualRect(self._view.model().index(row, 0))
        return rect.top() >= 0 and rect.bottom() <= self._view.viewport().height()

    def _put(self, playing: tuple[int, float] | None) -> None:
        delegate, model = self._view.delegate, self._view.model()
        before = delegate.playing
        if playing == before:
            return
        delegate.playing = playing
        for row, _ in filter(None, (before, playing)):
            if row < model.rowCount():
                self._view.update(model.index(row, 0))
        if playing is not None and (before is None or before[0] != playing[0]):
            self._bring_into_sight(playing[0])

    def _bring_into_sight(self, row: int) -> None:
        view = self._view
        if view.state() is QAbstractItemView.State.EditingState or self._in_sight(row):
            return
        bar = view.verticalScrollBar()
        rect = view.visualRect(view.model().index(row, 0))
        wanted = bar.value() + rect.top() - round(view.viewport().height() * _TOP_SHARE)
        wanted = min(max(wanted, bar.minimum()), bar.maximum())
        self._scroll.stop()
        if self.reduced_motion:
            bar.setValue(wanted)
        else:
            self._scroll.setStartValue(bar.value())
            self._scroll.setEndValue(wanted)
            self._scroll.start()
