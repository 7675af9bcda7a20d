"""Findings that the teacher has looked at and keeps as they are, each with her reason."""

from attrs import field, frozen

from tapscore.model.origin import Origin


@frozen
class Acceptance:
    """One finding that is meant to be so."""

    finding: str
    """Id of the rule."""
    why: str
    where: str | None = None
    """The place in words, as ``place_name`` gives it; None for everywhere in the story."""
    origin: Origin | None = field(default=None, eq=False, repr=False, kw_only=True)
