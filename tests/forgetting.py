"""Forget what is kept of stories, so that the next look works everything out."""

from attrs import evolve

from tapscore.checks import facts, running
from tapscore.model.story import Story
from tapscore.model.walk import change_lists
from tapscore.rhythm import perform, unroll


def forget_all() -> None:
    """Empty whatever an earlier check or performance left behind."""
    running._memory.tables.clear()
    forget_facts()
    perform._kept.clear()
    for kept in (unroll._sections, unroll._places, unroll._refrains, unroll._returned):
        kept.clear()


def forget_facts() -> None:
    """Empty what was worked out of lines, which is found again by their words and manner."""
    facts._known.clear()
    perform._kept.clear()


def never_seen(story: Story) -> Story:
    """The same story, of things of which nothing is found by identity."""
    forget_all()
    new = change_lists(story, lambda _, items: tuple(evolve(item) for item in items))
    return evolve(new, sections=tuple(evolve(section) for section in new.sections))
