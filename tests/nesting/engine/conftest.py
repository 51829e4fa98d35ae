"""Outlines and fields for the tests of the compiled search; it is left out on machines without the compiler."""

from decimal import Decimal

import numpy as np
import pytest

pytest.importorskip("numba")

from workbook.formats.family import family
from workbook.geometry.path import flatten
from workbook.nesting.engine.field import field
from workbook.nesting.model import NestingJob, Part, Stock
from workbook.template.shape import shape

HOOK = np.array([(0, 0), (60, 0), (60, 30), (20, 30), (20, 20), (50, 20), (50, 10), (0, 10)], float)  # turns back on itself
WEDGE = np.array([(0, 0), (50, 0), (50, 4), (0, 14)], float)
CROSS = np.array(
    [(10, 0), (20, 0), (20, 10), (40, 12), (40, 18), (20, 20), (20, 30), (10, 30), (10, 20), (0, 15), (10, 10)], float
)


def job(outlines, quantities=None, *, width=60.0, length=500.0, **rules):
    """A job of outlines on one bar."""
    counts = quantities or [1] * len(outlines)
    parts = tuple(
        Part(name=f"part {i}", steel="s", outline=o, quantity=n) for i, (o, n) in enumerate(zip(outlines, counts, strict=True))
    )
    stock = (Stock(name="bar", width=width, length=length, price=Decimal(10), count=1, source="buy"),)
    rules = {"separation": 2.0, "bar_end": 1.0, "bar_edge": 1.0, **rules}
    return NestingJob(parts=parts, stock=stock, suits=frozenset((p, 0) for p in range(len(parts))), **rules)


@pytest.fixture(scope="session")
def petty(tools):
    return flatten(shape(family("petty"), tools).outline)


@pytest.fixture(scope="session")
def chefs(tools):
    return flatten(shape(family("chefs"), tools).outline)


@pytest.fixture(scope="session")
def mixed(petty, chefs):
    """A job of blades and a hook, and its field."""
    made = job([petty, chefs, HOOK, WEDGE], [2, 1, 2, 3])
    return made, field(made, range(4))
