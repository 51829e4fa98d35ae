"""How many pairs of scales a sheet or block gives."""

from workbook.geometry.polygon import grown, polygon, rings
from workbook.nesting.model import NestingJob, Part, Stock
from workbook.shop.job import Saw
from workbook.shop.materials import Material
from workbook.shop.money import NOTHING
from workbook.tasks.searching import search
from workbook.template.fittings import scale_outline
from workbook.template.shape import Shape
from workbook.units import INCH

PROUD = INCH / 8  # a scale is sawn this much outside the tang: common practice, no source
_STEPS, _MOST = 40, 60


def pairs_of_one(material: Material, blank: Shape, saw: Saw) -> int:
    """Pairs of scales for a template that one sheet, or one block sawn into sheets, gives when laid out like blanks.

    A block thicker than two scales is sawn into as many as it holds. 0 if none fits or there are no scales.
    """
    template = blank.template
    if template is None or material.size <= 0:
        return 0
    sheets = int((material.size + saw.kerf) / (template.handle.scale_thickness + saw.kerf) + 1e-6)
    if sheets < 1:
        return 0
    around = grown(polygon(scale_outline(template)), PROUD)
    part = Part(name="scale", steel="", outline=rings(around)[0], quantity=_MOST)
    sheet = Stock(name=material.name, width=material.width, length=material.length, price=NOTHING, count=1, source="rack")
    job = NestingJob(parts=(part,), stock=(sheet,), suits=frozenset({(0, 0)}), separation=saw.kerf, bar_end=0.0, bar_edge=0.0)
    x0, y0, x1, y1 = around.bounds
    if x1 - x0 > material.length or y1 - y0 > material.width:
        return 0
    *_, last = search(job, 0, lambda step: step >= _STEPS)
    on_one = sum(len(use.pieces) for use in last.best.bars)
    return on_one * sheets // 2
