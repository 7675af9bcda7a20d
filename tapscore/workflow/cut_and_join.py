"""One line made two, and two made one: words, rhythm, and what is done with them."""

from collections.abc import Mapping, Sequence
from fractions import Fraction

from attrs import evolve

from tapscore.model.lane import Bar, Cell, Lane, Mark, lane_beats, lane_events
from tapscore.model.lane_edits import CellPlace, cell_at, event_places
from tapscore.model.loudness import cut_swell
from tapscore.model.manner import PartialManner
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Translation
from tapscore.model.tempo import Tempo, cut_tempo
from tapscore.workflow.fitting import filled_up, fitted, rhythms

_REST = Cell(Mark.REST)
_SILENT = (Mark.REST, Mark.HOLD)
_NO_GLOSSARY: Mapping[str, str] = {}


def cut_line(
    line: Line, syllable: int, metre: Metre, glossary: Mapping[str, str] = _NO_GLOSSARY
) -> tuple[Line, Line] | None:
    """Two lines from one; the second begins with the word that has that syllable.

    Taps made by hand stay where they are in their bars; the bar in which it is cut is in both,
    with silence for what is in the other.  A swell and a change of tempo go on in the second
    from where the first leaves them, and what the line is for (areas) holds for both.  What
    comes with the line (warning, props in, picture, its words in other languages) stays with
    the first, what ends it (props out) goes with the second.  None at the first word.
    """
    said = line.syllables
    if not 0 < syllable < len(said):
        return None
    first = next(n for n, each in enumerate(said) if each.word == said[syllable].word)
    if first == 0:
        return None
    at = said[first].start
    manners = _cut_manner(line, first, metre)
    one = evolve(
        line, words=line.words[:at].rstrip(), manner=manners[0], props_out=(), look_for=None
    )
    two = Line(
        line.words[at:],
        None,
        manners[1],
        props_out=line.props_out,
        look_for=line.look_for,
        areas=line.areas,
    )
    lanes = None if _as_fitted(line, metre, glossary) else _cut_lane(line.lane, first, metre)
    if line.lane is None:
        return one, two
    if lanes is None:
        return fitted(evolve(one, lane=None), metre, glossary), fitted(two, metre, glossary)
    return evolve(one, lane=lanes[0]), evolve(two, lane=lanes[1])


def join_lines(
    lines: Sequence[Line], metre: Metre, glossary: Mapping[str, str] = _NO_GLOSSARY
) -> Line:
    """One line from several; it is played as the first is, and on as the next where they meet."""
    joined = lines[0]
    by_hand = not all(_as_fitted(line, metre, glossary) for line in lines)
    for line in lines[1:]:
        words = f"{joined.words} {line.words}".strip()
        lane = None
        if by_hand and joined.lane is not None and line.lane is not None:
            lane = _joined_lanes(joined.lane, line.lane, metre)
        entering = {each.prop: each for each in (*line.props_in, *joined.props_in)}
        joined = evolve(
            joined,
            words=words,
            lane=lane,
            manner=_joined_manner(joined.manner, line.manner),
            warn_first=_both(joined.warn_first, line.warn_first),
            warned_by=_each_once(joined.warned_by, line.warned_by),
            warned_through=_each_once(joined.warned_through, line.warned_through),
            do=_both(joined.do, line.do),
            done_by=_each_once(joined.done_by, line.done_by),
            props_in=tuple(entering.values()),
            props_out=_each_once(joined.props_out, line.props_out),
            look_for=_both(joined.look_for, line.look_for),
            areas=_each_once(joined.areas, line.areas),
            translations=_translated(joined.translations, line.translations),
            picture=joined.picture or line.picture,
        )
    return joined if joined.lane is not None else fitted(joined, metre, glossary)


def _both(one: str | None, two: str | None) -> str | None:
    return ", ".join(dict.fromkeys(filter(None, (one, two)))) or None


def _each_once(one: tuple[str, ...], two: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*one, *two)))


def _translated(
    one: tuple[Translation, ...], two: tuple[Translation, ...]
) -> tuple[Translation, ...]:
    said: dict[str, str] = {}
    for each in (*one, *two):
        said[each.tag] = f"{said.get(each.tag, '')} {each.words}".strip()
    return tuple(Translation(tag, words) for tag, words in said.items())


def _as_fitted(line: Line, metre: Metre, glossary: Mapping[str, str]) -> bool:
    found = rhythms(line.words, metre, glossary)[:1]
    return line.lane is None or filled_up(line.lane, metre) in found


def _cut_manner(line: Line, syllable: int, metre: Metre) -> tuple[PartialManner, PartialManner]:
    """How each half is tapped: swells and changing tempos are cut where the second begins."""
    manner = line.manner
    events = () if line.lane is None else lane_events(line.lane, metre)
    begins = next((each.onset_beats for each in events if each.syllable == syllable), None)
    taps = [each.onset_beats for each in events if each.cell.mark.tapped]
    in_words = Fraction(syllable, len(line.syllables))
    in_taps = in_beats = in_words
    if line.lane is not None and begins is not None:
        in_beats = begins / lane_beats(line.lane, metre)
        if taps and taps[-1] > taps[0]:
            in_taps = (begins - taps[0]) / (taps[-1] - taps[0])
    swells = (None, None) if manner.loudness is None else cut_swell(manner.loudness, in_taps)
    tempos = (None, None) if manner.tempo is None else cut_tempo(manner.tempo, in_beats)
    one, two = (
        evolve(manner, loudness=swell, tempo=tempo)
        for swell, tempo in zip(swells, tempos, strict=True)
    )
    return one, two


def _joined_manner(one: PartialManner, two: PartialManner) -> PartialManner:
    swell, tempo = one.loudness, one.tempo
    if swell and two.loudness and swell[-1] == two.loudness[0]:
        swell = (*swell, *two.loudness[1:])
    if tempo and two.tempo and tempo.last == two.tempo.start and two.tempo.end is not None:
        tempo = Tempo(tempo.start, two.tempo.end)
    return evolve(one, loudness=swell, tempo=tempo)


def _cut_lane(lane: Lane | None, syllable: int, metre: Metre) -> tuple[Lane, Lane] | None:
    """The lane in two, before a syllable; None where it has no such syllable.

    What comes before a bar line stands at the end of a bar of its own in the first.
    """
    if lane is None:
        return None
    said = [place for place in event_places(lane) if cell_at(lane, place).mark.said]
    if syllable >= len(said):
        return None
    at = said[syllable]
    bars = lane.all_bars
    before = tuple(_masked(bar, n, at, before=True) for n, bar in enumerate(bars[: at.bar + 1]))
    after = tuple(_masked(bar, n, at, before=False) for n, bar in enumerate(bars[at.bar :], at.bar))
    if (at.step, at.part) == (0, 0):
        before = before[:-1]
    if not lane.pickup:
        return Lane((), before), Lane((), after)
    if len(before) > 1:
        return Lane(before[0], before[1:]), Lane((), after)
    one = Lane((), ((*_rests(metre.steps - len(before[0])), *before[0]),))
    return one, Lane(after[0][at.step :], after[1:]) if at.bar == 0 else Lane((), after)


def _masked(bar: Bar, number: int, at: CellPlace, *, before: bool) -> Bar:
    """A bar with silence for what is not on this side of the cut."""
    kept = [
        [
            cell if ((number, s, p) < (at.bar, at.step, at.part)) is before else _REST
            for p, cell in enumerate(step)
        ]
        for s, step in enumerate(bar)
    ]
    return tuple(tuple(step) for step in kept)


def _joined_lanes(one: Lane, two: Lane, metre: Metre) -> Lane:
    """Two lanes after one another, in whole bars where they meet."""
    bars = list(one.bars)
    room = metre.steps - len(bars[-1])
    steps = len(two.pickup)
    silent = 0
    for step in reversed(bars[-1]):
        if any(cell.mark not in _SILENT for cell in step):
            break
        silent += 1
    if steps > room + silent:
        bars[-1] = (*bars[-1], *_rests(room))
        bars.append((*_rests(metre.steps - steps), *two.pickup))
    else:
        kept = min(len(bars[-1]), metre.steps - steps)
        gap = metre.steps - steps - kept
        bars[-1] = (*bars[-1][:kept], *_rests(gap), *two.pickup)
    return Lane(one.pickup, (*bars, *two.bars))


def _rests(steps: int) -> Bar:
    return ((_REST,),) * max(steps, 0)
