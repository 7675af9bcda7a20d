"""Cells of a table of notes: what is written in them, read and written."""

from collections.abc import Sequence
from datetime import date, datetime
from enum import Enum
from typing import TypeVar

from tapscore.model.curriculum import AREAS
from tapscore.model.observing import POSITIONS
from tapscore.wording.catalogue import say

_YES = ("yes", "y", "x", "1", "true", "✓", "before the cue")
_NO = ("", "no", "n", "0", "false")
_DATES = ("%Y-%m-%d", "%d/%m/%Y", "%d.%m.%Y", "%d/%m/%y")
_RISKY = ("=", "+", "-", "@", "\t", "\r")
"""A cell that begins so may be run as a formula by a spreadsheet (OWASP, CSV injection)."""

Kind = TypeVar("Kind", bound=Enum)


class NotUnderstoodError(Exception):
    """What is in a cell can't be understood; the message is for the user alone."""

    def __init__(self, key: str, message: str) -> None:
        super().__init__("a cell of the table")
        self.key, self.message = key, message


def day(said: str) -> date:
    """The date that is written."""
    for form in _DATES:
        try:
            return datetime.strptime(said, form).date()
        except ValueError:
            continue
    raise NotUnderstoodError("date", say("Write the date as 2027-03-10 or 10/03/2027."))


def moment_named(said: str, moments: Sequence[str]) -> str:
    """The story's moment that is meant; any words where the story has none to choose from."""
    if not said:
        raise NotUnderstoodError("moment", say("Write which moment it is, as on the slip."))
    if not moments:
        return said
    plain = {_plain(moment): moment for moment in moments}
    if _plain(said) in plain:
        return plain[_plain(said)]
    near = [moment for key, moment in plain.items() if _plain(said) in key]
    if len(near) == 1:
        return near[0]
    raise NotUnderstoodError(
        "moment",
        say("The story has no such moment. It has: {moments}.", moments="; ".join(moments)),
    )


def _plain(text: str) -> str:
    return " ".join("".join(c if c.isalnum() else " " for c in text.casefold()).split())


def one_of(key: str, said: str, kind: type[Kind]) -> Kind | None:
    """The word that is meant, or its beginning."""
    if not said:
        return None
    found = [each for each in kind if str(each.value).startswith(said.casefold())]
    if len(found) == 1:
        return found[0]
    words = ", ".join(str(each.value) for each in kind)
    raise NotUnderstoodError(key, say("Write one of: {words}.", words=words))


def position(said: str) -> str:
    """A position, as the slip has it where it has it."""
    found = [each for each in POSITIONS if each.casefold() == said.casefold()]
    return found[0] if found else said


def areas(said: str) -> tuple[str, ...]:
    """Areas with semicolons between them."""
    names: list[str] = []
    for part in said.replace("/", ";").replace("\n", ";").split(";") if said else ():
        pieces = [part] if _area(part) else part.split(",")
        for piece in pieces:
            if not piece.strip():
                continue
            area = _area(piece)
            if area is None:
                raise NotUnderstoodError(
                    "areas",
                    say("Write areas with ; between them, from: {areas}.", areas="; ".join(AREAS)),
                )
            names.append(area)
    return tuple(dict.fromkeys(names))


def _area(said: str) -> str | None:
    wanted = said.strip().casefold()
    return next((area for area in AREAS if area.casefold() == wanted), None)


def ticked(said: str) -> bool:
    """Whether a box is ticked."""
    if said.casefold() in _YES:
        return True
    if said.casefold() in _NO:
        return False
    raise NotUnderstoodError("before_cue", say("Write yes, or leave it empty."))


def harmless(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula."""
    return f"'{cell}" if cell.startswith((*_RISKY, "'")) else cell


def as_written(cell: str) -> str:
    """A cell without what ``harmless`` put before it."""
    risky = cell.startswith("'") and cell[1:].startswith((*_RISKY, "'"))
    return (cell[1:] if risky else cell).strip()
