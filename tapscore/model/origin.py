"""Where a thing of a story was read."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tapscore.model.finding import Span, StoryPath


class Origin:
    """The block of a text that a thing was read from; the story file knows its inside.

    A thing keeps its origin while it is changed, moved, copied or pasted (attrs ``evolve``),
    and an equal thing made by hand has none: origins are no part of equality.
    """

    __slots__ = ()

    def locate(self, path: "StoryPath" = ()) -> "Span | None":
        """Where ``path``, counted from the thing, stood in the text it was read from."""
        raise NotImplementedError
