"""The costs and prices of an order, line by line and in total; every amount can be opened to show its parts."""

from collections.abc import Iterator, Mapping
from decimal import Decimal

from msgspec import Struct

from workbook.document.document import Document
from workbook.document.orders import blanks_started, customer_of, lines_of, made_with, rates_of
from workbook.document.queries import number_of
from workbook.document.records import MaterialRecord, TemplateRecord
from workbook.document.shop_records import OrderLine, OrderRecord
from workbook.geometry.path import flatten, path_length
from workbook.geometry.polygon import area_beyond, of_points
from workbook.model.model import Model
from workbook.model.order_steel import SteelCost, at_once, of_pieces
from workbook.model.sheathing import material_of, sheath_doubts, sheath_of
from workbook.shop.charges import Charges
from workbook.shop.labour import Sizes
from workbook.shop.line_cost import Batch, BySize, by_size, cost_of
from workbook.shop.materials import MATERIAL_WORDS, Material
from workbook.shop.money import NOTHING, Money, cents, priced
from workbook.shop.needs import Missing, uses
from workbook.shop.pricing import PriceMethod, Pricing, margin, markup, price_for
from workbook.shop.quote import Option, QuoteLine, Totals, totals
from workbook.shop.worked import Worked, total
from workbook.template.model import Template
from workbook.template.shape import Shape
from workbook.texts import _
from workbook.units import Unit, exact

_SIZES = (1, 2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 40)


class LineWork(Struct, frozen=True, kw_only=True):
    """The cost and price of a line. `cost` is for all its knives, `price` for one; either may be opened to show its parts."""

    line: OrderLine
    name: str
    batch: Batch
    cost: Worked
    price: Worked
    missing: tuple[str, ...]  # what is not counted, or has changed, in words
    quote: QuoteLine
    knife: Shape

    @property
    def one(self) -> Decimal:
        """What one knife costs the maker, extras included."""
        return cents(self.quote.cost / self.line.quantity)

    @property
    def margin(self) -> float:
        """The line's profit as a share of its price as sold."""
        return margin(self.quote.amount, self.quote.cost)

    @property
    def markup(self) -> float:
        """The same as a share of the cost."""
        return markup(self.quote.amount, self.quote.cost)


class OrderWork(Struct, frozen=True, kw_only=True):
    """The costs and prices of an order."""

    order: OrderRecord
    customer: str
    lines: tuple[LineWork, ...]
    totals: Totals
    tax: float
    deposit: float

    @property
    def cost(self) -> Decimal:
        """What the order costs the maker, extras included."""
        return sum((line.quote.cost for line in self.lines), NOTHING)

    @property
    def due(self) -> Worked:
        """What is due, with its parts."""
        t = self.totals
        parts = [
            *(Worked(f"{w.quote.quantity} {w.name}", w.quote.amount, w.price.how, (w.price,) if w.quote.quantity == 1 else ())
              for w in self.lines),
            Worked(_("Discount"), -t.discount),
            Worked(_("Shipping"), t.delivery),
            Worked(_("Tax"), t.tax, _("{tax:.4g} of the amount before tax", tax=self.tax) if self.tax else ""),
        ]  # fmt: skip
        return total(_("Total due"), [part for part in parts if part.amount])


class _Beside(Struct, frozen=True):
    """What goes through the stages with a line: how many blanks of other lines, and the numbers of the other orders."""

    blanks: int
    orders: tuple[int, ...]


def worked_out(document: Document, model: Model, order: str, steel: Mapping[str, SteelCost]) -> OrderWork:
    """The costs and prices of an order. `steel`: by line id, from a layout; for other lines by rows on a bar."""
    record, charges = document.get(order, OrderRecord), document.settings.charges
    order_lines, batch = _known_lines(document, order), made_with(document, record)
    together = order_lines + [line for other in batch for line in _known_lines(document, other.id)]
    starts = {line.id: blanks_started(document, line) for line in together}
    numbers = tuple(other.number for other in batch if _known_lines(document, other.id))
    beside = {line.id: _Beside(sum(starts.values()) - starts[line.id], numbers) for line in order_lines}
    lines = tuple(_line_work(document, model, line, steel.get(line.id), beside[line.id]) for line in order_lines)
    tax = charges.tax if record.tax is None else record.tax
    deposit = charges.deposit if record.deposit is None else record.deposit
    sums = totals(tuple(work.quote for work in lines), record.discount, record.delivery, tax, deposit)
    return OrderWork(order=record, customer=customer_of(document, record), lines=lines, totals=sums, tax=tax, deposit=deposit)


def _known_lines(document: Document, order: str) -> list[OrderLine]:
    return [line for line in lines_of(document, order) if isinstance(document.records.get(line.of), TemplateRecord)]


def _line_work(document: Document, model: Model, line: OrderLine, planned: SteelCost | None, beside: _Beside) -> LineWork:
    """The cost and price of a line. `planned`: its steel by a layout."""
    steel = of_pieces(document, line, planned or at_once(document, model, line))
    charges, money = rates_of(document, line), document.settings.money
    record = document.get(line.of, TemplateRecord)
    template = record.template
    handle, sheath = material_of(document, line.handle), sheath_of(document, model, line)
    knife = model.shapes[line.of]
    material_uses, missing = uses(knife, handle, materials_of(document), sheath)
    batch = Batch(
        quantity=line.quantity,
        starts=blanks_started(document, line),
        steel=steel.amount,
        steel_how=steel.how,
        uses=material_uses,
        money=money,
        sizes=sizes_in(model, line.of),
        minutes=record.minutes,
        others=beside.blanks,
        orders=beside.orders,
    )
    cost = cost_of(batch, charges)
    price = _price(line, cost.each(line.quantity), charges, money)
    words = [*(_missing(each, model.job.unit) for each in missing), *_doubts(document, line, template.name, steel)]
    words += sheath_doubts(document, model, line)
    extras = [_("sheath: {material}", material=sheath.material.name)] if sheath else []
    details = (line.steel, handle.name if handle else "", *extras, *(option.words for option in line.options), line.note)
    quote = QuoteLine(
        words=template.name,
        details=tuple(each for each in details if each),
        quantity=line.quantity,
        each=price.amount,
        cost=cost.amount + line.quantity * sum((cents(option.cost) for option in line.options), NOTHING),
    )
    told = tuple(words)
    return LineWork(line=line, name=template.name, batch=batch, cost=cost, price=price, missing=told, quote=quote, knife=knife)


def _doubts(document: Document, line: OrderLine, name: str, steel: SteelCost) -> Iterator[str]:
    """Why the amounts of a line are not reliable, in words."""
    if not steel.known and steel.amount:
        yield _("Not all of the steel is counted: {how}.", how=steel.how)
    elif not steel.known:
        yield _("The steel is not counted: {how}.", how=steel.how)
    if line.revision and number_of(document, line.of) != line.revision:
        yield _("{name} was revision {revision} when it was quoted and has changed since.", name=name, revision=line.revision)


def sizes_in(model: Model, key: str) -> Sizes:
    """The sizes that labour depends on, mm and mm2; an outline from a file counts as handle up to its middle, then as blade."""
    blank, template = model.shapes[key], model.job.template(key)
    points = flatten(blank.outline)
    x0, _, x1, _ = blank.extent()
    split = 0.0 if isinstance(template, Template) else (x0 + x1) / 2
    return Sizes(outline=path_length(blank.outline), blade=area_beyond(of_points(points), split), handle=split - x0)


def materials_of(document: Document) -> list[Material]:
    """All materials, in their order."""
    return [record.material for record in document.all(MaterialRecord)]


def pricing_of(line: OrderLine, charges: Charges) -> Pricing:
    """How a line's price is made."""
    return line.pricing or charges.pricing


def _extra(option: Option, money: Money) -> str:
    if not option.cost:
        return _("an extra that costs you nothing. If it does, write “costing 18.00” after it")
    return _("an extra that costs you {amount}", amount=priced(option.cost, money))


def _price(line: OrderLine, cost: Worked, charges: Charges, money: Money) -> Worked:
    """The price of one knife with its options, in parts: its cost, what is put on it, its options."""
    pricing = pricing_of(line, charges)
    base = price_for(cost.amount, pricing, charges.step) if line.agreed is None else line.agreed
    options = [Worked(option.words, cents(option.price), _extra(option, money)) for option in line.options]
    put_on = base - cost.amount
    how = _("as quoted") if line.agreed is not None else _way(pricing, charges)
    if line.agreed is not None:  # an agreed price has its options in it
        put_on -= sum((option.amount for option in options), NOTHING)
    parts = [
        cost,
        Worked(_("Margin"), put_on, _("margin {margin:.1%}", margin=margin(cost.amount + put_on, cost.amount))),
        *options,
    ]
    return total(_("Price each"), parts, how)


def _way(pricing: Pricing, charges: Charges) -> str:
    match pricing.way:
        case PriceMethod.MARGIN:
            return _("cost / (1 - {share:.0%}), up to the next {step}", share=pricing.share, step=charges.step)
        case PriceMethod.MARKUP:
            return _("cost × (1 + {share:.0%}), up to the next {step}", share=pricing.share, step=charges.step)
        case PriceMethod.TARGET:
            return _("the target price")


def _missing(each: Missing, unit: Unit) -> str:
    """Something that no material in stock covers, in words."""
    return _(
        "Not counted: {count} × {kind} {length} {unit} (not in stock).",
        count=each.count,
        kind=MATERIAL_WORDS[each.kind],
        length=exact(each.size, unit),
        unit=unit,
    )


def prices(work: OrderWork) -> dict[str, Decimal]:
    """The price of one knife of each line, with its options, as it is quoted."""
    return {line.line.id: line.price.amount for line in work.lines}


def sizes_of(work: LineWork, charges: Charges) -> list[BySize]:
    """A line's cost and price of one knife by size of batch, extras included."""
    sizes = sorted({*_SIZES, work.line.quantity})
    extras = sum((cents(option.price) for option in work.line.options), NOTHING)
    extra_cost = sum((cents(option.cost) for option in work.line.options), NOTHING)
    points = by_size(work.batch, charges, pricing_of(work.line, charges), sizes)
    now = work.line.quantity
    current = BySize(now, work.one, work.price.amount)  # as it is: with its own blanks started, or as quoted
    return [current if p.quantity == now else BySize(p.quantity, p.cost + extra_cost, p.price + extras) for p in points]
