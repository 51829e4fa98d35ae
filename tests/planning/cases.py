"""Shops to plan for, made by chance: batches of a usual route, evenings, one furnace and one set of clamps."""

import random

from workbook.planning.model import DAY, Lot, Operation, Stint
from workbook.shop.labour import StageKind

ROUTE = (
    # stage, set-up, each, kind, wait, holds
    ("saw", 10, 18, StageKind.HANDS_ON, 0, ""),
    ("drill", 10, 6, StageKind.HANDS_ON, 0, ""),
    ("grind", 10, 22, StageKind.HANDS_ON, 0, ""),
    ("harden", 20, 4, StageKind.ALONE, 150, "furnace"),
    ("straighten", 5, 15, StageKind.HANDS_ON, 0, ""),
    ("grind after", 10, 30, StageKind.HANDS_ON, 0, ""),
    ("finish", 10, 40, StageKind.HANDS_ON, 0, ""),
    ("glue", 20, 12, StageKind.ALONE, 960, "clamps"),
    ("shape", 10, 60, StageKind.HANDS_ON, 0, ""),
    ("oil", 10, 15, StageKind.ALONE, 720, ""),
    ("sharpen", 5, 20, StageKind.HANDS_ON, 0, ""),
)


def evenings(minutes=90.0, count=200, at=1140.0):
    return [Stint(start=day * DAY + at, end=day * DAY + at + minutes) for day in range(count)]


def shop(seed, batches=5, evening=90.0):
    """Batches somewhere near the beginning of the route, due in half to six fifths of the evenings that all work takes."""
    chance, lots = random.Random(seed), []
    for number in range(batches):
        pieces = chance.choice((2, 3, 4, 6))
        operations = tuple(
            Operation(
                stage=stage, set_up=set_up, each=each * chance.uniform(0.8, 1.2), pieces=pieces, kind=kind, wait=wait, holds=holds
            )
            for stage, set_up, each, kind, wait, holds in ROUTE[chance.randrange(3) :]
        )
        lots.append(Lot(key=f"B{number}", operations=operations, knives=pieces))
    days = sum(each.set_up + each.each * each.pieces for lot in lots for each in lot.operations) / evening
    return [
        Lot(key=lot.key, operations=lot.operations, knives=lot.knives, due=chance.uniform(0.5, 1.2) * days * DAY) for lot in lots
    ]


def small_shop(seed, lots=3, operations=3):
    """A few operations of anything: short, long, on the furnace or the clamps, attended or not, limited at once."""
    chance, made = random.Random(seed), []
    for number in range(lots):
        own = []
        for _step in range(operations):
            kind = chance.choice((StageKind.HANDS_ON, StageKind.HANDS_ON, StageKind.ATTENDED, StageKind.ALONE))
            waits = kind is not StageKind.HANDS_ON
            own.append(
                Operation(
                    stage=chance.choice("abcdef"), set_up=float(chance.choice((0, 5, 10, 20))),
                    each=float(chance.choice((6, 12, 25, 40, 110))), pieces=chance.randint(1, 5), kind=kind,
                    wait=float(chance.choice((30, 60, 150) if kind is StageKind.ATTENDED else (150, 720, 960))) if waits else 0.0,
                    holds=chance.choice(("furnace", "clamps", "")) if waits else "",
                    at_once=chance.choice((0, 0, 2)),
                )
            )  # fmt: skip
        due = chance.uniform(0.5, 6) * DAY
        made.append(
            Lot(key=f"{number}", operations=tuple(own), due=due, knives=chance.randint(1, 4), ready=chance.choice((0.0, 700.0)))
        )
    return made


def mixed_stints(seed, count=60):
    """Evenings and long days."""
    chance = random.Random(seed)
    lengths = [float(chance.choice((60, 90, 120, 300))) for _day in range(count)]
    return [Stint(start=day * DAY + 1000, end=day * DAY + 1000 + length) for day, length in enumerate(lengths)]
