"""Suggest a metre for lines: which of three ways to move suits their stresses, and why.

Three ways are told apart: two even beats (2/4, or 4/4 for longer lines), rocking (6/8) and
swaying in threes (3/4).  What speaks for each is learnt (``tests.training.metre_weights``):
how many light syllables stand between stressed ones, how lines begin, how long they are,
how cheaply the fit itself puts them in 6/8 and in 4/4, and words of rest and slow movement,
which are what people sway to.  Words seldom settle it, so every suggestion has a confidence
(a share of 1) and a reason, and the teacher chooses.  9/8 and 12/8 sound like 6/8 in bars
of another length and are not told apart.
"""

import itertools
import json
import math
from collections.abc import Mapping, Sequence
from functools import cache, lru_cache

from attrs import evolve, frozen

from tapscore.model.metre import Metre
from tapscore.resources import resource_path
from tapscore.wording.catalogue import say
from tapscore.words.explain import word_shown
from tapscore.words.fit import least_cost
from tapscore.words.fit_costs import FitWeights, shipped_weights
from tapscore.words.fit_features import heavier
from tapscore.words.line import SungSyllable
from tapscore.words.phrasing import Phrasing, phrasing_of

EVEN, ROCKING, SWAYING = "even", "rocking", "swaying"
FAMILIES = (EVEN, ROCKING, SWAYING)
TWO, FOUR, SIX, THREE = Metre(2, 4), Metre(4, 4), Metre(6, 8), Metre(3, 4)
_CONTRAST = 3.0
"""How much likelier another metre must be for a section to leave its story's."""
_SHORT_LINE, _FEW_BEATS = 8.5, 4.5
_MOST_LINES = 12
_RESTFUL = frozenset(
    "hush sleep sleepy asleep night goodnight moon star stars soft softly slow slowly float "  # noqa: SIM905
    "floating drift drifting dream dreams lullaby quiet still tight pyjamas blanket snow "
    "snowflake gentle gently rest cradle sway swing waltz glide candle".split()
)

Lines = Sequence[Sequence[SungSyllable]]


@frozen
class MetreSuggestion:
    """A metre, how sure it is (0 to 1, all suggestions sum to 1) and why, for the teacher."""

    metre: Metre
    confidence: float
    reason: str


def family(metre: Metre) -> str:
    """Which of ``FAMILIES`` a metre belongs to."""
    if metre.compound:
        return ROCKING
    return SWAYING if metre.beats == 3 else EVEN


def text_features(lines: Lines, weights: FitWeights | None = None) -> dict[str, float]:
    """What lines say about their metre, as amounts of about 1."""
    told = [phrasing_of(tuple(line)) for line in lines]
    count = len(told)
    runs, leads = [0.0] * 5, [0.0] * 3
    for line in told:
        for one, two in itertools.pairwise(line.heavies):
            runs[min(two - one - 1, 4)] += 1
        leads[min(line.heavies[0], 2) if line.heavies else 2] += 1
    sizes = [len(line.syllables) for line in told]
    middle = sum(sizes) / count
    spread = math.sqrt(sum((size - middle) ** 2 for size in sizes) / count)
    found = {f"run{size}": share / (sum(runs) + 1) for size, share in enumerate(runs)}
    found |= {f"lead{size}": share / count for size, share in enumerate(leads)}
    found |= {
        "length": middle / 10,
        "stresses": sum(len(line.heavies) for line in told) / count / 5,
        "spread": spread / 4,
        "four": sum(len(line.heavies) == 4 for line in told) / count,
        "sounds": _sounds(told),
        "again": sum(sum(line.again) for line in told) / sum(sizes),
        "threes": sum(_mostly(line, (2,), 0.6) for line in told) / count,
        "pairs": sum(_mostly(line, (0, 1, 3), 0.7) for line in told) / count,
        "restful": sum(_restful(line) for line in told) / count,
        "cost": _cost_of_rocking(lines, weights or shipped_weights()),
        "always": 1.0,
    }
    return found


def _sounds(lines: Sequence[Phrasing]) -> float:
    """Share of syllables in sound words and numbers."""
    every = [name for line in lines for name in line.classes]
    return sum(name.startswith(("sound", "number")) for name in every) / len(every)


def _mostly(line: Phrasing, sizes: tuple[int, ...], share: float) -> bool:
    between = [two - one - 1 for one, two in itertools.pairwise(line.heavies)]
    return len(between) > 1 and sum(run in sizes for run in between) >= share * len(between)


def _restful(line: Phrasing) -> bool:
    said = line.syllables
    return any(s.first and _word(said, at) in _RESTFUL for at, s in enumerate(said))


def _word(syllables: Sequence[SungSyllable], at: int) -> str:
    said = ""
    for syllable in syllables[at:]:
        said += syllable.text.strip("-").casefold()
        if syllable.last:
            break
    return said


def _cost_of_rocking(lines: Lines, weights: FitWeights) -> float:
    """How much dearer the fit finds 6/8 than 4/4, on average, within bounds."""
    some = [tuple(line) for line in lines if len(line) <= 40][:_MOST_LINES]
    costs = [
        max(-6.0, min(_cost(line, SIX, weights) - _cost(line, FOUR, weights), 6.0)) for line in some
    ]
    return sum(costs) / len(costs) / 3 if costs else 0.0


@lru_cache(2048)
def _cost(line: tuple[SungSyllable, ...], metre: Metre, weights: FitWeights) -> float:
    """Kept, for a refrain's lines stand in a file of words again and again."""
    return least_cost(line, metre, weights)


@cache
def _weights() -> Mapping[str, Mapping[str, float]]:
    text = resource_path("words/metre_weights.json").read_text(encoding="utf-8")
    weights: dict[str, dict[str, float]] = json.loads(text)["weights"]
    return weights


def confidences(
    features: Mapping[str, float], weights: Mapping[str, Mapping[str, float]]
) -> dict[str, float]:
    """Share of belief in each family (softmax of weighted features)."""
    scores = {
        name: sum(weights[name].get(key, 0.0) * value for key, value in features.items())
        for name in FAMILIES
    }
    top = max(scores.values())
    powers = {name: math.exp(score - top) for name, score in scores.items()}
    whole = sum(powers.values())
    return {name: power / whole for name, power in powers.items()}


def suggest_metre(lines: Lines) -> tuple[MetreSuggestion, ...]:
    """Metres for lines that go together, likeliest first, one of each family."""
    spoken = [line for line in lines if line]
    if not spoken:
        return ()
    features = text_features(spoken)
    shares = confidences(features, _weights())
    return tuple(
        MetreSuggestion(_metre(name, spoken), round(share, 3), _reason(name, spoken, features))
        for name, share in sorted(shares.items(), key=lambda pair: -pair[1])
    )


def suggest_metres(sections: Sequence[Lines]) -> tuple[tuple[MetreSuggestion, ...], ...]:
    """Suggestions for every section of a story, which keep one metre where they can.

    A section has another one first only if its own words speak much more for that.
    """
    alone = [suggest_metre(lines) for lines in sections]
    totals = dict.fromkeys(FAMILIES, 0.0)
    sizes = [min(4, len([line for line in lines if line])) for lines in sections]
    for found, size in zip(alone, sizes, strict=True):
        for one in found:
            totals[family(one.metre)] += size * math.log(max(one.confidence, 1e-3))
    usual = max(totals, key=totals.__getitem__)
    every = [line for lines in sections for line in lines if line]
    even = _metre(EVEN, every) if every else FOUR
    result = []
    for found, size in zip(alone, sizes, strict=True):
        kept = [evolve(one, metre=even) if family(one.metre) == EVEN else one for one in found]
        own = next((one for one in kept if family(one.metre) == usual), None)
        if own and (size < 2 or kept[0].confidence < _CONTRAST * own.confidence):
            kept = [own, *(one for one in kept if one is not own)]
        result.append(tuple(kept))
    return tuple(result)


def _metre(name: str, lines: Lines) -> Metre:
    if name != EVEN:
        return SIX if name == ROCKING else THREE
    sizes = [len(line) for line in lines]
    stresses = [sum(heavier(syllable.weight) for syllable in line) for line in lines]
    short = sum(sizes) <= _SHORT_LINE * len(lines) and sum(stresses) <= _FEW_BEATS * len(lines)
    return TWO if short else FOUR


def _reason(name: str, lines: Lines, features: Mapping[str, float]) -> str:
    if name == SWAYING:
        return say(
            "Three slow beats, the first the strongest: say it like swaying."
            "{restful:no=|yes= Words of rest and slow things suit it.}",
            restful="yes" if features["restful"] >= 0.5 else "no",
        )
    shown = _example(lines, 2 if name == ROCKING else 1) or None
    if name == ROCKING:
        if features["run2"] >= features["run1"] + features["run3"]:
            return say(
                "Long and short, long and short: say it like rocking. Two light syllables often "
                "follow a stressed one{example:=|*=, as in {example}}.",
                example=shown,
            )
        return say(
            "Long and short, long and short: it can be said like rocking, as many rhymes are."
        )
    if features["run2"] > features["run1"] + features["run0"] + features["run3"]:
        return say("Two even beats: it can be said like walking, with the light syllables hurried.")
    return say("Two even beats: say it like walking{example:=|*=, as in {example}}.", example=shown)


def _example(lines: Lines, light: int) -> str:
    for line in lines:
        heavy = [at for at, syllable in enumerate(line) if heavier(syllable.weight)]
        for one, two in itertools.pairwise(heavy):
            if two - one - 1 == light:
                return _phrase(line, one, two)
    return ""


def _phrase(line: Sequence[SungSyllable], one: int, two: int) -> str:
    words = []
    for at in range(one, two + 1):
        if line[at].first or at == one:
            loud = next((n for n in (one, two) if _same_word(line, at, n)), None)
            words.append(line[at].text if loud is None else word_shown(line, loud))
    return " ".join(words)


def _same_word(line: Sequence[SungSyllable], at: int, other: int) -> bool:
    return all(not line[n].last for n in range(min(at, other), max(at, other)))
