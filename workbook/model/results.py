"""A layout as the files other programs read: `layout.json`, `costs.csv`, `buy.csv`. Millimetres, grams, money as strings."""

from collections import Counter
from collections.abc import Sequence
from math import degrees
from typing import Any

from workbook.model.laying import Laid, bar_of
from workbook.nesting.model import DECIMALS, By, Piece, written
from workbook.sheets.bar import BarPlan
from workbook.shop.job import Bar
from workbook.shop.money import priced
from workbook.shop.serials import serials
from workbook.shop.steel import full_price, mass, material_price
from workbook.texts import _

BOUND_HOW = {
    "area": "by area: whole bars that hold the blanks with their gaps, however they lie",
    "sections": "by sections: whole bars that hold every cut across the blanks with their gaps, however they lie",
    "chains": "by chains: whole bars that hold the blanks with their gaps one behind another, in the best order",
}
SEARCH_WORDS: dict[By, str] = {
    "compiled": _("The search is compiled and running."),
    "waiting": _("The search is being compiled once on this computer. It takes a minute or two. A plain search runs meanwhile."),
    "plain": _(
        "A plain search is running, because this computer has no compiler for the fast one. Its layouts cost a little more."
    ),
}
RAN_OUT = "the bars listed ran out"


def layout_json(laid: Laid, plans: Sequence[BarPlan] = ()) -> dict[str, Any]:
    """A layout as the documentation of job files lists it; with the bars' plans, also the turns too tight for the saw."""
    job, costs = laid.model.job, laid.costs
    return {
        "job": job.name,
        "seed": laid.seed,
        "steps": laid.steps,
        "search": "compiled" if laid.by == "compiled" else "plain",
        **({} if laid.seconds is None else {"seconds": laid.seconds}),
        "separation": round(laid.nesting.separation, DECIMALS),
        "bar_end": round(laid.nesting.bar_end, DECIMALS),
        "bar_edge": round(laid.nesting.bar_edge, DECIMALS),
        "bars": _bars(laid, plans),
        "unplaced": unplaced(laid),
        "bars_price": str(costs.bars),
        "offcut_credit": str(costs.credit),
        "material_cost": str(costs.material),
        "lower_bound": {"cost": str(costs.bound), "how": bound_how(laid)},
        "utilisation": round(costs.utilisation, 6),
    }


def bound_how(laid: Laid) -> str:
    """How the bound in the costs was found."""
    how = BOUND_HOW[laid.bound_by] + ("; the bars with blanks that stay counted in" if laid.nesting.kept else "")
    return how + ("; for layouts that buy no more than this one" if _may_trade(laid) else "")


def _may_trade(laid: Laid) -> bool:
    """Whether bars of the rack might be spared by buying more."""
    return len({bar.source == "buy" for bar in laid.nesting.stock}) == 2


def unplaced(laid: Laid) -> list[dict[str, Any]]:
    """The blanks that found no room, with the reason."""
    parts = laid.nesting.parts
    return [{"template": parts[p].name, "quantity": n, "reason": RAN_OUT} for p, n in laid.layout.left_over]


def _bars(laid: Laid, plans: Sequence[BarPlan]) -> list[dict[str, Any]]:
    names = serials(laid.nesting, laid.layout)
    out: list[dict[str, Any]] = []
    for use, cost, row in zip(laid.layout.bars, laid.costs.each, names, strict=True):
        stock = laid.nesting.stock[use.stock]
        bar = bar_of(laid.model.job, stock)
        pieces = [_piece(laid, *item) for item in zip(use.pieces, row, cost.pieces, strict=True)]
        out.append(
            {
                "name": bar.name,
                "steel": bar.steel,
                "thickness": bar.true_thickness if stock.source != "buy" else bar.thickness,
                "width": stock.width,
                "length": stock.length,
                "from": stock.source,
                "price": str(cost.price),
                "used_length": round(cost.used, DECIMALS),
                "offcut_length": round(stock.length - round(cost.used, DECIMALS), DECIMALS),
                "utilisation": round(cost.utilisation, 6),
                "pieces": pieces,
            }
        )
        if stock.beyond:
            out[-1]["beyond"] = {"length": round(stock.beyond, DECIMALS), "width": round(stock.tongue, DECIMALS)}
        if cost.beside:
            out[-1]["offcuts_beside"] = [{"x": o.x, "y": o.y, "length": o.length, "width": o.width} for o in cost.beside]
        if stock.edge is not None:
            out[-1]["bar_edge"] = round(stock.edge, DECIMALS)
    for entry, plan in zip(out, plans, strict=False):
        if plan.at_saw is not None:
            saw = plan.at_saw
            entry["saw"] = {"length": round(saw.length, 1), "turns": saw.turns, "minutes": round(saw.minutes, 1)}
        if plan.tight:
            entry["tight_turns"] = [
                {"between": [t.line.lower, t.line.upper], "radius": round(t.radius, DECIMALS)} for t in plan.tight
            ]
    return out


def _piece(laid: Laid, piece: Piece, serial: str, cost: Any) -> dict[str, Any]:
    return {
        "serial": serial,
        "template": laid.nesting.parts[piece.part].name,
        "x": piece.x,
        "y": piece.y,
        "angle": degrees(piece.angle),
        "mirrored": piece.mirrored,
        "outline": written(laid.nesting, piece).tolist(),
        "cost": str(cost),
    }


def costs_rows(laid: Laid) -> list[list[str]]:
    """A row for each piece, then their total."""
    rows = [["serial", "template", "steel", "bar", "bar_name", "cost"]]
    names = serials(laid.nesting, laid.layout)
    for number, (use, cost, row) in enumerate(zip(laid.layout.bars, laid.costs.each, names, strict=True), 1):
        stock = laid.nesting.stock[use.stock]
        steel = bar_of(laid.model.job, stock).steel
        for piece, serial, share in zip(use.pieces, row, cost.pieces, strict=True):
            rows.append([serial, laid.nesting.parts[piece.part].name, steel, str(number), stock.name, str(share)])
    return [*rows, ["total", "", "", "", "", str(laid.costs.material)]]


def buy_rows(laid: Laid) -> list[list[str]]:
    """The buying list: a row for each kind of bar, with its price separate from carriage and cut charge."""
    rows = [
        [
            "bar",
            "steel",
            "thickness_mm",
            "width_mm",
            "length_mm",
            "count",
            "steel_each",
            "shipping_each",
            "cut_each",
            "total",
            "mass_g",
        ]
    ]
    for bar, count in bought(laid):
        density = laid.model.facts.density(bar.steel)
        sizes = [f"{v:.3f}" for v in (bar.thickness, bar.width, bar.length)]
        money = [material_price(bar.as_bought, density), bar.shipping, bar.cut_charge, count * full_price(bar, density)]
        rows.append(
            [bar.name, bar.steel, *sizes, str(count), *(f"{m:.2f}" for m in money), f"{count * mass(bar.as_bought, density):.0f}"]
        )
    return rows


def bought(laid: Laid) -> list[tuple[Bar, int]]:
    """Bars to buy and how many of each, in the order of the job."""
    return _counted(laid, lambda source: source == "buy")


def taken(laid: Laid) -> list[tuple[Bar, int]]:
    """Bars and offcuts from the rack and how many of each, in the order of the job."""
    return _counted(laid, lambda source: source != "buy")


def _counted(laid: Laid, accept: Any) -> list[tuple[Bar, int]]:
    stock = laid.nesting.stock
    counts = Counter(stock[use.stock].name for use in laid.layout.bars if accept(stock[use.stock].source))
    return [(bar, counts[bar.name]) for bar in laid.model.job.bars if counts[bar.name]]


_BOUNDS = {  # by what was bounded, and whether blanks were kept on their bars
    ("area", False): _("by area"),
    ("sections", False): _("by their widths along the bar"),
    ("chains", False): _("in the best order along the bar"),
    ("area", True): _("by area, with these blanks on their bars"),
    ("sections", True): _("by their widths along the bar, with these blanks on their bars"),
    ("chains", True): _("in the best order along the bar, with these blanks on their bars"),
}


def bound_words(laid: Laid) -> str:
    """How far the layout is from what no layout can beat, in words for the maker."""
    bars, bound, money = laid.costs.bars, laid.costs.bound, laid.model.job.money
    by, cost, least = _BOUNDS[laid.bound_by, bool(laid.nesting.kept)], priced(bars, money), priced(bound, money)
    if _may_trade(laid):
        if bars <= bound:
            return _("This layout: {cost} of bars. Without buying more, that is the theoretical best ({by}).", cost=cost, by=by)
        return _(
            "This layout: {cost} of bars. Theoretical best, without buying more: {least} ({by}).", cost=cost, least=least, by=by
        )
    if bars <= bound:
        return _("This layout: {cost} of bars. That is the theoretical best ({by}).", cost=cost, by=by)
    return _("This layout: {cost} of bars. Theoretical best: {least} ({by}).", cost=cost, least=least, by=by)
