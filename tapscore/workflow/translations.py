"""Which of the families' languages a paper has: one is chosen, and the others stay in the file."""

from attrs import evolve

from tapscore.model.finding import StoryPath
from tapscore.model.story import Line, Story
from tapscore.model.walk import change_lines, written_items
from tapscore.wording.catalogue import say


def languages_of(story: Story) -> tuple[str, ...]:
    """The tags of all languages that any line has words in, in the order of the story."""
    lines = (item for _, item in written_items(story) if isinstance(item, Line))
    return tuple(dict.fromkeys(each.tag for line in lines for each in line.translations))


def only_in(story: Story, tag: str) -> Story:
    """The story with the translations of one language; all of them if none is named."""
    if not tag:
        return story

    def chosen(_: StoryPath, line: Line) -> Line:
        return evolve(line, translations=tuple(t for t in line.translations if t.tag == tag))

    return change_lines(story, chosen)


def trouble_with_language(story: Story, tag: str) -> str:
    """Why a language can't be chosen, and what there is; empty if it can, or none is."""
    there = languages_of(story)
    if not tag or tag in there:
        return ""
    if not there:
        return say("No line has words in “{tag}”: write them with in: at a line.", tag=tag)
    return say("No line has words in “{tag}”. There are: {tags:list}.", tag=tag, tags=tuple(there))
