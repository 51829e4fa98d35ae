"""The words of actions about money and deliveries."""

from __future__ import annotations

from workbook.document.words.telling import Words
from workbook.texts import _

ACCOUNTS: dict[str, Words] = {
    "payment.entered": _("order {order:n}: {kind:payment} of {amount}"),
    "payment.taken_back": _("order {order:n}: payment of {amount} taken back"),
    "delivery.entered": _("order {order:n}: {count:n knife|knives} delivered"),
    "invoice.issued": _("invoice {number:n} for order {order:n}"),
    "invoice.cancelled": _("invoice {number:n} cancels that of order {order:n}"),
    "knife.sold": _("{blade} sold for {amount}"),
    "knife.came_back": _("{blade} came back"),
    "knife.offered": _("{blade}: price and location"),
    "expenses.changed": _("expenses changed"),
    "knife.after": _("{blade}: {kind:after}"),
    "knife.after_removed": _("{blade}: “{kind:after}” removed"),
    "knife.pictured": _("{blade}: picture added"),
    "knife.picture_removed": _("{blade}: picture removed"),
}
