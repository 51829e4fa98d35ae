"""Orders, the ledger and layouts marked as cut: counts add up whatever is done, and everything can be taken back."""

from decimal import Decimal
from itertools import count

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.named import by_names
from tests.sentences import words_of
from workbook.document.action import said
from workbook.document.actions import ledger, orders, rack
from workbook.document.actions.ledger import Stamp
from workbook.document.actions.whole import change_settings
from workbook.document.document import Document, EditError, replacing
from workbook.document.orders import (
    by_date,
    customer_of,
    cut_by_line,
    for_orders,
    ledger_of,
    lines_of,
    still_to_cut,
    to_make,
)
from workbook.document.queries import job_of, layouts_kept, template_named
from workbook.document.records import BarRecord, MaterialRecord
from workbook.document.shop_records import CustomerRecord, OrderLine, OrderRecord, PieceRecord
from workbook.model.laying import finish, start_what_can
from workbook.nesting.model import Stock
from workbook.shop.costing import BarCost
from workbook.shop.job import Bar, Edges
from workbook.shop.ledger import Reason, balance
from workbook.shop.materials import Material, MaterialKind
from workbook.shop.orders import Status
from workbook.shop.quote import Option
from workbook.structs import replace
from workbook.tasks.demo import demo_document
from workbook.tasks.load import shaped
from workbook.tasks.marking import as_cut, offcuts_of, why_not
from workbook.tasks.searching import search

NUMBERS = count(1)
AT = "2026-11-26T10:00:00"


def new():
    return f"new{next(NUMBERS)}"


def stamp():
    return Stamp(new(), AT)


@pytest.fixture(scope="module")
def document():
    return demo_document()


def have(document, id_):
    return ledger.have(document.records[id_])


steps = st.lists(
    st.tuples(
        st.sampled_from(["bought", "used", "returned", "scrapped", "counted", "undo"]), st.integers(1, 9), st.sampled_from("bm")
    ),
    max_size=14,
)


@given(steps, st.integers(0, 5), st.sampled_from([0.0, 0.1, 0.7, 2.5]))
def test_a_ledger_adds_up_whatever_is_done(steps, bars, glue):
    document = Document()
    bar = Bar(name="bar", steel="O1", thickness=2.0, width=50.0, length=900.0, have=bars)
    document = document.applied(rack.add_bar(document, bar, "b", stamp()))
    material = Material(name="glue", kind=MaterialKind.ADHESIVE, have=glue)
    document = document.applied(rack.add_material(document, material, "m", stamp()))
    done = []
    for what, by, of in steps:
        if what == "undo":
            if done:
                document = document.applied(done.pop().inverse)
            continue
        try:
            edit = booked(document, what, Decimal(by) if of == "b" else Decimal(by) / 10, of)
        except EditError:
            continue
        document = document.applied(edit)
        done += [edit] if edit.changes else []
        for id_ in "bm":
            entries = ledger_of(document, id_)
            assert balance(entries) == have(document, id_) >= 0
            assert all(entry.at for entry in entries), "nothing lay there before the ledger"


def booked(document, what, by, of):
    if what == "counted":
        if of == "b":
            return rack.change_bar(document, "b", replace(document.get("b", BarRecord).bar, have=int(by)), stamp())
        own = document.get("m", MaterialRecord).material
        return rack.change_material(document, "m", replace(own, have=float(by)), stamp())
    why = {"bought": Reason.BOUGHT, "used": Reason.USED, "returned": Reason.RETURNED, "scrapped": Reason.SCRAPPED}[what]
    return ledger.moved(document, of, why, -by if what in ("used", "scrapped") else by, stamp())


def test_what_lay_there_before_the_ledger_is_an_entry_of_its_own(document):
    (entry,) = ledger_of(document, "maple")
    assert (entry.by, entry.note) == (5, "before the ledger")


def test_an_order_is_made_for_a_customer_who_is_known_or_comes_to_be(document):
    first = document.applied(orders.order_for(document, "a. moreno", new, "2026-11-26"))
    assert len(list(first.all(CustomerRecord))) == 3
    then = first.applied(orders.order_for(first, "R. Okafor", new, "2026-11-26"))
    assert [customer_of(then, order) for order in by_date(then)] == [
        "The Slipway galley", "A. Moreno", "J. Lind", "A. Moreno", "R. Okafor",
    ]  # fmt: skip
    gone = then.applied(orders.remove_customer(then, "moreno"))
    assert customer_of(gone, gone.get("order2", OrderRecord)) == ""


def test_an_order_that_is_agreed_is_laid_out_until_it_is_done(document):
    assert not any(for_orders(document).values())
    agreed = document.applied(orders.set_status(document, "order2", Status.AGREED))
    names = {template_named(document, name).id: name for name in ("Petty", "Santoku type", "Paring")}
    assert {names[of]: n for (of, _), n in for_orders(agreed).items() if n} == {"Santoku type": 1}
    done = agreed.applied(orders.set_status(agreed, "order2", Status.DELIVERED))
    assert to_make(done) == to_make(document)


def test_an_order_is_laid_out_with_what_it_takes_to_have_enough(document):
    laid = document.applied(orders.lay(document, "order1", on=True))
    names = {template_named(document, name).id: name for name in ("Petty", "Santoku type", "Paring")}
    extra = {(names[of], steel): n for (of, steel), n in for_orders(laid).items() if n}
    assert extra == {("Petty", "52100"): 4, ("Paring", "O1"): 5}
    assert {(w.template, w.steel): w.quantity for w in by_names(job_of(laid)).make}["Petty", "52100"] == 6 + 4


def test_a_tick_of_the_makers_own_stays_when_the_order_goes_on(document):
    asked = document.applied(orders.lay(document, "order3", on=True))
    quoted = asked.applied(orders.set_status(asked, "order3", Status.QUOTED))
    assert quoted.get("order3", OrderRecord).laying
    off = document.applied(orders.set_status(document, "order1", Status.MAKING))
    assert not off.get("order1", OrderRecord).laying


def test_a_quoted_price_stands_until_what_it_rests_on_is_changed(document):
    quoted = document.applied(orders.quote(document, "order3", {"line4": Decimal("290.00")}, AT, new))
    line = quoted.get("line4", OrderLine)
    assert (line.agreed, line.revision, quoted.get("order3", OrderRecord).status) == (290, 1, Status.QUOTED)
    same = quoted.applied(orders.change_line(quoted, replace(line, note="thin"), "note"))
    assert same.get("line4", OrderLine).agreed == 290
    other = quoted.applied(orders.change_line(quoted, replace(line, options=(Option(words="sheath"),)), "options"))
    assert other.get("line4", OrderLine).agreed is None


def test_a_bar_kept_for_an_order_is_laid_out_for_that_one_only(document):
    bar = next(r for r in document.all(BarRecord) if r.bar.have == 1 and r.bar.steel == "O1")
    kept = document.applied(ledger.speak_for(document, bar.id, "order2", 1))
    free = next(b for b in job_of(kept).bars if b.name == bar.bar.name)
    assert free.have == 0
    laid = kept.applied(orders.lay(kept, "order2", on=True))
    assert next(b for b in job_of(laid).bars if b.name == bar.bar.name).have == 1
    aside = kept.applied(ledger.set_aside(kept, bar.id, aside=True))
    assert bar.bar.name not in [b.name for b in job_of(aside).bars]
    gone = kept.applied(orders.remove_order(kept, "order2"))
    assert gone.get(bar.id, BarRecord).spoken == ()


def laid_out(document):
    model = shaped(job_of(document))
    reduced, nesting, _ = start_what_can(model)
    *_, last = search(nesting, 0, lambda step: step >= 4)
    return finish(reduced, nesting, last, 0)


@pytest.fixture(scope="module")
def cut(document):
    """The demo with an order laid out, before and after it was marked as cut."""
    before = document.applied(orders.lay(document, "order1", on=True))
    laid = laid_out(before)
    assert not why_not(laid)
    return before, laid, as_cut(before, laid, 0.3, AT, new)


def test_marked_as_cut_bars_leave_offcuts_come_and_blanks_go_to_their_orders(cut):
    before, laid, edit = cut
    after = before.applied(edit)
    pieces = [piece for piece in after.all(PieceRecord) if piece.bar]
    assert len(pieces) == sum(len(use.pieces) for use in laid.layout.bars) == 6 + 4 + 4 + 4 + 5
    assert cut_by_line(after) == {"line1": 4, "line2": 5}
    assert not still_to_cut(after)
    assert sum(piece.cost for piece in pieces) == laid.costs.material
    offcuts = [r for r in after.all(BarRecord) if r.id not in before.records]
    assert sum((r.bar.price for r in offcuts), Decimal(0)) == laid.costs.credit
    assert all((r.bar.have, r.bar.offcut, r.bar.buy) == (1, True, False) for r in offcuts)
    for record in after.all(BarRecord):
        assert balance(ledger_of(after, record.id)) == record.bar.have >= 0
    used = [e for r in before.all(BarRecord) for e in ledger_of(after, r.id) if e.why is Reason.USED]
    assert -balance(used) == len(laid.layout.bars)
    assert [layout.cut for layout in layouts_kept(after)] == [AT]
    assert before == after.applied(edit.inverse)


def test_steel_is_conserved_by_area_when_it_is_cut(cut):
    before, laid, edit = cut
    after, stock = before.applied(edit), laid.nesting.stock
    left = sum(r.bar.true_length * r.bar.true_width for r in after.all(BarRecord) if r.id not in before.records)
    keep, uses = laid.model.job.settings.keep_offcut, zip(laid.layout.bars, laid.costs.each, strict=True)
    wanted = sum(cost.offcut * stock[use.stock].width for use, cost in uses if cost.offcut >= keep)
    beside = sum(each.length * each.width for cost in laid.costs.each for each in cost.beside)
    assert left == pytest.approx(wanted + beside, abs=100.0 * 0.01 * len(laid.layout.bars))
    bars = sum(stock[use.stock].length * stock[use.stock].width for use in laid.layout.bars)
    blanks = laid.costs.utilisation * bars
    assert left + blanks < bars


def test_an_offcut_beside_blanks_goes_to_the_rack_as_a_bar_of_its_own_with_a_sawn_edge(document):
    settings = document.settings
    eager = replace(settings, rules=replace(settings.rules, keep_offcut=100.0, keep_width=14.0))
    before = document.applied(change_settings(document, eager, "rules.keep_width", 14.0))
    laid = laid_out(before)
    beside = [each for cost in laid.costs.each for each in cost.beside]
    assert beside
    after = before.applied(as_cut(before, laid, 0.3, AT, new))
    came = [r.bar for r in after.all(BarRecord) if r.id not in before.records]
    strips = [bar for bar in came if bar.edges is Edges.SAWN]
    assert sorted((bar.length, bar.width) for bar in strips) == sorted((each.length, each.width) for each in beside)
    assert all(bar.offcut and bar.have == 1 and not bar.buy and bar.slant == 0.0 for bar in strips)
    assert all(bar.measured.width is None and bar.measured.length is None for bar in strips)
    assert len({bar.name for bar in came}) == len(came)
    assert sum((bar.price for bar in came), Decimal(0)) == laid.costs.credit
    more = after.applied(rack.order(after, template_named(after, "Paring").id, "O1", 1, new()))
    stock = start_what_can(shaped(job_of(more)))[1].stock
    assert {(bar.width, bar.length) for bar in strips} <= {(item.width, item.length) for item in stock}, "found on the rack"


def test_an_offcut_of_a_bought_bar_is_square_though_the_one_on_the_rack_is_not(document):
    """Bars of the kind on the rack have a slanting end; those that are bought do not, nor do their offcuts."""
    record = next(r for r in document.all(BarRecord) if r.bar.buy)
    slanted = replace(record.bar, slant=100.0, offcut=True)
    cost = BarCost(
        price=Decimal(10), used=500.0, offcut=400.0, beside=(), credit=Decimal(4), utilisation=0.3, pieces=(Decimal(6),)
    )
    laid = laid_out(document)
    stock = Stock(name="b", width=record.bar.width, length=900.0, price=Decimal(10), count=1, source="buy")
    tailed = replace(stock, source="offcut", length=800.0, beyond=100.0)
    (bought,), (own,) = (list(offcuts_of(slanted, each, cost, laid, "layout")) for each in (stock, tailed))
    assert (bought.slant, bought.length, bought.price) == (0.0, 400.0, Decimal(4))
    assert (own.slant, own.length, own.true_length) == (100.0, 500.0, 400.0)


def test_an_offcut_too_small_to_be_a_bar_is_not_booked_however_little_is_kept(document):
    settings = document.settings
    all_kept = replace(settings, rules=replace(settings.rules, keep_offcut=0.0, keep_width=0.0))
    before = document.applied(change_settings(document, all_kept, "rules.keep_width", 0.0))
    laid = laid_out(before)
    after = before.applied(as_cut(before, laid, 0.3, AT, new))
    came = [r.bar for r in after.all(BarRecord) if r.id not in before.records]
    assert came
    assert all(bar.width >= 3.0 and bar.length >= 10.0 for bar in came)


def test_no_serial_is_given_twice_in_a_workbook(cut):
    before, _, edit = cut
    after = before.applied(edit)
    more = after.applied(rack.order(after, template_named(after, "Petty").id, "52100", 3, new()))
    laid = laid_out(more)
    again = more.applied(as_cut(more, laid, 0.3, AT, new))
    serials = [piece.serial for piece in again.all(PieceRecord) if piece.bar]
    assert len(serials) == len(set(serials)) == 23 + 3


def test_every_action_on_orders_can_be_taken_back(document):
    line = document.get("line1", OrderLine)
    order = document.get("order1", OrderRecord)
    for edit in (
        orders.change_customer(document, replace(document.get("lind", CustomerRecord), contact="by post")),
        orders.remove_customer(document, "lind"),
        orders.order_for(document, "", new, "2026-11-26"),
        orders.change_order(document, replace(order, discount=Decimal(5)), "discount"),
        orders.remove_order(document, "order1"),
        orders.add_line(document, replace(line, id="x", order="order3")),
        orders.change_line(document, replace(line, quantity=9), "quantity"),
        orders.remove_line(document, "line1"),
        ledger.moved(document, "maple", Reason.USED, Decimal(-2), stamp()),
    ):
        after = document.applied(edit)
        assert after != document
        assert words_of(edit)
        assert after.applied(edit.inverse) == document


def test_more_than_there_is_does_not_leave(document):
    with pytest.raises(EditError, match="5 on hand, so 6 cannot be taken"):
        ledger.moved(document, "maple", Reason.USED, Decimal(-6), stamp())


def test_an_order_that_goes_leaves_its_blanks_to_the_shop(cut):
    before, _, edit = cut
    after = before.applied(edit)
    gone = after.applied(orders.remove_order(after, "order1"))
    assert not cut_by_line(gone)
    assert sum(bool(piece.bar) for piece in gone.all(PieceRecord)) == 23
    assert not lines_of(gone, "order1")


def test_a_bar_that_was_bought_has_not_the_heat_of_those_on_the_rack(document):
    bars = [replace(r, bar=replace(r.bar, heat="H 1")) for r in document.all(BarRecord)]
    before = document.applied(replacing(document, said("bars of a heat"), bars))
    laid = laid_out(before)
    after = before.applied(as_cut(before, laid, 0.3, AT, new))
    bought = {laid.nesting.stock[use.stock].name for use in laid.layout.bars if laid.nesting.stock[use.stock].source == "buy"}
    taken = {laid.nesting.stock[use.stock].name for use in laid.layout.bars} - bought
    heats = {(piece.bar in bought, piece.heat) for piece in after.all(PieceRecord) if piece.bar in bought ^ taken}
    assert heats == {(True, ""), (False, "H 1")}
    offcuts = [r.bar for r in after.all(BarRecord) if r.id not in before.records]
    assert all((bar.heat == "") == any(name in bar.origin for name in bought) for bar in offcuts)
