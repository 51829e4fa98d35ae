"""Changes to orders. Each is a step that can be undone."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from workbook.document.accounts import delivered, has_account
from workbook.document.actions import orders
from workbook.document.document import Document, Edit, joined
from workbook.document.orders import lines_of
from workbook.document.queries import template_named
from workbook.document.records import MaterialRecord, TemplateRecord
from workbook.document.shop_records import CustomerRecord, OrderLine, OrderRecord, PieceRecord
from workbook.model.quoting import OrderWork, prices
from workbook.shop.entry import EntryError
from workbook.shop.materials import MaterialKind
from workbook.shop.order_entry import OrderWish, iso_date, order_entry
from workbook.structs import replace
from workbook.tasks.work import new_id, now
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.work import Work


class OrderDesk:
    """Changes the orders of one workspace."""

    def __init__(self, space: Work) -> None:
        self._space = space

    @property
    def _document(self) -> Document:
        return self._space.session.document

    def entered(self, text: str, chosen: str) -> tuple[str, str, str]:
        """Add an order typed in one line. Return the problem in words, and the ids of the order and its new line.

        Without a customer the line is added to the chosen order, if there is one.
        """
        job = self._space.model.job
        steels = tuple(dict.fromkeys(bar.steel for bar in job.bars))
        try:
            wish = order_entry(text, [template.name for template in job.templates], steels)
        except EntryError as trouble:
            return str(trouble), "", ""
        of = template_named(self._document, wish.template).id
        steel = wish.steel or self._space.model.steel_of(of)
        if not steel:
            return (
                _(
                    "No bar is as thick as {template} needs. Name a steel, or add a bar on the Stock page.",
                    template=wish.template,
                ),
                "",
                "",
            )
        before, order = self._order(wish, chosen)
        document = self._document.applied(before) if before else self._document
        line = OrderLine(id=new_id(), place=0.0, of=of, steel=steel, quantity=wish.quantity, order=order, handle=self._handle())
        added = orders.add_line(document, line)
        edit = joined(before, added) if before else added
        return ("", order, line.id) if self._space.do(edit) else ("", "", "")

    def _order(self, wish: OrderWish, chosen: str) -> tuple[Edit | None, str]:
        """The order for a new line, new or chosen, with the edit that must come first, if any."""
        record = self._document.records.get(chosen)
        if isinstance(record, OrderRecord) and not wish.customer:
            dated = orders.change_order(self._document, replace(record, wanted=wish.wanted), "wanted") if wish.wanted else None
            return dated, chosen
        edit = orders.order_for(self._document, wish.customer, new_id, now()[:10])
        order = next(change.after for change in edit.changes if isinstance(change.after, OrderRecord))
        if wish.wanted:
            dated = orders.change_order(self._document.applied(edit), replace(order, wanted=wish.wanted), "wanted")
            edit = joined(edit, dated)
        return edit, order.id

    def _handle(self) -> str:
        """The first handle material, as the default of a new line."""
        handles = (m for m in self._document.all(MaterialRecord) if m.material.kind is MaterialKind.HANDLE)
        return next((record.id for record in handles), "")

    def another_line(self, order: str) -> str:
        """Add a line to an order, of a template not yet in it if possible. Return its id, or "" if no bar suits any template."""
        templates = {line.of for line in lines_of(self._document, order)}
        records = [record for record in self._document.all(TemplateRecord) if self._space.model.steel_of(record.id)]
        record = next((each for each in records if each.id not in templates), next(iter(records), None))
        if record is None:
            self._space.said.emit(_("No bar suits any template. Add one on the Stock page."))
            return ""
        steel = self._space.model.steel_of(record.id)
        line = OrderLine(id=new_id(), place=0.0, of=record.id, steel=steel, quantity=1, order=order, handle=self._handle())
        return line.id if self._space.do(orders.add_line(self._document, line)) else ""

    def change(self, after: OrderRecord, key: str) -> None:
        """Change a field of an order. Refuse a wrong date with a message."""
        before = self._document.get(after.id, OrderRecord)
        try:
            after = replace(after, wanted=iso_date(after.wanted)) if after.wanted and after.wanted != before.wanted else after
        except EntryError as trouble:
            self._space.refused.emit()
            self._space.said.emit(str(trouble))
            return
        if key == "status":
            self._space.do(orders.set_status(self._document, after.id, after.status))
        elif key == "laying":
            self.lay(after.id, after.laying)
        else:
            self._space.merge_edit(f"{after.id} {key}", orders.change_order(self._document, after, key))

    def change_line(self, after: OrderLine, key: str) -> None:
        """Change a field of a line."""
        self._space.merge_edit(f"{after.id} {key}", orders.change_line(self._document, after, key))

    def customer(self, order: str, key: str, value: Any) -> None:
        """Change a field of an order's customer."""
        customer = self._document.records.get(self._document.get(order, OrderRecord).customer)
        if isinstance(customer, CustomerRecord):
            self._space.merge_edit(
                f"{customer.id} {key}",
                orders.change_customer(self._document, replace(customer, **{key: value or type(getattr(customer, key))()})),
            )

    def drop_customer(self, order: str) -> None:
        """Take the customer of an order off the list; their orders stay."""
        customer = self._document.records.get(self._document.get(order, OrderRecord).customer) if order else None
        if isinstance(customer, CustomerRecord):
            self._space.do(orders.remove_customer(self._document, customer.id))

    def drop(self, order: str) -> None:
        """Remove an order with its lines, unless money or knives went with it."""
        if order and has_account(self._document, order):
            self._space.said.emit(_("This order has payments, an invoice or deliveries. Set its status to declined instead."))
        elif order:
            self._space.do(orders.remove_order(self._document, order))

    def drop_line(self, line: str) -> None:
        """Remove a line of an order, unless knives of it were delivered."""
        gone = delivered(self._document)
        if any(piece.line == line and piece.id in gone for piece in self._document.all(PieceRecord)):
            self._space.said.emit(_("Knives of this line were delivered. It stays."))
        elif line:
            self._space.do(orders.remove_line(self._document, line))

    def lay(self, order: str, on: bool) -> None:
        """Set whether an order's blanks are laid out."""
        self._space.do(orders.lay(self._document, order, on=on))

    def quoted(self, work: OrderWork) -> bool:
        """Mark the order as quoted at its present prices. Return False if it has no lines or could not be kept."""
        if not work.lines or self._space.session.read_only:
            return bool(work.lines)
        return self._space.do(orders.quote(self._document, work.order.id, prices(work), now(), new_id))
