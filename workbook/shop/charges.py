"""A shop's rates: its hour, its stages, work done elsewhere, tax, deposit, prices, and the wording of its quotes.

The minutes and shares of a new workbook are common practice, no source: the maker can change each of them.
"""

from decimal import Decimal

from msgspec import Struct, field

from workbook.shop.labour import By, Stage, StageAsks, StageFor, StageKind, share_good, stages_of
from workbook.shop.money import NOTHING
from workbook.shop.pricing import Pricing
from workbook.shop.yields import starts_for
from workbook.structs import replace
from workbook.texts import _

STAGES = (
    Stage(name=_("Lay out and scribe"), set_up=10.0, minutes=4.0),
    Stage(name=_("Saw and profile"), set_up=10.0, minutes=18.0, by=By.OUTLINE),
    Stage(name=_("Drill the tang"), set_up=10.0, minutes=6.0),
    Stage(name=_("Grind before hardening"), set_up=10.0, minutes=22.0, by=By.BLADE, asks=StageAsks.EDGE, hold=True),
    Stage(
        name=_("Harden and temper"), set_up=45.0, minutes=8.0, good=0.96, kind=StageKind.ATTENDED, wait=300.0,
        asks=StageAsks.HARDNESS, hold=True, equipment=_("furnace"),
    ),
    Stage(name=_("Straighten and correct"), set_up=5.0, minutes=20.0, asks=StageAsks.BOW),
    Stage(name=_("Grind after hardening"), set_up=10.0, minutes=30.0, good=0.97, by=By.BLADE),
    Stage(name=_("Hand finish"), set_up=10.0, minutes=50.0, by=By.BLADE),
    Stage(
        name=_("Glue the handle"), set_up=20.0, minutes=30.0, by=By.HANDLE, kind=StageKind.ALONE, wait=960.0,
        of=StageFor.HANDLED, equipment=_("clamps"), cures=True,
    ),
    Stage(name=_("Shape the handle"), set_up=10.0, minutes=110.0, by=By.HANDLE, of=StageFor.HANDLED),
    Stage(
        name=_("Finish the handle"), set_up=10.0, minutes=60.0, by=By.HANDLE, kind=StageKind.ALONE, wait=720.0,
        of=StageFor.HANDLED,
    ),
    Stage(name=_("Sharpen"), set_up=5.0, minutes=30.0, asks=StageAsks.EDGE),
    Stage(name=_("Sew the sheath"), set_up=20.0, minutes=60.0, kind=StageKind.ALONE, wait=720.0, of=StageFor.SHEATHED),
    Stage(name=_("Mark, pack and send"), set_up=10.0, minutes=15.0),
)  # fmt: skip
TERMS = _("Changes after work has begun may change price and date.")
INCLUDED = _("Handmade, hardened and tempered, sharpened, with its care card.")


class Outside(Struct, frozen=True, kw_only=True):
    """Work done elsewhere: cutting by a service, heat treatment."""

    name: str
    batch: Decimal = NOTHING
    piece: Decimal = NOTHING  # for each blank started


class Charges(Struct, frozen=True, kw_only=True):
    """A shop's rates and its rules for costs and quotes."""

    hour: Decimal = Decimal("24.00")  # what an hour of work costs
    overhead: float = 0.35  # rent, power, tools: a share of what the work costs
    allowance: float = 0.10  # rest and interruptions: a share of the time at work
    learning: float = 1.0  # every doubling of a batch brings a piece to this share of its time
    stages: tuple[Stage, ...] = STAGES
    outside: tuple[Outside, ...] = ()
    confidence: float = 0.90  # the chance of enough good ones among those started
    pricing: Pricing = field(default_factory=Pricing)
    step: Decimal = Decimal("1.00")  # prices are rounded up to a multiple of this
    tax: float = 0.0
    deposit: float = 0.5
    valid: int = 30  # days a quote is valid
    included: str = INCLUDED
    terms: str = TERMS


def rates_for(charges: Charges, *, handled: bool, sheathed: bool) -> Charges:
    """The rates with the stages that a knife goes through."""
    return replace(charges, stages=stages_of(charges.stages, handled=handled, sheathed=sheathed))


def starts_of(quantity: int, charges: Charges) -> int:
    """The number of blanks to start for a quantity, at the shop's yield and confidence."""
    return starts_for(quantity, share_good(charges.stages), charges.confidence)
