"""What was worked out of things that never change, found again by the very thing.

An edit leaves all that it does not touch the same objects, so this needs no look inside, which
comparing or hashing a line would.
"""

from collections.abc import Callable
from typing import Generic, TypeVar

from attrs import define, field

K = TypeVar("K")
T = TypeVar("T")


@define(eq=False)
class ByIdentity(Generic[K, T]):
    """``work`` of each thing, worked out once as long as the thing is asked for.

    Emptied when there are ``most``; several threads may ask.
    """

    _work: Callable[[K], T]
    _most: int = 4096
    _kept: dict[int, tuple[K, T]] = field(factory=dict, init=False)

    def __call__(self, thing: K) -> T:
        """What was worked out of a thing."""
        kept = self._kept.get(id(thing))  # what is kept keeps its thing, so no id comes twice
        if kept is None:
            if len(self._kept) >= self._most:
                self._kept.clear()
            kept = self._kept[id(thing)] = thing, self._work(thing)
        return kept[1]
