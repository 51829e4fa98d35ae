"""The choice of a few bars to replace others: cheaper, and likely to hold the same blanks.

The likelihood falls with the share of their usable area that the blanks need; the turning point is learnt from successes and
failures.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from itertools import combinations_with_replacement

import numpy as np
from msgspec import Struct

_THREE_UP_TO = 20  # kinds; with more, at most two bars are taken
_SPREAD = 0.03  # of the share over which the likelihood falls
_LEAST_LIKELY = 0.05
_MOST_LOOKED_AT = 10
_SIDEWAYS = 0.1  # of the price of the bars replaced: the value of a set of the same price


class Chosen(Struct, frozen=True):
    """A set of bars by kind, the share of its usable area that the blanks need, and how likely it is to hold them."""

    stock: tuple[int, ...]
    share: float
    likely: float


class Exchange:
    """Sets of up to three bars of the kinds in `cost`. `usable`: area of blanks that each kind can be expected to hold."""

    def __init__(self, cost: Mapping[int, float], usable: Mapping[int, float], count: Mapping[int, int]) -> None:
        most = 3 if len(cost) <= _THREE_UP_TO else 2
        self._sets = [kinds for n in range(1, most + 1) for kinds in combinations_with_replacement(sorted(cost), n)]
        self._cost = np.array([sum(cost[s] for s in kinds) for kinds in self._sets])
        self._usable = np.array([sum(usable[s] for s in kinds) for kinds in self._sets])
        self._count = count
        self._turn = 1.0  # the share at which success and failure are equally likely

    def chosen(
        self, area: float, price: float, in_use: Counter[int], chance: np.random.Generator, *, same: bool
    ) -> Chosen | None:
        """Choose a set for blanks of this area (mm²), cheaper than `price` (`same`: or as dear); None without a likely one.

        `in_use`: bars of each kind that are not available. `price` inf: any set will do, the cheaper the better.
        """
        share = area / self._usable
        likely = 1 / (1 + np.exp(np.clip((share - self._turn) / _SPREAD, -50, 50)))
        if price == np.inf:
            value = likely / self._cost
        else:
            fitting = (likely > _LEAST_LIKELY) & (self._cost < price + (1e-9 if same else -1e-9))
            value = likely * fitting * (price * (1 + _SIDEWAYS) - self._cost)
        value *= chance.uniform(0.3, 1.0, len(value))
        for n in np.argsort(-value, kind="stable")[:_MOST_LOOKED_AT].tolist():
            if value[n] > 0 and self._there(self._sets[n], in_use):
                return Chosen(self._sets[n], float(share[n]), float(likely[n]))
        return None

    def _there(self, kinds: Sequence[int], in_use: Counter[int]) -> bool:
        return all(in_use[s] + n <= self._count[s] for s, n in Counter(kinds).items())

    def learn(self, chosen: Chosen, *, success: bool) -> None:
        """Learn from a result."""
        self._turn = max(self._turn, chosen.share) + 0.002 if success else self._turn - 0.003 * chosen.likely
