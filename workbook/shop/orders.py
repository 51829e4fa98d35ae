"""The status of an order, and which orders count as open."""

from enum import StrEnum


class Status(StrEnum):
    """The status of an order."""

    ASKED = "asked for"
    QUOTED = "quoted"
    AGREED = "agreed"
    MAKING = "being made"
    DELIVERED = "delivered"
    DECLINED = "declined"


OPEN = (Status.AGREED, Status.MAKING)  # steel and materials are needed for these
TALKED_OF = (Status.ASKED, Status.QUOTED)
DONE = (Status.DELIVERED, Status.DECLINED)
