"""The loss of a chain of yes and no, each with the two before it (a second-order CRF).

Scores of candidate ``n`` stand in row ``n``; what its history adds (two bits, the latest
one low) in row ``candidates * (1 + history) + n``.  Only a yes is scored.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from tests.training.learn import Floats, Loss

_NEVER = -1e9


def chain_loss(lengths: Sequence[int], labels: Sequence[bool]) -> Loss:
    """Loss of all chains, one after the other in the rows, with their right labels."""
    total = len(labels)
    sizes = np.array(lengths)
    starts = np.concatenate([[0], np.cumsum(sizes)[:-1]])
    right = np.array(labels)
    groups = [
        starts[sizes == size][:, None] + np.arange(size)[None, :] for size in sorted(set(lengths))
    ]
    observed = np.zeros((total, 2, 2))
    for rows in groups:
        said = np.pad(right[rows].astype(int), ((0, 0), (2, 0)))
        observed[rows, said[:, :-2], said[:, 1:-1]] = said[:, 2:]

    def loss(scores: Floats) -> tuple[float, Floats]:
        by_history = scores[total:].reshape(4, total).T
        yes = (scores[:total, None] + by_history).reshape(total, 2, 2)
        expected = np.zeros_like(yes)
        lost = -float((observed * yes).sum())
        for rows in groups:
            log_sum, shares = _marginals(yes[rows])
            expected[rows] = shares
            lost += float(log_sum.sum())
        change = (expected - observed).reshape(total, 4)
        return lost, np.concatenate([change.sum(axis=1), change.T.ravel()])

    return loss


def _marginals(yes: Floats) -> tuple[Floats, Floats]:
    """Log sums over all labellings, and how likely a yes is with each history.

    ``yes``: score by chain, candidate, label two before, label before.
    """
    chains, size = yes.shape[:2]
    forward: NDArray[np.float64] = np.full((chains, size + 1, 2, 2), _NEVER)
    forward[:, 0, 0, 0] = 0
    for at in range(size):
        now = forward[:, at]
        forward[:, at + 1, :, 0] = np.logaddexp(now[:, 0], now[:, 1])
        with_yes = now + yes[:, at]
        forward[:, at + 1, :, 1] = np.logaddexp(with_yes[:, 0], with_yes[:, 1])
    log_sum = np.logaddexp.reduce(forward[:, size].reshape(chains, 4), axis=1)
    shares = np.empty_like(yes)
    backward = np.zeros((chains, 2, 2))
    for at in reversed(range(size)):
        with_yes = yes[:, at] + backward[:, None, :, 1]
        shares[:, at] = np.exp(forward[:, at] + with_yes - log_sum[:, None, None])
        backward = np.logaddexp(backward[:, None, :, 0], with_yes)
    return log_sum, shares
