"""The rhythm in musical notation, for those who read it: MusicXML by music21.

music21 takes 2 to 3 ms over a bar.  It writes each kind of bar once: bars that differ in nothing
but their number and their words are one kind, and the words are filled in after it.
"""

import re
from collections.abc import Iterable
from fractions import Fraction
from importlib import import_module
from xml.sax.saxutils import escape

from attrs import evolve, frozen

from tapscore.model.metre import Metre
from tapscore.model.story import Story
from tapscore.rhythm.bars import Bar, Mark, NoteOrRest
from tapscore.rhythm.notation import bars_not_full, score_of, story_bars

PIECE_BARS = 24
"""So many bars are given to music21 at a time: it goes through all of them for each."""
_BAR = re.compile(r"^    <!--=+ Measure \d+ =+-->\n", re.MULTILINE)
_BAR_WIDTH = 62
_END = "  </part>\n"
_ATTRIBUTES = re.compile(r" *<attributes>.*?</attributes>\n", re.DOTALL)
"""The time signature, which stands in a whole score only where it changes."""
_DIVISIONS = re.compile(r" *<divisions>\d+</divisions>\n")
"""What stands in the first bar of a score besides."""
_LEFT_OUT = re.compile(
    r"\s*<encoding-date>[^<]*</encoding-date>|\s*<creator type=\"composer\">[^<]*</creator>"
)
_RANDOM_ID = re.compile(r'(id=")([PI])[0-9a-f]{32}(?=")')
_OPEN, _SHUT = "\ue000", "\ue001"
"""Around the number of a word that is to be filled in: no letters, and music21 keeps them."""
_HOLE = re.compile(f"{_OPEN}(\\d+){_SHUT}")
_NUMBER = re.compile(r'(?<= number=")\d+(?=")')
_SYLLABLE = re.compile(f"(<syllabic>)single(</syllabic>\\s*<text>{_OPEN}(\\d+){_SHUT})")


@frozen
class _Kind:
    """A bar without its number, and with holes for its words."""

    metre: Metre
    shows_metre: bool
    left_out_quarters: Fraction
    elements: tuple[NoteOrRest, ...]
    marks: tuple[Mark, ...]

    def bar(self, number: int) -> Bar:
        """Such a bar, with a time signature in any case: it stands anywhere."""
        return Bar(
            number, self.metre, True, self.left_out_quarters, list(self.elements), list(self.marks)
        )


@frozen
class _Written:
    """Text, number of a word, text ... and so on to the last text."""

    pieces: tuple[str, ...]

    def filled(self, words: list[str]) -> str:
        """With the words in it, escaped."""
        found = list(self.pieces)
        for at in range(1, len(found), 2):
            found[at] = words[int(found[at])]
        return "".join(found)


def score_file(story: Story) -> bytes:
    """The story as MusicXML (partwise), the same bytes each time.

    Raises ValueError if a bar is not full: music21 would pad it without a word.
    """
    told = [_kind_of(bar) for bar in story_bars(story)]
    firsts: dict[_Kind, int] = {}
    for kind, words in told:
        firsts.setdefault(kind, int(words[0]))
    if not firsts:
        return _by_music21(story.title, ()).encode()
    kinds = tuple(firsts)
    written: dict[_Kind, _Written] = {}
    first, head, tail = "", "", ""
    for begin in range(0, len(kinds), PIECE_BARS):
        some = kinds[begin : begin + PIECE_BARS]
        xml = _by_music21(story.title, (kind.bar(firsts[kind]) for kind in some))
        before, *bars = _BAR.split(xml)
        bars[-1], tail = bars[-1].split(_END)
        first, head = first or bars[0], head or before
        written |= zip(some, map(_with_holes, some, bars), strict=True)
    (divisions,) = _DIVISIONS.findall(first)
    text = [f"{_title(words[0])}{written[kind].filled(words)}" for kind, words in told]
    text[0] = text[0].replace("<attributes>\n", f"<attributes>\n{divisions}", 1)
    return "".join((head, *text, _END, tail)).encode()


def _by_music21(title: str, bars: Iterable[Bar]) -> str:
    score = score_of(title, bars)
    wrong = bars_not_full(score)
    if wrong:
        raise ValueError(f"bars {wrong} of the score are not full")
    exporter = import_module("music21.musicxml.m21ToXml").GeneralObjectExporter
    # what its ``parse`` does but for the copy, with rests in bars that are full already
    whole = exporter(score)
    made: bytes = whole.parseWellformedObject(whole.fromScore(score))
    return _LEFT_OUT.sub("", _RANDOM_ID.sub(r"\1\g<2>1", made.decode()))


def _kind_of(bar: Bar) -> tuple[_Kind, list[str]]:
    """What music21 writes of it, and what goes into its holes: its number, and all words."""
    words = [str(bar.number)]

    def hole(text: str) -> str:
        if not text:
            return text
        words.append(escape(text))
        return f"{_OPEN}{len(words) - 1}{_SHUT}"

    marks = tuple(
        evolve(mark, text=hole(mark.text)) if mark.kind in ("rehearsal", "words") else mark
        for mark in bar.marks
    )
    elements = list(bar.elements)
    for at, each in enumerate(elements):
        if each.syllable:
            elements[at] = evolve(each, syllable=hole(each.syllable), syllabic="single")
            words.append(each.syllabic)
    kind = _Kind(bar.metre, bar.shows_metre, bar.left_out_quarters, tuple(elements), marks)
    return kind, words


def _with_holes(kind: _Kind, xml: str) -> _Written:
    """A bar as music21 wrote it."""
    less = _DIVISIONS if kind.shows_metre else _ATTRIBUTES
    xml = _NUMBER.sub(f"{_OPEN}0{_SHUT}", less.sub("", xml, count=1), count=1)
    xml = _SYLLABLE.sub(lambda said: f"{said[1]}{_OPEN}{int(said[3]) + 1}{_SHUT}{said[2]}", xml)
    return _Written(tuple(_HOLE.split(xml)))


def _title(number: str) -> str:
    """The comment that music21 writes before a bar."""
    return f"    <!--{f' Measure {number} '.center(_BAR_WIDTH, '=')}-->\n"
