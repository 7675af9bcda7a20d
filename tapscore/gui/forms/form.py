"""A form: fields for some things of one kind, each for one key of the story file."""

from collections.abc import Callable, Sequence
from functools import partial
from itertools import pairwise
from typing import Any

from attrs import evolve, frozen
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFormLayout, QLabel, QWidget

from tapscore.gui.forms.choices import ChoiceEntry, SwellEntry
from tapscore.gui.forms.entries import (
    NOT_SAID,
    Change,
    FlagEntry,
    KindEntry,
    NamesEntry,
    WordsEntry,
)
from tapscore.storyfile.records import Field
from tapscore.storyfile.typed import field_of, typed_value, value_of, words_of
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term

Entry = WordsEntry | KindEntry | ChoiceEntry | FlagEntry | SwellEntry | NamesEntry
Edit = Callable[[Any, str, Callable[[Any], Any], str | None], object]
"""Makes a change to all things of a target, as one step of that name.

The last word lets typing on in one field be one step.
"""


_LEAST_FIELD_PX = 90
"""A field may be narrow; it goes below its label where large letters need the room."""


@frozen(eq=False)
class FormPart:
    """One field of a form."""

    key: str
    label: str
    entry: Entry
    get: Callable[[Any], Any]
    put: Callable[[Any, Any], Any]
    """A thing, and what it shall say."""
    nothing: Callable[[Any], Any] = lambda _: NOT_SAID
    """What holds where a thing says nothing, from what surrounds it."""
    step: str = ""
    """Name of the step on the undo stack; the label if empty."""


def part(
    made: type,
    key: str,
    label: str,
    entry: Entry | None = None,
    *,
    nothing: Callable[[Any], Any] = lambda _: NOT_SAID,
    get: Callable[[Any], Any] | None = None,
    put: Callable[[Any, Any], Any] | None = None,
) -> FormPart:
    """The part for a key of the story file; its kind of value says what field it gets."""
    field = field_of(made, key)
    return FormPart(
        key,
        label,
        entry or _entry_for(field),
        get or partial(value_of, field),
        put or partial(_with_field, field),
        nothing,
    )


def _entry_for(field: Field) -> Entry:
    words = words_of(field)
    if words:
        return ChoiceEntry([(term(word), typed_value(field, word)) for word in words])
    kind = field.kind.schema.get("type")
    if kind in ("number", "integer") or "anyOf" in field.kind.schema:
        return KindEntry(field)
    return WordsEntry(needed=field.required)


def _with_field(field: Field, thing: Any, value: Any) -> Any:
    if value is None:
        value = () if isinstance(value_of(field, thing), tuple) and not _swell(field) else None
        value = field.default if value is None else value
    return with_attribute(thing, field.attribute, value)


def _swell(field: Field) -> bool:
    """Whether nothing is None although something is a tuple."""
    return field.key == "loudness"


def with_attribute(thing: Any, dotted: str, value: Any) -> Any:
    """The thing with one attribute, or a part of one, changed."""
    first, _, rest = dotted.partition(".")
    if rest:
        value = with_attribute(getattr(thing, first), rest, value)
    return evolve(thing, **{first: value})


class Form(QWidget):
    """Shows things of one kind; what is typed in a field is written to all of them."""

    said = Signal(str)
    """Why something typed is not taken."""

    def __init__(self, parts: Sequence[FormPart], edit: Edit) -> None:
        super().__init__()
        self._parts = tuple(parts)
        self._edit = edit
        self._target: Any = None
        self._in_order: list[QWidget] = []
        self.layout_ = QFormLayout(self)
        self.layout_.setContentsMargins(0, 0, 0, 0)
        self.layout_.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        self.layout_.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        self.layout_.setLabelAlignment(Qt.AlignmentFlag.AlignLeft)
        for each in self._parts:
            each.entry.setAccessibleName(each.label)
            if isinstance(each.entry, WordsEntry | KindEntry):  # others show words of their own
                each.entry.setMinimumWidth(_LEAST_FIELD_PX)
            self.layout_.addRow(each.label, each.entry)
            each.entry.changed.connect(partial(self._changed, each))
            if isinstance(each.entry, KindEntry):
                each.entry.refused.connect(self.said)

    def __getitem__(self, key: str) -> Any:
        """The field for a key."""
        return next(each.entry for each in self._parts if each.key == key)

    def note(self, text: str) -> QLabel:
        """Add a sentence below the last field."""
        label = QLabel(text)
        label.setWordWrap(True)
        self.layout_.addRow(label)
        return label

    def show_things(self, target: Any, things: Sequence[Any], around: Any = None) -> None:
        """Show things; ``target`` says to ``edit`` which they are.

        What was typed for others and not told yet is told first.
        """
        if target != self._target:
            self.finish()
            self._target = target
            for each in self._parts:
                if isinstance(each.entry, KindEntry):
                    each.entry.drop()
        self.setEnabled(bool(things))
        self._order_keys()
        for each in self._parts:
            values = [each.get(thing) for thing in things]
            if not values:
                continue
            if all(value == values[0] for value in values[1:]):
                each.entry.show_value(values[0], each.nothing(around))
            else:
                each.entry.show_several()

    def finish(self) -> None:
        """Tell what was typed and not told yet."""
        for each in self._parts:
            each.entry.finish()

    def _order_keys(self) -> None:
        """Let keys reach boxes in their places; Qt puts what is made late behind everything."""
        fields = self._fields()
        if fields != self._in_order:
            for before, field in pairwise(fields):
                self.setTabOrder(before, field)
            self._in_order = fields

    def begin(self) -> None:
        """Let the keys be in the first field."""
        first = next((field for field in self._fields() if field.isEnabled()), None)
        if first is not None:
            first.setFocus(Qt.FocusReason.TabFocusReason)

    def _fields(self) -> list[QWidget]:
        return [
            field
            for entry in (each.entry for each in self._parts)
            for field in (entry.fields if isinstance(entry, NamesEntry | SwellEntry) else [entry])
        ]

    def _changed(self, which: FormPart, change: Change) -> None:
        name = which.step or say("Change {label}", label=which.label.lower())
        typing = isinstance(which.entry, WordsEntry | KindEntry)
        join = f"{name} {self._target}" if typing else None

        def changed(thing: Any) -> Any:
            return which.put(thing, change(which.get(thing)))

        self._edit(self._target, name, changed, join)
