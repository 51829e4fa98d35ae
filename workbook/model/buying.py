"""What all open orders need: bars by a layout, materials by what each knife takes; what is in stock and what is to buy."""

from collections import defaultdict
from collections.abc import Sequence
from decimal import Decimal
from math import ceil

from msgspec import Struct

from workbook.document.document import Document
from workbook.document.orders import blanks_started, cut_by_line, lines_of
from workbook.document.records import MaterialRecord, TemplateRecord
from workbook.document.shop_records import OrderLine, OrderRecord
from workbook.model.laying import Laid
from workbook.model.model import Model
from workbook.model.order_steel import at_once, has_bar
from workbook.model.results import bought, taken
from workbook.model.sheathing import material_of, sheath_of
from workbook.model.taking import OF_HANDLES, with_handles, with_sheaths
from workbook.shop.materials import Material, MaterialKind
from workbook.shop.money import NOTHING, cents
from workbook.shop.needs import Use, uses
from workbook.shop.orders import OPEN
from workbook.shop.steel import full_price, mass
from workbook.shop.worked import Worked, total
from workbook.shop.worth import weight_words
from workbook.structs import replace
from workbook.texts import _

_NOISE = 1e-9  # of a sum of amounts


class Need(Struct, frozen=True, kw_only=True):
    """Something that open orders need, or the shelf is short of: the amounts needed, in stock and to buy, and the cost."""

    what: str
    unit: str
    needed: float
    have: float
    buy: float
    cost: Decimal
    why: str = ""


def open_lines(document: Document) -> list[OrderLine]:
    """The lines of all open orders."""
    orders = [order.id for order in document.all(OrderRecord) if order.status in OPEN]
    return [
        line
        for order in orders
        for line in lines_of(document, order)
        if isinstance(document.records.get(line.of), TemplateRecord)
    ]


def uncut(document: Document, lines: Sequence[OrderLine]) -> list[OrderLine]:
    """What is still to be cut of some lines, as lines of only these blanks: they are what needs steel."""
    cut = cut_by_line(document)
    remaining = ((line, blanks_started(document, line) - cut.get(line.id, 0)) for line in lines)
    return [replace(line, order="", quantity=n, starts=None) for line, n in remaining if n > 0]


def without_bar(document: Document, model: Model, lines: Sequence[OrderLine]) -> list[str]:
    """Lines whose blanks no bar here takes, in words; if some blanks have room, the layout reports the others."""
    costs = (at_once(document, model, line) for line in lines if not has_bar(model, line))
    return list(dict.fromkeys(_("No steel is counted: {how}.", how=steel.how) for steel in costs))


def steel_needs(laid: Laid) -> list[Need]:
    """Bars of a layout, each kind once: how many come from the rack, and how many are to buy."""
    of_rack = {bar.name: n for bar, n in taken(laid)}
    bars = {bar.name: bar for bar, _n in taken(laid)} | {bar.name: bar for bar, _n in bought(laid)}
    to_buy = {bar.name: n for bar, n in bought(laid)}
    needs = []
    for name, bar in bars.items():
        have, buy = of_rack.get(name, 0), to_buy.get(name, 0)
        density = laid.model.facts.density(bar.steel)
        heavy = weight_words(buy * mass(bar, density), laid.model.job.unit)
        why = [_("from the rack")] if have else []
        why += [_("{weight} to buy", weight=heavy)] if buy else []
        cost = buy * full_price(bar, density) if buy else NOTHING
        needs.append(Need(what=name, unit="bar", needed=have + buy, have=have, buy=buy, cost=cost, why=", ".join(why)))
    return needs


def material_needs(document: Document, model: Model, lines: Sequence[OrderLine]) -> list[Need]:
    """Materials that order lines need or that are low in stock; only whole units are bought."""
    materials = [record.material for record in document.all(MaterialRecord)]
    needed: dict[str, float] = defaultdict(float)
    for line in lines:
        shape = model.shapes[line.of]
        for use in uses(shape, material_of(document, line.handle), materials, sheath_of(document, model, line))[0]:
            needed[use.material.name] += use.amount * _still(document, line, use)
    rows = [_need(material, needed[material.name]) for material in materials]
    return [row for row in rows if row.needed or row.buy]


def _still(document: Document, line: OrderLine, use: Use) -> int:
    """How many knives of a line still take a material: without those that have taken it from the shelf."""
    if use.of_starts:
        return blanks_started(document, line)
    if use.material.kind is MaterialKind.SHEATH:
        return max(0, line.quantity - with_sheaths(document, line))
    return max(0, line.quantity - (with_handles(document, line) if use.material.kind in OF_HANDLES else 0))


def _need(material: Material, needed: float) -> Need:
    """What to buy of a material: what is missing for the orders, and what brings the stock back to its minimum."""
    lack = needed + material.low - material.have
    buy = float(ceil(lack - _NOISE)) if lack > _NOISE else 0.0
    why = [_("{needed:.3g} needed", needed=needed), _("{have:g} on hand", have=material.have)]
    why += [_("reorder level {low:g}", low=material.low)] if material.low else []
    return Need(
        what=material.name, unit=material.per, needed=needed, have=material.have, buy=buy,
        cost=cents(material.price * Decimal(repr(buy))),
        why=", ".join(why),
    )  # fmt: skip


def to_spend(needs: Sequence[Need]) -> Worked:
    """The total of the buying list."""
    return total(_("To buy"), [Worked(need.what, need.cost, need.why) for need in needs if need.buy])


def need_rows(needs: Sequence[Need]) -> list[list[str]]:
    """The list as a table for a file."""
    heads = ["what", "unit", "needed", "have", "buy", "cost", "why"]
    return [heads, *([n.what, n.unit, f"{n.needed:.3g}", f"{n.have:g}", f"{n.buy:g}", f"{n.cost:.2f}", n.why] for n in needs)]
