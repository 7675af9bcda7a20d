"""A change of metre fits lines anew that nobody touched; rhythms made by hand stay.

A line is untouched if its lane is what the fit gives for its words in the metre that held,
alone or among its neighbours, with every syllable tapped or fewer; what stands silent round
it does not matter.
"""

from collections.abc import Callable

from attrs import evolve, frozen

from tapscore.model.edits import item_lists
from tapscore.model.fewer_taps import tapped_on
from tapscore.model.finding import StoryPath
from tapscore.model.lane import Lane
from tapscore.model.manner import PartialManner
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Story
from tapscore.model.walk import change_lines
from tapscore.rhythm.unroll import as_written, story_manner
from tapscore.wording.catalogue import say
from tapscore.workflow.fitting import fitted, fitted_together, rhythms, way_of
from tapscore.workflow.joining import joined


@frozen
class Refitted:
    """A story after a change of metre, and which lines were fitted anew or left as they are."""

    story: Story
    changed: tuple[StoryPath, ...]
    kept: tuple[StoryPath, ...]

    @property
    def sentence(self) -> str:
        """What was done, for the teacher; nothing if nothing was."""
        if not self.changed and not self.kept:
            return ""
        said = []
        if self.changed:
            said.append(
                say(
                    "{lines:One line has|# lines have} a new rhythm.",
                    lines=len(self.changed),
                )
            )
        if self.kept:
            said.append(
                say(
                    "{lines:One made by hand stays as it is: look at its bars."
                    "|# made by hand stay as they are: look at their bars.}",
                    lines=len(self.kept),
                )
            )
        return " ".join(said)


def refitted(before: Story, after: Story) -> Refitted:
    """``after`` with a new rhythm for untouched lines whose metre is another one than before."""
    old, new = _metres(before), _metres(after)
    moved = {
        path
        for path, metre in new.items()
        if old.get(path, metre) != metre and _lane(after, path) is not None
    }
    if not moved:
        return Refitted(after, (), ())
    was, now = _together(before, old), _together(after, new)
    glossary = after.divided_words
    changed: list[StoryPath] = []

    def change(path: StoryPath, line: Line) -> Line:
        if path not in moved or line.lane is None:
            return line
        found = rhythms(line.words, old[path], glossary)
        fit = was.get(path)
        way = way_of((fit, *found) if fit else found, line.lane, old[path])
        lane = now.get(path) or fitted(line, new[path], glossary).lane
        if way is None or lane is None:
            return line
        changed.append(path)
        return evolve(line, lane=tapped_on(lane, new[path], way[1]))

    story = change_lines(after, change)
    kept = tuple(path for path in new if path in moved and path not in changed)
    return Refitted(joined(story, changed), tuple(changed), kept)


def with_metre(
    story: Story, metre: Metre, of_section: Callable[[str], bool] | None = None
) -> Refitted:
    """The story in another metre, or those of its sections whose title is asked for."""
    if of_section is None:
        return refitted(story, evolve(story, manner=evolve(story.manner, metre=metre)))
    chosen = of_section

    def own(title: str, manner: PartialManner) -> PartialManner:
        return evolve(manner, metre=metre) if chosen(title) else manner

    sections = tuple(evolve(s, manner=own(s.title, s.manner)) for s in story.sections)
    return refitted(story, evolve(story, sections=sections))


def with_one_metre(story: Story, metre: Metre) -> Refitted:
    """The story in another metre throughout: no section keeps one of its own."""
    sections = tuple(evolve(s, manner=evolve(s.manner, metre=None)) for s in story.sections)
    manner = evolve(story.manner, metre=metre)
    return refitted(story, evolve(story, manner=manner, sections=sections))


def metres_kept(before: Story, after: Story, *, copied: bool = False) -> Story:
    """``after`` with the lines of ``before`` in the metre they had, wherever they are now.

    A line that came among lines in another metre says its own, or its bars would be full no more;
    one that comes back among its like says nothing again.  ``copied``: they come from a story
    that is not ``after`` as it was.
    """
    had = {
        id(each.line): (each.manner.metre, each.path[:2])
        for each in as_written(before)
        if each.line is not None
    }
    base = story_manner(after).metre
    own: dict[StoryPath, Metre | None] = {}
    for each in as_written(after):
        if each.line is None or each.line.lane is None or id(each.line) not in had:
            continue
        metre, home = had[id(each.line)]
        around = base
        if each.path[0] == "story" and isinstance(each.path[1], int):
            around = after.sections[each.path[1]].manner.metre or base
        if each.manner.metre != metre:
            own[each.path] = None if around == metre else metre
        elif each.line.manner.metre == around and (copied or home != each.path[:2]):
            own[each.path] = None
    if not own:
        return after

    def change(path: StoryPath, line: Line) -> Line:
        if path not in own:
            return line
        return evolve(line, manner=evolve(line.manner, metre=own[path]))

    return change_lines(after, change)


def _metres(story: Story) -> dict[StoryPath, Metre]:
    return {placed.path: placed.manner.metre for placed in as_written(story)}


def _lane(story: Story, path: StoryPath) -> Lane | None:
    for start, items in item_lists(story):
        if path[:-1] == start:
            item = items[int(path[-1])]
            return item.lane if isinstance(item, Line) else None
    return None


def _together(story: Story, metres: dict[StoryPath, Metre]) -> dict[StoryPath, Lane]:
    """The lanes of all lines, each list of lines fitted together, metre by metre."""
    found: dict[StoryPath, Lane] = {}
    for start, items in item_lists(story):
        by_metre: dict[Metre, list[StoryPath]] = {}
        for at, item in enumerate(items):
            path = (*start, at)
            if isinstance(item, Line) and path in metres:
                by_metre.setdefault(metres[path], []).append(path)
        for metre, paths in by_metre.items():
            lines = [items[int(path[-1])] for path in paths]
            spoken = [line for line in lines if isinstance(line, Line)]
            fits = fitted_together(
                [evolve(line, lane=None) for line in spoken], metre, story.divided_words
            )
            found.update(
                (path, fit.lane)
                for path, fit in zip(paths, fits, strict=True)
                if fit.lane is not None
            )
    return found
