"""Which metre a story and its sections move in, and why; the teacher chooses."""

from collections.abc import Sequence

from attrs import frozen

from tapscore.model.edits import item_lists
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Story
from tapscore.wording.catalogue import say
from tapscore.words.line import read_line
from tapscore.words.suggest_metre import MetreSuggestion, family, suggest_metre, suggest_metres


@frozen
class MetreChoice:
    """The likeliest metre of a story, those of sections that differ, and sentences why."""

    story: Metre
    sections: tuple[Metre, ...]
    """One for every section, the story's where it does not differ."""
    why: str


def likely_metres(sections: Sequence[Sequence[str]]) -> MetreChoice:
    """The likeliest metre of plain lines, section by section, one metre where that is as good."""
    found = suggest_metres([[read_line(line) for line in lines] for lines in sections])
    firsts = [one[0].metre if one else None for one in found]
    known = [metre for metre in firsts if metre is not None]
    if not known:
        four = Metre(4, 4)
        return MetreChoice(
            four, (four,) * len(found), say("The words did not tell; 4/4 is a guess.")
        )
    lengths = [len(lines) for lines in sections]
    story = max(
        dict.fromkeys(known),
        key=lambda metre: sum(
            size for size, first in zip(lengths, firsts, strict=True) if first == metre
        ),
    )
    shown = next(one for one, first in zip(found, firsts, strict=True) if first == story)
    metres = tuple(first or story for first in firsts)
    others = [number for number, metre in enumerate(metres, 1) if metre != story]
    differ = ""
    if others:
        listed = ", ".join(str(number) for number in others)
        differ = say(" Section {listed} moves in another way, and says so.", listed=listed)
    return MetreChoice(story, metres, _guessed(shown) + differ)


def _guessed(found: Sequence[MetreSuggestion]) -> str:
    best, *others = found
    also = (
        say(
            " Also possible: {metre}. {reason}", metre=str(others[0].metre), reason=others[0].reason
        )
        if others
        else ""
    )
    return say(
        "{metre} is a guess. {reason}{also}", metre=str(best.metre), reason=best.reason, also=also
    )


@frozen
class MetreAdvice:
    """Whether another metre would suit lines better than theirs, and a sentence or two why.

    ``other``: the metre that would suit better, or next best; None for lines without words.
    """

    better: bool
    sentence: str
    other: Metre | None = None


def other_metre(lines: Sequence[str], metre: Metre) -> MetreAdvice:
    """What other metre would suit lines that are in this one."""
    found = suggest_metre([read_line(line) for line in lines])
    if not found:
        return MetreAdvice(False, say("These lines have no words yet."))
    best, second = found[:2]
    if family(best.metre) != family(metre):
        sentence = say(
            "{metre} would suit these words better. {reason}",
            metre=str(best.metre),
            reason=best.reason,
        )
        return MetreAdvice(True, sentence, best.metre)
    sentence = say(
        "{metre} suits these words. Next best: {next}. {reason}",
        metre=str(metre),
        next=str(second.metre),
        reason=second.reason,
    )
    return MetreAdvice(False, sentence, second.metre)


def other_metres(story: Story) -> tuple[Metre, ...]:
    """The metres that the story's words may be in as well, likeliest first."""
    said = story.divided_words
    lines = [
        read_line(item.words, said)
        for _, items in item_lists(story)
        for item in items
        if isinstance(item, Line)
    ]
    return tuple(each.metre for each in suggest_metre(lines) if each.metre != story.manner.metre)
