"""A shop's own minutes and yields, learned from what was entered.

Minutes are told against today's rates: a ratio of 1.2 is a stage that takes a fifth longer than a quote counts. The median of
the shop's runs, the later ones counting more, is pulled to today's rates while there are few; a template is pulled to its family,
the family to all. Weights and priors are common practice, no source; tests hold how often the spread has the truth.
"""

from collections.abc import Sequence
from math import exp, inf, log, pi, sqrt
from typing import NamedTuple

from msgspec import Struct

from workbook.shop.chances import beta_quantile, t_quantile

PRIOR_PIECES = 5.0  # what today's minutes are worth
PRIOR_STARTS = 20.0  # what today's share of good ones is worth
SPREAD = 0.9  # the chance that the truth lies within
_HALF = 12.0  # runs after which one counts half
_GUESS, _RUN = 0.35, 0.2  # usual errors, as logarithms: of a guess, and of a run about its mean
_RUN_WORTH = 2.0  # runs that the usual error of a run is worth
_ENOUGH = 200.0  # degrees of freedom: no more make a difference
_SURE = 0.995  # the most that a share is held for before it was seen
_FAR, _LEAST_FAR, _FEW = 3.5, 0.25, 5  # an unusual run: beyond this many deviations, and this far as a logarithm; of so many
_NORMAL = 1.4826  # standard deviations in a median absolute deviation of normal errors


class Run(Struct, frozen=True, kw_only=True):
    """What one entry says of a stage: the time it took for some blades, and what today's rates make of that."""

    stage: str
    of: str  # the template's id
    family: str
    pieces: int
    minutes: float
    planned: float
    date: str = ""

    @property
    def off(self) -> float:
        """The logarithm of its time against today's rates."""
        return log(self.minutes / self.planned)


class Minutes(Struct, frozen=True, kw_only=True):
    """A stage's time against today's rates, and the spread that holds the truth nine times in ten."""

    ratio: float
    low: float
    high: float
    pieces: int = 0  # that it was learned from
    runs: int = 0


class Yield(Struct, frozen=True, kw_only=True):
    """The share of blades that come out of a stage good, and the spread that holds the truth nine times in ten."""

    share: float
    low: float
    high: float
    good: int = 0
    lost: int = 0


def minutes_of(runs: Sequence[Run], template: str, family: str) -> Minutes:
    """What a stage takes for a template. `runs`: of that stage alone, oldest first."""
    alike = [run for run in runs if run.family == family] if family else []
    own = [run for run in runs if run.of == template] if template else []
    centre = _Centre(0.0, _GUESS, inf)
    for level in (runs, alike, own):
        if level:
            centre = _pulled(level, centre)
    told = own or alike or list(runs)
    reach = centre.error * t_quantile((1 + SPREAD) / 2, min(centre.freedom, _ENOUGH))
    return Minutes(
        ratio=exp(centre.at), low=exp(centre.at - reach), high=exp(centre.at + reach),
        pieces=sum(run.pieces for run in told), runs=len(told),
    )  # fmt: skip


class _Centre(NamedTuple):
    """A ratio's logarithm, its error, and the degrees of freedom that the error has."""

    at: float
    error: float
    freedom: float


def _pulled(runs: Sequence[Run], guess: _Centre) -> _Centre:
    """The median of some runs, pulled to a guess; degrees of freedom by Welch and Satterthwaite."""
    offs = [run.off for run in runs]
    weights = [run.pieces * 0.5 ** (n / _HALF) for n, run in enumerate(reversed(runs))][::-1]
    whole = sum(weights)
    middle, worth = _median(offs, weights), whole**2 / sum(w * w for w in weights)
    about = sum(w * (off - middle) ** 2 for off, w in zip(offs, weights, strict=True)) / whole * worth
    freedom = _RUN_WORTH + worth - 1
    deviation = sqrt((_RUN_WORTH * _RUN**2 + about) / freedom)
    trust = whole / (whole + PRIOR_PIECES)
    of_runs = (trust * deviation) ** 2 * pi / 2 / worth  # of a median of normal errors
    of_guess = ((1 - trust) * guess.error) ** 2
    both = of_runs + of_guess
    return _Centre(
        guess.at + trust * (middle - guess.at), sqrt(both), both**2 / (of_runs**2 / freedom + of_guess**2 / guess.freedom)
    )


def _median(values: Sequence[float], weights: Sequence[float]) -> float:
    """The weighted median: half the weight lies on either side; between two values where it falls between them."""
    pairs, half, done = sorted(zip(values, weights, strict=True)), sum(weights) / 2, 0.0
    for n, (value, weight) in enumerate(pairs):
        done += weight
        if abs(done - half) < 1e-9 * half and n + 1 < len(pairs):
            return (value + pairs[n + 1][0]) / 2
        if done > half:
            return value
    return pairs[-1][0]


def yield_of(guess: float, good: int, lost: int) -> Yield:
    """The share that comes out good: beta-distributed, today's share worth twenty blades."""
    prior = min(guess, _SURE)
    a, b = PRIOR_STARTS * prior + good, PRIOR_STARTS * (1 - prior) + lost
    tail = (1 - SPREAD) / 2
    low = beta_quantile(tail if lost else 2 * tail, a, b)  # of a stage that never lost one, nothing is above
    return Yield(share=a / (a + b), low=low, high=beta_quantile(1 - tail, a, b) if lost else 1.0, good=good, lost=lost)


def is_unusual(run: Run, others: Sequence[Run]) -> bool:
    """Whether a run's time is far outside that of the others of its stage; never of a few."""
    offs = [other.off for other in others]
    if len(offs) < _FEW:
        return False
    middle = _median(offs, [1.0] * len(offs))
    usual = _NORMAL * _median([abs(off - middle) for off in offs], [1.0] * len(offs))
    return abs(run.off - middle) > max(_FAR * usual, _LEAST_FAR)
