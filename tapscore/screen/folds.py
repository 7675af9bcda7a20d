"""What of the story is folded away in the window.  No Qt here.

Sections and returns are named by their words and by which of that name they are, so that
they stay folded while lines come and go before them.
"""

from attrs import evolve, frozen

Key = tuple[str, int]
"""A heading or a refrain's name, and which of that name it is, from 0."""


@frozen
class Folds:
    """Which sections show their heading alone, and which returns show the refrain's lines."""

    sections: frozenset[Key] = frozenset()
    returns_open: bool = False
    """Whether the refrain's lines are shown at its returns, all but these."""
    other_returns: frozenset[Key] = frozenset()

    def shows_section(self, key: Key) -> bool:
        """Whether a section's lines are shown."""
        return key not in self.sections

    def shows_return(self, key: Key) -> bool:
        """Whether the refrain's lines are shown at this return."""
        return self.returns_open is not (key in self.other_returns)

    def with_section(self, key: Key, *, shown: bool) -> "Folds":
        """The same with a section unfolded or folded."""
        return evolve(self, sections=self.sections - {key} if shown else self.sections | {key})

    def with_return(self, key: Key, *, shown: bool) -> "Folds":
        """The same with a return unfolded or folded."""
        usual = shown is self.returns_open
        others = self.other_returns - {key} if usual else self.other_returns | {key}
        return evolve(self, other_returns=others)


PLAIN = Folds()
"""Every section, and refrains only where they are written."""
OPEN = Folds(returns_open=True)
