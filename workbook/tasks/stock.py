"""What the stock is worth, and how many pairs of scales a sheet or block gives."""

from workbook.document.document import Document
from workbook.document.records import BarRecord, MaterialRecord
from workbook.formats.tables import density_of_steel
from workbook.geometry.polygon import grown, polygon, rings
from workbook.nesting.model import NestingJob, Part, Stock
from workbook.shop.job import Bar, PricePer, Saw
from workbook.shop.ledger import exact
from workbook.shop.materials import Material
from workbook.shop.money import NOTHING, cents, priced
from workbook.shop.steel import mass, material_price
from workbook.shop.worked import Worked, total
from workbook.tasks.layout import search
from workbook.template.handle import handle_outline
from workbook.template.shape import Shape
from workbook.units import INCH, Unit

POUND = 453.59237  # g, by definition (international yard and pound agreement)
PROUD = INCH / 8  # a scale is sawn so much outside the tang: common practice, no source
_STEPS, _MOST = 40, 60


def worth(document: Document) -> Worked:
    """What lies in the shop, at what it cost: every kind opened to its count and price."""
    bars = [
        Worked(r.bar.name, r.bar.have * material_price(r.bar, density_of_steel(r.bar.steel)), f"{r.bar.have} there")
        for r in document.all(BarRecord)
        if r.bar.have
    ]
    materials = [
        Worked(r.material.name, cents(r.material.price * exact(r.material.have)), f"{r.material.have:g} {r.material.per}")
        for r in document.all(MaterialRecord)
        if r.material.have
    ]
    return total("In stock", [total("Steel", bars), total("Other materials", materials)])


def at_bench(bar: Bar, currency: str) -> Worked:
    """What one bar costs when it is bought, opened: the steel as it is quoted, carriage, cut charge."""
    density = density_of_steel(bar.steel)
    quoted = f"{priced(bar.price, currency)} for one"
    if bar.per is not PricePer.BAR:
        much = {PricePer.FOOT: bar.length / (12 * INCH), PricePer.METRE: bar.length / 1000}
        quoted = f"{priced(bar.price, currency)} a {bar.per} × {much.get(bar.per, mass(bar, density) / 1000):.4g}"
    parts = [
        Worked("Steel", material_price(bar, density), quoted),
        Worked("Carriage", cents(bar.shipping)),
        Worked("Cut charge", cents(bar.cut_charge)),
    ]
    return total("One at the bench", [part for part in parts if part.amount or part.words == "Steel"])


def weight_words(bar: Bar, unit: Unit) -> str:
    """What one bar weighs, from its nominal size and its steel's density."""
    grams = mass(bar, density_of_steel(bar.steel))
    return f"{grams / POUND:.2f} lb" if unit == "in" else f"{grams / 1000:.2f} kg"


def pairs_of_one(material: Material, blank: Shape, saw: Saw) -> int:
    """Pairs of scales for a template that one sheet, or one block sawn into sheets, gives: laid out like blanks.

    A block thicker than two scales is sawn into as many as it holds. 0 where none fits, or where there are no scales.
    """
    template = blank.template
    if template is None or material.size <= 0:
        return 0
    sheets = int((material.size + saw.kerf) / (template.handle.scale_thickness + saw.kerf) + 1e-6)
    if sheets < 1:
        return 0
    around = grown(polygon(handle_outline(template.handle)), PROUD)
    part = Part(name="scale", steel="", outline=rings(around)[0], quantity=_MOST)
    sheet = Stock(name=material.name, width=material.width, length=material.length, price=NOTHING, count=1, source="rack")
    job = NestingJob(parts=(part,), stock=(sheet,), suits=frozenset({(0, 0)}), separation=saw.kerf, bar_end=0.0, bar_edge=0.0)
    x0, y0, x1, y1 = around.bounds
    if x1 - x0 > material.length or y1 - y0 > material.width:
        return 0
    *_, last = search(job, 0, lambda step: step >= _STEPS)
    on_one = sum(len(use.pieces) for use in last.best.bars)
    return on_one * sheets // 2
