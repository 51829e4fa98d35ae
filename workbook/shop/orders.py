"""The status of an order, and which orders count as open."""

from enum import StrEnum

from workbook.texts import _


class Status(StrEnum):
    """The status of an order."""

    ASKED = "asked for"
    QUOTED = "quoted"
    AGREED = "agreed"
    MAKING = "being made"
    DELIVERED = "delivered"
    DECLINED = "declined"


STATUS_WORDS = {
    Status.ASKED: _("inquiry"),
    Status.QUOTED: _("quoted"),
    Status.AGREED: _("accepted"),
    Status.MAKING: _("in progress"),
    Status.DELIVERED: _("delivered"),
    Status.DECLINED: _("declined"),
}
OPEN = (Status.AGREED, Status.MAKING)  # steel and materials are needed for these
TALKED_OF = (Status.ASKED, Status.QUOTED)
DONE = (Status.DELIVERED, Status.DECLINED)
