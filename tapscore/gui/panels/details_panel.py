"""The details of what is chosen: lines, one tap, a wait, an offering or a section."""

from collections.abc import Callable, Sequence
from typing import Any

from attrs import evolve
from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QFrame,
    QLabel,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from tapscore.gui.editor.editing import StoryEditing
from tapscore.gui.forms.form import Form
from tapscore.gui.panels.detail_parts import (
    line_parts,
    offer_parts,
    section_parts,
    tap_parts,
    wait_parts,
)
from tapscore.model.curriculum import AREAS
from tapscore.model.finding import StoryPath
from tapscore.model.lane import TapDetail
from tapscore.model.lane_edits import cell_at, event_places
from tapscore.model.manner import EVERYONE, Manner
from tapscore.model.story import CHANNELS, Section
from tapscore.screen.rows import Row, RowKind, tap_name
from tapscore.wording.catalogue import say

NOTHING_CHOSEN = say("Go to a line, a wait or a heading: how it is played stands here.")
ALIKE = say("everybody's alike")


class DetailsPanel(QScrollArea):
    """One form at a time, for what is chosen; every change is a step at once."""

    said = Signal(str)

    def __init__(
        self,
        editing: StoryEditing,
        parent: QWidget | None = None,
        *,
        beside: Callable[[], Sequence[str]] = tuple,
    ) -> None:
        """``beside`` gives the names of pictures in the story's folder."""
        super().__init__(parent)
        self._editing = editing
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAccessibleName(say("Details"))
        self.what = QLabel(NOTHING_CHOSEN)
        self.what.setWordWrap(True)
        self.line = Form(line_parts(beside), self._change_items)
        self.line["areas"].offer(AREAS)
        self.line["warned through"].offer(CHANNELS)
        self.tap = Form(tap_parts(), self._change_tap)
        self.whose = QComboBox()
        self.whose.setAccessibleName(say("Whose tap"))
        self.whose.activated.connect(self._show_tap)
        self._whose_row = QWidget()
        whose_row = QFormLayout(self._whose_row)
        whose_row.setContentsMargins(0, 0, 0, 0)
        whose_row.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        whose_row.addRow(say("Whose tap"), self.whose)
        self._tap_shown: tuple[StoryPath, int, TapDetail, Row] | None = None
        self.wait = Form(wait_parts(), self._change_items)
        self.offer = Form(offer_parts(), self._change_items)
        self.section = Form(section_parts(), self._change_sections)
        self._forms = (self.line, self.tap, self.wait, self.offer, self.section)
        content = QWidget()
        column = QVBoxLayout(content)
        column.addWidget(self.what)
        column.addWidget(self._whose_row)
        for form in self._forms:
            column.addWidget(form)
            form.said.connect(self.said)
            form.hide()
        column.addStretch(1)
        self.setWidget(content)

    @property
    def shown(self) -> Form | None:
        """The form that is shown."""
        return next((form for form in self._forms if not form.isHidden()), None)

    def show_rows(self, rows: Sequence[Row], current: Row | None, event: int | None) -> None:
        """Show the rows chosen, or a tap of the current one."""
        tap = _tap(current, event)
        if current is None:
            self._open(None, NOTHING_CHOSEN)
            return
        if tap is not None and event is not None:
            self._offer_names(self.tap)
            self._offer_adults(current, event, tap)
            self._show_tap()
            name = tap_name(current, event)
            self._open(
                self.tap, _bold(say("One tap:"), say("{name}  (Escape: the whole line)", name=name))
            )
            return
        form = {
            RowKind.LINE: self.line,
            RowKind.WAIT: self.wait,
            RowKind.OFFER: self.offer,
            RowKind.SECTION: self.section,
        }.get(current.kind)
        if form is None:
            self._open(None, NOTHING_CHOSEN)
            return
        alike = [row for row in rows if row.kind is current.kind] or [current]
        if current not in alike:
            alike = [current]
        things = [row.item or Section(row.title, manner=row.section_manner) for row in alike]
        self._offer_names(form)
        form.show_things(tuple(row.path for row in alike), things, current.manner)
        hint = say("(go to a tap with the arrow keys to change it)") if form is self.line else ""
        self._open(form, _bold(_whole(current.kind, len(alike)), hint))

    def _open(self, form: Form | None, what: str) -> None:
        for each in self._forms:
            if each is not form and not each.isHidden():
                each.finish()
            each.setVisible(each is form)
        self._whose_row.setVisible(form is self.tap and self.whose.count() > 1)
        self.what.setText(what)

    def _offer_adults(self, row: Row, event: int, tap: TapDetail) -> None:
        """Let each adult who taps be chosen; the one chosen stays while it is the same tap."""
        same = self._tap_shown is not None and self._tap_shown[:2] == (row.path, event)
        before = self.whose.currentData() if same else None
        names = self._adults(row, tap)
        self.whose.clear()
        self.whose.addItem(ALIKE, None)
        for name in names if len(names) > 1 else ():
            self.whose.addItem(say("{name} alone", name=name), name)
        self.whose.setCurrentIndex(max(self.whose.findData(before), 0))
        self._tap_shown = (row.path, event, tap, row)

    def _adults(self, row: Row, tap: TapDetail) -> tuple[str, ...]:
        taps = tap.adults or row.manner.by
        return self._editing.story.role_names if EVERYONE in taps else taps

    def _show_tap(self) -> None:
        """Show the tap as it is for everybody, or for the one adult chosen."""
        if self._tap_shown is None:
            return
        path, event, tap, row = self._tap_shown
        role = self.whose.currentData()
        self.tap["by"].setEnabled(role is None)
        shown = tap if role is None else tap.own(role)
        self.tap.show_things((path, event, role), [shown], _around(row.manner, tap, role))

    def _offer_names(self, form: Form) -> None:
        story = self._editing.story
        spots = [spot.name for spot in story.board.spots] if story.board else []
        props = [prop.name for prop in story.props]
        if form is self.offer:
            form["offer"].offer([(name, name) for name in props])
        if form in (self.line, self.tap, self.section):
            form["spot"].offer([(name, name) for name in spots])
            form["by"].offer(story.role_names)
        if form in (self.line, self.section):
            form["says"].offer(story.role_names)
        if form is self.line:
            form["warned by"].offer(story.role_names)
            form["done by"].offer(story.role_names)
            form["prop in"].offer(props)
            form["prop out"].offer(props)

    def _change_items(
        self, target: Any, name: str, change: Callable[[Any], Any], join: str | None
    ) -> object:
        return self._editing.change_items(name, target, change, join)

    def _change_sections(
        self, target: Any, name: str, change: Callable[[Any], Any], join: str | None
    ) -> object:
        return self._editing.change_sections(name, [path[1] for path in target], change, join)

    def _change_tap(
        self, target: Any, name: str, change: Callable[[Any], Any], join: str | None
    ) -> object:
        path, event, role = target
        if role is None or self._tap_shown is None:
            return self._editing.change_tap_at(name, path, event, change, join)
        row = self._tap_shown[3]
        taps = row.manner.by

        def changed(tap: TapDetail) -> TapDetail:
            return tap.with_own(role, change(tap.own(role)), taps)

        return self._editing.change_tap_at(f"{name} ({role})", path, event, changed, join)


def _bold(head: str, rest: str) -> str:
    return f"<b>{head}</b>  {rest}" if rest else f"<b>{head}</b>"


def _whole(kind: RowKind, count: int) -> str:
    return say(
        "{kind:line={count:The whole line|# lines}|wait={count:The whole wait|# waits}"
        "|offering={count:The whole offering|# offerings}"
        "|section={count:The whole section|# sections}}",
        kind=kind.value,
        count=count,
    )


def _around(manner: Manner, tap: TapDetail, role: str | None) -> Manner:
    """What holds where nothing is said: the line's manner, and for one adult the tap's own."""
    if role is None:
        return manner
    return evolve(
        manner,
        loudness=manner.loudness if tap.loudness is None else (tap.loudness,),
        stroke=tap.stroke or manner.stroke,
        spot=tap.spot or manner.spot,
        by=(role,),
    )


def _tap(row: Row | None, event: int | None) -> TapDetail | None:
    if row is None or event is None or row.line is None or row.line.lane is None:
        return None
    places = event_places(row.line.lane)
    if event >= len(places):
        return None
    cell = cell_at(row.line.lane, places[event])
    return (cell.detail or TapDetail()) if cell.mark.tapped else None
