"""``attrs.frozen`` whose comparing and showing are made when first used.

attrs writes ``__eq__``, ``__hash__`` and ``__repr__`` of every class as text and has Python
compile them each time the program starts: of importing what a check needs a sixth, while a
check compares things of few kinds and shows none.  What is made here at the first comparison
is what attrs would have made, and as fast from then on.
"""

from typing import TYPE_CHECKING, Any

import attrs

if TYPE_CHECKING:
    from attrs import frozen as frozen  # noqa: PLC0414 - for mypy it is attrs' own
else:

    def frozen(cls: type | None = None, *, eq: bool = True, repr: bool = True, **more: Any) -> Any:
        """As ``attrs.frozen``."""

        def made(cls: type) -> type:
            if more.get("cache_hash"):
                return attrs.frozen(cls, eq=eq, repr=repr, **more)
            kind = attrs.frozen(cls, eq=False, repr=False, **more)
            if eq:
                kind.__eq__, kind.__hash__ = _first_eq, _first_hash
            if repr:
                kind.__repr__ = _shown
            return kind

        return made if cls is None else made(cls)


def _first_eq(self: object, other: object) -> Any:
    _make_methods(type(self))
    return type(self).__eq__(self, other)


def _first_hash(self: object) -> int:
    _make_methods(type(self))
    return hash(self)


def _make_methods(kind: Any) -> None:
    """Give a class the two of its own; where two threads come at once, the same twice."""
    names = [each.name for each in attrs.fields(kind) if each.eq]
    alike = " and ".join(f"self.{name} == other.{name}" for name in names) or "True"
    every = "".join(f", self.{name}" for name in names)
    made: dict[str, Any] = {"kind": kind}
    exec(
        "def __eq__(self, other):\n"
        "    if other.__class__ is not self.__class__:\n"
        "        return NotImplemented\n"
        f"    return {alike}\n"
        "def __hash__(self):\n"
        f"    return hash((kind{every}))\n",
        made,
    )
    kind.__eq__, kind.__hash__ = made["__eq__"], made["__hash__"]


def _shown(self: object) -> str:
    kind: Any = type(self)
    fields = (f"{a.name}={getattr(self, a.name)!r}" for a in attrs.fields(kind) if a.repr)
    return f"{kind.__qualname__.rpartition('>.')[2]}({', '.join(fields)})"
