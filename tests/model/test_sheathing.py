"""What the sheath of a line costs, worked out by hand: a share of a sheet, what a knife is said to take, or one."""

from decimal import Decimal

import pytest

from workbook.document.action import said
from workbook.document.actions import orders
from workbook.document.actions.whole import change_settings
from workbook.document.document import replacing
from workbook.document.queries import job_of
from workbook.document.records import MaterialRecord
from workbook.document.shop_records import OrderLine
from workbook.geometry.path import bounds
from workbook.model.quoting import worked_out
from workbook.model.sheathing import sheath_for, sheath_of
from workbook.sheath.rules import SheathForm, SheathRules
from workbook.shop.materials import Material, MaterialKind
from workbook.structs import replace
from workbook.tasks.demo import demo_document
from workbook.tasks.load import shaped

SIDE = Material(name="bridle leather", kind=MaterialKind.SHEATH, per="side", price=Decimal("150.00"), width=600.0, length=1500.0)


@pytest.fixture(scope="module")
def shop():
    return demo_document()


def made(document, material, rules=None):
    """The demo with one line whose sheath is of a material, and its model."""
    record = MaterialRecord(id="own", place=900, material=material)
    document = document.applied(replacing(document, said("stock"), [record], []))
    if rules is not None:
        document = document.applied(change_settings(document, replace(document.settings, sheath=rules), "sheath"))
    line = replace(document.get("line1", OrderLine), sheath="own")
    document = document.applied(orders.change_line(document, line, "sheath"))
    return document, shaped(job_of(document)), line


@pytest.mark.parametrize("rules", [None, SheathRules(form=SheathForm.FLAT, layers=3, leather=4.0)], ids=["default", "two pieces"])
def test_a_sheet_with_sizes_costs_its_share(shop, rules):
    """The rectangles of all pieces, each as often as it is cut, of 600 x 1500 mm for 150.00; to two in a hundred."""
    document, model, line = made(shop, SIDE, rules)
    pattern = sheath_for(model, line.of, model.in_hand(line.of))
    boxes = [(piece.count, bounds(piece.outline)) for piece in pattern.pieces]
    area = sum(count * (x1 - x0) * (y1 - y0) for count, (x0, y0, x1, y1) in boxes)
    use = sheath_of(document, model, line)
    assert use.amount == pytest.approx(area / (600 * 1500), rel=0.02)
    work = worked_out(document, model, line.order, {}).lines[0]
    (part,) = [part for part in work.cost.part("Handle and materials").parts if part.words == "bridle leather"]
    assert float(part.amount) == pytest.approx(line.quantity * 150.00 * use.amount, abs=0.01 * line.quantity)
    before = worked_out(shop, shaped(job_of(shop)), line.order, {}).lines[0]
    more = work.cost.part("Handle and materials").amount - before.cost.part("Handle and materials").amount
    assert more == pytest.approx(part.amount, abs=Decimal("0.02") * line.quantity)


def test_a_sheath_is_sewn_in_the_hours_of_its_line_only(shop):
    """An hour for each of three at 24.00, a tenth for rest, and four of nine blanks' share of 20 minutes' set-up: 83.11."""
    document, model, line = made(shop, SIDE)
    (only, other) = worked_out(document, model, line.order, {}).lines
    sewn = [part for part in only.cost.part("Work").parts if part.words == "Sew the sheath"]
    assert [part.amount for part in sewn] == [Decimal("83.11")]
    assert not [part for part in other.cost.part("Work").parts if part.words == "Sew the sheath"]


@pytest.mark.parametrize(("knife", "wanted"), [(0.25, 0.25), (0.0, 1.0)])
def test_a_material_without_sizes_goes_by_what_a_knife_takes(shop, knife, wanted):
    document, model, line = made(shop, replace(SIDE, width=0.0, length=0.0, knife=knife))
    assert sheath_of(document, model, line).amount == wanted


def test_a_line_without_a_sheath_takes_none(shop):
    line = replace(shop.get("line1", OrderLine), sheath="")
    assert sheath_of(shop, shaped(job_of(shop)), line) is None
    assert sheath_of(shop, shaped(job_of(shop)), replace(line, sheath="gone")) is None


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"kind": MaterialKind.HANDLE}, "The sheath is not counted: bridle leather is not a material for sheaths."),
        ({"size": 2.0}, "bridle leather is 0.079 in thick, but sheaths are drawn for 0.125 in. See Settings."),
        ({"width": 90.0, "length": 400.0}, "A sheet of bridle leather is too small for the largest piece"),
        ({"size": 3.0}, None),
        ({}, None),
    ],
)
def test_a_sheath_that_cannot_be_made_of_its_material_is_said(shop, changes, said):
    document, model, line = made(shop, replace(SIDE, **changes))
    told = worked_out(document, model, line.order, {}).lines[0].missing
    if said is None:
        assert not any("sheath" in each or "leather" in each for each in told)
    else:
        assert any(each.startswith(said) for each in told), told


def test_what_is_no_material_for_sheaths_is_not_on_the_quote(shop):
    document, model, line = made(shop, replace(SIDE, kind=MaterialKind.OTHER, knife=0.5))
    work = worked_out(document, model, line.order, {}).lines[0]
    assert not any("sheath" in detail for detail in work.quote.details)
    parts = [part for part in work.cost.part("Handle and materials").parts if part.words == "bridle leather"]
    assert len(parts) == 1  # used up on every knife, as what it is
