"""How much steel a job needs before anything is bought: what to take, what to buy, and each bar size on offer compared."""

from decimal import Decimal
from typing import Any

from msgspec import Struct

from workbook.model.laying import Laid, finish, nesting_job, start
from workbook.model.model import Model
from workbook.model.results import BOUND_HOW, bought, taken
from workbook.nesting.fits import unfit
from workbook.nesting.model import Layout, NestingJob, Progress
from workbook.shop.money import NOTHING, cents
from workbook.shop.steel import full_price, mass
from workbook.structs import replace
from workbook.tasks.searching import search

STEPS, OPTION_STEPS = 120, 30


class BarOption(Struct, frozen=True, kw_only=True):
    """The result of buying one bar size only, for the blanks that suit it."""

    name: str
    bars: int
    cost: Decimal
    utilisation: float
    offcut: float  # the longest, mm


class Estimate(Struct, frozen=True, kw_only=True):
    """The estimate of a job."""

    laid: Laid
    options: tuple[BarOption, ...]


def estimate(model: Model) -> Estimate:
    """A quick layout, and one for each size on offer. Raises JobError as `start` does."""
    laid = _quick(model, start(model), STEPS)
    options = (_option(model, index) for index, bar in enumerate(model.job.bars) if bar.buy)
    return Estimate(laid=laid, options=tuple(option for option in options if option))


def _quick(model: Model, nesting: NestingJob, steps: int) -> Laid:
    *_, last = search(nesting, 0, lambda step: step >= steps, repeatable=True)
    return finish(model, nesting, last, 0)


def _option(model: Model, index: int) -> BarOption | None:
    """The job with one bar size only, as many as needed, and only the blanks it can take; None if it takes none."""
    bar = replace(model.job.bars[index], have=0)
    alone = replace(model, job=replace(model.job, bars=(bar,)))
    nesting = nesting_job(alone)
    misfits = set(unfit(nesting))
    make = tuple(wish for i, wish in enumerate(alone.job.make) if i not in misfits)
    if not make:
        return None
    alone = replace(alone, job=replace(alone.job, make=make))
    laid = _quick(alone, nesting_job(alone), OPTION_STEPS)
    longest = max(cost.offcut for cost in laid.costs.each)
    return BarOption(
        name=bar.name,
        bars=len(laid.layout.bars),
        cost=laid.costs.bars,
        utilisation=laid.costs.utilisation,
        offcut=longest,
    )


def per_piece(laid: Laid) -> list[tuple[str, int, Decimal]]:
    """For each order line laid out: its template, how many blanks, and the steel cost of one, to the cent."""
    totals = [NOTHING] * len(laid.nesting.parts)
    counts = [0] * len(laid.nesting.parts)
    for use, cost in zip(laid.layout.bars, laid.costs.each, strict=True):
        for piece, share in zip(use.pieces, cost.pieces, strict=True):
            totals[piece.part] += share
            counts[piece.part] += 1
    names = [part.name for part in laid.nesting.parts]
    return [(name, n, cents(total / n)) for name, n, total in zip(names, counts, totals, strict=True) if n]


def estimate_json(estimate: Estimate) -> dict[str, Any]:
    """The estimate as documented; prices and masses (g) are per bar."""
    laid = estimate.laid
    buy = []
    for bar, count in bought(laid):
        density = laid.model.facts.density(bar.steel)
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
            for o in estimate.options
        ],
        "lower_bound": {"cost": str(laid.costs.bound), "how": BOUND_HOW[laid.bound_by]},
    }


def quick_layout(nesting: NestingJob) -> Layout:
    """A layout found in a few steps, as an errand for the worker."""
    *_, last = search(nesting, 0, lambda step: step >= STEPS, repeatable=True)
    return last.best


def laid_of(model: Model, nesting: NestingJob, layout: Layout) -> Laid:
    """The layout with its costs."""
    return finish(model, nesting, Progress(STEPS, layout), 0, (NOTHING, "area"))
