"""How many blanks to start so that enough of them become good knives: the binomial law (MIL-HDBK-338B 5.3.7.1)."""

from collections.abc import Iterator
from itertools import count, takewhile
from math import exp, fsum, lgamma, log

from workbook.texts import _

MOST = 2000  # blanks started for one line; a yield that needs more is too low to plan by


def enough(good: int, starts: int, share: float) -> float:
    """The chance that at least `good` of the blanks started become good, when each does with probability `share`.

    The sum over n = good...starts of C(n - 1, good - 1) share^good (1 - share)^(n - good): the last good one is the nth.
    """
    if good <= 0:
        return 1.0
    return min(
        1.0,
        fsum(chance for _, chance in takewhile(lambda pair: pair[0] <= starts, _at_the(good, share))) if starts >= good else 0.0,
    )


def short_of(good: int, starts: int, share: float) -> float:
    """The expected shortfall of good ones: the sum over k < good of (good - k) times the binomial chance of k.

    The expected surplus follows from it: what comes out good, starts x share, is good - short + surplus.
    """
    if share >= 1:
        return float(max(good - starts, 0))
    chances = (
        (k, exp(lgamma(starts + 1) - lgamma(k + 1) - lgamma(starts - k + 1) + k * log(share) + (starts - k) * log(1 - share)))
        for k in range(min(good - 1, starts) + 1)
    )
    return fsum((good - k) * chance for k, chance in chances)


def starts_for(good: int, share: float, confidence: float) -> int:
    """The fewest blanks to start so that `good` become good with this confidence, up to `MOST`.

    Not good / share: that is enough only about half the time. Raises ValueError for a share that is not over 0 and at most 1.
    """
    if good <= 0:
        return 0
    total = 0.0
    for n, chance in _at_the(good, share):
        total += chance
        if total >= confidence - 1e-12:
            return n
    return max(MOST, good)


def _at_the(good: int, share: float) -> Iterator[tuple[int, float]]:
    """For every number of blanks from `good` on: the chance that the last good one needed is exactly that one."""
    if not 0 < share <= 1:
        raise ValueError(_("a yield is over 0 and at most 1"))
    if share == 1:
        yield good, 1.0
    for n in count(good):
        if share == 1 or n > MOST:
            return
        log_ways = lgamma(n) - lgamma(good) - lgamma(n - good + 1)
        yield n, exp(log_ways + good * log(share) + (n - good) * log(1 - share))
