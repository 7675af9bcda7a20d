"""Reads rhymes with their rhythm, in the notation described in ``tests/data/rhymes.txt``."""

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

from attrs import frozen

from tapscore.model.metre import Metre, parse_metre


@frozen
class RhymeLine:
    """One line: its words, its syllables as engraved, and where each begins."""

    words: str
    syllables: tuple[str, ...]
    onsets_beats: tuple[Fraction, ...]
    bars: int


@frozen
class Rhyme:
    """A rhyme: its title, metre and lines."""

    title: str
    metre: Metre
    lines: tuple[RhymeLine, ...]


def read_rhymes(path: Path) -> tuple[Rhyme, ...]:
    """All rhymes of the file."""
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
            line = parse_line(text, last.metre)
            rhymes[-1] = Rhyme(last.title, last.metre, (*last.lines, line))
    return tuple(rhymes)


def parse_line(text: str, metre: Metre) -> RhymeLine:
    """One line of the file's notation."""
    before, *bars = text.split("|")
    pickup = before.split()
    placed = list(_bar(pickup, Fraction(-len(pickup), metre.steps_per_beat), metre.steps_per_beat))
    for number, bar in enumerate(bars):
        tokens = bar.split()
        per_beat = {metre.steps: metre.steps_per_beat, metre.beats: 1}.get(len(tokens))
        if per_beat is None:
            raise ValueError(f"{len(tokens)} tokens in a bar of: {text}")
        placed += _bar(tokens, Fraction(number * metre.beats), per_beat)
    syllables = tuple(token for token, _ in placed)
    words = "".join(s[:-1] if s.endswith("-") else s + " " for s in syllables).strip()
    return RhymeLine(words, syllables, tuple(at for _, at in placed), len(bars))


def _bar(tokens: list[str], start: Fraction, per_beat: int) -> Iterator[tuple[str, Fraction]]:
    for number, token in enumerate(tokens):
        parts = token.split("+")
        for at, part in enumerate(parts):
            if part != ".":
                yield part, start + (number + Fraction(at, len(parts))) / per_beat
