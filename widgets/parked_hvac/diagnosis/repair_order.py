"""In which order to try repairs of causes that no reading can tell apart.

One fault, repairs that do mend, independent costs: the expected cost is least when probability over cost
falls (J. B. Kadane, H. A. Simon, Manage. Sci. 24, 1977; D. Heckerman, J. S. Breese, K. Rommelse,
Commun. ACM 38(3), 1995, call it P over C).
"""

from __future__ import annotations

from collections.abc import Sequence


def cheapest_order(probabilities: Sequence[float], costs: Sequence[float]) -> tuple[int, ...]:
    """Indices of the repairs, best first; costs of any one unit, above 0. Ties keep their order."""
    _check(probabilities, costs)
    return tuple(sorted(range(len(costs)), key=lambda i: -probabilities[i] / costs[i]))


def expected_cost(probabilities: Sequence[float], costs: Sequence[float]) -> float:
    """Cost to expect of trying repairs in the order given until one mends, in the unit of the costs.

    Sum of cost i times the probability that none before it mended.
    """
    _check(probabilities, costs)
    total, mended = 0.0, 0.0
    for probability, cost in zip(probabilities, costs, strict=True):
        total += cost * (1.0 - mended)
        mended += probability
    return total


def _check(probabilities: Sequence[float], costs: Sequence[float]) -> None:
    if len(probabilities) != len(costs):
        raise ValueError(
            f"{len(probabilities)} probabilities for {len(costs)} costs; give one for each repair."
        )
    if any(cost <= 0 for cost in costs):
        raise ValueError(f"Costs are {list(costs)}; give each repair a cost above 0.")
