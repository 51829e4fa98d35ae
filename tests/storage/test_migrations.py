"""A file of every version ever released opens as it was meant; there is a step from each to the next."""

from decimal import Decimal
from pathlib import Path

import pytest

from tests.sentences import words_of
from workbook.document.orders import customer_of, cut_by_line, ledger_of, lines_of
from workbook.document.queries import job_of, layouts_kept
from workbook.document.records import AT_HAND, BarRecord, LayoutRecord, MaterialRecord, Revision
from workbook.document.shop_records import CustomerRecord, OrderRecord, PieceRecord
from workbook.shop.job import Quench
from workbook.shop.ledger import Why
from workbook.shop.orders import Status
from workbook.shop.pricing import Way
from workbook.storage.file import read, written
from workbook.storage.migrations import STEPS, VERSION
from workbook.template.model import FreePoint, Held, Run, Taper
from workbook.template.service import DxfVersion
from workbook.template.tools import Owned

SAMPLES = Path(__file__).parents[1] / "samples"


def test_there_is_a_sample_of_every_version_and_a_step_from_each_to_the_next():
    assert [(SAMPLES / f"version-{n}.shopbook").is_file() for n in range(1, VERSION + 1)] == [True] * VERSION
    assert set(STEPS) == set(range(1, VERSION))


@pytest.mark.parametrize("version", range(1, VERSION + 1))
def test_the_sample_of_a_version_opens_with_all_it_holds(version):
    body, _ = read(SAMPLES / f"version-{version}.shopbook")
    job = job_of(body.document)
    assert [t.name for t in job.templates] == ["Petty", "Santoku type", "Paring", "Fillet"]
    assert job.template("Petty").blade.length == 141.0
    assert len(job.bars) == 5
    assert sum(wish.quantity for wish in job.make) == 14
    assert job.saw.band == 6.35
    assert len(list(body.document.all(Revision))) == 1
    assert [words_of(step) for step in body.steps][-1] == "Fillet: blade length 7 1/4 in"
    assert (body.done, len(body.steps)) == {1: (4, 5), 2: (9, 10), 3: (13, 14), 4: (15, 16), 5: (19, 20), 6: (20, 21)}[version]


def test_version_2_holds_materials_tools_layouts_and_settings():
    document = read(SAMPLES / "version-2.shopbook")[0].document
    assert [record.material.name for record in document.all(MaterialRecord)] == ["curly maple", "brass pin 1/4"]
    assert document.tools.owned == Owned(wheels=(254.0, 50.8), files=(6.35,), drills=("number", "fraction"))
    (layout,) = document.all(LayoutRecord)
    assert [(bar.bar in document.records, len(bar.pieces)) for bar in layout.bars] == [(True, 2)]
    assert (layout.name, layout.steel, layout.bars[0].pieces[0].pinned) == ("Layout 1", Decimal("31.00"), True)
    settings = document.settings
    assert (settings.paper, settings.printer.x, settings.steps.mm, settings.prices.shipping) == (
        "a4",
        99.7,
        0.25,
        Decimal("4.50"),
    )


def test_version_3_holds_readings_of_a_bar_tools_heat_and_a_grind():
    document = read(SAMPLES / "version-3.shopbook")[0].document
    measured = next(bar.measured for bar in job_of(document).bars if bar.measured.anything)
    assert (measured.middle, measured.far, measured.bow) == (1.99, 2.01, 0.4)
    owned = document.tools.owned
    assert (owned.angle_step, owned.stone, owned.projection, owned.jig_offset) == (0.5, 200.0, 139.0, 12.0)
    rules = document.settings.rules
    assert (rules.quench, rules.heat, rules.soak) == (Quench.OIL, 801.7, 15.0)
    petty = job_of(document).template("Petty")
    assert (petty.grind.held, petty.grind.taper, petty.grind.swedge) == (Held.ANGLE, Taper.AFTER, 50.0)
    assert petty.handle.fasteners == "nickel silver"


def test_version_4_holds_a_gauges_steps_printers_and_services():
    document = read(SAMPLES / "version-4.shopbook")[0].document
    assert document.tools.owned.gauge_step == 0.02
    settings = document.settings
    assert (settings.paper, settings.printer.name, settings.printer.x, settings.printer.margin) == ("a3", "office", 99.7, 5.0)
    assert [(printer.name, printer.y, printer.roll) for printer in settings.printers] == [("plotter", 100.3, 610.0)]
    jet = settings.service
    assert (jet.name, jet.version, jet.kerf, jet.tabs, jet.tab) == ("jet", DxfVersion.R12, 0.9, 3, 1.2)
    assert job_of(document).service == jet
    assert [service.name for service in settings.services] == ["laser"]


def test_version_5_holds_customers_orders_movements_pieces_and_rates():
    document = read(SAMPLES / "version-5.shopbook")[0].document
    (customer,), (order,) = document.all(CustomerRecord), document.all(OrderRecord)
    assert (customer.name, customer.hand_breadth, customer_of(document, order)) == ("A. Moreno", 82.0, "A. Moreno")
    assert (order.status, order.wanted, order.discount, order.tax) == (Status.QUOTED, "2027-01-15", Decimal("5.00"), 0.05)
    (line,) = lines_of(document, order.id)
    assert (line.options[0].words, line.pricing.way, line.starts, line.agreed) == ("sheath", Way.TARGET, 4, Decimal("165.00"))
    bar = next(document.all(BarRecord))
    assert (bar.bar.heat, bar.bar.slant, bar.spoken[0].count) == ("H 7", 3.0, 1)
    assert [(entry.why, entry.by) for entry in ledger_of(document, bar.id)][-1] == (Why.BOUGHT, 1)
    assert next(document.all(MaterialRecord)).material.knife == 0.5
    (piece,) = document.all(PieceRecord)
    assert (piece.serial, piece.line, cut_by_line(document)) == ("T1", line.id, {line.id: 1})
    charges = document.settings.charges
    assert (charges.hour, charges.stages[0].good, charges.outside[0].piece) == (Decimal("27.50"), 0.9, Decimal("2.10"))
    assert AT_HAND in document.records
    assert sorted(layout.cut[:4] for layout in layouts_kept(document)) == ["", "2026"]


def test_version_6_holds_free_points_and_what_a_bolt_clamps():
    template = job_of(read(SAMPLES / "version-6.shopbook")[0].document).template("Petty")
    assert template.blade.free == (FreePoint(run=Run.EDGE, at=0.4, x=0.5, y=-1.25),)
    assert template.handle.free == (FreePoint(run=Run.BUTT, at=0.25, y=1.0),)
    assert template.handle.shoulders == 9.0


def test_todays_sample_is_written_as_it_is():
    """A change of the format that is not a new version would show here."""
    sample = SAMPLES / f"version-{VERSION}.shopbook"
    assert written(read(sample)[0]) == sample.read_bytes()
