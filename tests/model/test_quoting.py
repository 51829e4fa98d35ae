"""Orders worked out from a workbook: steel by a layout, materials by holes, what is missing said; a quote as page and text."""

from decimal import Decimal
from itertools import count

import pypdfium2
import pytest
from shapely.geometry import Polygon, box

from tests.named import named
from workbook.document.action import said
from workbook.document.actions import orders
from workbook.document.actions.whole import change_settings
from workbook.document.document import replacing
from workbook.document.orders import blanks_started, lines_of
from workbook.document.queries import job_of
from workbook.document.records import BarRecord, MaterialRecord
from workbook.document.shop_records import OrderLine, OrderRecord, PieceRecord
from workbook.formats import pdf
from workbook.formats.tables import facts
from workbook.geometry.path import flatten
from workbook.model.buying import material_needs, need_rows, open_lines, steel_needs, to_spend, uncut, without_bar
from workbook.model.laying import finish, start
from workbook.model.order_steel import SteelCost, at_once, of_lines, of_pieces, to_lay, wishes
from workbook.model.quoting import prices, sizes_in, sizes_of, worked_out
from workbook.shop.charges import Charges
from workbook.shop.job import Bar, PricePer, thickness_of
from workbook.shop.labour import Stage, of_knife
from workbook.shop.line_cost import WORK
from workbook.shop.materials import Material, MaterialKind
from workbook.shop.money import Money
from workbook.shop.orders import Status
from workbook.shop.pricing import PriceMethod, Pricing
from workbook.shop.quote import Option
from workbook.shop.steel import mass
from workbook.shop.worth import at_bench, weight_words, worth
from workbook.structs import replace
from workbook.tasks.demo import demo_document
from workbook.tasks.estimate import STEPS, laid_of, quick_layout
from workbook.tasks.estimate import estimate as make_estimate
from workbook.tasks.load import shaped
from workbook.tasks.quote_out import quote_pdf_pages, quote_text
from workbook.tasks.scales import pairs_of_one
from workbook.tasks.searching import search
from workbook.tasks.sheets import run_of
from workbook.units import INCH


@pytest.fixture(scope="module")
def shop():
    document = demo_document()
    return document, shaped(job_of(document))


@pytest.fixture(scope="module")
def laid(shop):
    document, model = shop
    lines = lines_of(document, "order1")
    reduced, nesting, why = to_lay(model, wishes(document, lines))
    assert not why
    return lines, laid_of(reduced, nesting, quick_layout(nesting))


def test_steel_by_a_layout_is_its_blanks_cost_to_the_cent(shop, laid):
    document, model = shop
    lines, layout = laid
    found = of_lines(document, layout, lines)
    assert set(found) == {"line1", "line2"}
    assert sum(steel.amount for steel in found.values()) == layout.costs.material
    work = worked_out(document, model, "order1", found)
    assert work.lines[0].cost.part("Steel").amount == found["line1"].amount
    assert "bars of a layout" in work.lines[0].cost.part("Steel").how


def test_two_lines_of_the_same_blanks_share_their_steel(shop):
    document, model = shop
    twin = replace(document.get("line1", OrderLine), id="twin", quantity=1)
    more = document.applied(orders.add_line(document, twin))
    lines = [line for line in lines_of(more, "order1") if line.of == twin.of]
    reduced, nesting, _ = to_lay(model, wishes(more, lines))
    layout = laid_of(reduced, nesting, quick_layout(nesting))
    found = of_lines(more, layout, lines)
    assert sum(steel.amount for steel in found.values()) == layout.costs.material


def test_before_there_is_a_layout_the_steel_is_counted_by_rows(shop):
    document, model = shop
    steel = at_once(document, model, document.get("line1", OrderLine))
    assert steel.known
    assert steel.amount > 0
    assert "in rows on 52100" in steel.how
    none = at_once(document, model, replace(document.get("line1", OrderLine), steel="D2"))
    assert (none.known, none.amount) == (False, 0)


def test_an_order_comes_to_what_its_lines_come_to_and_opens_to_the_cent(shop):
    document, model = shop
    work = worked_out(document, model, "order1", {})
    assert work.due.amount == work.totals.due == sum(line.quote.amount for line in work.lines)
    assert work.cost == sum(line.cost.amount for line in work.lines)
    for line in work.lines:
        assert sum(part.amount for part in line.price.parts) == line.price.amount
        assert not line.missing
    names = {part.words for part in work.lines[0].cost.part("Handle and materials").parts}
    assert {"green linen laminate", "brass handle bolt 3/16", "brass rod 1/8", "slow epoxy", "belts, all grits"} <= names


def test_a_pin_that_no_material_stands_for_is_said_not_counted(shop):
    document, model = shop
    bare = document.applied(
        replacing(document, said("stock"), [], [r.id for r in document.all(MaterialRecord) if r.id in ("brass", "bolt")])
    )
    line = worked_out(bare, model, "order1", {}).lines[0]
    assert line.missing == (
        "Not counted: 2 × bolt 3/16 in (not in stock).",
        "Not counted: 1 × pin 1/8 in (not in stock).",
    )


def test_a_price_aimed_at_is_the_price_whatever_it_costs(shop):
    document, model = shop
    line = replace(document.get("line4", OrderLine), pricing=Pricing(way=PriceMethod.TARGET, target=Decimal("140.00")))
    work = worked_out(document.applied(orders.change_line(document, line, "target")), model, "order3", {}).lines[0]
    assert work.price.amount == 140
    assert work.margin < 0, "it is sold for less than it costs, and that shows"


def test_what_was_quoted_stands_and_a_template_changed_since_is_said(shop):
    document, model = shop
    numbers = count(1)
    before = worked_out(document, model, "order3", {})
    quoted = document.applied(orders.quote(document, "order3", prices(before), "2026-11-26T10:00", lambda: f"n{next(numbers)}"))
    dearer = quoted.applied(
        change_settings(
            quoted, replace(quoted.settings, charges=replace(quoted.settings.charges, hour=Decimal(99))), "charges.hour"
        )
    )
    after = worked_out(dearer, model, "order3", {})
    assert after.totals.due == before.totals.due
    assert after.lines[0].margin < before.lines[0].margin


def test_the_size_of_the_batch_is_shown_with_the_batch_as_it_is(shop):
    document, model = shop
    line = worked_out(document, model, "order1", {}).lines[0]
    points = {point.quantity: point for point in sizes_of(line, document.settings.charges)}
    assert points[3].cost == line.cost.each(3).amount
    assert points[40].cost < points[1].cost


def test_the_quote_says_what_a_customer_needs_on_paper_and_as_text(shop):
    document, model = shop
    settings = replace(
        document.settings,
        shop="Tide Row",
        address="Workshop 2",
        contact="555 0123",
        charges=replace(document.settings.charges, tax=0.0825),
    )
    document = document.applied(change_settings(document, settings, "charges.tax"))
    work = worked_out(document, model, "order1", {})
    text = quote_text(document, work, "2026-11-26")
    for paper in ("letter", "a4"):
        pages = quote_pdf_pages(document, work, run_of(model.job, paper, ""), "2026-11-26")
        read = pypdfium2.PdfDocument(pdf.pdf(pages, "Quote"))[0].get_textpage().get_text_bounded()
        for words in (
            "Tide Row", "Quote 1", "November 26, 2026", "The Slipway galley", "Petty", "green linen laminate, blade guard",
            f"${work.totals.due:,}", f"${work.totals.deposit:,}", "Tax, 8.25%", "until December 26, 2026", "January 15, 2027",
            "Subtotal", "Balance", "Estimated completion", "Valid until", "Check your local law", "may change price and date",
            "555 0123", "overall 10",
        ):  # fmt: skip
            assert words in read, words
            assert words in text, words
    assert "blade 5 1/2 in, overall 10 1/8 in" in text
    assert "losses" not in text, "losses are the maker's own"
    assert "Cost" not in text, "what it costs the maker is his own"


def test_a_quote_of_many_lines_goes_on_to_the_next_page(shop):
    document, model = shop
    for n in range(60):
        document = document.applied(orders.add_line(document, replace(document.get("line1", OrderLine), id=f"more{n}")))
    work = worked_out(document, model, "order1", {})
    pages = quote_pdf_pages(document, work, run_of(model.job, "a4", ""), "2026-11-26")
    read = pypdfium2.PdfDocument(pdf.pdf(pages, "Quote"))
    text = "".join(page.get_textpage().get_text_bounded() for page in read)
    assert len(pages) > 2
    assert text.count("52100, green linen laminate, blade guard") == 61
    assert f"${work.totals.due:,}" in text


def test_what_open_orders_need_is_taken_or_bought(shop, laid):
    document, model = shop
    lines = open_lines(document)
    assert {line.order for line in lines} == {"order1"}
    assert [line.quantity for line in uncut(document, lines)] == [4, 5], "blanks to start"
    needs = {need.what: need for need in material_needs(document, model, lines)}
    assert (needs["green linen laminate"].needed, needs["green linen laminate"].buy) == (7, 0)
    assert needs["brass handle bolt 3/16"].needed == 6
    steel = steel_needs(laid[1])
    assert sum(need.needed for need in steel) == len(laid[1].layout.bars)
    assert to_spend(steel).amount == laid[1].costs.bought
    assert len({need.what for need in steel}) == len(steel), "each kind of bar once"
    assert all(need.needed == need.have + need.buy for need in steel)
    some = next(need for need in steel if need.buy)
    assert some.why.endswith("lb to buy"), "weights go with inches"
    assert need_rows(steel)[0][0] == "what"


def test_what_lies_too_low_is_bought_back_to_its_least(shop):
    document, model = shop
    record = document.get("linen", MaterialRecord)
    low = document.applied(replacing(document, said("stock"), [replace(record, material=replace(record.material, have=5.5))]))
    need = next(n for n in material_needs(low, model, open_lines(low)) if n.what == "green linen laminate")
    assert (need.buy, need.cost) == (6, Decimal("58.80"))  # 7 needed and 4 to be kept, 5.5 there: bought whole


def test_agreed_orders_count_as_open_and_no_others(shop):
    document, _ = shop
    more = document.applied(orders.set_status(document, "order2", Status.AGREED))
    assert {line.order for line in open_lines(more)} == {"order1", "order2"}


def test_the_stock_is_worth_what_lies_there(shop):
    document, model = shop
    bars, materials = (r.bar for r in document.all(BarRecord)), (r.material for r in document.all(MaterialRecord))
    whole = worth(bars, materials, model.facts)
    assert whole.amount == sum(part.amount for part in whole.parts)
    assert whole.part("Other materials").part("slow epoxy").amount == Decimal("36.00")


def test_pairs_of_scales_are_laid_out_on_a_sheet(shop):
    _, model = shop
    blank = next(blank for blank in model.shapes.values() if blank.name == "Petty")
    sheet = Material(name="sheet", kind=MaterialKind.HANDLE, size=9.6, width=150.0, length=300.0)
    pairs = pairs_of_one(sheet, blank, model.job.saw)
    assert 3 <= pairs <= 5
    thick = replace(sheet, size=9.6 * 2 + model.job.saw.kerf)
    assert pairs_of_one(thick, blank, model.job.saw) >= 2 * pairs
    assert pairs_of_one(replace(sheet, size=5.0), blank, model.job.saw) == 0
    assert pairs_of_one(replace(sheet, length=90.0), blank, model.job.saw) == 0


def test_a_bar_at_the_bench_is_its_steel_carriage_and_cut(shop):
    document, _ = shop
    bar = next(r.bar for r in document.all(BarRecord))
    dearer = replace(bar, per=PricePer.FOOT, price=Decimal("4.20"), shipping=Decimal("6.00"), cut_charge=Decimal("1.50"))
    opened = at_bench(dearer, 7.85, Money())
    assert opened.amount == Decimal("12.60") + Decimal("7.50")
    assert opened.part("Steel").how == "$4.20/ft × 3 ft"
    assert at_bench(replace(bar, shipping=Decimal(0), cut_charge=Decimal(0)), 7.85, Money()).parts[0].how == "$33.50 each"


def test_a_quarter_by_two_bar_a_foot_long_weighs_what_the_handbook_says(shop):
    """Steel handbook, flat bars: 1.70 lb/ft."""
    bar = Bar(name="", steel="1084", thickness=INCH / 4, width=2 * INCH, length=12 * INCH)
    assert weight_words(mass(bar, facts().density("1084")), "in") == "1.70 lb"
    assert weight_words(mass(bar, facts().density("1084")), "mm") == "0.77 kg"


def test_what_is_left_of_a_line_is_what_steel_is_needed_for(shop):
    document, _ = shop
    piece = PieceRecord(
        id="p", place=1.0, serial="Q1", of=document.get("line1", OrderLine).of, name="Petty", revision=1, steel="52100", bar="x",
        line="line1",
    )  # fmt: skip
    some = document.applied(replacing(document, said("stock"), [piece]))
    left = {line.id: line.quantity for line in uncut(some, open_lines(some))}
    assert left == {"line1": 4 - 1, "line2": 5}


def test_a_line_that_no_bar_suits_is_said_in_what_to_buy(shop):
    document, model = shop
    line = replace(document.get("line1", OrderLine), steel="D2")
    other = document.applied(orders.change_line(document, line, "steel"))
    assert without_bar(other, model, open_lines(other)) == ["No steel is counted: no bar of D2 here takes Petty."]


def test_steel_is_missed_only_where_no_bar_takes_a_blank(shop):
    """Of what is cut none is missed, though its bars are gone; where a bar has room for some, the layout tells of the others."""
    document, model = shop
    gone = replace(model, job=replace(model.job, bars=tuple(replace(bar, have=0, buy=False) for bar in model.job.bars)))
    line = document.get("line1", OrderLine)
    whole = without_bar(document, gone, uncut(document, [line]))
    assert whole == ["No steel is counted: no bar of 52100 here takes Petty."]
    cut = document
    for n in range(blanks_started(document, line)):
        piece = PieceRecord(
            id=f"p{n}", place=n, serial=f"Q{n}", of=line.of, name="Petty", revision=1, steel="52100", bar="b", line=line.id
        )
        cut = replace(cut, records={**cut.records, piece.id: piece})
    assert without_bar(cut, gone, uncut(cut, [line])) == []
    width = max(bar.width for bar in model.job.bars if bar.steel == "52100")
    one = replace(model.job.bars[0], steel="52100", thickness=thickness_of(named(model.job, "Petty")), width=width, length=170.0)
    short = replace(model, job=replace(model.job, bars=(replace(one, have=1, buy=False),)))
    assert not at_once(document, short, replace(line, quantity=9, starts=9)).known
    assert without_bar(document, short, [replace(line, quantity=9, starts=9)]) == []


def test_of_steel_that_is_known_in_part_it_is_not_said_that_none_is_counted(shop):
    document, model = shop
    gone = replace(model, job=replace(model.job, bars=()))
    line = document.get("line1", OrderLine)
    piece = PieceRecord(
        id="p",
        place=1.0,
        serial="Q1",
        of=line.of,
        name="Petty",
        revision=1,
        steel="52100",
        bar="b",
        line=line.id,
        cost=Decimal(5),
    )
    for records, begins in (
        (document.records, "The steel is not counted"),
        ({**document.records, "p": piece}, "Not all of the steel is counted"),
    ):
        work = worked_out(replace(document, records=records), gone, "order1", {}).lines[0]
        assert any(words.startswith(begins) for words in work.missing)


def test_belts_are_needed_for_every_blank_started(shop):
    document, model = shop
    need = next(n for n in material_needs(document, model, open_lines(document)) if n.what == "belts, all grits")
    assert need.needed == pytest.approx(1.4 * (4 + 5))


def test_extras_are_in_the_plot_as_they_are_in_the_price(shop):
    document, model = shop
    line = worked_out(document, model, "order1", {}).lines[0]
    points = {point.quantity: point for point in sizes_of(line, document.settings.charges)}
    assert points[3].price == line.price.amount


def test_the_plot_shows_the_batch_with_the_blanks_that_are_started_for_it(shop):
    document, model = shop
    line = replace(document.get("line1", OrderLine), starts=9)
    work = worked_out(document.applied(orders.change_line(document, line, "starts")), model, "order1", {}).lines[0]
    points = {point.quantity: point for point in sizes_of(work, document.settings.charges)}
    assert points[3].cost == work.cost.each(3).amount


def test_an_extra_that_costs_something_lowers_the_margin(shop):
    """A sheath for 45.00 that costs 20.00, on three knives: 60.00 more of cost, told nowhere else."""
    document, model = shop
    line = document.get("line4", OrderLine)
    told = {}
    for cost in ("0", "20.00"):
        extra = Option(words="sheath", price=Decimal("45.00"), cost=Decimal(cost))
        made = document.applied(orders.change_line(document, replace(line, options=(extra,)), "options"))
        told[cost] = worked_out(made, model, "order3", {}).lines[0]
    free, dear = told["0"].quote, told["20.00"].quote
    assert dear.amount == free.amount
    assert dear.cost - free.cost == line.quantity * Decimal("20.00")
    points = {point.quantity: point for point in sizes_of(told["20.00"], document.settings.charges)}
    for quantity, point in {p.quantity: p for p in sizes_of(told["0"], document.settings.charges)}.items():
        assert points[quantity].cost - point.cost == pytest.approx(Decimal("20.00"), abs=Decimal("0.01"))
    assert told["20.00"].one == pytest.approx(dear.cost / line.quantity, abs=Decimal("0.005"))
    assert told["20.00"].margin == pytest.approx(float((dear.amount - dear.cost) / dear.amount))


def work_of(document, model, order):
    """What the hours of an order come to."""
    return sum(
        part.amount for line in worked_out(document, model, order, {}).lines for part in line.cost.parts if part.words == WORK
    )


def test_orders_of_one_batch_share_its_set_up(shop):
    """90 minutes of set-up and no others, at 30.00 an hour: 45.00 for each order by itself, once for both in one batch."""
    document, model = shop
    only = (Stage(name="grind", set_up=60.0, minutes=0.0), Stage(name="heat", set_up=30.0, minutes=0.0))
    rates = replace(document.settings.charges, stages=only, outside=(), hour=Decimal("30.00"), allowance=0.0)
    alone = document.applied(change_settings(document, replace(document.settings, charges=rates), "charges.stages"))
    assert [work_of(alone, model, order) for order in ("order1", "order3")] == [Decimal("45.00"), Decimal("45.00")]

    together = alone
    for order, batch in (("order1", "Spring"), ("order3", " spring")):
        together = together.applied(
            orders.change_order(together, replace(together.get(order, OrderRecord), batch=batch), "batch")
        )
    first, third = (sum(blanks_started(alone, line) for line in lines_of(alone, order)) for order in ("order1", "order3"))
    share = work_of(together, model, "order1")
    assert share == pytest.approx(Decimal("45.00") * first / (first + third), abs=Decimal("0.03"))
    assert share + work_of(together, model, "order3") == pytest.approx(Decimal("45.00"), abs=Decimal("0.04"))
    (line,) = worked_out(together, model, "order3", {}).lines
    number = together.get("order1", OrderRecord).number
    assert f"shared by blanks with order {number}" in next(part for part in line.cost.parts if part.words == WORK).parts[0].how

    empty = together.applied(orders.order_for(together, "", lambda: "o900", "2026-12-01"))
    none = next(order for order in empty.all(OrderRecord) if not lines_of(empty, order.id))
    empty = empty.applied(orders.change_order(empty, replace(none, batch="spring"), "batch"))
    (line,) = worked_out(empty, model, "order3", {}).lines
    assert f"with order {number}" in next(part for part in line.cost.parts if part.words == WORK).parts[0].how

    declined = together.applied(orders.set_status(together, "order3", Status.DECLINED))
    assert [work_of(declined, model, order) for order in ("order1", "order3")] == [Decimal("45.00"), Decimal("45.00")]


def test_steel_at_once_takes_no_more_of_the_rack_than_lies_there(shop):
    """One offcut that holds two, free; whole bars are bought: five blanks are two of the one and three of the other."""
    document, model = shop
    line = replace(document.get("line1", OrderLine), quantity=5, starts=5)
    own = model.job.template(line.of)
    x0, y0, x1, y1 = model.shapes[line.of].extent()
    saw = model.job.saw
    gap, edge = saw.separation, 2 * saw.edge_margin
    sizes = {"thickness": thickness_of(own), "width": y1 - y0 + edge + 0.1, "steel": line.steel}
    offcut = Bar(name="offcut", length=2 * (x1 - x0) + gap + 2 * saw.bar_end + 0.1, have=1, buy=False, offcut=True, **sizes)
    bought = Bar(name="bought", length=3 * (x1 - x0) + 2 * gap + 2 * saw.bar_end + 0.1, price=Decimal("30.00"), **sizes)
    bars = shaped(replace(model.job, bars=(offcut, bought)))
    found = at_once(document, bars, line)
    assert found.amount == 3 * Decimal("10.00")
    assert "2 × " in found.how
    assert "offcut" in found.how
    short = at_once(document, shaped(replace(model.job, bars=(offcut,))), line)
    assert not short.known
    assert "have room for 2 of 5" in short.how


def test_what_was_cut_costs_what_it_cost(shop):
    """Pieces of the line at 4.10 and 3.90, whatever a layout of today would come to; a third is planned still."""
    document, _ = shop
    line = document.get("line1", OrderLine)
    pieces = [
        PieceRecord(id=f"p{n}", place=float(n), serial=f"P{n}", of=line.of, name="x", revision=1, steel=line.steel, bar="b",
                    line=line.id, cost=Decimal(cost))
        for n, cost in enumerate(("4.10", "3.90"))
    ]  # fmt: skip
    starts = blanks_started(document, line)
    cut = document.applied(replacing(document, said("cut"), pieces))
    planned = SteelCost(Decimal("10.00") * starts, "a layout")
    found = of_pieces(cut, line, planned)
    assert found.amount == Decimal("8.00") + (starts - 2) * Decimal("10.00")
    assert of_pieces(document, line, planned) == planned
    all_cut = [replace(pieces[0], id=f"q{n}", cost=Decimal("5.00")) for n in range(starts)]
    done = of_pieces(document.applied(replacing(document, said("cut"), all_cut)), line, planned)
    assert (done.amount, done.how) == (starts * Decimal("5.00"), f"{starts} blanks as cut")


def test_estimate_quote_and_lay_out_of_as_many_steps_come_to_the_same_and_more_are_never_dearer(demo):
    found = {}
    for steps in (1, 20, STEPS):
        *_, last = search(start(demo), 0, lambda step, most=steps: step >= most, repeatable=True)
        found[steps] = finish(demo, start(demo), last, 0)
    reduced, nesting, _ = to_lay(demo, demo.job.make)
    quoted = laid_of(reduced, nesting, quick_layout(nesting))
    for other in (make_estimate(demo).laid, quoted):
        assert other.layout == found[STEPS].layout
        assert (other.costs.bars, other.costs.material, other.steps) == (
            found[STEPS].costs.bars, found[STEPS].costs.material, STEPS,
        )  # fmt: skip
    costs = [laid.costs.material for laid in found.values()]
    assert costs == sorted(costs, reverse=True)


def test_a_santoku_takes_longer_than_a_petty_by_its_sizes(shop):
    """Areas and lengths by shapely from the outlines: blade ahead of the handle front, handle behind it."""
    _, model = shop
    for key, blank in model.shapes.items():
        whole = Polygon(flatten(blank.outline))
        found = sizes_in(model, key)
        assert found.outline == pytest.approx(whole.exterior.length, rel=1e-4)
        assert found.blade == pytest.approx(whole.intersection(box(0, -500, 2000, 500)).area, rel=1e-4)
        assert found.handle == pytest.approx(-whole.bounds[0], abs=0.02)
    keys = {blank.name: key for key, blank in model.shapes.items()}
    petty, santoku = (sizes_in(model, keys[name]) for name in ("Petty", "Santoku type"))
    stages = Charges().stages
    assert sum(s.minutes for s in of_knife(stages, santoku)) > 1.15 * sum(s.minutes for s in of_knife(stages, petty))
