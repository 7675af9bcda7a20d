"""What a placement costs, summed feature by feature: the measure of the search's tables."""

from collections import Counter

from tapscore.words.fit_costs import FitWeights


def cost_of(found: Counter[str], weights: FitWeights) -> float:
    """Weighted sum of counted features."""
    return sum(weights[name] * count for name, count in found.items())
