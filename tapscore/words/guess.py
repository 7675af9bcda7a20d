"""Syllables and stress of words that stand in no dictionary, from their letters alone.

Three averaged perceptrons (trained by ``tapscore.words.build.guess_model``): which letters
carry a syllable, which of these has the primary stress, which a secondary one.  Collins
(2002), "Discriminative training methods for hidden Markov models", describes averaging.
"""

import sys
import zlib
from array import array
from collections.abc import Mapping, Sequence
from functools import cache

from tapscore.resources import resource_path

Weights = Mapping[str, int]

_EDGE = "^^^^^"
_WINDOWS = (
    ("a", -4, -3),
    ("b", -3, -2),
    ("c", -2, -1),
    ("d", -1, 0),
    ("e", 0, 1),
    ("f", 1, 2),
    ("g", 2, 3),
    ("h", 3, 4),
    ("i", 4, 5),
    ("j", -1, 1),
    ("k", 0, 2),
    ("l", -2, 1),
    ("m", -1, 2),
    ("n", 0, 3),
    ("o", -3, 1),
    ("p", -2, 2),
    ("q", -1, 3),
    ("r", 0, 4),
    ("s", -2, 3),
    ("t", -1, 4),
    ("u", 0, 5),
    ("v", -4, 1),
    ("w", -3, 3),
    ("x", -2, 4),
)


def nucleus_features(padded: str, place: int, said: str) -> list[str]:
    """Names of what is seen around one letter; ``said`` is the labels of the two before."""
    letter = padded[place]
    keys = [tag + padded[place + start : place + end] for tag, start, end in _WINDOWS]
    keys.append("y" + said + letter)
    keys.append("z" + said + padded[place - 1 : place + 2])
    return keys


def weights_of(word: str, nuclei: Sequence[int]) -> str:
    """How heavy the syllables look, a digit each: letters from a vowel to the next, up to 4."""
    ends = (*nuclei[1:], len(word))
    return "".join([str(min(4, end - start)) for start, end in zip(nuclei, ends, strict=True)])


def stress_features(word: str, nuclei: Sequence[int]) -> list[list[str]]:
    """For every nucleus the names of what speaks for the primary stress on it."""
    count = len(nuclei)
    ends = (*nuclei[1:], len(word))
    starts = (0, *[at + 1 for at in nuclei[:-1]])
    shape = weights_of(word, nuclei)
    heads = [word[:size] for size in (1, 2, 3, 4, 5)]
    tails = [word[-size:] for size in (1, 2, 3, 4, 5, 6)]
    vowels = "".join([word[at] for at in nuclei])
    ending = word[-1] + shape[-3:]
    found = []
    for which in range(count):
        start, after = nuclei[which], ends[which]
        rest = min(5, count - which)
        front = f"{which}/{count}" if count < 5 else f"{min(which, 3)}/{min(rest, 4)}+"
        onset, rime = word[starts[which] : start], word[start:after]
        onward = word[after : ends[which + 1]] if which + 1 < count else ""
        keys = [
            f"A{front}",
            f"B{front}{rime}",
            f"C{front}{onset}",
            f"D{rest}{onset}.{rime}",
            f"E{front}{rime}.{onward}",
            f"F{rest}{onward}",
            f"G{front}{len(rime)}{len(onset)}",
            f"K{rest}{word[start:]}",
            f"L{which}{word[:after]}",
            f"T{front}{shape}",
            f"U{rest}{ending}",
            f"V{rest}{shape[-2:]}",
            f"W{front}{vowels}",
            f"X{rest}{rime}{shape[-3:]}",
        ]
        keys += [f"H{front}{head}" for head in heads]
        keys += [f"I{front}{tail}" for tail in tails]
        keys += [f"J{rest}{tail}" for tail in tails[1:4]]
        found.append(keys)
    return found


def secondary_features(word: str, nuclei: Sequence[int], which: int, primary: int) -> list[str]:
    """Names of what speaks for a secondary stress on the nucleus number ``which``."""
    away = max(-3, min(3, which - primary))
    start = nuclei[which]
    after = nuclei[which + 1] if which + 1 < len(nuclei) else len(word)
    before = nuclei[which - 1] if which else -1
    last = "e" if which + 1 == len(nuclei) else "m"
    at = f"{away}{last}"
    rime = word[start:after]
    keys = ["M" + at, "N" + at + rime, "O" + at + word[before + 1 : after]]
    keys += ["P" + at + word[-size:] for size in (2, 3, 4, 5)]
    keys += ["Q" + at + word[:size] for size in (2, 3, 4)]
    keys.append("R" + at + word[before + 1 : start])
    keys.append("S" + last + word[before + 1 :])
    return keys


@cache
def shipped_weights() -> Weights:
    """The trained weights in ``resources/words``, read once."""
    return unpacked(resource_path("words/guess_model.z").read_bytes())


def packed(weights: Weights) -> bytes:
    """Weights as the file's bytes: names, a form feed, 16-bit values; deflated."""
    names = sorted(weights)
    values = b"".join(weights[name].to_bytes(2, "little", signed=True) for name in names)
    return zlib.compress("\n".join(names).encode("ascii") + b"\f" + values, 9)


def unpacked(data: bytes) -> Weights:
    """Weights from the file's bytes."""
    names, _, values = zlib.decompress(data).partition(b"\f")
    numbers = array("h", values)
    if sys.byteorder == "big":
        numbers.byteswap()
    return dict(zip(names.decode("ascii").split("\n"), numbers, strict=True))


def guess_nuclei(word: str, weights: Weights, count: int | None = None) -> tuple[int, ...]:
    """Places of the letters that carry a syllable, at least one.

    ``word`` is in small letters a-z.  With ``count`` the likeliest so many letters are
    taken (at most as many as there are).
    """
    get = weights.get
    padded = _EDGE + word + _EDGE
    scores: list[int] = []
    said = "00"
    for place in range(len(_EDGE), len(_EDGE) + len(word)):
        score = 0
        for key in nucleus_features(padded, place, said):
            score += get(key, 0)
        scores.append(score)
        said = said[1] + ("1" if score > 0 else "0")
    if count is None:
        found = [place for place, score in enumerate(scores) if score > 0]
        return tuple(found) or (scores.index(max(scores)),)
    ranked = sorted(range(len(word)), key=lambda place: -scores[place])
    return tuple(sorted(ranked[:count]))


def guess_stresses(word: str, nuclei: Sequence[int], weights: Weights) -> tuple[int, ...]:
    """Stress of every nucleus: 1 for one of them, 2 or 0 for the others."""
    count = len(nuclei)
    if count == 1:
        return (1,)
    get = weights.get
    scores = [sum([get(key, 0) for key in keys]) for keys in stress_features(word, nuclei)]
    primary = scores.index(max(scores))
    stresses = [0] * count
    for which in range(count):
        if which == primary:
            stresses[which] = 1
        elif abs(which - primary) > 1 or which + 1 == count or which == 0:
            keys = secondary_features(word, nuclei, which, primary)
            if sum([get(key, 0) for key in keys]) > 0:
                stresses[which] = 2
    return tuple(stresses)
