"""Words to rhythm: lines get syllables and a lane, and keep what was made by hand."""

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import lru_cache

from attrs import evolve

from tapscore.model.fewer_taps import Tapped, tapped_on
from tapscore.model.lane import Bar, Cell, Lane, Mark, Step
from tapscore.model.lane_edits import fit_syllables
from tapscore.model.metre import Metre, beat_strength
from tapscore.model.story import Line
from tapscore.model.words import split_words
from tapscore.wording.catalogue import say
from tapscore.words import guess
from tapscore.words.fit import Fit, fit_line
from tapscore.words.line import SungSyllable, Weight, read_line
from tapscore.words.returning import contrasted
from tapscore.words.stanza import fit_stanza

_NO_GLOSSARY: Mapping[str, str] = {}
ALTERNATIVES = 5
_REST = Cell(Mark.REST)
_PLAIN_BEFORE = 3
"""Plain taps after which one strong tap stands out; the check ``no-hidden-accent`` has it, too."""
_SQUEEZED = re.compile(
    r"(?:(?<=[^\W\d_])(?:[,;:!?…–—/]+|--+|\.{2,})|(?<=[^\W\d_]{2})\.)[”’\"]*"
    r"(?=[\"'‘“(]*[^\W\d_])(?!\w*\.\w)"
)
HYPHENS = {ord(mark): "-" for mark in "\u2010\u2011"}
"""Hyphens that word processors put for a plain one."""
_NO_CUTS = {ord(mark): None for mark in "-="}


def spaced(words: str) -> str:
    """The same words with a space wherever a mark alone parts two of them (*wait—what*)."""
    return _SQUEEZED.sub(r"\g<0> ", words)


def hyphenated(words: str, glossary: Mapping[str, str] = _NO_GLOSSARY) -> str:
    """The same words with a hyphen wherever a syllable ends inside a word."""
    cuts: list[int] = []
    for before, after in zip(*(read_line(words, glossary)[i:] for i in (0, 1)), strict=False):
        inside = after.word == before.word and after.start > before.start
        if inside and not _is_cut(words[after.start - 1 : after.start + 1]):
            cuts.append(after.start)
    pieces = [words[a:b] for a, b in zip([0, *cuts], [*cuts, len(words)], strict=True)]
    return "-".join(pieces)


def _is_cut(word: str) -> bool:
    """Whether somebody divided a word already."""
    return "-" in word or "=" in word


def rhythms(
    words: str, metre: Metre, glossary: Mapping[str, str] = _NO_GLOSSARY
) -> tuple[Lane, ...]:
    """Lanes for hyphenated words, best first and all different; none without a syllable."""
    return _rhythms(words, metre, tuple(sorted(glossary.items())))


@lru_cache(maxsize=512)
def _rhythms(words: str, metre: Metre, glossary: tuple[tuple[str, str], ...]) -> tuple[Lane, ...]:
    syllables = read_line(words, dict(glossary))
    lanes: list[Lane] = []
    for fit in fit_line(syllables, metre, alternatives=ALTERNATIVES):
        lane = lane_of(fit, syllables)
        if lane.syllables == len(split_words(words)) and lane not in lanes:
            lanes.append(lane)
    return tuple(lanes)


def make_ready() -> None:
    """Read what fitting needs: the first word that is typed would wait for it."""
    guess.shipped_weights()
    rhythms("Out in the boat", Metre(6, 8))


def fitted(line: Line, metre: Metre, glossary: Mapping[str, str] = _NO_GLOSSARY) -> Line:
    """The line with its best rhythm; as it is where it has no syllable.

    Where its last bar was left short for the next line's pickup, it stays so if it can.
    """
    found = rhythms(line.words, metre, glossary)
    return evolve(line, lane=ended_like(found[0], line.lane, metre)) if found else line


def fitted_together(
    lines: Sequence[Line], metre: Metre, glossary: Mapping[str, str] = _NO_GLOSSARY
) -> tuple[Line, ...]:
    """Lines of one section, fitted so that they agree, in whole bars (see ``joining``)."""
    syllables = [read_line(line.words, glossary) for line in lines]
    fits = fit_stanza(syllables, metre)
    result: list[Line] = []
    for line, fit, said in zip(lines, fits, syllables, strict=True):
        lane = lane_of(fit, said) if said else None
        fits_words = lane is not None and lane.syllables == len(line.syllables)
        result.append(evolve(line, lane=lane) if fits_words else line)
    return tuple(result)


def retyped(
    line: Line, words: str, metre: Metre, glossary: Mapping[str, str] = _NO_GLOSSARY
) -> Line:
    """The line with other words.

    Words are divided into syllables unless they have hyphens, stood in the line just so, or
    only hyphens were changed.  A rhythm that was fitted to the old words is fitted anew; one
    made by hand keeps its taps, with room made for syllables that came or went.
    """
    typed = spaced(" ".join(words.translate(HYPHENS).split()))
    only_hyphens = typed.translate(_NO_CUTS) == line.words.translate(_NO_CUTS)
    kept = set(line.words.split())
    divided = " ".join(
        word if only_hyphens or word in kept or _is_cut(word) else hyphenated(word, glossary)
        for word in typed.split(" ")
    )
    new = evolve(line, words=divided)
    found = rhythms(line.words, metre, glossary)[:1]
    if line.lane is None or filled_up(line.lane, metre) in found:
        return fitted(new, metre, glossary) if new.syllables else evolve(new, lane=None)
    count = len(new.syllables)
    if count == line.lane.syllables:
        return new
    return evolve(new, lane=fit_syllables(line.lane, count, metre))


def next_rhythm(
    line: Line, metre: Metre, glossary: Mapping[str, str] = _NO_GLOSSARY, *, back: bool = False
) -> Line:
    """The line with the rhythm after the one it has, or before it; round at both ends.

    Where it taps fewer than all syllables, so does the other rhythm.
    """
    found = rhythms(line.words, metre, glossary)
    if not found:
        return line
    way = way_of(found, line.lane, metre) if line.lane is not None else None
    at, which = way or (0 if back else -1, Tapped.EVERY)
    lane = tapped_on(found[(at + (-1 if back else 1)) % len(found)], metre, which)
    return evolve(line, lane=ended_like(lane, line.lane, metre))


def rhythm_number(line: Line, metre: Metre, glossary: Mapping[str, str] = _NO_GLOSSARY) -> str:
    """Which of the rhythms for its words a line has, for example ``"2 of 5"``; or nothing."""
    found = rhythms(line.words, metre, glossary)
    way = way_of(found, line.lane, metre) if line.lane is not None else None
    return say("{way} of {found}", way=way[0] + 1, found=len(found)) if way else ""


def way_of(fits: Sequence[Lane], lane: Lane, metre: Metre) -> tuple[int, Tapped] | None:
    """Which of the fits a lane is, and which of its syllables are tapped; None if it is none.

    Silence before and after what is said and tapped does not matter.
    """
    core = _core(lane)
    ways = ((at, which) for at in range(len(fits)) for which in Tapped)
    return next((w for w in ways if _core(tapped_on(fits[w[0]], metre, w[1])) == core), None)


def _core(lane: Lane) -> tuple[int, tuple[Step, ...]]:
    """A lane without the silence round it, and where its first step stands from the downbeat."""
    steps = [step for bar in lane.all_bars for step in bar]
    first = 0
    while first < len(steps) and steps[first] == (_REST,):
        first += 1
    last = len(steps)
    while last > first and steps[last - 1] == (_REST,):
        last -= 1
    return first - len(lane.pickup), tuple(steps[first:last])


def lane_of(fit: Fit, syllables: tuple[SungSyllable, ...]) -> Lane:
    """A fit as a lane of full bars.

    A number spoken as several syllables is one written word; its further syllables become
    taps alone.
    """
    metre = fit.metre
    per_step = _parts_per_step(fit)
    per_beat = metre.steps_per_beat * per_step
    begin = -_ceil(fit.pickup_beats * metre.steps_per_beat) * per_step
    cells: dict[int, Cell] = {}
    written = [syllable.start for syllable in syllables]
    first = [place not in written[:at] for at, place in enumerate(written)]
    placed = list(zip(syllables, fit.onsets_beats, first, strict=True))
    heavy = [syllable.weight >= Weight.LIGHT for syllable in syllables]
    for at in contrasted(syllables):
        heavy[at] = True
    accents = _none_hidden(
        [
            said and weighs and _is_strong(onset, metre)
            for weighs, (_syllable, onset, said) in zip(heavy, placed, strict=True)
        ],
        [said and onset % metre.beats == 0 for _syllable, onset, said in placed],
    )
    for (_syllable, onset, said), accent in zip(placed, accents, strict=True):
        mark = Mark.SYLLABLE_TAPPED if said else Mark.TAP_ALONE
        cells[int(onset * per_beat)] = Cell(mark, accent=accent)
    end = fit.bars * metre.beats * per_beat
    steps = [_step(cells, at, per_step) for at in range(begin, end, per_step)]
    pickup = -begin // per_step
    bars = tuple(
        tuple(steps[at : at + metre.steps]) for at in range(pickup, len(steps), metre.steps)
    )
    return Lane(tuple(steps[:pickup]), bars)


def filled_up(lane: Lane, metre: Metre) -> Lane:
    """The lane with silent steps added to a short last bar."""
    last = lane.bars[-1]
    rests: Bar = ((_REST,),) * (metre.steps - len(last))
    return evolve(lane, bars=(*lane.bars[:-1], (*last, *rests)))


def ended_like(lane: Lane, old: Lane | None, metre: Metre) -> Lane:
    """The lane with its last bar as short as the old one's, if only silence goes by that."""
    return _ended_short(lane, metre.steps - len(old.bars[-1])) if old is not None else lane


def _ended_short(lane: Lane, short: int) -> Lane:
    last = lane.bars[-1]
    if short <= 0 or any(cell != _REST for step in last[-short:] for cell in step):
        return lane
    return evolve(lane, bars=(*lane.bars[:-1], last[:-short]))


def _parts_per_step(fit: Fit) -> int:
    parts = 1
    while any(
        (onset * fit.metre.steps_per_beat * parts).denominator > 1 for onset in fit.onsets_beats
    ):
        parts *= 2
    return parts


def _step(cells: Mapping[int, Cell], at: int, parts: int) -> Step:
    step = tuple(cells.get(at + part, _REST) for part in range(parts))
    return step[:1] if all(cell == _REST for cell in step[1:]) else step


def _is_strong(onset: Fraction, metre: Metre) -> bool:
    strength = beat_strength(metre, onset)
    return strength == 1 or (strength == Fraction(1, 2) and metre.beats % 2 == 0)


def _none_hidden(accents: Sequence[bool], on_downbeats: Sequence[bool]) -> list[bool]:
    """The accents, but no single one after a row of plain taps, at which pupils might startle.

    The first downbeat before it is as strong, or the line has no strong tap.
    """
    if accents.count(True) != 1 or accents.index(True) < _PLAIN_BEFORE:
        return list(accents)
    only = accents.index(True)
    first = on_downbeats.index(True) if True in on_downbeats else only
    return [first < only and at in (first, only) for at in range(len(accents))]


def _ceil(value: Fraction) -> int:
    return -int(-value // 1)
