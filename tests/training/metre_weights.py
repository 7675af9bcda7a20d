"""Learn how text features speak for metres: ``python -m`` this module.

Multinomial logistic regression with a ridge; writes ``resources/words/metre_weights.json``.
"""

import json
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tapscore.words.suggest_metre import CHOICES, text_features

_RIDGE = 0.5


def learn(
    examples: Sequence[tuple[Mapping[str, float], str]],
) -> dict[str, dict[str, float]]:
    """Weights by metre and feature from features with their right metres."""
    from scipy.optimize import minimize  # type: ignore[import-untyped]

    names = sorted(examples[0][0])
    inputs = np.array([[found[name] for name in names] for found, _ in examples])
    right = np.array([CHOICES.index(choice) for _, choice in examples])
    shape = (len(CHOICES), len(names))

    def loss(flat: NDArray[np.float64]) -> tuple[float, NDArray[np.float64]]:
        weights = flat.reshape(shape)
        scores = inputs @ weights.T
        scores -= scores.max(axis=1, keepdims=True)
        shares = np.exp(scores)
        shares /= shares.sum(axis=1, keepdims=True)
        rows = np.arange(len(right))
        value = -np.log(shares[rows, right]).sum() + _RIDGE * (weights**2).sum() / 2
        shares[rows, right] -= 1.0
        return float(value), (shares.T @ inputs + _RIDGE * weights).ravel()

    best = minimize(loss, np.zeros(shape[0] * shape[1]), jac=True, method="L-BFGS-B")
    table = best.x.reshape(shape)
    return {
        choice: {name: round(float(table[row, at]), 3) for at, name in enumerate(names)}
        for row, choice in enumerate(CHOICES)
    }


def main(
    rhymes: str = "tests/data/rhymes.txt", target: str = "resources/words/metre_weights.json"
) -> None:
    """Learn from all rhymes of a file, score each left out once, write the weights."""
    from tapscore.words.line import read_line
    from tapscore.words.suggest_metre import confidences
    from tests.training.rhymes import read_rhymes

    examples = [
        (text_features([read_line(line.words) for line in rhyme.lines]), str(rhyme.metre))
        for rhyme in read_rhymes(Path(rhymes))
    ]
    right = 0
    for at, (found, choice) in enumerate(examples):
        shares = confidences(found, learn(examples[:at] + examples[at + 1 :]))
        right += max(shares, key=shares.__getitem__) == choice
    print(f"left out one at a time: {right} of {len(examples)} right")
    text = json.dumps({"weights": learn(examples)}, indent=1)
    Path(target).write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(*sys.argv[1:])
