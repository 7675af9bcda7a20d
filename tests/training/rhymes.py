"""Read texts with known rhythm: ``rhymes.txt``, ``story_lines.txt`` and the like."""

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

from attrs import evolve, frozen

from tapscore.model.metre import Metre, parse_metre


@frozen
class Setting:
    """One way to say a line: its syllables as engraved, where each begins, and its bars."""

    syllables: tuple[str, ...]
    onsets_beats: tuple[Fraction, ...]
    bars: int


@frozen
class RhymeLine:
    """One line: its words, and the settings that are as natural (one or more)."""

    words: str
    settings: tuple[Setting, ...]

    @property
    def syllables(self) -> tuple[str, ...]:
        """Syllables of the first setting."""
        return self.settings[0].syllables

    @property
    def onsets_beats(self) -> tuple[Fraction, ...]:
        """Where the syllables of the first setting begin."""
        return self.settings[0].onsets_beats

    @property
    def bars(self) -> int:
        """Bars of the first setting."""
        return self.settings[0].bars


@frozen
class Rhyme:
    """A rhyme or a stanza of a story: its title, metre and lines."""

    title: str
    metre: Metre
    lines: tuple[RhymeLine, ...]


def read_rhymes(path: Path, *, by_steps: bool = False) -> tuple[Rhyme, ...]:
    """All texts of the file; ``by_steps``: a token is always a lane step, never a beat."""
    rhymes: list[Rhyme] = []
    for text in path.read_text(encoding="utf-8").splitlines():
        if text.startswith("== "):
            title, _, signature = text[3:].rpartition(", ")
            metre = parse_metre(signature)
            if metre is None:
                raise ValueError(f"no metre in: {text}")
            rhymes.append(Rhyme(title, metre, ()))
        elif text.strip() and not text.startswith("#"):
            last = rhymes[-1]
            line = parse_line(text.removeprefix("~"), last.metre, by_steps=by_steps)
            lines = (*last.lines, line)
            if text.startswith("~"):
                one = last.lines[-1]
                both = evolve(one, settings=(*one.settings, *line.settings))
                lines = (*last.lines[:-1], both)
            rhymes[-1] = evolve(last, lines=lines)
    return tuple(rhymes)


def parse_line(text: str, metre: Metre, *, by_steps: bool = False) -> RhymeLine:
    """One line of the file's notation; a last bar may be short in a text by steps."""
    before, *bars = text.split("|")
    pickup = before.split()
    placed = list(_bar(pickup, Fraction(-len(pickup), metre.steps_per_beat), metre.steps_per_beat))
    for number, bar in enumerate(bars):
        tokens = bar.split()
        short = by_steps and number == len(bars) - 1 and len(tokens) <= metre.steps
        whole = {metre.steps: metre.steps_per_beat} | ({} if by_steps else {metre.beats: 1})
        per_beat = metre.steps_per_beat if short else whole.get(len(tokens))
        if per_beat is None:
            raise ValueError(f"{len(tokens)} tokens in a bar of: {text}")
        placed += _bar(tokens, Fraction(number * metre.beats), per_beat)
    syllables = tuple(token for token, _ in placed)
    words = "".join(s[:-1] if s.endswith("-") else s + " " for s in syllables).strip()
    return RhymeLine(words, (Setting(syllables, tuple(at for _, at in placed), len(bars)),))


def _bar(tokens: list[str], start: Fraction, per_beat: int) -> Iterator[tuple[str, Fraction]]:
    for number, token in enumerate(tokens):
        parts = token.split("+")
        for at, part in enumerate(parts):
            if part != ".":
                yield part, start + (number + Fraction(at, len(parts))) / per_beat


def taught(folder: Path) -> tuple[tuple[Rhyme, ...], tuple[Rhyme, ...], tuple[Rhyme, ...]]:
    """What the weights are learnt from: stanzas of everyday lines, rhymes, and wider stanzas."""
    everyday = (
        *read_rhymes(folder / "story_lines.txt", by_steps=True),
        *read_rhymes(folder / "story_lines_more.txt", by_steps=True),
        *read_rhymes(folder / "story_lines_further.txt", by_steps=True),
    )
    wider = read_rhymes(folder / "story_lines_wider.txt", by_steps=True)
    return everyday, read_rhymes(folder / "rhymes.txt"), wider
