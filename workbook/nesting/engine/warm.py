"""Compilation of everything once, in two halves of about equal time, so that two processes can do it in parallel.

The machine code is cached on disk; the next start only loads it. See workbook/tasks/compiling.py.
"""

from decimal import Decimal

import numpy as np

from workbook.nesting.engine.chain import best_chain, lane
from workbook.nesting.engine.compaction import Strip, compacted
from workbook.nesting.engine.field import PartTables, field
from workbook.nesting.engine.fill import NOWHERE, fill
from workbook.nesting.engine.intervals import ClashTables
from workbook.nesting.engine.kernel import chance_from
from workbook.nesting.engine.lines import closest_join
from workbook.nesting.engine.overlaps import Places, Room
from workbook.nesting.engine.separation import separate
from workbook.nesting.engine.sequence import anneal_sequence
from workbook.nesting.model import NestingJob, Part, Stock

HALVES = ("separation", "the rest")


def compile_half(half: str) -> None:
    """Compile one of `HALVES`."""
    if half == HALVES[0]:
        _separation()
    else:
        _the_rest()


def compile_all() -> None:
    """Compile what is not compiled yet; where all is on disk, load it."""
    for half in HALVES:
        compile_half(half)


def _separation() -> None:
    """Run the search and a sequence on tables of one body, built directly so that nothing else needs compiling."""
    one, zero, none = np.ones(1, np.int64), np.zeros(1, np.int64), np.zeros((1, 2), np.float32)
    tables = ClashTables(zero, one, np.array([0, 1]), zero, one, np.zeros((1, 1), np.int64), none, none, none, 1.0)
    places = Places(zero.copy(), zero.copy(), zero.copy(), np.zeros(1))
    room = Room(np.zeros((1, 1), np.int64), np.zeros((1, 1)))
    separate(tables, room, zero, one, places, np.ones((1, 1)), 1, places.copy(), chance_from(0))
    anneal_sequence(tables, np.zeros(1), np.ones(1), zero, zero.copy(), zero.copy(), places, 0, 2.0, 1.0, chance_from(0))


def _the_rest() -> None:
    """Run tables, filling, compaction, chains and joins on two triangles."""
    part_tables = _triangles()
    part = np.zeros(2, np.int64)
    room = part_tables.room([(100.0, 20.0)])
    places = Places(part.copy(), np.full(2, NOWHERE), np.zeros(2, np.int64), np.zeros(2))
    fill(part_tables.tables, room, part, np.arange(2), places)
    start = Strip(places.pose, part_tables.along(places.x) + np.array([0.0, 5.0]), places.y, 100.0)
    compacted(part_tables, start, 20.0, reach=6.0, rounds=2, gain=0.3)
    best_chain(
        lane(part_tables.poses, part_tables.shapes, np.zeros(1, np.int64), part_tables.tables.last, 20.0), part, 1, chance_from(0)
    )
    closest_join(part_tables.shapes, *start.places, *start.places, 1.0, 0.0)


def _triangles() -> PartTables:
    outline = np.array([(0.0, 0.0), (20.0, 0.0), (0.0, 8.0)])
    part = Part(name="triangle", steel="", outline=outline, quantity=2)
    stock = Stock(name="bar", width=20.0, length=100.0, price=Decimal(1), count=1, source="rack")
    suits = frozenset({(0, 0)})
    return field(NestingJob(parts=(part,), stock=(stock,), suits=suits, separation=1.0, bar_end=1.0, bar_edge=1.0), [0])
