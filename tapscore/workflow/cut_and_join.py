"""One line made two, and two made one: words, rhythm, and what is done with them."""

from collections.abc import Mapping, Sequence

from attrs import evolve

from tapscore.model.lane import Bar, Cell, Lane, Mark
from tapscore.model.lane_edits import CellPlace, cell_at, event_places
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Translation
from tapscore.workflow.fitting import filled_up, fitted, rhythms

_REST = Cell(Mark.REST)
_SILENT = (Mark.REST, Mark.HOLD)
_NO_GLOSSARY: Mapping[str, str] = {}


def cut_line(
    line: Line, syllable: int, metre: Metre, glossary: Mapping[str, str] = _NO_GLOSSARY
) -> tuple[Line, Line] | None:
    """Two lines from one; the second begins with the word that has that syllable.

    Taps made by hand stay where they are in their bars; the bar in which it is cut is in both,
    with silence for what is in the other.  What comes with the line (warning, props in) stays
    with the first, what ends it (props out) goes with the second.  None at the first word.
    """
    said = line.syllables
    if not 0 < syllable < len(said):
        return None
    first = next(n for n, each in enumerate(said) if each.word == said[syllable].word)
    if first == 0:
        return None
    at = said[first].start
    one = evolve(line, words=line.words[:at].rstrip(), props_out=(), look_for=None)
    two = Line(line.words[at:], None, line.manner, props_out=line.props_out, look_for=line.look_for)
    lanes = None if _as_fitted(line, metre, glossary) else _cut_lane(line.lane, first)
    if line.lane is None:
        return one, two
    if lanes is None:
        return fitted(evolve(one, lane=None), metre, glossary), fitted(two, metre, glossary)
    return evolve(one, lane=lanes[0]), evolve(two, lane=lanes[1])


def join_lines(
    lines: Sequence[Line], metre: Metre, glossary: Mapping[str, str] = _NO_GLOSSARY
) -> Line:
    """One line from several; it is played as the first is."""
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


def _cut_lane(lane: Lane | None, syllable: int) -> tuple[Lane, Lane] | None:
    """The lane in two, before a syllable; None where the cut is within the pickup."""
    if lane is None:
        return None
    said = [place for place in event_places(lane) if cell_at(lane, place).mark.said]
    if syllable >= len(said):
        return None
    at = said[syllable]
    if lane.pickup and at.bar == 0:
        return None
    bars = lane.all_bars
    before = tuple(_masked(bar, n, at, before=True) for n, bar in enumerate(bars[: at.bar + 1]))
    after = tuple(_masked(bar, n, at, before=False) for n, bar in enumerate(bars[at.bar :], at.bar))
    if (at.step, at.part) == (0, 0):
        before = before[:-1]
    one = Lane(lane.pickup, before[1:]) if lane.pickup else Lane((), before)
    return None if not one.bars else (one, Lane((), after))


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
