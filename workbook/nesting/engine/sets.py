"""The set of bars to try next: near the present one, cheaper, and likely to hold the blanks.

The likelihood falls with the share of their usable area that the blanks would fill; the turning point is learnt from
successes and failures. The set with the largest likelihood times saving is tried first.
"""

from collections.abc import Sequence
from itertools import combinations_with_replacement

import numpy as np
from msgspec import Struct, field

from workbook.nesting.engine.kernel import Floats, Ints

_SPREAD = 0.02  # of the fill over which the likelihood falls
_MOST_SETS = 60_000
_HOPELESS = 1.5  # fill


class Proposals(Struct):
    """Sets as counts of each kind. `classes`: kinds that can take some blanks, and the area (mm²) that fits only there."""

    usable: Floats  # area of each kind that blanks are expected to fill
    cost: Floats
    count: Ints
    classes: list[tuple[np.ndarray, float]]
    least: Ints  # the number of each kind that must be in a set
    turn: float = 1.0  # the fill at which success and failure are equally likely
    tried: dict[tuple[int, ...], int] = field(default_factory=dict)

    def near(self, now: Ints) -> Ints:
        """Sets cheaper than the present one, with up to three of its bars exchanged for up to two others (sets, kinds)."""
        kinds = len(now)
        present = [k for k in range(kinds) for _ in range(int(now[k]))]
        out_most = 3 if len(set(present)) <= 6 else 2
        outs = {c for m in range(out_most + 1) for c in combinations_with_replacement(sorted(set(present)), m)}
        ins = [c for m in range(3) for c in combinations_with_replacement(range(kinds), m)]
        out = np.array([np.bincount(c, minlength=kinds) for c in sorted(outs, key=lambda c: (len(c), c))])[: _MOST_SETS // 50]
        into = np.array([np.bincount(np.array(c, np.int64), minlength=kinds) for c in ins])[: max(50, _MOST_SETS // len(out))]
        sets = (now - out[:, None, :] + into[None, :, :]).reshape(-1, kinds)
        sets = sets[(sets >= self.least).all(1) & (sets <= self.count).all(1)]
        return np.unique(sets[sets @ self.cost < now @ self.cost - 1e-13], axis=0)

    def fill(self, sets: Ints) -> Floats:
        """The share of its usable area to which each set would have to be filled."""
        need = np.zeros(len(sets))
        for able, area in self.classes:
            need = np.maximum(need, area / np.maximum(1e-9, sets[:, able] @ self.usable[able]))
        return need

    def choose(self, sets: Ints, price: float, chance: np.random.Generator) -> tuple[tuple[int, ...], float, float] | None:
        """Choose the most promising set, with its likelihood and fill; None when none is worth a try now."""
        if not len(sets):
            return None
        need = self.fill(sets)
        likely = 1 / (1 + np.exp(np.clip((need - self.turn) / _SPREAD, -50, 50)))
        attempts = np.array([self.tried.get(tuple(row), 0) for row in sets.tolist()])
        saving = price - sets @ self.cost
        value = likely * 0.5**attempts * saving
        if value.max() <= 1e-8 * saving.max():
            return None
        best = int(np.argmax(value * chance.uniform(0.8, 1.2, len(value))))
        return tuple(int(c) for c in sets[best]), float(likely[best]), float(need[best])

    def learn(self, chosen: tuple[int, ...], likely: float, need: float, *, success: bool) -> None:
        """Learn from a result."""
        self.tried[chosen] = self.tried.get(chosen, 0) + 1
        self.turn = max(self.turn, need) + 0.004 if success else self.turn - 0.006 * likely

    def hope(self) -> None:
        """Become bolder, after nothing was worth a try."""
        self.turn += 0.01

    @property
    def hopeless(self) -> bool:
        """Whether there is no more hope of a cheaper set."""
        return self.turn > _HOPELESS


def classes(able: np.ndarray, area: Floats) -> list[tuple[np.ndarray, float]]:
    """Group blanks by the kinds that can take them: `able` (blanks, kinds), `area` of each blank (mm²)."""
    result: list[tuple[np.ndarray, float]] = []
    for row in np.unique(able, axis=0):
        inside = ~(able & ~row).any(axis=1)
        result.append((row, float(area[inside].sum())))
    return [*result, (np.ones(able.shape[1], bool), float(area.sum()))]


def counts(bars: Sequence[int], kinds: int) -> Ints:
    """The number of bars of each kind (kinds,)."""
    return np.bincount(np.asarray(bars, np.int64), minlength=kinds)
