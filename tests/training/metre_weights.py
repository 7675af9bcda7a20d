"""Learn how features of lines speak for families of metres: ``python -m`` this module.

Multinomial logistic regression with a ridge; writes ``resources/words/metre_weights.json``.
What the fit says of a stanza comes from weights learnt without that stanza (folds), so this
takes some minutes.
"""

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.words.fit_costs import FitWeights
from tapscore.words.line import read_line
from tapscore.words.suggest_metre import FAMILIES, family, text_features
from tests.training import fit_weights
from tests.training.rhymes import Rhyme, taught

_RIDGE = 0.3
_RHYMES_COUNT = 0.35
FOLDS = 4


@frozen
class Example:
    """Features of a stanza, its family of metres, and how much it counts."""

    features: Mapping[str, float]
    right: str
    count: float = 1.0


class Fold(NamedTuple):
    """Weights, and what they were learnt without."""

    weights: FitWeights
    everyday: list[Rhyme]
    rhymes: list[Rhyme]
    wider: list[Rhyme]


def learn(examples: Sequence[Example]) -> dict[str, dict[str, float]]:
    """Weights by family and feature."""
    from scipy.optimize import minimize  # type: ignore[import-untyped]

    names = sorted(examples[0].features)
    inputs = np.array([[one.features[name] for name in names] for one in examples])
    right = np.array([FAMILIES.index(one.right) for one in examples])
    counts = np.array([one.count for one in examples])
    pulled = np.array([name != "always" for name in names])
    shape = (len(FAMILIES), len(names))

    def loss(flat: NDArray[np.float64]) -> tuple[float, NDArray[np.float64]]:
        weights = flat.reshape(shape)
        scores = inputs @ weights.T
        scores -= scores.max(axis=1, keepdims=True)
        shares = np.exp(scores)
        shares /= shares.sum(axis=1, keepdims=True)
        rows = np.arange(len(right))
        value = -(counts * np.log(shares[rows, right])).sum()
        value += _RIDGE * ((weights * pulled) ** 2).sum() / 2
        shares[rows, right] -= 1.0
        slope = (shares * counts[:, None]).T @ inputs + _RIDGE * weights * pulled
        return float(value), slope.ravel()

    best = minimize(loss, np.zeros(shape[0] * shape[1]), jac=True, method="L-BFGS-B")
    table = best.x.reshape(shape)
    return {
        name: {key: round(float(table[row, at]), 3) for at, key in enumerate(names)}
        for row, name in enumerate(FAMILIES)
    }


def example(text: Rhyme, count: float, weights: FitWeights) -> Example:
    """A stanza as an example; ``weights`` must not have been learnt from it."""
    said = [read_line(line.words) for line in text.lines]
    return Example(text_features(said, weights), family(text.metre), count)


def folded(
    everyday: Sequence[Rhyme],
    rhymes: Sequence[Rhyme],
    wider: Sequence[Rhyme],
    kept: Path | None = None,
) -> list[Fold]:
    """For each fold the weights learnt without it, and its stanzas, rhymes and wider stanzas.

    ``kept``: a folder for the weights; what lies there is not learnt again.
    """
    every = (everyday, rhymes, wider)
    found = []
    for fold in range(FOLDS):
        some = [[x for at, x in enumerate(one) if at % FOLDS != fold] for one in every]
        file = kept / f"fold_{fold}.json" if kept is not None else None
        if file is not None and file.exists():
            learnt = json.loads(file.read_text(encoding="utf-8"))
        else:
            learnt = fit_weights.learn_all(*some)
            if file is not None:
                file.write_text(json.dumps(learnt), encoding="utf-8")
        found.append(Fold(FitWeights(learnt), *(list(one[fold::FOLDS]) for one in every)))
    return found


def examples_of(folds: Sequence[Fold]) -> list[Example]:
    """Examples of all stanzas but the wider ones."""
    return [
        example(text, count, fold.weights)
        for fold in folds
        for texts, count in ((fold.everyday, 1.0), (fold.rhymes, _RHYMES_COUNT))
        for text in texts
        if text.lines
    ]


def main(data: str = "tests/data", target: str = "resources/words/metre_weights.json") -> None:
    """Learn from all stanzas and write the weights."""
    examples = examples_of(folded(*taught(Path(data))))
    text = json.dumps({"weights": learn(examples)}, indent=1)
    Path(target).write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
