"""Customers, orders, cut blanks, and movements of stock: one frozen record for each."""

from decimal import Decimal

from msgspec import Struct, field

from workbook.shop.job import Measured
from workbook.shop.ledger import Reason
from workbook.shop.money import NOTHING
from workbook.shop.orders import Status
from workbook.shop.pricing import Pricing
from workbook.shop.quote import Option


class CustomerRecord(Struct, frozen=True, kw_only=True):
    """Someone who orders knives."""

    id: str
    place: float
    name: str
    contact: str = ""
    hand_breadth: float = 0.0  # mm; 0: not known
    notes: str = ""


class OrderRecord(Struct, frozen=True, kw_only=True):
    """What one customer ordered at one time."""

    id: str
    place: float
    number: int
    customer: str = ""  # the customer's id; "": for the shop's own stock
    status: Status = Status.ASKED
    taken: str = ""  # ISO dates
    wanted: str = ""
    quoted: str = ""
    discount: Decimal = NOTHING
    delivery: Decimal = NOTHING
    tax: float | None = None  # None: as the shop usually has it
    deposit: float | None = None
    notes: str = ""
    laying: bool = False  # its blanks are to be laid out
    batch: str = ""  # made together with the orders of the same batch; "": by itself


class OrderLine(Struct, frozen=True, kw_only=True):
    """A quantity of knives of one template in one steel: for an order or, with none, blanks to be made outside orders."""

    id: str
    place: float
    of: str  # the template's id
    steel: str
    quantity: int
    order: str = ""
    handle: str = ""  # the handle material's id
    sheath: str = ""  # the sheath material's id; "": without one
    options: tuple[Option, ...] = ()
    pricing: Pricing | None = None  # None: as the shop usually has it
    starts: int | None = None  # blanks to start; None: from the yield
    agreed: Decimal | None = None  # the price of one, once it was quoted
    revision: int = 0  # of the template when quoted; 0: not quoted yet
    note: str = ""


class Movement(Struct, frozen=True, kw_only=True):
    """An entry of the ledger: stock that was added or removed. `by` is negative for stock removed."""

    id: str
    place: float
    of: str  # the id of a bar or a material
    at: str  # ISO date and time
    why: Reason
    by: Decimal
    note: str = ""


class PieceRecord(Struct, frozen=True, kw_only=True):
    """A blade: its template, the bar it was cut from where that is known, the order line it is for, and its batch."""

    id: str
    place: float
    serial: str
    of: str  # the template's id
    name: str  # of the template, when cut
    revision: int
    steel: str
    bar: str  # the name of the bar it was cut from, when cut
    heat: str = ""
    line: str = ""  # the order line's id; "": for the shop's own stock
    cost: Decimal = NOTHING  # its share of the bar
    at: str = ""  # ISO date and time
    of_bar: str = ""  # the bar's id
    thickness: float = 0.0  # mm, of the bar, nominal; 0: not known
    width: float = 0.0
    measured: Measured = field(default_factory=Measured)  # the bar's readings when cut
    batch: str = ""  # the batch's id; "": cut before there were batches
    first: str = ""  # the first of its batch's stages that was not done before; "": the first of all
    handle: str = ""  # the id of the material of its scales, once it has them
    scales: str = ""  # the mark on its pair of scales
    price: Decimal | None = None  # that it is for sale at, before tax
    kept_at: str = ""  # where it is, once it is finished: a shelf, a show, with whoever sells it


class PictureRecord(Struct, frozen=True, kw_only=True):
    """A picture of something in the workbook: a template, a blade, an order."""

    id: str
    place: float
    of: str  # the id of what it shows
    picture: str  # the reference under which storage keeps its bytes
    words: str = ""  # the maker's caption
    at: str = ""  # ISO date and time


class Spoken(Struct, frozen=True, kw_only=True):
    """A number of bars of one kind reserved for an order."""

    order: str  # its id
    count: int
