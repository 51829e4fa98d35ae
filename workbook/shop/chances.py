"""Quantiles of the beta and Student's t distributions, by the regularized incomplete beta function."""

from math import exp, lgamma, log, log1p, sqrt

_SMALLEST = 1e-300  # in place of a zero that would be divided by
_CLOSE = 1e-14
_STEPS = 500  # of the continued fraction; it needs about the square root of the larger parameter
_TRIES = 200  # of a quantile
_STEEPEST, _SAME = 700.0, 1e-14


def beta_chance(x: float, a: float, b: float) -> float:
    """The chance that a beta-distributed share is at most x: I_x(a, b), a and b over 0.

    By the continued fraction of DLMF 8.17.22, on the side on which it converges fast.
    """
    if x <= 0:
        return 0.0
    if x >= 1:
        return 1.0
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x))
    if x < (a + 1) / (a + b + 2):
        return front * _fraction(x, a, b) / a
    return 1 - front * _fraction(1 - x, b, a) / b


def _fraction(x: float, a: float, b: float) -> float:
    """The continued fraction, by Lentz's method as Thompson and Barnett modified it (1986)."""
    found, above, below = 1.0, 1.0, 0.0
    for n in range(1, _STEPS):
        m, odd = divmod(n, 2)
        if odd:
            part = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        else:
            part = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        below = 1 / ((1 + part * below) or _SMALLEST)
        above = (1 + part / above) or _SMALLEST
        found *= above * below
        if abs(above * below - 1) < _CLOSE:
            break
    return 1 / found


def beta_quantile(chance: float, a: float, b: float) -> float:
    """The share that a beta-distributed one is at most with this chance; by Newton's steps, halving where they are slow."""
    low, high, x, last = 0.0, 1.0, a / (a + b), 1.0
    front = lgamma(a + b) - lgamma(a) - lgamma(b)
    for _try in range(_TRIES):
        off = beta_chance(x, a, b) - chance
        low, high = (x, high) if off < 0 else (low, x)
        slope = exp(min(front + (a - 1) * log(x) + (b - 1) * log1p(-x), _STEEPEST))
        following = x - off / slope if abs(2 * off) < abs(last * slope) else low
        if not low < following < high:
            following = (low + high) / 2
        last, x = following - x, following
        if abs(last) <= _SAME * x or not 0 < x < 1:
            break
    return x


def t_quantile(chance: float, freedom: float) -> float:
    """What Student's t is at most with this chance: t^2 = f (1 - x) / x, x beta-distributed with f / 2 and 1 / 2.

    Near the middle 1 - x is sought, which is small there.
    """
    both, sign = 2 * min(chance, 1 - chance), 1 if chance >= 0.5 else -1
    if both > 0.5:
        rest = beta_quantile(1 - both, 0.5, freedom / 2) if both < 1 else 0.0
        return sign * sqrt(freedom * rest / (1 - rest))
    x = beta_quantile(both, freedom / 2, 0.5)
    return sign * sqrt(freedom * (1 - x) / x)
