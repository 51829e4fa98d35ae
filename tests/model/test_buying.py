"""What orders need of materials: whole units, and no more for the sake of a float's last digit."""

from decimal import Decimal

import pytest

from workbook.document.document import Document
from workbook.document.queries import job_of
from workbook.document.records import MaterialRecord, SettingsRecord, TemplateRecord
from workbook.document.shop_records import OrderLine, OrderRecord
from workbook.formats.family import family
from workbook.model.buying import material_needs
from workbook.shop.materials import Material, MaterialKind
from workbook.shop.orders import Status
from workbook.tasks.load import shaped


@pytest.mark.parametrize(
    ("knife", "count", "buy"), [(0.28, 100, 28), (0.07, 100, 7), (0.29, 100, 29), (0.281, 100, 29), (1.0, 3, 3)]
)
def test_what_is_bought_is_what_is_needed_in_whole_units(knife, count, buy):
    maple = Material(name="maple", kind=MaterialKind.HANDLE, per="pair", price=Decimal(14), knife=knife)
    records = [
        SettingsRecord(),
        TemplateRecord(id="t", place=0.0, family=family("petty")),
        MaterialRecord(id="m", place=0.0, material=maple),
        OrderRecord(id="o", place=0.0, number=1, status=Status.AGREED),
        OrderLine(id="l", place=0.0, of="t", steel="1084", quantity=count, order="o", handle="m", starts=count),
    ]
    document = Document({record.id: record for record in records})
    needs = material_needs(document, shaped(job_of(document)), [records[-1]])
    assert [(need.what, need.buy) for need in needs] == [("maple", buy)]
    assert buy == -(-round(knife * count * 1000) // 1000)
