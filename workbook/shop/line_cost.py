"""The cost of a line of an order: steel, materials, work elsewhere, hours and overhead, for the batch and by batch size."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from functools import lru_cache

from msgspec import Struct

from workbook.shop.charges import Charges, starts_of
from workbook.shop.labour import By, Sizes, Stage, StageTime, of_knife, share_good, times
from workbook.shop.money import NOTHING, Money, cents, priced
from workbook.shop.needs import Use
from workbook.shop.pricing import Pricing, price_for
from workbook.shop.worked import Worked, total
from workbook.shop.yields import enough, short_of
from workbook.structs import replace
from workbook.texts import _, ngettext

STEEL, MATERIALS, ELSEWHERE, WORK, OVERHEAD = _("Steel"), _("Handle and materials"), _("Outside work"), _("Work"), _("Overhead")
LOSSES = _("Spares and losses")
_GROWS = {By.OUTLINE: _("by its outline"), By.BLADE: _("by its blade"), By.HANDLE: _("by its handle")}


class Batch(Struct, frozen=True, kw_only=True):
    """A batch: the good knives wanted, the blanks started, and what a blank and a knife take."""

    quantity: int
    starts: int
    steel: Decimal  # for all that are started
    steel_how: str
    uses: tuple[Use, ...]
    money: Money
    sizes: Sizes = Sizes()
    minutes: float = 0.0  # known minutes of one knife; 0: by its sizes
    others: int = 0  # blanks started for other lines, which go through the stages with these
    orders: tuple[int, ...] = ()  # the numbers of the other orders among those

    @property
    def share(self) -> float:
        """The share of a set-up that these blanks carry."""
        return self.starts / (self.starts + self.others) if self.others else 1.0


def starts_words(quantity: int, starts: int, charges: Charges) -> str:
    """The number of blanks to start in words, with the chance that it is enough."""
    share = share_good(charges.stages)
    first = _(
        "Start {starts} for {quantity} ({share:.0%} yield): {enough:.0%} sure",
        starts=starts,
        quantity=quantity,
        share=share,
        enough=enough(quantity, starts, share),
    )
    if starts == quantity:
        return first
    fewer = enough(quantity, starts - 1, share)
    return f"{first}. {_('Start {starts}: {enough:.0%} sure', starts=starts - 1, enough=fewer)}"


@lru_cache(maxsize=256)  # a quote is redrawn at every key press, with the cost of each batch size
def cost_of(batch: Batch, charges: Charges) -> Worked:
    """All costs of a batch; every amount is rounded once, to the cent."""
    work = total(WORK, list(_work(batch, charges)), _("{hours} for all", hours=hours(minutes_of(batch, charges))))
    overhead = Worked(
        OVERHEAD,
        cents(work.amount * Decimal(repr(charges.overhead))),
        _("{overhead:.0%} of the work: {amount}", overhead=charges.overhead, amount=priced(work.amount, batch.money)),
    )
    parts = [
        Worked(STEEL, batch.steel, batch.steel_how),
        total(MATERIALS, list(_materials(batch))),
        total(ELSEWHERE, list(_elsewhere(batch, charges))),
        work,
        overhead,
    ]
    parts += _losses(batch, charges)
    lines = [part for part in parts if part.amount or part.words in (STEEL, WORK)]
    return total(_("Cost"), lines, starts_words(batch.quantity, batch.starts, charges))


def _losses(batch: Batch, charges: Charges) -> Iterator[Worked]:
    """The expected cost of losses: blades short are made again at the cost of a good one, and spare ones are worth as much.

    So a knife carries its own share of loss, however many are started.
    """
    share = share_good(charges.stages)
    if share >= 1 or not batch.starts:
        return
    work = sum((cents(charges.hour * Decimal(repr(each)) / 60) for each in _run_while_lost(batch, charges)), NOTHING)
    of_starts = sum((part.amount for part, use in zip(_materials(batch), batch.uses, strict=True) if use.of_starts), NOTHING)
    outside = sum((cents(service.piece * batch.starts) for service in charges.outside), NOTHING)
    cost = batch.steel + of_starts + outside + cents(work * (1 + Decimal(repr(charges.overhead))))
    good_cost = cost / batch.starts / Decimal(repr(share))
    short = short_of(batch.quantity, batch.starts, share)
    spare = batch.starts * share - batch.quantity + short
    how = _(
        "expected: {short:.2f} remade, {over:.2f} spare. A blade that may be lost is worth {amount}, without set-up",
        short=short,
        over=spare,
        amount=priced(cents(good_cost), batch.money),
    )
    yield Worked(LOSSES, cents(good_cost * Decimal(repr(short - spare))), how)


def _run_while_lost(batch: Batch, charges: Charges) -> Iterator[float]:
    """Minutes, without set-up, of every stage in or after which a blank may still be lost."""
    bare = [replace(stage, set_up=0.0) for stage in _stages(batch, charges)]
    for n, time in enumerate(times(bare, batch.starts, batch.quantity, charges.learning, charges.allowance)):
        if share_good(charges.stages[n:]) < 1:
            yield time.minutes


def _materials(batch: Batch) -> Iterator[Worked]:
    for use in batch.uses:
        count = batch.starts if use.of_starts else batch.quantity
        amount = cents(use.material.price * Decimal(repr(use.amount)) * count)
        used, unit = f"{use.amount:.3g}", use.material.per
        how = (
            _("{used} {unit} per blank started × {count}", used=used, unit=unit, count=count)
            if use.of_starts
            else _("{used} {unit} per knife × {count}", used=used, unit=unit, count=count)
        )
        each = _("{amount} each", amount=priced(use.material.price, batch.money))
        yield Worked(use.material.name, amount, "; ".join((how, each, use.why)))


def _elsewhere(batch: Batch, charges: Charges) -> Iterator[Worked]:
    for service in charges.outside:
        amount = cents(service.batch * Decimal(repr(batch.share))) + cents(service.piece * batch.starts)
        set_up, each = priced(service.batch, batch.money), priced(service.piece, batch.money)
        how = _("{set_up} per batch and {each} per blank × {starts}", set_up=set_up, each=each, starts=batch.starts)
        yield Worked(service.name, amount, "; ".join((how, *_shared(batch))))


def _shared(batch: Batch) -> Iterator[str]:
    """What is said of a set-up that is shared with other lines."""
    if batch.orders and batch.others:
        yield ngettext(
            "{share:.0%} of the set-up, shared by blanks with order {orders}",
            "{share:.0%} of the set-up, shared by blanks with orders {orders}",
            len(batch.orders),
            share=batch.share,
            orders=", ".join(map(str, batch.orders)),
        )
    elif batch.others:
        yield _("{share:.0%} of the set-up, shared by blanks", share=batch.share)


def _stages(batch: Batch, charges: Charges) -> tuple[Stage, ...]:
    return of_knife(charges.stages, batch.sizes, batch.minutes)


def stage_times(batch: Batch, charges: Charges) -> list[StageTime]:
    """The time of every stage for a batch, with its share of the set-ups."""
    stages = [replace(stage, set_up=stage.set_up * batch.share) for stage in _stages(batch, charges)]
    return times(stages, batch.starts, batch.quantity, charges.learning, charges.allowance)


def minutes_of(batch: Batch, charges: Charges) -> float:
    """Minutes of all stages together."""
    return sum(stage.minutes for stage in stage_times(batch, charges))


def _work(batch: Batch, charges: Charges) -> Iterator[Worked]:
    for stage, time in zip(_stages(batch, charges), stage_times(batch, charges), strict=True):
        amount = cents(charges.hour * Decimal(repr(time.minutes)) / 60)
        yield Worked(time.name, amount, "; ".join(_time_words(batch, charges, stage, time)))


def _time_words(batch: Batch, charges: Charges, stage: Stage, time: StageTime) -> Iterator[str]:
    """How the time of a stage came about, point by point."""
    set_up, pieces, minutes = f"{stage.set_up:g}", f"{time.pieces:.3g}", f"{stage.minutes:.3g}"
    yield _("{set_up} min and {pieces} × {minutes} min", set_up=set_up, pieces=pieces, minutes=minutes)
    yield from _shared(batch)
    if batch.minutes:
        yield _("what this template takes")
    elif stage.by is not By.KNIFE:
        yield _GROWS[stage.by]
    if charges.learning < 1:
        yield _("each doubling at {learning:.0%}", learning=charges.learning)
    if charges.allowance:
        yield _("plus {allowance:.0%}", allowance=charges.allowance)
    yield _("{hours} at {amount} per hour", hours=hours(time.minutes), amount=priced(charges.hour, batch.money))


def hours(minutes: float) -> str:
    """Minutes as hours and minutes: "3 h 20 min"."""
    rounded = round(minutes)
    if rounded < 60:
        return _("{whole} min", whole=rounded)
    return _("{hours} h {minutes:02d} min", hours=rounded // 60, minutes=rounded % 60)


class BySize(Struct, frozen=True):
    """A batch size, with the cost and the price of a knife."""

    quantity: int
    cost: Decimal
    price: Decimal


def by_size(batch: Batch, charges: Charges, pricing: Pricing, sizes: Sequence[int]) -> list[BySize]:
    """A knife's cost and price at each batch size; the steel of a blank costs the same as in this batch."""
    rows = []
    for quantity in sizes:
        starts = starts_of(quantity, charges)
        steel = cents(batch.steel * starts / max(batch.starts, 1))
        cost = cost_of(replace(batch, quantity=quantity, starts=starts, steel=steel), charges).one_of(quantity)
        rows.append(BySize(quantity, cost, price_for(cost, pricing, charges.step)))
    return rows
