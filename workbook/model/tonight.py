"""What to do in the time there is: the lines of a plan with a reason for each, and what cannot be planned."""

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from math import ceil, inf

from msgspec import Struct

from workbook.document.document import Document
from workbook.document.making import name_of_batch
from workbook.document.making_records import BatchRecord
from workbook.document.orders import customer_of
from workbook.document.records import TemplateRecord
from workbook.document.shop_records import OrderRecord
from workbook.making.minutes import minutes_words
from workbook.model.lots import Upcoming
from workbook.model.waits import refused
from workbook.planning.calendar import NOTHING_HELD, Calendar, Held
from workbook.planning.model import DAY, Block, Lot, Operation, Plan, Stint
from workbook.planning.ordering import STEPS, PlanSearch, dates
from workbook.shop.labour import Stage, StageKind
from workbook.structs import replace
from workbook.texts import _, ngettext

At = Callable[[float], str]  # the ISO moment after some minutes
_HALF_DAY = DAY / 2


class PlanLine(Struct, frozen=True, kw_only=True):
    """One thing to do."""

    upcoming: Upcoming
    stage: Stage
    start: float  # minutes from now
    end: float
    blades: tuple[str, ...]  # ids; none for blanks still to be cut
    count: float  # blades; a part of one where it takes longer than the time there is
    set_up: bool
    whys: tuple[str, ...]  # sentences


class Evening:
    """The plan for the time there is, bettered while it is looked at."""

    def __init__(
        self, upcoming: Sequence[Upcoming], stints: Sequence[Stint], steps: int = STEPS, held: Held = NOTHING_HELD
    ) -> None:
        """`held`: until when equipment is held by waits that go on, minutes from now, by its name."""
        self.upcoming, self.stints = upcoming, stints
        self.first = stints[0] if stints else Stint(start=0.0, end=0.0)  # the time there is
        self.lots = [self._lot(each) for each in upcoming]
        self.held = held
        self.search = PlanSearch(self.lots, stints, steps, self.held)

    def _lot(self, each: Upcoming) -> Lot:
        """What is at a service is not there for the time there is, whenever it should be back."""
        return replace(each.lot, ready=max(each.lot.ready, self.first.end)) if each.away else each.lot

    def lines(self, document: Document, at: At) -> list[PlanLine]:
        """What to do before leaving, in order."""
        plan = self.search.plan()
        named = [n for n, each in enumerate(self.upcoming) if each.of]  # not what is only a sum of later orders
        blocks = [block for block in plan.blocks if block.start < self.first.end and block.lot in named]
        taken = defaultdict[tuple[int, int], float](float)
        lines, late = list[PlanLine](), dict[int, str]()
        for block in blocks:
            key = block.lot, block.operation
            lines.append(self._line(document, plan, block, taken[key], at, late))
            taken[key] += block.pieces
        return lines

    def _line(self, document: Document, plan: Plan, block: Block, before: float, at: At, late: dict[int, str]) -> PlanLine:
        each = self.upcoming[block.lot]
        stage = each.stages[block.operation]
        return PlanLine(
            upcoming=each, stage=stage, start=block.start, end=block.end, count=block.pieces, set_up=block.set_up,
            blades=each.blades[int(before) : ceil(before + block.pieces - 1e-6)],
            whys=tuple(self._whys(document, plan, block, at, late)),
        )  # fmt: skip

    def _whys(self, document: Document, plan: Plan, block: Block, at: At, late: dict[int, str]) -> Iterator[str]:
        """Why a line comes now; `late`: what leaving a lot would make later, as far as it is known."""
        each, operation = self.upcoming[block.lot], self.lots[block.lot].operations[block.operation]
        if each.red and block.operation == 0:
            yield _("Quenched, not tempered: it can crack by itself. Temper before all else.")
        if each.held and block.operation == 0:
            yield _("Measure first: the hold point at {stage} keeps them.", stage=each.held)
        yield from _wait_words(document, operation, block, at)
        if not block.set_up and operation.set_up:
            yield _("The set-up is there already.")
        if block.lot not in late:
            late[block.lot] = self._if_not(document, plan, block.lot)
        yield late[block.lot] or _due_words(document, each, plan.done[block.lot])

    def _if_not(self, document: Document, plan: Plan, lot: int) -> str:
        """What is later when a lot is left until after the time there is; "" for nothing."""
        lots = [replace(each, ready=max(each.ready, self.first.end)) if n == lot else each for n, each in enumerate(self.lots)]
        order, calendar = self.search.order, Calendar(self.stints, lots, self.held)
        behind = [*(n for n in order if n != lot), *(n for n in order if n == lot)]  # all else may go first
        before = _of_orders(self.upcoming, plan.done)
        same, other = (_of_orders(self.upcoming, dates(lots, each, calendar)) for each in (order, behind))
        later = {order: min(same[order], other[order]) - before[order] for order in before if before[order] < inf}
        worst = max(later, key=lambda order: later[order], default="")
        record = document.records.get(worst)
        if not isinstance(record, OrderRecord) or later[worst] < _HALF_DAY:
            return ""
        if later[worst] == inf:
            return _("Otherwise order {order} fits into no later hours of the shop.", order=record.number)
        days = max(round(later[worst] / DAY), 1)
        return ngettext(
            "Otherwise order {order} is a day later.", "Otherwise order {order} is {count} days later.", days, order=record.number
        )


def _of_orders(upcoming: Sequence[Upcoming], done: Sequence[float]) -> Mapping[str, float]:
    """When each order is done, by its id."""
    ends = dict[str, float]()
    for each, when in zip(upcoming, done, strict=True):
        if each.order:
            ends[each.order] = max(when, ends.get(each.order, 0.0))
    return ends


def _wait_words(document: Document, operation: Operation, block: Block, at: At) -> Iterator[str]:
    if not operation.wait:
        return
    until = document.settings.local.moment(at(block.end + operation.wait))
    if operation.kind is StageKind.ATTENDED:
        yield _("Stay until {until}.", until=until[-5:])
    elif operation.kind is StageKind.OUTSIDE:
        yield _("Back about {until}.", until=until)
    else:
        yield _("Then it waits by itself until {until}.", until=until)


def _due_words(document: Document, each: Upcoming, done: float) -> str:
    order = document.records.get(each.order)
    if not isinstance(order, OrderRecord) or not order.wanted:
        return _("Fits into the time there is.")
    due = document.settings.local.brief_day(order.wanted)
    if done <= each.lot.due:
        return _("Order {order} is due {due}.", order=order.number, due=due)
    return _("Order {order} is due {due} and late.", order=order.number, due=due)


def line_words(document: Document, line: PlanLine) -> str:
    """What a line asks for: "Glue the handle, 4 Petty, Batch 2"."""
    each = line.upcoming
    batch = document.records.get(each.batch)
    where = name_of_batch(batch) if isinstance(batch, BatchRecord) else _order_words(document, each)
    what = _names(document, each, line.count)
    return _("{stage}, {what}, {where}", stage=line.stage.name, what=what, where=where)


def _order_words(document: Document, each: Upcoming) -> str:
    order = document.records.get(each.order)
    if not isinstance(order, OrderRecord):
        return _("not cut yet")
    whose = customer_of(document, order)
    return _("order {number}, {whose}", number=order.number, whose=whose) if whose else _("order {number}", number=order.number)


def _names(document: Document, each: Upcoming, count: float) -> str:
    names = list(dict.fromkeys(_name(document, of) for of in each.of))
    much = f"{count:.0f}" if abs(count - round(count)) < 1e-6 else f"{count:.1f}"
    return f"{much} {' / '.join(name for name in names if name)}".strip()


def _name(document: Document, template: str) -> str:
    record = document.records.get(template)
    return record.template.name if isinstance(record, TemplateRecord) else ""


def unplanned(document: Document, evening: Evening) -> list[str]:
    """What fits into no hours of the shop, one sentence for each stage."""
    plan, found = evening.search.plan(), dict[str, str]()
    longest = max((each.end - each.start for each in evening.stints), default=0.0)
    placed = {(block.lot, block.operation) for block in plan.blocks}
    for n, done in enumerate(plan.done):
        if done < inf:
            continue
        lot = evening.lots[n]
        at = next((at for at in range(len(lot.operations)) if (n, at) not in placed), -1)
        if at >= 0:
            operation = lot.operations[at]
            why = refused(document, evening.upcoming[n].stages[at])
            found.setdefault(operation.stage, _too_long(operation, longest, why))
    return list(found.values())


def _too_long(operation: Operation, longest: float, why: str) -> str:
    needs = operation.set_up + operation.each + (operation.wait if operation.kind is StageKind.ATTENDED else 0.0)
    if operation.each == inf:
        return why
    if needs <= longest:
        return _("{stage} does not fit into the hours of the shop.", stage=operation.stage)
    return _(
        "{stage} needs {needs} without leaving. The longest time you have is {longest}: add a longer day under Shop hours.",
        stage=operation.stage, needs=minutes_words(needs), longest=minutes_words(longest),
    )  # fmt: skip


def lots_in(evening: Evening, order: str) -> list[int]:
    """The numbers of the lots of an order."""
    return [n for n, each in enumerate(evening.upcoming) if each.order == order]
