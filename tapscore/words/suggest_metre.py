"""Suggest a metre for a text from how its stressed and light syllables follow each other.

Text alone seldom settles the metre, so every suggestion has a confidence (a share of 1,
learnt on traditional rhymes by ``tests.training.metre_weights``) and a reason; the
teacher chooses.  9/8 and 12/8 sound like 6/8 in bars of another length and are not told
apart.
"""

import itertools
import json
import math
from collections.abc import Mapping, Sequence
from functools import cache

from attrs import frozen

from tapscore.model.metre import Metre, parse_metre
from tapscore.resources import resource_path
from tapscore.words.explain import word_shown
from tapscore.words.fit_costs import is_heavy
from tapscore.words.line import SungSyllable

CHOICES = ("2/4", "3/4", "4/4", "6/8")


@frozen
class MetreSuggestion:
    """A metre, how sure it is (0 to 1, all suggestions sum to 1) and why, for the teacher."""

    metre: Metre
    confidence: float
    reason: str


def text_features(lines: Sequence[Sequence[SungSyllable]]) -> dict[str, float]:
    """Shares of stressed syllables followed by 0, 1, 2, 3 light ones, and line lengths."""
    runs = [0.0] * 5
    lifted = 0.0
    syllables = 0
    for line in lines:
        heavy = [at for at, syllable in enumerate(line) if is_heavy(syllable.weight)]
        syllables += len(line)
        lifted += bool(heavy) and heavy[0] > 0
        for one, two in itertools.pairwise(heavy):
            runs[min(4, two - one - 1)] += 1
    total = sum(runs) + 2.0
    count = max(1, len(lines))
    found = {f"run{size}": share / total for size, share in enumerate(runs)}
    found["lifted"] = lifted / count
    found["length"] = syllables / count / 10
    found["always"] = 1.0
    return found


@cache
def _weights() -> Mapping[str, Mapping[str, float]]:
    text = resource_path("words/metre_weights.json").read_text(encoding="utf-8")
    weights: dict[str, dict[str, float]] = json.loads(text)["weights"]
    return weights


def confidences(
    features: Mapping[str, float], weights: Mapping[str, Mapping[str, float]]
) -> dict[str, float]:
    """Share of belief in each metre (softmax of weighted features)."""
    scores = {
        choice: sum(weights[choice].get(name, 0.0) * value for name, value in features.items())
        for choice in CHOICES
    }
    top = max(scores.values())
    powers = {choice: math.exp(score - top) for choice, score in scores.items()}
    whole = sum(powers.values())
    return {choice: power / whole for choice, power in powers.items()}


def suggest_metre(lines: Sequence[Sequence[SungSyllable]]) -> tuple[MetreSuggestion, ...]:
    """Metres for the lines of a text, likeliest first; none for a text without words."""
    spoken = [line for line in lines if line]
    if not spoken:
        return ()
    features = text_features(spoken)
    shares = confidences(features, _weights())
    found = []
    for choice, share in sorted(shares.items(), key=lambda pair: -pair[1]):
        metre = parse_metre(choice)
        if metre is not None:
            found.append(MetreSuggestion(metre, round(share, 3), _reason(choice, spoken, features)))
    return tuple(found)


def _reason(
    choice: str, lines: Sequence[Sequence[SungSyllable]], features: Mapping[str, float]
) -> str:
    threes, pairs = features["run2"], features["run1"] + features["run3"]
    compound = choice == "6/8"
    if choice == "3/4":
        return "It can be swung slowly in threes, with the first of every three the strongest."
    shown = _example(lines, 2 if compound else 1)
    said = f" ({shown})" if shown else ""
    if compound and threes >= pairs:
        return f"Two light syllables often follow a stressed one{said}, which rocks in threes."
    if compound:
        return "It can be rocked in threes, long and short, as many rhymes are."
    if threes > pairs:
        return "It can be walked in twos, though many light syllables come in pairs."
    length = "short bars" if choice == "2/4" else "long bars"
    return f"Stressed and light syllables take turns{said}, which walks in twos, in {length}."


def _example(lines: Sequence[Sequence[SungSyllable]], light: int) -> str:
    for line in lines:
        heavy = [at for at, syllable in enumerate(line) if is_heavy(syllable.weight)]
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
