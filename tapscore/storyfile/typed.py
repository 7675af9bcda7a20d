"""One value as it is typed into a field of a form: in the file's own words, within its limits."""

from collections.abc import Sequence
from typing import Any

from tapscore.model.finding import Finding
from tapscore.model.story import Line, Offer, Wait
from tapscore.storyfile.kinds import Reading
from tapscore.storyfile.nodes import Scalar
from tapscore.storyfile.places import Places
from tapscore.storyfile.records import Field, Record
from tapscore.storyfile.shape import RECORDS
from tapscore.storyfile.shape_board import BOARD_RECORDS
from tapscore.storyfile.shape_comfort import COMFORT_RECORDS
from tapscore.storyfile.shape_items import ITEM_RECORDS
from tapscore.wording.catalogue import say

_RECORDS: dict[type, Record] = {
    **RECORDS,
    **BOARD_RECORDS,
    **COMFORT_RECORDS,
    **{made: record for made, record in ITEM_RECORDS.values() if made in (Line, Wait, Offer)},
}


class WrongValueError(ValueError):
    """What was typed is no such value; the message says what is."""


def field_of(made: type, key: str) -> Field:
    """The field that a key of the file fills; raises KeyError where there is none."""
    found = next((field for field in _RECORDS[made].fields if field.key == key), None)
    if found is None:
        raise KeyError(key)
    return found


def value_of(field: Field, thing: object) -> Any:
    """What a thing says for a field: None or empty where it says nothing."""
    if field.value_of is not None:
        return field.value_of(thing)
    value: Any = thing
    for name in field.attribute.split("."):
        value = getattr(value, name)
    return value


def words_of(field: Field) -> tuple[str, ...]:
    """The words a field has the choice of; none where anything may be written."""
    return tuple(field.kind.schema.get("enum", ()))


def text_of(field: Field, value: Any) -> str:
    """A value as the file would say it; empty for nothing."""
    written = field.kind.write(value) if value is not None else ""
    return written if isinstance(written, str) else ""


def typed_value(field: Field, text: str) -> Any:
    """The value of what was typed, None for nothing; raises WrongValueError."""
    if not text.strip():
        return None
    reading = Reading(text)
    value = field.kind.read(reading, Scalar(text, Places(text), 0, len(text)), (field.key,))
    if value is None or reading.findings:
        raise WrongValueError(_instead(reading.findings))
    return value


def _instead(findings: Sequence[Finding]) -> str:
    """What to write instead, in a sentence."""
    if not findings:
        return say("Write something else.")
    wanted = findings[0].about.get("wanted")
    if wanted is None:
        return findings[0].remedy
    return say("Write {wanted}.", wanted=wanted)
