"""Learn a table of hashed weights by maximum likelihood (L-BFGS; numpy and scipy).

Two passes: first only of what was seen often enough, to find which places of the table
matter; then all that falls into these places, so that what shares a place is weighed with
it.  Lengths are in rows and keys; a loss takes a score for every row and gives the loss
(nats) and its gradient.
"""

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Loss = Callable[[Floats], tuple[float, Floats]]

SCALE = 20
"""Steps of a weight in one nat."""

_SMALLEST = 0.03
_STEPS = (60, 40)


@frozen(eq=False)
class Rows:
    """What is seen in every row: checksums one after the other, and how many a row has."""

    keys: NDArray[np.int64]
    sizes: NDArray[np.int64]

    @classmethod
    def of(cls, listed: Sequence[Sequence[int]]) -> "Rows":
        """Rows from lists of checksums."""
        sizes = np.array([len(keys) for keys in listed], dtype=np.int64)
        flat = (key for keys in listed for key in keys)
        return cls(np.fromiter(flat, dtype=np.int64, count=int(sizes.sum())), sizes)


def learn_table(rows: Rows, loss: Loss, slots: int, rarest: int, penalty: float) -> list[int]:
    """Weights of a table of so many places, small whole numbers (-127 to 127).

    ``rarest``: how often a key must have been seen to be looked at in the first pass;
    ``penalty``: half of it times the sum of the squared weights is added to the loss.
    """
    places = rows.keys & (slots - 1)
    _, index, counts = np.unique(rows.keys, return_inverse=True, return_counts=True)
    often = counts[index] >= rarest
    weights = np.zeros(slots)
    _improve(weights, rows, places, often, loss, penalty, _STEPS[0])
    weights[np.abs(weights) < _SMALLEST] = 0
    _improve(weights, rows, places, weights[places] != 0, loss, penalty, _STEPS[1])
    return [int(weight) for weight in np.clip(np.rint(weights * SCALE), -127, 127)]


def _improve(
    weights: Floats,
    rows: Rows,
    places: NDArray[np.int64],
    kept: NDArray[np.bool_],
    loss: Loss,
    penalty: float,
    steps: int,
) -> None:
    """Go so many steps downhill with the weights at the places of the kept keys."""
    from scipy.optimize import minimize  # type: ignore[import-untyped]
    from scipy.sparse import csr_matrix  # type: ignore[import-untyped]

    which = np.repeat(np.arange(len(rows.sizes)), rows.sizes)[kept]
    ends = np.concatenate([[0], np.cumsum(np.bincount(which, minlength=len(rows.sizes)))])
    used, columns = np.unique(places[kept], return_inverse=True)
    shape = (len(rows.sizes), len(used))
    seen: Any = csr_matrix((np.ones(len(columns)), columns, ends), shape=shape)
    turned: Any = seen.T.tocsr()

    def value(some: Floats) -> tuple[float, Floats]:
        lost, gradient = loss(seen @ some)
        lost += penalty / 2 * float(some @ some)
        return lost, turned @ gradient + penalty * some

    options = {"maxiter": steps, "maxcor": 8}
    found = minimize(value, weights[used], jac=True, method="L-BFGS-B", options=options)
    weights[used] = found.x


def choice_loss(sizes: Sequence[int], chosen: Sequence[int]) -> Loss:
    """Loss of choosing one row out of every group; ``chosen`` counts within the group."""
    lengths = np.array(sizes)
    starts = np.concatenate([[0], np.cumsum(lengths)[:-1]])
    right = starts + np.array(chosen)

    def loss(scores: Floats) -> tuple[float, Floats]:
        highest = np.maximum.reduceat(scores, starts)
        shares = np.exp(scores - np.repeat(highest, lengths))
        sums = np.add.reduceat(shares, starts)
        gradient = shares / np.repeat(sums, lengths)
        gradient[right] -= 1
        return float((np.log(sums) + highest - scores[right]).sum()), gradient

    return loss


def yes_no_loss(labels: Sequence[bool]) -> Loss:
    """Loss of saying yes or no to every row."""
    signs = np.where(np.array(labels), 1.0, -1.0)

    def loss(scores: Floats) -> tuple[float, Floats]:
        margins = signs * scores
        lost = float(np.logaddexp(0, -margins).sum())
        return lost, -signs * np.exp(-np.logaddexp(0, margins))

    return loss
