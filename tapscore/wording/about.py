"""What sentences are made of: plain values with names, and lines as they are called."""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

from attrs import frozen


@frozen
class LineName:
    """A line as people call it: by its number on the cards, or as a refrain's."""

    number: int | None = None
    refrain: str | None = None
    place: int | None = None
    """Which line of the refrain, from 1; None where the refrain is a single line."""


Datum = str | int | float | Fraction | LineName | tuple[str, ...] | None
"""``None`` is what isn't said; a tuple is a list of names."""


class About(Mapping[str, Datum]):
    """Named values that never change: two with the same values are equal and hash alike."""

    __slots__ = ("_data", "_hash")

    def __init__(self, **data: Datum) -> None:
        self._data = data
        self._hash: int | None = None

    def __getitem__(self, name: str) -> Datum:
        return self._data[name]

    def __contains__(self, name: object) -> bool:
        return name in self._data

    def __iter__(self) -> Iterator[str]:
        return iter(self._data)

    def __len__(self) -> int:
        return len(self._data)

    def __hash__(self) -> int:
        if self._hash is None:
            self._hash = hash(frozenset(self._data.items()))
        return self._hash

    def __eq__(self, other: object) -> bool:
        return isinstance(other, About) and self._data == other._data

    def __repr__(self) -> str:
        return f"About({', '.join(f'{name}={value!r}' for name, value in self.items())})"

    def and_also(self, **more: Datum) -> "About":
        """These values and more; one of the same name is replaced."""
        return About(**{**self._data, **more})

    def as_plain(self) -> dict[str, Any]:
        """What JSON can hold: fractions as numbers, a line's name as what is said of it."""
        return {name: _plain(value) for name, value in self._data.items()}


NOTHING = About()


def _plain(value: Datum) -> Any:
    match value:
        case Fraction():
            return value.numerator if value.denominator == 1 else float(value)
        case LineName(number, refrain, place):
            said = {"number": number, "refrain": refrain, "place": place}
            return {name: each for name, each in said.items() if each is not None}
        case tuple():
            return list(value)
    return value
