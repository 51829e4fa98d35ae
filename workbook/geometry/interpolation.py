"""Between tabulated values, for one number at a time; numpy's own does it for many."""

from bisect import bisect_right
from collections.abc import Sequence


def interpolated(x: float, places: Sequence[float], values: Sequence[float]) -> float:
    """The value at x on straight lines between values at rising places; beyond the first and the last, theirs."""
    if x < places[0]:
        return values[0]
    if x >= places[-1]:
        return values[-1]
    after = bisect_right(places, x)
    share = (x - places[after - 1]) / (places[after] - places[after - 1])
    return values[after - 1] + share * (values[after] - values[after - 1])
