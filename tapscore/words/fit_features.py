"""The features of a placement of syllables, by name: what a rhythm is judged by.

Every feature looks at one syllable and its slot, at two neighbours and their slots, or at
the line's beginning, end or length, so that a dynamic programme can find the cheapest
placement.  What it looks at stands first in its name, and what was done with it last, as in
``dn:article1:full1:D`` (an article before a full word, on a downbeat).  The ideas are those
of the textsetting literature: stress match, no long lapses, no compression, phrase and line
ends together (Hayes 2009; Halle & Lerdahl 1993).
"""

import itertools
from collections import Counter
from collections.abc import Sequence
from typing import TypeAlias

from attrs import frozen

from tapscore.model.metre import Metre
from tapscore.words.grid import GAPS, KINDS, Grid, gap_number, rise
from tapscore.words.line import SungSyllable, Weight
from tapscore.words.phrasing import LINE_BEGINS, Phrasing, phrasing_of

HEADS = ("on", "step", "part", "beat", "over", "two", "late", "later")
RISES = ("down", "level", "up")
BEATS = "DSB"
_DENSE = (
    (0.6, "lone"),
    (0.85, "sparse"),
    (1.2, "thin"),
    (1.6, "even"),
    (2.2, "full"),
    (2.8, "dense"),
)

Ending: TypeAlias = tuple[str, ...]
"""What ends a feature's name for each thing that can be done ("" where it says nothing)."""

KIND: Ending = tuple(KINDS)
BEAT: Ending = tuple(kind if kind in BEATS else "off" for kind in KINDS)
ON_BEAT: Ending = tuple("on" if kind in BEATS else "off" for kind in KINDS)
WHICH_BEAT: Ending = tuple(kind if kind in BEATS else "" for kind in KINDS)

Named: TypeAlias = tuple[str, Ending]
"""The beginning of features' names and what may end them."""


def heavier(weight: Weight) -> bool:
    """Whether a syllable of this weight may be drawn out."""
    return weight in (Weight.SECONDARY, Weight.CONTENT, Weight.PRIMARY)


def rate_name(count: int, beats: int) -> str:
    """Class of syllables a felt beat."""
    return next((name for limit, name in _DENSE if count < limit * beats), "crammed")


def head_number(metre: Metre, per_beat: int, slot: int) -> int:
    """Which of ``HEADS`` a line's first slot is."""
    if slot == 0:
        return 0
    if slot > 0:
        return 6 if slot <= per_beat else 7
    name = GAPS[gap_number(metre, per_beat, -slot)]
    return HEADS.index({"fine": "step", "three": "two", "more": "two"}.get(name, name))


@frozen
class LineFeatures:
    """Features of one line in one metre; what ``fit_costs`` and the training ask for names."""

    phrasing: Phrasing
    metre: Metre
    time: str
    """``s`` simple, ``c`` compound, ``w`` bars of three beats."""

    @classmethod
    def of(cls, syllables: tuple[SungSyllable, ...], metre: Metre) -> "LineFeatures":
        """Features of a line."""
        time = "c" if metre.compound else "w" if metre.beats == 3 else "s"
        return cls(phrasing_of(syllables), metre, time)

    def node(self, at: int) -> list[Named]:
        """Features of one syllable on a slot of each of ``grid.KINDS``."""
        line, time = self.phrasing, self.time
        kind = line.classes[at]
        before = line.classes[at - 1] if at else "^"
        following = line.classes[at + 1] if at + 1 < len(line.classes) else "$"
        weight = line.syllables[at].weight.name
        load = "heavy" if line.heavy[at] else "light"
        run = self._run(at)
        names: list[Named] = [
            (f"at:{weight}", KIND),
            (f"at:{time}:{weight}", KIND),
            (f"in:{self.metre}:{load}", KIND),
            (f"run:{time}:{run}", ON_BEAT),
            (f"beat:{run}", WHICH_BEAT),
            (f"d:{kind}", BEAT),
            (f"d:{time}:{kind}", BEAT),
            (f"dn:{kind}:{following}", BEAT),
            (f"pd:{before}:{kind}", BEAT),
        ]
        names += self._fine(at, load)
        if at == 0:
            names += [(f"ini:{kind}", BEAT), (f"ini2:{kind}:{following}", BEAT)]
        if line.heavy[at]:
            names += self._heavy(at)
        return names

    def _fine(self, at: int, load: str) -> list[Named]:
        """Features of finer classes, and of what may begin with the word."""
        line = self.phrasing
        fine, turn = line.fine[at], line.turns[at]
        before = line.fine[at - 1] if at else "^"
        following = line.fine[at + 1] if at + 1 < len(line.fine) else "$"
        names: list[Named] = [
            (f"fd:{fine}", BEAT),
            (f"fn:{fine}:{following}", BEAT),
            (f"fp:{before}:{fine}", BEAT),
        ]
        if turn < LINE_BEGINS:
            names += [(f"turn:{turn}:{load}", BEAT), (f"turn:{self.time}:{turn}:{load}", BEAT)]
            names.append((f"new:{line.after[at - 1]}:{load}", BEAT))
        if line.clauses[at]:
            names += [(f"cl:{line.clauses[at]}:{load}", BEAT), (f"cls:{line.clauses[at]}", BEAT)]
        return names

    def _heavy(self, at: int) -> list[Named]:
        line, time = self.phrasing, self.time
        rank, count = line.heavies.index(at), len(line.heavies)
        place = "last" if rank == count - 1 else "first" if rank == 0 else "mid"
        place = "only" if count == 1 else "pen" if rank == count - 2 and rank else place
        balance = max(-2, min(2 * rank - count, 2))
        since = line.since[at]
        names: list[Named] = [
            (f"pos:{place}", BEAT),
            (f"pos:{time}:{place}", BEAT),
            (f"since:{since}", BEAT),
            (f"since:{time}:{since}", BEAT),
            (f"half:{time}:{since}:{balance}", BEAT),
            (f"ordn:{min(rank, 5)}:{min(count, 8)}", BEAT),
        ]
        if line.again[at]:
            names.append(("again", BEAT))
        if line.parting is not None:
            names += self._parted(rank, line.parting)
        return names

    def _parted(self, rank: int, parting: int) -> list[Named]:
        """How a stressed syllable lies to where the line's second part begins."""
        line, time = self.phrasing, self.time
        strength = line.after[parting - 1]
        before = sum(at < parting for at in line.heavies)
        after = len(line.heavies) - before
        off = max(-3, min(rank - before, 3))
        names: list[Named] = [
            (f"part:{strength}:{off}", BEAT),
            (f"part:{time}:{strength}:{off}", BEAT),
        ]
        if -2 < off < 2:
            names.append((f"parts:{time}:{min(before, 4)}:{min(after, 4)}:{off}", BEAT))
        return names

    def middle(self, at: int, bars: int) -> list[str]:
        """Features of a syllable on the downbeat that halves a line of an even number of bars."""
        line, time = self.phrasing, self.time
        if line.parting is None:
            return [f"mid:{time}:none"]
        strength = line.after[line.parting - 1]
        lead = next((n for n in line.heavies if n >= line.parting), line.parting + 1)
        if line.parting <= at <= lead:
            where = ("new" if at == line.parting else "") + ("lead" if at == lead else "")
            where = where or "between"
        else:
            where = "before" if at < line.parting else "beyond"
        many = "two" if bars == 2 else "more"
        count = len(line.syllables)
        even = min(4, 10 * abs(2 * line.parting - count) // (2 * count))
        return [
            f"mid:{strength}:{where}",
            f"mid:{time}:{many}:{strength}:{where}",
            f"mids:{even}:{where}",
            f"mids:{min(strength, 4)}:{even}:{where}",
        ]

    def _run(self, at: int) -> str:
        """The stretch of lighter syllables it stands in, as ``between:3:2``, or its neighbours."""
        heavy = self.phrasing.heavy
        count = len(heavy)
        if heavy[at]:
            before = at > 0 and heavy[at - 1]
            return f"stack:{int(before)}{int(at + 1 < count and heavy[at + 1])}"
        start = at
        while start and not heavy[start - 1]:
            start -= 1
        end = at + 1
        while end < count and not heavy[end]:
            end += 1
        place = "lead" if start == 0 else "trail" if end == count else "between"
        return f"{place}:{min(end - start, 5)}:{min(at - start, 4)}"

    def gap(self, at: int) -> list[Named]:
        """Features of the distance (one of ``GAPS``) from a syllable to the next one."""
        line, time = self.phrasing, self.time
        one = line.syllables[at]
        heavy = "heavy" if line.heavy[at] else "light"
        inside = "out" if one.last else "in"
        names = [
            f"gap:{heavy}:{inside}:{time}",
            f"pace:{self.metre}:{heavy}",
            f"flow:{time}:{heavy}:{line.run[at]}",
            f"gd:{time}:{line.classes[at]}",
            f"gdd:{line.classes[at]}:{line.classes[at + 1]}",
        ]
        if one.pause:
            both = line.heavy[at] and line.heavy[at + 1]
            names.append(f"pause:{'both' if both else 'one'}")
        if one.last:
            names += [
                f"break:{heavy}:{line.after[at]}",
                f"break:{time}:{heavy}:{line.after[at]}:{line.run[at]}",
            ]
        following = next((place for place in line.heavies if place > at), None)
        if line.heavy[at] and following is not None:
            names.append(f"ahead:{time}:{line.since[following]}:{line.run[at]}")
        return [(name, GAPS) for name in names]

    def paced(self, at: int, rate: str) -> list[Named]:
        """Features of the distance to the next syllable in a line of so many a beat."""
        heavy = "heavy" if self.phrasing.heavy[at] else "light"
        run = min(self.phrasing.run[at], 3)
        return [
            (f"rated:{self.time}:{heavy}:{rate}", GAPS),
            (f"flowed:{self.time}:{run}:{heavy}:{rate}", GAPS),
        ]

    def rise(self, at: int) -> list[Named]:
        """Features of going to a weaker, level or stronger slot (``RISES``)."""
        one, two = self.phrasing.syllables[at : at + 2]
        relation = self.relation(at)
        inside = "out" if one.last else "in"
        return [
            (f"rise:{inside}:{relation}", RISES),
            (f"rise:{self.time}:{inside}:{one.weight.name}:{two.weight.name}", RISES),
        ]

    def relation(self, at: int) -> str:
        """Whether weight ``falls``, ``rises`` or stays ``even`` to the next syllable."""
        one, two = self.phrasing.syllables[at : at + 2]
        lead = HEAVINESS[one.weight] - HEAVINESS[two.weight]
        return "falls" if lead > 0.15 else "rises" if lead < -0.15 else "even"

    def skip(self) -> list[Named]:
        """Features of a beat (downbeat, strong, other) that passes without a syllable."""
        beats = tuple(BEATS)
        return [("skip", beats), (f"skip:{self.time}", beats)]

    def head(self) -> list[Named]:
        """Features of the slot (one of ``HEADS``) that the line begins on."""
        line = self.phrasing
        lead = min(line.heavies[0], 5) if line.heavies else 6
        names = (
            f"head:{self.time}",
            f"start:{line.syllables[0].weight.name}",
            f"sd:{line.classes[0]}",
            f"lead:{self.time}:{lead}",
            f"lead:{lead}",
        )
        return [(name, HEADS) for name in names]

    def tail(self, bars: int) -> list[Named]:
        """Features of how long (one of ``GAPS``) the last syllable lasts."""
        heavy = "heavy" if self.phrasing.syllables[-1].weight >= Weight.LIGHT else "light"
        beats = min(self.metre.beats * bars, 9)
        return [(f"tail:{self.time}:{heavy}", GAPS), (f"rest:{self.metre}:{beats}", GAPS)]

    def rate(self, bars: int) -> str:
        """Class of syllables a felt beat in so many bars."""
        return rate_name(len(self.phrasing.syllables), bars * self.metre.beats)

    def size(self, bars: int) -> list[str]:
        """Features of the number of bars."""
        beats = bars * self.metre.beats
        shown = str(beats) if beats <= 9 or beats in (12, 16) else "more"
        spare = max(-4, min(beats - len(self.phrasing.heavies), 5))
        return [
            f"beats:{shown}",
            f"beats:{self.metre}:{shown}",
            f"rate:{self.time}:{self.rate(bars)}",
            f"spare:{self.time}:{spare}",
            f"spare:{self.metre}:{spare}",
        ]


HEAVINESS = {
    Weight.CLITIC: 0.0,
    Weight.FUNCTION: 0.2,
    Weight.WEAK: 0.05,
    Weight.LIGHT: 0.5,
    Weight.LONG_FUNCTION: 0.55,
    Weight.SECONDARY: 0.5,
    Weight.CONTENT: 0.8,
    Weight.PRIMARY: 1.0,
}


def full_names(named: Sequence[Named], choice: int) -> list[str]:
    """Names of the features for one of the things that can be done."""
    return [f"{start}:{ends[choice]}" for start, ends in named if ends[choice]]


def features(syllables: Sequence[SungSyllable], slots: Sequence[int], grid: Grid) -> Counter[str]:
    """All features of a placement, counted; its cost is their weighted sum."""
    line = LineFeatures.of(tuple(syllables), grid.metre)
    kinds = grid.kinds()
    found: Counter[str] = Counter(line.size(grid.bars))
    for at, slot in enumerate(slots):
        found.update(full_names(line.node(at), KINDS.index(kinds[slot - grid.first])))
        if slot == grid.middle:
            found.update(line.middle(at, grid.bars))
    rate = line.rate(grid.bars)
    for at, (one, two) in enumerate(itertools.pairwise(slots)):
        gap = gap_number(grid.metre, grid.per_beat, two - one)
        found.update(full_names([*line.gap(at), *line.paced(at, rate)], gap))
        span = kinds[one - grid.first : two - grid.first + 1]
        found.update(full_names(line.rise(at), rise(span[0], span[-1])))
        for kind in span[1:-1]:
            if kind in BEATS:
                found.update(full_names(line.skip(), BEATS.index(kind)))
    head = head_number(grid.metre, grid.per_beat, slots[0])
    found.update(full_names(line.head(), head))
    tail = gap_number(grid.metre, grid.per_beat, grid.last - slots[-1])
    found.update(full_names(line.tail(grid.bars), tail))
    return found
