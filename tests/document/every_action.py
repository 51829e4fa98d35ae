"""Every action of the document, each way it can go, on a shop whose ledger has entries."""

import importlib
import inspect
import pkgutil
from decimal import Decimal
from functools import partial
from itertools import count
from typing import get_type_hints

from workbook.document import actions, other_book
from workbook.document.action import Action
from workbook.document.actions import (
    accounts,
    cutting,
    families,
    knives,
    layouts,
    ledger,
    making,
    merging,
    orders,
    rack,
    templates,
    whole,
)
from workbook.document.actions.ledger import Stamp
from workbook.document.document import Edit
from workbook.document.making_records import BatchRecord, LoadRecord, RecipeRecord
from workbook.document.money_records import (
    AfterKind,
    AfterRecord,
    DeliveryRecord,
    ExpenseKind,
    ExpenseRecord,
    InvoiceLine,
    InvoiceRecord,
    PaymentKind,
    PaymentRecord,
    SaleRecord,
)
from workbook.document.queries import revisions_of, template_named
from workbook.document.records import BarRecord, KeptBar, KeptPiece, LayoutRecord, MaterialRecord
from workbook.document.shop_records import CustomerRecord, OrderLine, OrderRecord, PictureRecord, PieceRecord
from workbook.formats.family import family
from workbook.geometry.path import polyline
from workbook.heat.load import Cover, CycleKind, FileTest, HeatCycle, HeatLoad, HeatRecipe
from workbook.making.entry import EntryKind, Logged, MeasuredAt
from workbook.shop.job import NOMINAL, Bar, Choice
from workbook.shop.ledger import Reason
from workbook.shop.materials import Material, MaterialKind
from workbook.shop.orders import Status
from workbook.structs import replace
from workbook.tasks.demo import demo_document, demo_job
from workbook.template.drawn import DrawnTemplate
from workbook.template.model import Bevel
from workbook.template.parameters import changed
from workbook.template.tools import Owned

AT = "2026-11-26T10:00:00"
NUMBERS = count(1)
BAR = Bar(name="O1 bar", steel="O1", thickness=2.0, width=50.0, length=900.0, have=3)
MAPLE = Material(name="curly maple", kind=MaterialKind.HANDLE, per="pair", price=Decimal("14.00"), have=2.0, low=3.0)
OUTLINE = polyline([(-100.0, -10.0), (120.0, -10.0), (120.0, 10.0), (-100.0, 10.0)], closed=True)
DRAWN = DrawnTemplate(name="old pattern", source="old.dxf", thickness=2.0, outline=OUTLINE)
MOVED = Action("blank.moved", {"blank": "S1"})

PAID = PaymentRecord(id="paid", place=0.0, order="order1", date="2026-11-26", amount=Decimal("50.00"))
BILL = InvoiceRecord(
    id="bill", place=0.0, number=1, date="2026-11-26", order="order1", buyer="A. Moreno", tax=0.07,
    lines=(InvoiceLine(words="Petty", quantity=2, each=Decimal("290.00")),),
)  # fmt: skip
HONED = AfterRecord(id="honed", place=0.0, piece="a2", date="2026-11-26", minutes=12.0, price=Decimal("15.00"))
PICTURE = PictureRecord(id="photo", place=0.0, of="a1", picture="attachment:" + "0" * 64, at=AT)
SOLD = SaleRecord(id="sold", place=0.0, piece="a2", date="2026-11-26", price=Decimal("310.00"), tax=0.07)


def new():
    """An id nobody has."""
    return f"new{next(NUMBERS)}"


def stamp():
    """For an entry of the ledger."""
    return Stamp(new(), AT)


def petty(document):
    """The id of the Petty."""
    return template_named(document, "Petty").id


def a_layout(document):
    """A layout with one blank."""
    piece = KeptPiece(of=petty(document), revision=1, serial="S1", x=100.0, y=20.0, angle=0.0, mirrored=False)
    bar = KeptBar(bar=next(document.all(BarRecord)).id, pieces=(piece,))
    return LayoutRecord(id="lay", place=1.0, name="Layout 1", made=AT, steel=Decimal("9.50"), lost=0.3, bars=(bar,))


def blades(document):
    """Two blades that were begun elsewhere."""
    return making.Blades(of=petty(document), steel="O1", serials=("X1", "X2"), first="Drill the tang")


def _made():
    """Ids for what is begun by hand: made0, a batch, then its blades."""
    numbers = count()
    return lambda: f"made{next(numbers)}"


def entry(kind, **more):
    """An entry about both."""
    more = {"reason": "warped"} | more if kind in (EntryKind.SCRAP, EntryKind.REWORK, EntryKind.PASSED) else more
    return Logged(kind=kind, date=AT[:10], stage="Drill the tang", pieces=("made1", "made2"), **more)


def a_shop():
    """The demo with an outline from a file, entries in the ledger, revisions, a layout kept and one at hand."""
    document = demo_document()
    for edit in (
        partial(families.save_family, template=petty(document), name="House petty", new="house"),
        partial(rack.add_bar, bar=BAR, new="bar", stamp=stamp()),
        partial(rack.add_material, material=MAPLE, new="wood", stamp=stamp()),
        partial(ledger.moved, of="bar", why=Reason.USED, by=Decimal(-1), stamp=stamp()),
        partial(ledger.moved, of="wood", why=Reason.BOUGHT, by=Decimal("0.5"), stamp=stamp()),
        partial(templates.add_template, template=DRAWN, new="drawn"),
        partial(layouts.keep_layout, layout=a_layout(document), new=new),
        partial(layouts.put_at_hand, layout=a_layout(document), action=MOVED, new=new),
        partial(templates.set_parameter, template=petty(document), path="blade.length", value=135.0),
        partial(templates.keep_revision, template="drawn", new="drawn1", at=AT, why="cut file"),
        partial(making.add_blades, blades=blades(document), batch="", at=AT, new=_made()),
        partial(making.enter, batch="made0", entry=entry(EntryKind.DONE, minutes=95.0), typed=making.Typed("done", AT)),
        partial(making.give_to, blade="made2", line="line1"),
        partial(making.give_to, blade="a1", line="line1"),
        partial(accounts.pay, payment=PAID),
        partial(accounts.invoice, record=BILL),
        partial(accounts.sell, sale=SOLD),
        partial(knives.after, record=HONED),
        partial(knives.add_picture, record=PICTURE),
    ):
        document = document.applied(edit(document))
    return document


def public_actions():
    """The names of all functions by which an action is made: "rack.add_bar"."""
    found = set()
    for module in pkgutil.iter_modules(actions.__path__, f"{actions.__name__}."):
        for name, made in inspect.getmembers(importlib.import_module(module.name), inspect.isfunction):
            if made.__module__ == module.name and not name.startswith("_") and get_type_hints(made).get("return") is Edit:
                found.add(name_of(made))
    return found


def name_of(function):
    """The module and name of a function."""
    return f"{function.__module__.rpartition('.')[2]}.{function.__name__}"


def every_action(document):
    """Name of the function and its edit, at least once for each function and for each way it is told."""
    subjects = (
        _of_templates, _of_revisions, _of_stock, _of_ledger, _of_orders, _of_lines, _of_layouts, _of_making, _of_accounts,
        _of_the_whole,
    )  # fmt: skip
    for of_a_subject in subjects:
        for made in of_a_subject(document):
            yield name_of(made.func), made(document)


def _of_templates(document):
    own, record = petty(document), template_named(document, "Petty")
    longer = changed(record.family, "blade.length", 130.0)
    yield partial(templates.set_parameter, template=own, path="blade.length", value=130.0)
    yield partial(templates.set_parameter, template=own, path="grind.bevel", value=Bevel.HOLLOW)
    yield partial(templates.set_parameter, template=own, path="grind.height", value=20.0)
    yield partial(
        templates.reshape, template=own, after=longer, action=Action("template.scaled", {"part": "blade", "length": 130.0})
    )
    yield partial(templates.add_sizes, template=own, sizes=[longer], new=[new()])
    yield partial(templates.turn_end_for_end, template="drawn")
    yield partial(templates.set_thickness, template=own, thickness=3.0)
    yield partial(templates.set_thickness, template="drawn", thickness=3.0)
    yield partial(templates.set_minutes, template=own, minutes=95.0)
    for choice in (Choice("O1 bar"), Choice("O1 bar", cut=True), Choice(NOMINAL)):
        yield partial(templates.choose_bar, template=own, choice=choice)
    yield partial(templates.add_template, template=family("petty"), new=new())
    yield partial(templates.duplicate, template=own, new=new())
    yield partial(templates.rename, template=own, name="Utility")
    yield partial(templates.set_tags, template=own, tags=["gift", "small"])
    yield partial(templates.remove, template=own)
    yield partial(templates.remove, template="drawn")
    yield partial(families.save_family, template=own, name="House petty", new=new())
    yield partial(families.begin, family="house", new=new())
    yield partial(families.remove_family, family="house")


def _of_revisions(document):
    own = petty(document)
    (revision,) = revisions_of(document, own)
    yield partial(templates.keep_revision, template=own, new=new(), at=AT, why="cut file")
    yield partial(templates.keep_revision, template="drawn", new=new(), at=AT, why="cut file", note="as for Lind")
    others = [own, template_named(document, "Paring").id]
    yield partial(templates.keep_revisions, templates=others, at=AT, why="bar sheets", new=new)
    yield partial(templates.take_back, revision=revision.id)


def _of_stock(document):
    bar, wood = document.get("bar", BarRecord).bar, document.get("wood", MaterialRecord).material
    handle = next(line.handle for line in document.all(OrderLine) if line.handle)
    yield partial(rack.add_bar, bar=BAR, new=new(), stamp=stamp())
    yield partial(rack.change_bar, id="bar", bar=replace(bar, have=9), stamp=stamp())
    yield partial(rack.change_bar, id="bar", bar=replace(bar, price=Decimal(3)), stamp=stamp())
    yield partial(rack.remove_bar, id="bar")
    yield partial(rack.add_material, material=replace(MAPLE, name="ash"), new=new(), stamp=stamp())
    yield partial(rack.change_material, id="wood", material=replace(wood, have=1.5), stamp=stamp())
    yield partial(rack.remove_material, id="wood")
    yield partial(rack.remove_material, id=handle)
    yield partial(rack.order, template=petty(document), steel="O1", quantity=4, new=new())
    yield partial(rack.order, template=petty(document), steel="52100", quantity=0, new=new())


def _of_ledger(document):
    for why, by in ((Reason.BOUGHT, 2), (Reason.USED, -1), (Reason.RETURNED, 1), (Reason.SCRAPPED, -1), (Reason.ADJUSTED, 3)):
        yield partial(ledger.moved, of="bar", why=why, by=Decimal(by), stamp=stamp())
    yield partial(ledger.moved, of="wood", why=Reason.USED, by=Decimal("-0.5"), stamp=stamp())
    yield partial(ledger.speak_for, bar="bar", order="order1", count=1)
    yield partial(ledger.set_aside, bar="bar", aside=True)


def _of_orders(document):
    order = document.get("order1", OrderRecord)
    lind = document.get("lind", CustomerRecord)
    yield partial(orders.change_customer, after=replace(lind, contact="by post"))
    yield partial(orders.remove_customer, id="lind")
    yield partial(orders.order_for, name="", new=new, taken="2026-11-26")
    yield partial(orders.order_for, name="R. Okafor", new=new, taken="2026-11-26")
    for key, value in (("wanted", "2027-01-01"), ("discount", Decimal("5.00")), ("delivery", Decimal(3)), ("tax", 0.07),
                       ("deposit", 0.25), ("notes", "thin"), ("batch", "spring"), ("customer", "lind")):  # fmt: skip
        yield partial(orders.change_order, after=replace(order, **{key: value}), key=key)
    yield partial(orders.set_status, id="order2", status=Status.AGREED)
    yield partial(orders.lay, id="order1", on=True)
    yield partial(orders.remove_order, id="order1")
    prices = {line.id: Decimal("290.00") for line in document.all(OrderLine) if line.order == "order3"}
    yield partial(orders.quote, order="order3", prices=prices, at=AT, new=new)


def _of_lines(document):
    line = document.get("line1", OrderLine)
    yield partial(orders.add_line, line=replace(line, id=new(), order="order3"))
    for key in ("of", "steel", "handle", "quantity", "starts", "way", "share", "target", "options", "note"):
        yield partial(orders.change_line, after=replace(line, quantity=9), key=key)
    yield partial(orders.remove_line, id="line1")


def _of_layouts(document):
    piece = cutting.CutPiece(of=petty(document), serial="S9", cost=Decimal(3))
    bar = cutting.CutBar(bar="bar", bought=False, pieces=(piece,), offcuts=(replace(BAR, name="O1 short", length=200.0),))
    another = replace(a_layout(document), id="cut", name="Layout 2")
    yield partial(layouts.keep_layout, layout=replace(another, id="kept"), new=new)
    yield partial(layouts.put_at_hand, layout=replace(another, lost=0.2), action=MOVED, new=new)
    yield partial(layouts.rename_layout, id="lay", name="For Monday")
    yield partial(layouts.drop_layout, id="lay")
    yield partial(cutting.mark_cut, cut=[bar, replace(bar, bought=True)], layout=another, at=AT, new=new)


def _of_accounts(document):
    finished = [piece.id for piece in document.all(PieceRecord) if piece.batch == "autumn"]
    payment = PaymentRecord(id=new(), place=0.0, order="order2", date=AT[:10], amount=Decimal("50.00"), kind=PaymentKind.DEPOSIT)
    delivery = DeliveryRecord(id=new(), place=0.0, order="order1", date=AT[:10], pieces=(finished[0],))
    spent = ExpenseRecord(id=new(), place=1.0, date=AT[:10], amount=Decimal("88.10"), kind=ExpenseKind.TOOLS, supplier="a mill")
    yield partial(accounts.pay, payment=payment)
    yield partial(accounts.take_payment_back, wrong="paid", id=new(), date=AT[:10])
    yield partial(accounts.invoice, record=replace(BILL, id=new(), order="order2"))
    yield partial(accounts.cancel_invoice, id="bill", new=new(), date=AT[:10])
    yield partial(accounts.deliver, delivery=delivery)
    yield partial(accounts.sell, sale=SaleRecord(id=new(), place=0.0, piece=finished[2], date=AT[:10], price=Decimal(290)))
    yield partial(accounts.take_sale_back, wrong="sold", id=new(), date=AT[:10])
    yield partial(accounts.offer, blade=finished[2], price=Decimal("310.00"), kept_at="the show case")
    yield partial(accounts.spend, records=[spent])
    came_back = AfterRecord(id=new(), place=0.0, piece="a2", date=AT[:10], kind=AfterKind.RETURNED, note="the tip is bent")
    yield partial(knives.after, record=came_back)
    yield partial(knives.drop_after, id="honed")
    yield partial(knives.add_picture, record=replace(PICTURE, id=new()))
    yield partial(knives.drop_picture, id="photo")
    yield partial(knives.note_next_time, template=petty(document), words="Leave the heel 2 mm longer.")


def _of_making(document):
    yield partial(making.add_blades, blades=blades(document), batch="made0", at=AT, new=new)
    batch = document.get("made0", BatchRecord)
    yield partial(making.change_batch, after=replace(batch, name="For the show"))
    readings = (MeasuredAt(what="edge", where="heel", value=0.5),)
    for kind in EntryKind:
        if kind is not EntryKind.TAKEN_BACK:
            yield partial(making.enter, batch="made0", entry=entry(kind, readings=readings), typed=making.Typed(new(), AT))
    yield partial(making.enter, batch="made0", entry=entry(EntryKind.DONE, minutes=5.0), typed=making.Typed(new(), AT))
    yield partial(making.take_back, wrong="done", date=AT[:10], typed=making.Typed(new(), AT))
    yield partial(making.give_to, blade="made1", line="line1")
    yield partial(making.give_to, blade="made2", line="")
    cycles = (HeatCycle(kind=CycleKind.HARDEN, asked=802.0), HeatCycle(kind=CycleKind.TEMPER, asked=204.0, minutes=120.0))
    load = LoadRecord(
        id=new(), place=1.0, number=1, date=AT[:10], steel="O1", pieces=("made1", "made2"), load=HeatLoad(cycles=cycles)
    )
    yield partial(making.log_load, record=load)
    after = replace(load, load=HeatLoad(cycles=cycles, quenched="21:40", seconds=3.0, file=FileTest.SKATES))
    yield partial(making.change_load, record=after)
    own = HeatRecipe(cycles=cycles, cover=Cover.FOIL, source="trials", date=AT[:10])
    yield partial(making.keep_recipe, record=RecipeRecord(id=new(), place=1.0, steel="O1", recipe=own))
    yield partial(making.start_more, line="line1", count=1)
    yield partial(making.take_materials, scales={"made1": "wood"}, amounts={"wood": Decimal(1)}, at=AT, new=new)


def _of_the_whole(document):
    yield partial(whole.change_settings, settings=replace(document.settings, name="Other"), key="name", value="Other")
    yield partial(whole.change_tools, owned=Owned(wheels=(50.8,)), key="tools.wheels", value=(50.8,))
    theirs = demo_document()
    items = other_book.items(document, theirs)
    take = {item.key: item.choices[-1] for item in items}
    yield partial(merging.bring_from, theirs=theirs, items=items, choices=take, at=AT, new_id=new)
    yield partial(whole.bring_in, job=demo_job().job, new_id=new)
    more = (replace(BAR, have=7), replace(BAR, name="another"), replace(MAPLE, have=9.0), replace(MAPLE, name="beech"))
    yield partial(rack.bring_in_stock, items=more, at=AT, new=new)
