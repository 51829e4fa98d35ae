"""Basics of compiled functions: how they are compiled, and random numbers that are the same compiled or not."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib import import_module
from typing import Any, TypeVar, cast

import numba
import numpy as np
from numpy.typing import NDArray

from workbook.machine_code import folder
from workbook.system.owners import remove_foreign

_KEPT = folder()  # its content is unpickled and executed
_KEEPS = _KEPT is not None and remove_foreign(_KEPT)
if _KEEPS:
    numba.config.CACHE_DIR = str(_KEPT)  # type: ignore[attr-defined]  # before the first kernel is made

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
_F = TypeVar("_F", bound=Callable[..., Any])

_MODULUS = 2147483647  # a prime; with 48271 the "minimal standard" generator (Park, Miller and Stockmeyer 1993)


@contextmanager
def _without(name: str) -> Iterator[None]:
    """Meanwhile a package that is not loaded yet cannot be imported."""
    if name in sys.modules:
        yield
        return
    sys.modules[name] = None  # type: ignore[assignment]
    try:
        yield
    finally:
        del sys.modules[name]


with _without("scipy.linalg"):  # where it is there, numba loads it, a third of a search's start; no kernel multiplies matrices
    import_module("numba.np.arraymath")


def kernel(function: _F) -> _F:
    """Compile a function when first called and cache the result on disk where possible; it lets other threads run."""
    return cast(_F, numba.njit(cache=_KEEPS, nogil=True)(function))


def chance_from(seed: int) -> Ints:
    """The state of a stream of random numbers; `draw` takes numbers from it."""
    mixed = int(np.random.SeedSequence(seed).generate_state(1)[0])
    return np.array([mixed % (_MODULUS - 1) + 1], np.int64)


@kernel
def copy_whole(source: Ints, to: Ints) -> None:
    """Copy entries one by one: slices take seconds to compile."""
    for k in range(len(source)):
        to[k] = source[k]


@kernel
def draw(chance: Ints, below: int) -> int:
    """Draw a whole number in 0..below-1."""
    chance[0] = chance[0] * 48271 % _MODULUS
    return int(chance[0] * below // _MODULUS)
