"""Linear interpolation in a table, one number at a time; numpy's own handles arrays."""

from bisect import bisect_right
from collections.abc import Sequence


def interpolated(x: float, places: Sequence[float], values: Sequence[float]) -> float:
    """The value at x, linear between values at rising places; beyond the ends, the first or the last value."""
    if x < places[0]:
        return values[0]
    if x >= places[-1]:
        return values[-1]
    after = bisect_right(places, x)
    share = (x - places[after - 1]) / (places[after] - places[after - 1])
    return values[after - 1] + share * (values[after] - values[after - 1])
