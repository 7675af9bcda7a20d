"""What a placement of a line costs beside what neighbours tell.

No feature of two neighbours (``fit_features``) sees an empty bar, a sentence that begins inside a
line, or that a word which leans on the next one stands on a downbeat; some are too rare to be
learnt.  The amounts are set by hand and were tried on lines that the weights had not seen.
"""

import itertools
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from functools import lru_cache

from tapscore.model.metre import Metre
from tapscore.words.clauses import MOVING, POINTED
from tapscore.words.line import SungSyllable, Weight
from tapscore.words.phrasing import STRONG, phrasing_of
from tapscore.words.returning import contrasted, counted, unlike_again

_LAST_BAR_EMPTY = 2.5
"""A whole bar without a syllable at the end; no feature sees it."""
_ODD_BARS = 3.0
"""Three or five bars in a marching metre, but for a count: six of 1,900 lines learnt from; bars go
in twos (Lerdahl & Jackendoff 1983)."""
_LED_BY_A_BEAT = 4.0
"""A rocking line that begins a whole beat before its first downbeat (*in-to the | lav-en-der*): two
of 569 lines learnt from."""
_SMALL_ALONE = 2.5
"""A line that begins with a small word held for two beats: *we're . . . getting soaked*; three of
287 such beginnings in the lines learnt from."""
_FAR_TURNED = 3.0
"""A word's light syllable on a downbeat, its stress before it on none (*wa-ter- | ing*)."""
_LATE = 5.0
"""A line that begins with a rest and a light syllable: nobody begins so without a sign."""
_NEW_OFF_BAR = 3.0
"""A sentence that begins inside a line (*yes we have. Munch, munch*) and no bar with it."""
_PART_OFF_BAR = 2.0
"""The same for the second of two parts that a comma or dash divides (*up to bed, sleepy head*);
between more of them, as in a list, bars go their own way."""
_LEANING_DOWN = 4.0
"""An article or owner on a downbeat (*put | your mac on*); rare enough that folds don't tell."""
_TO_DOWN = 2.0
"""*of* and *to* on a downbeat inside a line (*he's going | to read*): five in 518 of the lines
learnt from."""
_PRONOUN_DOWN = 1.0
"""A pronoun inside a phrase on a downbeat (*can | we go in*)."""
_SUBJECT_DOWN = 3.0
"""*it's*, *there's*, *we're* that begin something new inside a line, on a downbeat; *I'm* and
*you're* may be set against another."""
_COMES_DOWN = 3.0
"""The verb of *here comes the bus*."""
_STRETCHED = 2.0
"""A word whose parts are more than a beat apart (*lor- . . . ry*)."""
_HEAVY_BEFORE = 3.0
"""Two stressed syllables before the first downbeat (*Bel-la the bus | driv-er*)."""
_THEN_DOWN = 1.0
"""*then* without *and* or a stop before it (*lightning | flash then the | rain*)."""
_MUST_OFF_BEAT = 2.0
"""The *have* of *have to*, which has no weak form (Wells 2008), beside a beat."""
_POINTED_DOWN = 4.0
"""A pronoun behind a word that points (*there | it is*, *off | we go*): nobody says it so."""


def cost_as_a_whole(
    syllables: tuple[SungSyllable, ...], onsets: Sequence[Fraction], bars: int, metre: Metre
) -> float:
    """What a placement costs beside what neighbours tell; in the unit of a fit's costs."""
    cost = unlike_again(syllables, onsets, metre)
    if metre.compound:
        cost += _LED_BY_A_BEAT if onsets[0] <= -1 else 0.0
    elif metre.beats % 2 == 0:
        odd = bars > 1 and bars % 2
        cost += _ODD_BARS if odd and not counted(syllables) else 0.0
    cost += _at_the_ends(syllables, onsets, bars, metre)
    cost += _FAR_TURNED * sum(_outdone(syllables, onsets, metre))
    cost += _STRETCHED * sum(
        not one.last and after - onset > 1
        for one, onset, after in zip(syllables, onsets, onsets[1:], strict=False)
    )
    cost += _MUST_OFF_BEAT * sum(bool(onsets[at] % 1) for at in must_be_done(syllables))
    down = {at for at, onset in enumerate(onsets) if not onset % metre.beats}
    begun = begins_inside(syllables)
    cost += sum(price for leads, price in begun.items() if down.isdisjoint(leads))
    leaning = leaning_down(syllables)
    return cost + sum(leaning.get(at, 0.0) for at in sorted(down))


def _at_the_ends(
    syllables: tuple[SungSyllable, ...], onsets: Sequence[Fraction], bars: int, metre: Metre
) -> float:
    """What the line's first words and last bar cost."""
    cost = 0.0
    heavy = phrasing_of(syllables).heavy
    if syllables[0].weight <= Weight.FUNCTION:
        held = onsets[1] - onsets[0] if len(onsets) > 1 else 0
        alone = onsets[0] >= 0 and held >= min(2, metre.beats)
        cost += _SMALL_ALONE if alone else 0.0
    if not heavy[0] and onsets[0] > 0:
        cost += _LATE
    before = sum(onset < 0 for onset in onsets)
    if sum(heavy[:before]) > 1:
        cost += _HEAVY_BEFORE
    return cost + (_LAST_BAR_EMPTY if onsets[-1] < (bars - 1) * metre.beats else 0.0)


def _outdone(
    syllables: tuple[SungSyllable, ...], onsets: Sequence[Fraction], metre: Metre
) -> Iterator[bool]:
    """For each light syllable after its word's stress whether it is on a downbeat, that on none."""
    stress: Fraction | None = None
    for one, onset in zip(syllables, onsets, strict=True):
        if one.first:
            stress = None
        if one.stress == 1:
            stress = onset
        elif not one.stress and stress is not None:
            yield onset % metre.beats == 0 and stress % metre.beats != 0


@lru_cache(maxsize=512)
def must_be_done(syllables: tuple[SungSyllable, ...]) -> Sequence[int]:
    """Where *have* says what must be done (*we have to go*)."""
    said = [one.text.casefold() for one in syllables]
    return [
        at
        for at, (one, after) in enumerate(itertools.pairwise(said))
        if after == "to" and one in ("have", "has", "had") and not syllables[at].pause
    ]


@lru_cache(maxsize=512)
def begins_inside(syllables: tuple[SungSyllable, ...]) -> Mapping[tuple[int, ...], float]:
    """What begins inside a line, by the stops written, and what it costs off the downbeats.

    Each is given by what may stand on its downbeat: its first stressed syllable, or the next one
    too if that is hard behind it (*good morning*).
    """
    heavies = phrasing_of(syllables).heavies
    pauses = [at + 1 for at, one in enumerate(syllables[:-1]) if one.pause]
    found: dict[tuple[int, ...], float] = {}
    for begin in pauses:
        ends = syllables[begin - 1].stop
        if ends or len(pauses) == 1:
            lead = next((at for at in heavies if at >= begin), begin)
            leads = (lead, lead + 1) if lead + 1 in heavies else (lead,)
            found[leads] = _NEW_OFF_BAR if ends else _PART_OFF_BAR
    return found


@lru_cache(maxsize=512)
def leaning_down(syllables: tuple[SungSyllable, ...]) -> Mapping[int, float]:
    """Small words that lean on the next one, and what each costs on a downbeat.

    Articles; *my*, *your* and the like unless there are two of them; inside a line *it's* and the
    like, pronouns inside a phrase, and what follows a word that points.  What is set against
    something leans on nothing.
    """
    line = phrasing_of(syllables)
    owned = [at for at, name in enumerate(line.classes) if name == "owner1"]
    several = len({syllables[at].text.casefold() for at in owned}) > 1
    found = dict.fromkeys([] if several else owned, _LEANING_DOWN)
    apart = contrasted(syllables)
    for at, name in enumerate(line.classes[:-1]):
        cost = _LEANING_DOWN if name == "article1" else _inside(syllables, at) if at else 0.0
        if cost and at not in apart:
            found[at] = cost
    return found


def _inside(syllables: tuple[SungSyllable, ...], at: int) -> float:
    """The same for a word that isn't the line's first one."""
    line = phrasing_of(syllables)
    name, clause = line.classes[at], line.clauses[at - 1]
    word, before = (syllables[place].text.casefold() for place in (at, at - 1))
    begins = at == 1 or clause == "there"
    if before in POINTED and word in MOVING and (begins or syllables[at - 2].pause):
        return _COMES_DOWN
    if word in ("of", "to") and not syllables[at - 1].pause:
        return _TO_DOWN
    if word == "then" and before != "and" and not syllables[at - 1].pause:
        return _THEN_DOWN
    if name not in ("pronoun1", "subject1"):
        return 0.0
    if begins and (before in POINTED or line.classes[at - 1] == "particle1"):
        return _POINTED_DOWN
    if line.after[at - 1] < STRONG and not syllables[at].pause:
        return _PRONOUN_DOWN
    return _SUBJECT_DOWN if name == "subject1" and not word.startswith(("i'", "you")) else 0.0
