"""What knives really cost: worked out by hand for a small batch, and sums that tie to the cent for any."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.model.test_tonight import Shop, changed, demo, entered, without_orders
from workbook.document.making import batches, blades_of
from workbook.document.making_records import EntryRecord
from workbook.document.shop_records import OrderLine, OrderRecord, PieceRecord
from workbook.making.entry import EntryKind
from workbook.model.real_cost import choices, cost_of_blade, finished_on, real_cost, sum_words
from workbook.shop.charges import Outside
from workbook.shop.worked import opened
from workbook.structs import replace


def cost_of(document, words):
    shop = Shop(document)
    return real_cost(document, shop.model, next(each for each in choices(document) if each.words == words))


def amounts(worked):
    return {part.words: part.amount for part in worked.parts}


def test_a_batch_by_hand():
    """Three blades, laid out and sawn, as entered in the demo; a bar's shares; a service that has not had them yet."""
    document = without_orders(demo())
    blades = [piece for piece in document.all(PieceRecord) if piece.batch == "santoku"]
    document = changed(document, *(replace(piece, cost=Decimal("4.10"), bar="bar") for piece in blades))
    charges = replace(document.settings.charges, outside=(Outside(name="Heat", batch=Decimal("9.00"), piece=Decimal("2.50")),))
    document = changed(document, replace(document.settings, charges=charges))
    entries = [record.entry for record in document.all(EntryRecord) if record.batch == "santoku"]
    minutes = sum(entry.minutes for entry in entries)
    found = cost_of(document, "Batch 3")
    by_stage = [round(Decimal(24) * Decimal(entry.minutes) / 60, 2) for entry in entries if entry.minutes]
    work = sum(by_stage)
    assert amounts(found.real) == {
        "Steel": Decimal("12.30"),
        "Work": work,
        "Overhead": round(work * Decimal("0.35"), 2),
    }
    assert (found.good, found.lost) == (3, 0)
    assert found.each == round(found.real.amount / 3, 2)
    assert sum(each.real for each in found.stages) == pytest.approx(minutes)


def test_what_quotes_count_is_by_the_rates_of_the_batch_and_only_for_what_is_done():
    found = cost_of(without_orders(demo()), "Batch 3")
    laid_out = next(each for each in found.stages if each.stage == "Lay out and scribe")
    assert laid_out.quoted == pytest.approx((10 + 3 * 4) * 1.1)
    assert {each.stage for each in found.stages} == {"Lay out and scribe", "Saw and profile"}
    over = (laid_out.real - laid_out.quoted) / 60 * 24 * 1.35
    assert float(laid_out.money) == pytest.approx(over, abs=0.006)


def test_lost_blades_stand_by_themselves_and_the_good_ones_carry_them():
    found = cost_of(without_orders(demo()), "Autumn run")
    lost = found.real.part("Lost blades")
    assert (found.good, found.lost) == (4, 1)
    assert lost.amount > 0
    assert found.each == round(found.real.amount / 4, 2)
    assert sum_words(demo(), found).endswith("1 blade was lost.")


def test_an_order_a_blade_and_a_year_are_told_too():
    document = demo()
    blades = [piece for piece in document.all(PieceRecord) if piece.batch == "autumn"]
    document = changed(document, *(replace(piece, line="line1") for piece in blades[:2]))
    words = [each.words for each in choices(document)]
    assert words == ["Order 1, The Slipway galley", "Batch 3", "Batch 2", "Autumn run", "Year 2026"]
    order = cost_of(document, "Order 1, The Slipway galley")
    assert (order.good + order.lost) == 2
    shop = Shop(document)
    apart = [cost_of_blade(document, shop.model, piece).real.amount for piece in blades[:2]]
    assert abs(sum(apart) - order.real.amount) <= Decimal("0.20"), "each amount is rounded once"
    assert finished_on(document, blades[0]).startswith("2026-")
    assert isinstance(document.get("line1", OrderLine), OrderLine)
    assert isinstance(document.get("order1", OrderRecord), OrderRecord)


@given(st.lists(st.floats(0, 500), min_size=1, max_size=8), st.floats(0, 1.5), st.decimals(1, 300, places=2))
def test_every_amount_is_the_sum_of_its_parts(minutes, overhead, hour):
    document = without_orders(demo())
    batch = next(each for each in batches(document) if each.number == 3)
    blades = [piece.id for piece in blades_of(document, batch.id)]
    for spent, stage in zip(minutes, batch.stages[2:], strict=False):
        document = entered(document, batch.id, stage.name, blades, minutes=spent)
    document = entered(document, batch.id, batch.stages[2].name, blades[:1], kind=EntryKind.SCRAP, reason="cracked")
    charges = replace(document.settings.charges, overhead=overhead, hour=hour)
    found = cost_of(changed(document, replace(document.settings, charges=charges)), "Batch 3")
    for whole in (found.real, found.quoted):
        for _deep, amount in opened(whole):
            assert not amount.parts or amount.amount == sum(part.amount for part in amount.parts)
            assert amount.amount == round(amount.amount, 2)
