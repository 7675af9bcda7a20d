"""A new story file from plain words: sections, refrains and a rhythm for every line."""

import textwrap
from collections.abc import Collection, Sequence
from difflib import SequenceMatcher
from fractions import Fraction
from pathlib import Path

from attrs import evolve

from tapscore.model.fewer_taps import Tapped
from tapscore.model.manner import PartialManner
from tapscore.model.metre import Metre
from tapscore.model.story import Item, Line, Refrain, RefrainUse, Role, Section, Story, Wait
from tapscore.model.words import printed
from tapscore.storyfile.write import write_story
from tapscore.wording.catalogue import say
from tapscore.wording.grammar import quoted
from tapscore.words.word_classes import FULL, word_classes
from tapscore.workflow.fitting import fitted_together, hyphenated
from tapscore.workflow.joining import joined
from tapscore.workflow.metre_choice import MetreChoice, likely_metres
from tapscore.workflow.plain_words import (
    PART_RETURNS,
    PlainPart,
    PlainWords,
    read_words,
    typed_words,
)
from tapscore.workflow.thinning import thinned, without_buzz

UNNAMED = say("A new story")
USUAL_WAIT_SEC = Fraction(10)
_NEAR = 0.7
_HEADING_WORDS = 4
_MARKS = " ,;:.!?…–—-\"“”'‘’()"
_CLAUSE_ENDS = (",", ";", ":", ".", "!", "?", "…", "–", "—")
_NO_QUOTES = dict.fromkeys(map(ord, '“”"'))
_UNFINISHED = ("article", "owner", "preposition", "joining", "be", "amount", "subject", "question")
_THINGS = ("article", "owner", "pronoun", "amount", "number", "describing", FULL)
_WANTED = {
    FULL: (FULL,),
    "describing": ("describing", FULL),
    "number": ("describing", FULL),
    "pointing": ("describing", FULL),
    "adverb": ("adverb", "describing", FULL),
    "particle": ("article", "owner"),
    "pronoun": ("be", "helper", "light-verb", "verb", FULL),
    "helper": ("be", "light-verb", "verb", *_THINGS),
    "light-verb": _THINGS,
    "verb": _THINGS,
}
"""What kinds of words are not left alone by which, so that a name does not end between them."""
_STEPS = (
    say(
        "The hyphens that divide syllables, and each rhythm (`tapscore help lane`); `tapscore fit` "
        "shows other ways. Many taps a line? `tapscore fit --tapped beats` taps the beats alone."
    ),
    say("The waits after each refrain: what do you look for there?"),
    say("Then add props, the board and who taps (`tapscore help story`)."),
)


def new_story_text(
    source: Path, *, metre: Metre | None = None, tapped: Tapped | None = None
) -> str:
    """The text of a new story file made from the words of ``source``.

    ``metre`` holds for the whole story instead of the likeliest ones; ``tapped`` says which
    syllables get a tap: if not said every one, but felt beats alone where that would be a buzz.
    Raises UnreadableWordsError where there is nothing to make a story of.
    """
    words = read_words(source)
    stem = source.stem.replace("-", " ").replace("_", " ")
    title = words.title or stem[:1].upper() + stem[1:]
    return _story_text(words, title, source.name, metre, tapped)


def typed_story_text(text: str, title: str = "") -> str:
    """The text of a new story file made from words that were typed or pasted.

    Raises UnreadableWordsError where there is nothing to make a story of.
    """
    words = typed_words(text, title)
    title = words.title or UNNAMED
    return _story_text(words, title, say("words that were typed"), None, None)


def blank_story(title: str = "") -> Story:
    """A story with one empty line to begin with."""
    return Story(
        title or UNNAMED,
        roles=(Role("leader"), Role("beat-keeper")),
        sections=(Section(say("Beginning"), (Line(""),)),),
    )


def _story_text(
    words: PlainWords, title: str, source: str, metre: Metre | None, tapped: Tapped | None
) -> str:
    if metre is None:
        choice = likely_metres(_lines_of_their_own(words.parts))
    else:
        choice = MetreChoice(
            metre, (metre,) * len(words.parts), say("{metre}, as you said.", metre=str(metre))
        )
    story = story_of(words, title, choice)
    if tapped is None:
        story, quick = without_buzz(story)
    else:
        story, quick = thinned(story, tapped)[0], 0
    name, came_from = _on_one_line(story.title), _on_one_line(source)
    head = [
        "# " + say("{name}: made by tapscore from {source}.", name=name, source=came_from),
        "# " + say("Look at first:"),
    ]
    points = [
        say("The metre. {why}", why=choice.why),
        *_STEPS,
        *_on_the_beat(quick),
        *_offers(words),
    ]
    numbered = (f"{number}. {point}" for number, point in enumerate(points, 1))
    head += [_commented(_on_one_line(point)) for point in numbered]
    return "\n".join(head) + "\n" + write_story(story)


def _on_the_beat(parts: int) -> list[str]:
    """That some parts have fewer taps, and how to get them all."""
    if not parts:
        return []
    return [
        say(
            "In {parts:1 part|# parts} only the beats are tapped: to tap every syllable would be a "
            "buzz to many pupils. `tapscore fit --tapped every` taps all of them.",
            parts=parts,
        )
    ]


def _on_one_line(text: str) -> str:
    """For a comment: a name with a line end in it must not begin a line of the file."""
    return "".join(sign if sign.isprintable() else " " for sign in text)


def _commented(text: str) -> str:
    return textwrap.fill(text, 88, initial_indent="# ", subsequent_indent="#    ")


def _offers(words: PlainWords) -> list[str]:
    """What could be a refrain or a speaker, for the teacher to say."""
    found = [
        say(
            "“{first}” and what follows nearly returns as “{second}”: make the words the "
            "same, and it can be a refrain.",
            first=printed(one[0]),
            second=printed(two[0]),
        )
        for one, two in near_repeats(words.parts)
    ]
    if words.labels:
        listed = ", ".join(quoted(f"{label}:") for label in words.labels)
        found.append(
            say(
                "{listed} before lines is left out of the words: say who speaks them.",
                listed=listed,
            )
        )
    return found


def story_of(words: PlainWords, title: str, choice: MetreChoice) -> Story:
    """A story of plain words; lines that return, alone or together, become refrains."""
    returning = _returning(words.parts)
    names: dict[tuple[str, ...], str] = {}
    refrains: list[Refrain] = []
    sections: list[Section] = []
    for part, metre in zip(words.parts, choice.sections, strict=True):
        items: list[Item] = []
        lines = list(part.lines)
        while lines:
            group = _group_at(lines, returning)
            if group is None:
                items.append(Line(lines.pop(0)))
                continue
            if group not in names:
                names[group] = _refrain_name(lines[0], names.values())
                refrains.append(
                    Refrain(names[group], tuple(Line(line) for line in lines[: len(group)]))
                )
            items += [RefrainUse(names[group]), Wait(USUAL_WAIT_SEC)]
            del lines[: len(group)]
        if sections and _refrain_alone(part, items):  # it moves as the story does anyway
            sections[-1] = evolve(sections[-1], items=(*sections[-1].items, *items))
            continue
        own = PartialManner() if metre == choice.story else PartialManner(metre=metre)
        heading = part.heading or _heading(part.lines[0], [one.title for one in sections])
        sections.append(Section(heading, _fitted(items, metre), own))
    story = Story(
        title,
        manner=PartialManner(metre=choice.story),
        roles=(Role("leader"), Role("beat-keeper")),
        refrains=tuple(evolve(r, items=_fitted(r.items, choice.story)) for r in refrains),
        sections=tuple(sections),
    )
    return joined(story)


def _refrain_alone(part: PlainPart, items: Sequence[Item]) -> bool:
    """Nothing but a refrain, which needs no name of its own: it ends the part before it."""
    unnamed = part.heading is None or PART_RETURNS.match(part.heading) is not None
    return unnamed and not any(isinstance(item, Line) for item in items)


def _fitted(items: Sequence[Item], metre: Metre) -> tuple[Item, ...]:
    """All lines of a list of items fitted together; other items as they are."""
    lines = [evolve(one, words=hyphenated(one.words)) for one in items if isinstance(one, Line)]
    fitted = iter(fitted_together(lines, metre))
    return tuple(next(fitted) if isinstance(item, Line) else item for item in items)


def _heading(line: str, taken: Collection[str]) -> str:
    """A section's name: its first words that go together, as they are printed."""
    base = " ".join(_opening(printed(line).split())).translate(_NO_QUOTES).strip(_MARKS)
    return _numbered(base or say("Section"), taken)


def _opening(words: Sequence[str]) -> Sequence[str]:
    """A first clause, or else some four words that end where something does."""
    if len(words) <= _HEADING_WORDS + 1:  # one word more is no shorter without it
        return words
    longest = range(2, _HEADING_WORDS + 3)
    clauses = (n for n in longest if words[n - 1].strip("”’\"'").endswith(_CLAUSE_ENDS))
    nearest = sorted(longest, key=lambda n: (abs(n - _HEADING_WORDS), -n))
    ends = (n for n in nearest if n == len(words) or not _goes_on(*words[n - 1 : n + 1]))
    whole = (n for n in ends if _kind(words[n - 2]) != "joining")  # *the hill and on* is none
    return words[: next(clauses, next(whole, _HEADING_WORDS))]


def _goes_on(word: str, following: str) -> bool:
    """Whether a word needs the next one: *the door*, *old tree*, *very windy*, *he got*."""
    kind, after = _kind(word), _kind(following)
    return kind in _UNFINISHED or after in _WANTED.get(kind, ())


def _kind(word: str) -> str:
    return word_classes().get(word.strip(_MARKS).casefold(), FULL)


def _numbered(base: str, taken: Collection[str]) -> str:
    name, count = base, 2
    while name in taken:
        name, count = f"{base} {count}", count + 1
    return name


def _lines_of_their_own(parts: Sequence[PlainPart]) -> list[tuple[str, ...]]:
    """The lines of each part that are no refrain's, which moves as the story does."""
    returning = {line for group in _returning(parts) for line in group}
    own = [tuple(line for line in part.lines if _same(line) not in returning) for part in parts]
    return own if any(own) else [part.lines for part in parts]


def _same(line: str) -> str:
    return " ".join("".join(c if c.isalnum() else " " for c in line.casefold()).split())


def near_repeats(parts: Sequence[PlainPart]) -> list[tuple[tuple[str, ...], tuple[str, ...]]]:
    """Parts of two lines or more that come back with a few other words."""
    found: list[tuple[tuple[str, ...], tuple[str, ...]]] = []
    spoken = [[word for line in part.lines for word in _same(line).split()] for part in parts]
    used: set[int] = set()
    for second in range(len(parts)):
        for first in range(second):
            one, two = parts[first].lines, parts[second].lines
            alike = len(one) == len(two) > 1 and spoken[first] != spoken[second]
            if first in used or not alike:
                continue
            matcher = SequenceMatcher(None, spoken[first], spoken[second], autojunk=False)
            if matcher.quick_ratio() >= _NEAR and matcher.ratio() >= _NEAR:
                found.append((one, two))
                used.add(second)
                break
    return found


def _returning(parts: Sequence[PlainPart]) -> set[tuple[str, ...]]:
    """Groups of lines, as long as can be, that come at least twice."""
    all_lines = [[_same(line) for line in part.lines] for part in parts]
    counts: dict[str, int] = {}
    for lines in all_lines:
        for line in lines:
            counts[line] = counts.get(line, 0) + 1
    groups: set[tuple[str, ...]] = set()
    for lines in all_lines:
        at = 0
        while at < len(lines):
            end = at
            while end < len(lines) and counts[lines[end]] == counts[lines[at]] > 1:
                if lines[end] in lines[at:end]:
                    break
                end += 1
            while end > at + 1 and _times(tuple(lines[at:end]), all_lines) != counts[lines[at]]:
                end -= 1
            if end > at:
                groups.add(tuple(lines[at:end]))
            at = max(end, at + 1)
    return groups


def _times(group: tuple[str, ...], all_lines: Sequence[Sequence[str]]) -> int:
    size = len(group)
    return sum(
        tuple(lines[at : at + size]) == group
        for lines in all_lines
        for at in range(len(lines) - size + 1)
    )


def _group_at(lines: Sequence[str], groups: set[tuple[str, ...]]) -> tuple[str, ...] | None:
    same = [_same(line) for line in lines]
    found = [group for group in groups if tuple(same[: len(group)]) == group]
    return max(found, key=len, default=None)


def _refrain_name(line: str, taken: Collection[str]) -> str:
    """A refrain's name: its first words in small letters, with their apostrophes and hyphens."""
    words = [
        "".join(c for c in word if c.isalnum() or c in "'’-") for word in printed(line).split()
    ]
    plain = [word.strip("'’-").replace("’", "'").casefold() for word in words]
    base = " ".join([word for word in plain if word][:3])
    return _numbered(base or "refrain", taken)
