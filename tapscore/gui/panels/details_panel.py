"""The details of what is chosen: lines, one tap, a wait, an offering or a section."""

from collections.abc import Callable, Sequence
from functools import partial
from operator import attrgetter
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
from tapscore.gui.forms.entries import ChoiceEntry, NamesEntry, SwellEntry, WordsEntry
from tapscore.gui.forms.form import Form, Part, part, with_attribute
from tapscore.model.curriculum import AREAS
from tapscore.model.finding import StoryPath
from tapscore.model.lane import TapDetail
from tapscore.model.lane_edits import cell_at, event_places
from tapscore.model.loudness import WORDS, Loudness, swell_text
from tapscore.model.manner import Manner
from tapscore.model.story import CHANNELS, Entrance, Line, Offer, Section, Translation, Wait
from tapscore.model.strokes import STROKE_WORDS, parse_stroke
from tapscore.screen.rows import Row, RowKind, tap_name
from tapscore.storyfile.languages import is_language

NOTHING_CHOSEN = "Go to a line, a wait or a heading: how it is played stands here."
ALIKE = "everybody's alike"
LOOK_FOR = "a look, a still body, a reach ..."


def _manner_parts(made: type) -> list[Part]:
    """The fields that a line and a section have in common."""
    return [
        part(made, "loudness", "Loudness", SwellEntry(), nothing=_as_before(_loudness)),
        part(made, "stroke", "Stroke", nothing=_as_before(lambda m: m.stroke.word)),
        part(made, "spot", "Spot", ChoiceEntry(), nothing=_as_before(lambda m: m.spot or "")),
        part(made, "by", "Who taps", NamesEntry("taps"), nothing=lambda m: m.by),
        part(made, "says", "Who speaks", NamesEntry("speaks"), nothing=lambda m: m.says),
        part(made, "tempo", "Beats a minute", nothing=lambda m: m.tempo),
        part(made, "metre", "Metre", nothing=_as_before(lambda m: str(m.metre))),
    ]


def _translated(typed: str) -> tuple[Translation, ...]:
    """``pl: words; ur: words``, as far as the tags are of languages."""
    found: dict[str, Translation] = {}
    for part_ in typed.split(";"):
        tag, _, words = part_.partition(":")
        tag, words = tag.strip(), " ".join(words.split())
        if words and is_language(tag):
            found[tag] = Translation(tag, words)
    return tuple(found.values())


def _loudness(manner: Any) -> str:
    return swell_text(manner.loudness)


def _as_before(word: Callable[[Any], str]) -> Callable[[Any], str]:
    def said(manner: Any) -> str:
        found = word(manner)
        return f"as before: {found}" if found else "as before"

    return said


class DetailsPanel(QScrollArea):
    """One form at a time, for what is chosen; every change is a step at once."""

    said = Signal(str)

    def __init__(self, editing: StoryEditing, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._editing = editing
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAccessibleName("Details")
        self.what = QLabel(NOTHING_CHOSEN)
        self.what.setWordWrap(True)
        self.line = Form(
            [
                *_manner_parts(Line),
                part(Line, "warn first", "Warn first", nothing=lambda _: ""),
                part(Line, "warned by", "Warned by", NamesEntry("warns"), nothing=lambda _: ()),
                part(
                    Line,
                    "warned through",
                    "Warned through",
                    NamesEntry("carries the warning"),
                    nothing=lambda _: (),
                ),
                part(
                    Line,
                    "prop in",
                    "Props in",
                    NamesEntry("comes in"),
                    nothing=lambda _: (),
                    get=lambda line: tuple(entrance.prop for entrance in line.props_in),
                    put=_with_props_in,
                ),
                part(Line, "prop out", "Props out", NamesEntry("goes out"), nothing=lambda _: ()),
                part(Line, "look for", "Look for", WordsEntry(LOOK_FOR)),
                part(Line, "do", "What to do", nothing=lambda _: ""),
                part(Line, "done by", "Done by", NamesEntry("does it"), nothing=lambda _: ()),
                Part(
                    "in",
                    "In families' languages",
                    WordsEntry("pl: ...; ur: ...", reads=_translated),
                    lambda line: "; ".join(f"{t.tag}: {t.words}" for t in line.translations),
                    lambda line, typed: evolve(line, translations=_translated(typed or "")),
                ),
                part(Line, "areas", "Areas of learning", NamesEntry("is worked on")),
            ],
            self._change_items,
        )
        self.line["areas"].offer(AREAS)
        self.line["warned through"].offer(CHANNELS)
        self.tap = Form(_tap_parts(), self._change_tap)
        self.whose = QComboBox()
        self.whose.setAccessibleName("Whose tap")
        self.whose.activated.connect(self._show_tap)
        self._whose_row = QWidget()
        whose_row = QFormLayout(self._whose_row)
        whose_row.setContentsMargins(0, 0, 0, 0)
        whose_row.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        whose_row.addRow("Whose tap", self.whose)
        self._tap_shown: tuple[StoryPath, int, TapDetail, Row] | None = None
        self.wait = Form(
            [
                part(Wait, "wait", "Seconds at least"),
                part(Wait, "look for", "Look for", WordsEntry(LOOK_FOR)),
            ],
            self._change_items,
        )
        self.offer = Form(
            [
                part(Offer, "offer", "Prop", ChoiceEntry(needed=True)),
                part(Offer, "turn", "Seconds for each"),
                part(Offer, "look for", "Look for", WordsEntry(LOOK_FOR)),
            ],
            self._change_items,
        )
        self.section = Form(
            [part(Section, "section", "Heading"), *_manner_parts(Section)], self._change_sections
        )
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
            self._open(self.tap, f"<b>One tap:</b> {name}  (Escape: the whole line)")
            return
        form, noun = {
            RowKind.LINE: (self.line, "line"),
            RowKind.WAIT: (self.wait, "wait"),
            RowKind.OFFER: (self.offer, "offering"),
            RowKind.SECTION: (self.section, "section"),
        }.get(current.kind, (None, ""))
        if form is None:
            self._open(None, NOTHING_CHOSEN)
            return
        alike = [row for row in rows if row.kind is current.kind] or [current]
        if current not in alike:
            alike = [current]
        things = [row.item or Section(row.title, manner=row.section_manner) for row in alike]
        self._offer_names(form)
        form.show_things(tuple(row.path for row in alike), things, current.manner)
        whole = f"<b>{len(alike)} {noun}s</b>" if len(alike) > 1 else f"<b>The whole {noun}</b>"
        hint = "  (go to a tap with the arrow keys to change it)" if noun == "line" else ""
        self._open(form, whole + hint)

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
            self.whose.addItem(f"{name} alone", name)
        self.whose.setCurrentIndex(max(self.whose.findData(before), 0))
        self._tap_shown = (row.path, event, tap, row)

    def _adults(self, row: Row, tap: TapDetail) -> tuple[str, ...]:
        taps = tap.adults or row.manner.by
        return self._editing.story.role_names if "everyone" in taps else taps

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


def _with_props_in(line: Line, names: tuple[str, ...]) -> Line:
    """Props come in by name; where to stays as it was."""
    before = {entrance.prop: entrance for entrance in line.props_in}
    return evolve(line, props_in=tuple(before.get(name, Entrance(name)) for name in names))


def _tap_parts() -> list[Part]:
    levels = [(word, Loudness(n)) for n, word in enumerate(WORDS)]
    strokes = [(word, parse_stroke(word)) for word in STROKE_WORDS]
    fields = (
        ("loudness", "Loudness", ChoiceEntry(levels), lambda m: f"as the line: {_loudness(m)}"),
        ("stroke", "Stroke", ChoiceEntry(strokes), lambda m: f"as the line: {m.stroke.word}"),
        ("spot", "Spot", ChoiceEntry(), lambda m: f"as the line: {m.spot}" if m.spot else "any"),
        ("by", "Who taps", NamesEntry("taps"), lambda m: m.by),
    )
    return [
        Part(
            key,
            label,
            entry,
            attrgetter(key),
            partial(_with_detail, key),
            nothing,
        )
        for key, label, entry, nothing in fields
    ]


def _with_detail(key: str, tap: TapDetail, value: Any) -> Any:
    return with_attribute(tap, key, value)


def _tap(row: Row | None, event: int | None) -> TapDetail | None:
    if row is None or event is None or row.line is None or row.line.lane is None:
        return None
    places = event_places(row.line.lane)
    if event >= len(places):
        return None
    cell = cell_at(row.line.lane, places[event])
    return (cell.detail or TapDetail()) if cell.mark.tapped else None
