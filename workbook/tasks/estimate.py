"""How much steel a job needs before anything is bought: what to take, what to buy, and each bar size on offer compared."""

from decimal import Decimal
from typing import Any

from msgspec import Struct

from workbook.nesting.fits import unfit
from workbook.nesting.model import NestingJob
from workbook.shop.money import NOTHING, cents
from workbook.shop.steel import full_price, mass
from workbook.structs import replace
from workbook.tasks.layout import Laid, finish, nesting_job, search, start
from workbook.tasks.load import LoadedJob
from workbook.tasks.results import BOUND_HOW, bought, taken

STEPS, OPTION_STEPS = 120, 30


class Option(Struct, frozen=True, kw_only=True):
    """One bar size if it alone were bought, for the blanks that suit it."""

    name: str
    bars: int
    cost: Decimal
    utilisation: float
    offcut: float  # the longest


class Estimate(Struct, frozen=True, kw_only=True):
    """The estimate of a job."""

    laid: Laid
    options: tuple[Option, ...]


def estimate(loaded: LoadedJob) -> Estimate:
    """A quick layout, and one for each size on offer. Raises JobError as `start` does."""
    laid = _quick(loaded, start(loaded), STEPS)
    options = (_option(loaded, index) for index, bar in enumerate(loaded.job.bars) if bar.buy)
    return Estimate(laid=laid, options=tuple(option for option in options if option))


def _quick(loaded: LoadedJob, nesting: NestingJob, steps: int) -> Laid:
    *_, last = search(nesting, 0, lambda step: step >= steps, repeatable=True)
    return finish(loaded, nesting, last, 0)


def _option(loaded: LoadedJob, index: int) -> Option | None:
    """The job with one bar size only, as many as wanted, and only the blanks it can take."""
    bar = replace(loaded.job.bars[index], have=0)
    alone = replace(loaded, job=replace(loaded.job, bars=(bar,)))
    nesting = nesting_job(alone)
    bad = set(unfit(nesting))
    make = tuple(wish for i, wish in enumerate(alone.job.make) if i not in bad)
    if not make:
        return None
    alone = replace(alone, job=replace(alone.job, make=make))
    laid = _quick(alone, nesting_job(alone), OPTION_STEPS)
    longest = max(cost.offcut for cost in laid.costs.each)
    return Option(
        name=bar.name,
        bars=len(laid.layout.bars),
        cost=laid.costs.bars,
        utilisation=laid.costs.utilisation,
        offcut=longest,
    )


def per_piece(laid: Laid) -> list[tuple[str, int, Decimal]]:
    """For each line of the order that was laid out: template, how many, and what one costs in steel, to the cent."""
    totals = [NOTHING] * len(laid.nesting.parts)
    counts = [0] * len(laid.nesting.parts)
    for use, cost in zip(laid.layout.bars, laid.costs.each, strict=True):
        for piece, share in zip(use.pieces, cost.pieces, strict=True):
            totals[piece.part] += share
            counts[piece.part] += 1
    names = [part.name for part in laid.nesting.parts]
    return [(name, n, cents(total / n)) for name, n, total in zip(names, counts, totals, strict=True) if n]


def estimate_json(found: Estimate) -> dict[str, Any]:
    """The estimate as documented: prices and masses are of one bar."""
    laid = found.laid
    buy = []
    for bar, count in bought(laid):
        density = laid.loaded.facts.density(bar.steel)
        buy.append(
            {
                "name": bar.name,
                "count": count,
                "price": str(full_price(bar, density)),
                "mass": round(mass(bar, density), 1),
            }
        )
    return {
        "take": [{"name": bar.name, "count": count} for bar, count in taken(laid)],
        "buy": buy,
        "bars_price": str(laid.costs.bars),
        "material_cost": str(laid.costs.material),
        "per_piece": [{"template": name, "quantity": n, "cost": str(cost)} for name, n, cost in per_piece(laid)],
        "options": [
            {
                "name": o.name,
                "bars": o.bars,
                "cost": str(o.cost),
                "utilisation": round(o.utilisation, 4),
                "offcut_length": round(o.offcut, 2),
            }
            for o in found.options
        ],
        "lower_bound": {"cost": str(laid.costs.bound), "how": BOUND_HOW[laid.bound_by]},
    }
