"""The words of actions in the shop: stock and its ledger, orders and their lines, layouts, blanks cut and to be made."""

from __future__ import annotations

from workbook.document.words.telling import Fields, Words
from workbook.texts import _


def _order_added(fields: Fields) -> str:
    return fields.tell(_("order {order:n} of {customer}") if fields.value("customer") else _("order {order:n}"))


def _material_removed(fields: Fields) -> str:
    if fields.value("lines"):
        return fields.tell(_("{material} deleted, also from {lines:n line|lines} of orders"))
    return fields.tell(_("{material} deleted"))


SHOP: dict[str, Words] = {
    "bar.added": _("bar {bar}"),
    "bar.changed": _("bar {bar} changed"),
    "bar.removed": _("bar {bar} deleted"),
    "bar.kept": _("{count:n} of {bar} reserved for order {order:n}"),
    "bar.kept_none": _("none of {bar} reserved for order {order:n}"),
    "bar.aside": _("{bar} excluded from layouts"),
    "bar.not_aside": _("{bar} included in layouts"),
    "material.added": _("material {material}"),
    "material.changed": _("{material} changed"),
    "material.removed": _material_removed,
    "stock.bought": _("{count} of {name} bought"),
    "stock.used": _("{count} of {name} used"),
    "stock.returned": _("{count} of {name} returned"),
    "stock.scrapped": _("{count} of {name} scrapped"),
    "stock.counted": _("{name} counted: {now}"),
    "stock.brought_in": _("{rows:n stock row|stock rows} imported"),
    "book.brought_in": _("{count:n item|items} imported from {book}"),
    "make.set": _("make {count:n} {template} of {steel}"),
    "make.none": _("no {template} of {steel}"),
    "customer.changed": _("customer {customer} changed"),
    "customer.removed": _("customer {customer} deleted"),
    "order.added": _order_added,
    "order.removed": _("order {order:n} deleted"),
    "order.status": _("order {order:n}: {status:status}"),
    "order.laid": _("order {order:n} included in the layout"),
    "order.not_laid": _("order {order:n} taken out of the layout"),
    "order.quoted": _("order {order:n} quoted"),
    "order.customer": _("order {order:n}: customer"),
    "order.wanted": _("order {order:n}: due {value}"),
    "order.discount": _("order {order:n}: discount {value}"),
    "order.delivery": _("order {order:n}: shipping {value}"),
    "order.tax": _("order {order:n}: tax {value:per_cent}"),
    "order.deposit": _("order {order:n}: deposit {value:per_cent}"),
    "order.batch": _("order {order:n}: batch {value:or none}"),
    "order.notes": _("order {order:n}: notes {value}"),
    "line.added": _("order {order:n}: {count:n} {template} of {steel}"),
    "line.removed": _("order {order:n}: {template} deleted"),
    "line.of": _("order {order:n}: template"),
    "line.steel": _("order {order:n}: steel"),
    "line.handle": _("order {order:n}: handle"),
    "line.sheath": _("order {order:n}: sheath"),
    "line.quantity": _("order {order:n}: quantity"),
    "line.starts": _("order {order:n}: blanks to start"),
    "line.way": _("order {order:n}: pricing"),
    "line.share": _("order {order:n}: margin or markup"),
    "line.target": _("order {order:n}: target price"),
    "line.options": _("order {order:n}: extras"),
    "line.note": _("order {order:n}: note"),
    "layout.kept": _("{layout} saved"),
    "layout.renamed": _("{layout} is now {name}"),
    "layout.dropped": _("{layout} deleted"),
    "layout.cut": _("{blanks:n blank|blanks} cut of {bars:n bar|bars}"),
    "blank.moved": _("{blank} moved"),
    "blank.turned": _("{blank} turned"),
    "blank.flipped": _("{blank} flipped"),
    "blank.cleared": _("{blank} moved clear"),
    "blank.other_bar": _("{blank} moved to another bar"),
    "blanks.exchanged": _("{blanks:few} exchanged"),
    "blanks.pinned": _("{blanks:few} pinned"),
    "blanks.let_go": _("{blanks:few} unpinned"),
}
