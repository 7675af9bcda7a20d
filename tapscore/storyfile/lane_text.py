"""Lane notation: text to Lane and back.

The one-page reference is ``resources/lane.txt``, printed by ``tapscore help lane``.
"""

import re
from collections.abc import Callable, Collection
from typing import Any

from attrs import evolve, field, frozen

from tapscore.model.lane import Bar, Cell, Lane, Mark, Step, TapDetail
from tapscore.model.loudness import WORDS as LOUDNESS_WORDS
from tapscore.model.loudness import parse_loudness
from tapscore.model.manner import EVERYONE
from tapscore.model.strokes import STROKE_WORDS, parse_stroke
from tapscore.storyfile.near import nearest
from tapscore.wording.about import About
from tapscore.wording.catalogue import say

_TOKEN = re.compile(
    r"(\|)|(\s+)|([XxTts._])(?:\(([^()]*)\))?|(\([^()]*\)|[^\s|XxTts.()_]+|.)", re.DOTALL
)
_CELLS = {
    "x": Cell(Mark.SYLLABLE_TAPPED),
    "X": Cell(Mark.SYLLABLE_TAPPED, accent=True),
    "t": Cell(Mark.TAP_ALONE),
    "T": Cell(Mark.TAP_ALONE, accent=True),
    "s": Cell(Mark.SYLLABLE_ALONE),
    ".": Cell(Mark.REST),
    "_": Cell(Mark.HOLD),
}
_STEPS: dict[str, Step] = {letter: (cell,) for letter, cell in _CELLS.items()}
MARKS_IN_WORDS = say(
    "x tap, X strong tap, t tap alone, s said alone, . nothing, _ hold, | bar line"
)
MAX_PARTS = 12
MAX_STEPS = 600
MAX_PROBLEMS = 4


@frozen(eq=False, repr=False)
class LaneProblem:
    """Something in a lane that can't be read, at a column from 0 in its text."""

    column: int
    about: About


@frozen(eq=False, repr=False)
class Names:
    """Spots and roles that a tap's brackets may name."""

    spots: Collection[str] = field(default=())
    roles: Collection[str] = field(default=())


def parse_lane(text: str, names: Names) -> tuple[Lane | None, list[LaneProblem]]:
    """Read a lane; None with at least one problem where it can't be read."""
    plain = _plain_lane(text)
    if plain is not None:
        return plain, []
    reading = _Reading(names)
    for match in _TOKEN.finditer(text):
        if len(reading.problems) >= MAX_PROBLEMS:
            return None, reading.problems[:MAX_PROBLEMS]
        bar_line, _, letter, inside, strange = match.groups()
        if letter:
            reading.cell(letter, inside, match)
        elif strange:
            reading.problems.append(_strange(strange, match.start()))
        else:
            reading.end_step(match.start())
            if bar_line:
                reading.bar_line(match.start())
    reading.end_step(len(text))
    return reading.lane()


def _plain_lane(text: str) -> Lane | None:
    """A lane with spaces between all its marks and nothing special in it, read at once."""
    pickup: Bar | None = None
    bars: list[Bar] = []
    bar: list[Step] = []
    holding = False
    for token in text.split():
        if token == "|":
            if pickup is None:
                pickup = tuple(bar)
            elif bar:
                bars.append(tuple(bar))
            else:
                return None
            bar = []
            continue
        step = _STEPS.get(token)
        if step is None or (token == "_" and not holding):
            return None
        holding = token != "."
        bar.append(step)
    if bar and pickup is not None:
        bars.append(tuple(bar))
    if pickup is None or not bars or len(text) > MAX_STEPS:
        return None
    return Lane(pickup, tuple(bars))


class _Reading:
    """A lane half read: the step, the bar and the bars so far."""

    def __init__(self, names: Names) -> None:
        self.problems: list[LaneProblem] = []
        self._names = names
        self._step: list[Cell] = []
        self._bar: list[Step] = []
        self._bars: list[Bar] = []
        self._pickup: Bar | None = None
        self._holding = False

    def cell(self, letter: str, inside: str | None, match: re.Match[str]) -> None:
        cell = _CELLS[letter]
        if inside is not None:
            cell = _with_detail(cell, inside, match.start(4), self._names, self.problems.append)
        if cell.mark is Mark.HOLD and not self._holding:
            self.problems.append(LaneProblem(match.start(), About(case="nothing-to-hold")))
        self._holding = cell.mark is not Mark.REST
        self._step.append(cell)

    def end_step(self, column: int) -> None:
        if len(self._step) > MAX_PARTS:
            self.problems.append(
                LaneProblem(column - 1, About(case="crowded-step", marks=len(self._step)))
            )
        if self._step:
            self._bar.append(tuple(self._step))
            self._step = []

    def bar_line(self, column: int) -> None:
        if self._pickup is None:
            self._pickup = tuple(self._bar)
        elif self._bar:
            self._bars.append(tuple(self._bar))
        else:
            self.problems.append(LaneProblem(column, About(case="empty-bar")))
        self._bar = []

    def lane(self) -> tuple[Lane | None, list[LaneProblem]]:
        if self._pickup is None:
            self.problems.append(LaneProblem(0, About(case="no-bar-line")))
        elif self._bar:
            self._bars.append(tuple(self._bar))
        if self._pickup is not None and not self._bars and not self.problems:
            self.problems.append(LaneProblem(0, About(case="no-bar", marks=MARKS_IN_WORDS)))
        if self.problems:
            return None, self.problems
        lane = Lane(self._pickup or (), tuple(self._bars))
        if lane.steps > MAX_STEPS:
            return None, [LaneProblem(0, About(case="too-long", steps=lane.steps))]
        return lane, []


def lane_text(lane: Lane) -> str:
    """Write a lane as ``parse_lane`` reads it."""
    parts = [_bar_text(bar) for bar in lane.bars]
    start = f"{_bar_text(lane.pickup)} | " if lane.pickup else "| "
    return start + " | ".join(parts) + " |"


def lane_columns(text: str) -> list[int]:
    """Columns from 0 of the marks of a lane's text, one for each cell."""
    return [m.start() for m in _TOKEN.finditer(text) if m[3]]


def _bar_text(bar: Bar) -> str:
    return " ".join("".join(_cell_text(cell) for cell in step) for step in bar)


def _cell_text(cell: Cell) -> str:
    letter: str = cell.mark.value
    if cell.accent:
        letter = letter.upper()
    detail = cell.detail
    if detail is None:
        return letter
    parts = [_detail_text(detail)] if detail.by or not detail.single else []
    if not parts and detail != TapDetail(single=detail.single):
        parts = [_detail_text(detail)]
    parts += [f"{role}: {_detail_text(own)}" for role, own in detail.single]
    return f"{letter}({'; '.join(parts)})"


def _detail_text(detail: TapDetail) -> str:
    words = [
        *([detail.loudness.word] if detail.loudness is not None else []),
        *([detail.stroke.word] if detail.stroke is not None else []),
        *([detail.spot] if detail.spot is not None else []),
        *detail.by,
    ]
    return ", ".join(words)


def _with_detail(
    cell: Cell, inside: str, column: int, names: Names, report: Callable[[LaneProblem], None]
) -> Cell:
    if not cell.mark.tapped:
        report(LaneProblem(column, About(case="no-tap")))
        return cell
    whole, single = TapDetail(), dict[str, TapDetail]()
    for part in inside.split(";"):
        role, colon, rest = _divided(part, names)
        name = " ".join(role.split())
        if not colon:
            whole = _detail(whole, part, column, names, report)
        elif name not in names.roles:
            report(_unknown(name, names.roles, column + len(role) - len(role.lstrip()), "no-role"))
        else:
            at = column + len(role) + 1
            own = _detail(single.get(name, TapDetail()), rest, at, names, report)
            if own.by:
                at += len(rest) - len(rest.lstrip())
                report(LaneProblem(at, About(case="adult-of-adult", name=own.by[0], role=name)))
            single[name] = own
        column += len(part) + 1
    return Cell(cell.mark, cell.accent, evolve(whole, single=tuple(single.items())))


def _divided(part: str, names: Names) -> tuple[str, str, str]:
    """The adult before a colon, and what follows; names may have colons themselves."""
    for at in (match.start() for match in re.finditer(":", part)):
        if " ".join(part[:at].split()) in names.roles:
            return part[:at], ":", part[at + 1 :]
    known = {*names.spots, *names.roles}
    if any(" ".join(word.split()) in known for word in part.split(",") if ":" in word):
        return part, "", ""
    return part.partition(":")


def _detail(
    detail: TapDetail, words: str, column: int, names: Names, report: Callable[[LaneProblem], None]
) -> TapDetail:
    """What a tap, or one adult's, has of its own; one of each kind, or there is a problem."""
    for part in words.split(","):
        name = " ".join(part.split())
        at = column + len(part) - len(part.lstrip())
        column += len(part) + 1
        kind: str | None = None
        new: Any = None
        if (level := parse_loudness(name)) is not None:
            kind, new = "loudness", level
        elif (touch := parse_stroke(name)) is not None:
            kind, new = "stroke", touch
        elif name in names.spots:
            kind, new = "spot", name
        elif name in names.roles or name == EVERYONE:
            detail = evolve(detail, by=(*detail.by, name))
        else:
            known = (*LOUDNESS_WORDS, *STROKE_WORDS, *names.spots, *names.roles, EVERYONE)
            report(_unknown(name, known, at))
        if kind is not None:
            if getattr(detail, kind) not in (None, new):
                report(LaneProblem(at, About(case="twice", kind=kind, name=name)))
            detail = evolve(detail, **{kind: new})
    return detail


def _unknown(name: str, known: Collection[str], column: int, case: str = "unknown") -> LaneProblem:
    return LaneProblem(column, About(case=case, name=name, near=nearest(name, known)))


def _strange(found: str, column: int) -> LaneProblem:
    if found[0] in "()":
        return LaneProblem(column, About(case="bracket"))
    meant = {"×": "x", "S": "s", "o": "s", "0": ".", "/": "|", "I": "|"}
    meant |= dict.fromkeys("-–—", "_")
    near = meant.get(found)
    about = About(case="strange", mark=found[:20], near=near, marks=MARKS_IN_WORDS)
    return LaneProblem(column, about)
