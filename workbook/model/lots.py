"""What is still to be done in the shop: the blades of all batches by where they stand, and blanks still to be cut."""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial
from math import inf

from msgspec import Struct

from workbook.document.accounts import finished_of, ordered
from workbook.document.document import Document
from workbook.document.making import batches, blades_of, is_sheathed, order_of, standings_in, untempered, waits_for_temper
from workbook.document.making_records import BatchRecord, EntryRecord
from workbook.document.orders import not_cut
from workbook.document.shop_records import OrderLine, OrderRecord, PieceRecord
from workbook.making.standing import CellState, Standing
from workbook.model.own_numbers import OwnNumbers
from workbook.model.waits import last_waits, moment_of, refused, wait_of
from workbook.planning.model import Lot, Operation
from workbook.shop.labour import Stage, StageAsks, StageKind
from workbook.shop.orders import OPEN
from workbook.structs import replace
from workbook.texts import _

MOST = 20  # lots that are planned one by one
_AHEAD = (CellState.OPEN, CellState.NEXT, CellState.AGAIN)
_LAST = "9999"  # after all dates
_FURNACE = _("furnace")
Ahead = Callable[[str], float]  # minutes from now until an ISO moment; less than 0 once it is over


class Upcoming(Struct, frozen=True, kw_only=True):
    """Blades at the same point, with what lies before them."""

    lot: Lot
    stages: tuple[Stage, ...]  # of its operations, in their order
    batch: str = ""  # its id; "": not cut yet
    blades: tuple[str, ...] = ()  # ids
    of: tuple[str, ...] = ()  # of each blade, the id of its template
    order: str = ""  # the id of the order they are for; "": the shop's own
    held: str = ""  # the stage whose hold point keeps them
    away: bool = False  # at a service
    red: bool = False  # quenched, and not tempered since


class _Point(Struct, frozen=True):
    """What blades of a batch have in common that go on together."""

    stages: tuple[str, ...]
    due: str
    order: str
    held: str
    away: bool
    red: bool  # quenched, and not tempered since


class _Found(Struct, frozen=True):
    """A lot before it is worked out."""

    due: str  # ISO date; `_LAST` for none
    key: str
    order: str
    build: Callable[[], Upcoming]
    rough: Callable[[], float]  # its minutes by the rates


def lots_of(document: Document, own: OwnNumbers, ahead: Ahead, order: str = "", most: int = MOST) -> list[Upcoming]:
    """Everything that is still to be done, by due date. `ahead`: minutes until a moment.

    Of more than so many lots the others are one, of all their minutes: no small shop has as many. Those of the `order` that
    is asked for are never among them.
    """
    going = [each for batch in batches(document) for each in _of_batch(document, own, batch, ahead, order)]
    found = sorted([*going, *_to_cut(document, own, ahead)], key=lambda each: (each.due, each.key))
    near = [each for n, each in enumerate(found) if n < most or (order and each.order == order)]
    far = [each for n, each in enumerate(found) if n >= most and not (order and each.order == order)]
    return [*(each.build() for each in near), *([_backlog(far, ahead)] if far else [])]


def _backlog(far: Sequence[_Found], ahead: Ahead) -> Upcoming:
    """Lots that are due later, as one that nobody works on tonight."""
    minutes = sum(each.rough() for each in far)
    stage = Stage(name=_("Later orders"), set_up=0.0, minutes=minutes)
    work = Operation(stage=stage.name, set_up=0.0, each=minutes, pieces=1)
    lot = Lot(key="~~", operations=(work,), due=_due(far[0].due, ahead), knives=0.0)
    return Upcoming(lot=lot, stages=(stage,))


def _of_batch(document: Document, own: OwnNumbers, batch: BatchRecord, ahead: Ahead, asked: str) -> Iterator[_Found]:
    groups, standings = defaultdict[_Point, list[PieceRecord]](list), standings_in(document, batch.id)
    names, red = [stage.name for stage in batch.stages], document.once(_red)
    for piece in blades_of(document, batch.id):
        standing = standings[piece.id]
        if standing.next:  # neither lost nor finished
            groups[_point(document, names, standing, piece, asked=asked, red=piece.id in red)].append(piece)
    last = last_waits(document, batch) if groups else {}
    for point, pieces in groups.items():
        yield _Found(
            "" if point.red else point.due, _key_of(batch, pieces), point.order,
            partial(_upcoming, document, own, batch, point, pieces, last, ahead), partial(_rough, document, own, point, pieces),
        )  # fmt: skip


def _key_of(batch: BatchRecord, pieces: Sequence[PieceRecord]) -> str:
    return f"{batch.number:06} {pieces[0].serial}"


def _rough(document: Document, own: OwnNumbers, point: _Point, pieces: Sequence[PieceRecord]) -> float:
    """Minutes of the stages before some blades, by the rates."""
    rates = own.rates.of(pieces[0].of, sheathed=is_sheathed(document, pieces[0]))
    return sum(rates[name].set_up + rates[name].minutes * len(pieces) for name in point.stages if name in rates)


def _red(document: Document) -> frozenset[str]:
    """The ids of blades that were quenched and not tempered since."""
    loads = untempered(document)
    return frozenset(piece for load in loads for piece in load.pieces if waits_for_temper(document, piece, load))


def _waiting_order(document: Document, piece: PieceRecord, asked: str) -> OrderRecord | None:
    """The order that waits for a blade, open or `asked` for; None for one of the shop's own, or over what is ordered."""
    order = order_of(document, piece)
    if order is None or not (order.status in OPEN or order.laying or order.id == asked):
        return None
    return order if finished_of(document, order.id) < ordered(document, order.id) else None


def _point(document: Document, names: Sequence[str], standing: Standing, piece: PieceRecord, *, asked: str, red: bool) -> _Point:
    states = [cell.state for cell in standing.cells]
    order = _waiting_order(document, piece, asked)
    return _Point(
        stages=tuple(name for name, state in zip(names, states, strict=True) if state in _AHEAD),
        due=(order.wanted or _LAST) if order else _LAST,
        order=order.id if order else "",
        held=next((name for name, state in zip(names, states, strict=True) if state is CellState.HELD), ""),
        away=CellState.SENT in states,
        red=red,
    )


def _upcoming(
    document: Document, own: OwnNumbers, batch: BatchRecord, point: _Point, pieces: Sequence[PieceRecord],
    last: Mapping[str, tuple[str, EntryRecord]], ahead: Ahead,
) -> Upcoming:  # fmt: skip
    stages = {stage.name: stage for stage in batch.stages}
    ahead_of = tuple(_with_equipment(own, stages[name]) for name in point.stages)
    temper = _temper_of(own, batch) if point.red else None
    if temper is not None:  # it was in the fire, whatever is entered
        heated = _until(batch, temper)
        ahead_of = (temper, *(stage for stage in ahead_of if stage.kind is not StageKind.ATTENDED or stage.name not in heated))
    ready = 0.0
    for piece in pieces:
        stage, record = last.get(piece.id, ("", None))
        wait = wait_of(document, stages[stage]) if record else 0.0
        ready = max(ready, ahead(moment_of(record)) + wait) if record else ready
    kinds = Counter((piece.of, is_sheathed(document, piece)) for piece in pieces)
    operations = [_operation(document, own, stage, kinds) for stage in ahead_of]
    if temper is not None:  # the work is done: only the temper is left
        operations[0] = replace(operations[0], set_up=0.0, each=0.0, at_once=0)
    ahead_of, joined = _tended_together(ahead_of, operations)
    lot = Lot(
        key=_key_of(batch, pieces),
        operations=joined,
        due=_due(point.due, ahead),
        knives=float(len(pieces)) if point.order else _SPARE * len(pieces),
        ready=0.0 if temper is not None else ready,
        urgent=temper is not None,
    )
    return Upcoming(
        lot=lot, stages=ahead_of, batch=batch.id, blades=tuple(piece.id for piece in pieces),
        of=tuple(piece.of for piece in pieces), order=point.order, held=point.held,
        away=point.away, red=temper is not None,
    )  # fmt: skip


_SPARE = 0.5  # of a knife that a customer waits for


def _temper_of(own: OwnNumbers, batch: BatchRecord) -> Stage | None:
    """The stage at which blades of a batch are tempered: the last that is tended; None where none is."""
    tended = [stage for stage in batch.stages if stage.kind is StageKind.ATTENDED]
    asked = [stage for stage in tended if stage.asks is StageAsks.HARDNESS] or tended
    return _with_equipment(own, asked[-1]) if asked else None


def _until(batch: BatchRecord, last: Stage) -> list[str]:
    """The names of a batch's stages up to one of them."""
    names = [stage.name for stage in batch.stages]
    return names[: names.index(last.name) + 1]


def _tended_together(stages: Sequence[Stage], operations: Sequence[Operation]) -> tuple[tuple[Stage, ...], tuple[Operation, ...]]:
    """Stages with their operations, where one fire follows another as one: a quench is not left without its temper."""
    names, joined = list[Stage](), list[Operation]()
    for stage, each in zip(stages, operations, strict=True):
        last = joined[-1] if joined else None
        if last is not None and last.kind is StageKind.ATTENDED and each.kind is StageKind.ATTENDED:
            joined[-1] = replace(
                last, set_up=last.set_up + each.set_up, each=last.each + each.each, wait=last.wait + each.wait,
                holds=last.holds or each.holds, at_once=min(last.at_once or each.at_once, each.at_once or last.at_once),
            )  # fmt: skip
        else:
            names.append(stage)
            joined.append(each)
    return tuple(names), tuple(joined)


def _due(due: str, ahead: Ahead) -> float:
    return inf if due == _LAST else ahead(f"{due}T23:59:00")


def _with_equipment(own: OwnNumbers, stage: Stage) -> Stage:
    """A stage as the batch has it, with the equipment of today's where it has none. A fire has a furnace in any case."""
    today = next((each for each in own.charges.stages if each.name == stage.name), stage)
    equipment = stage.equipment or today.equipment or (_FURNACE if stage.kind is StageKind.ATTENDED else "")
    return replace(stage, equipment=equipment, at_once=stage.at_once or today.at_once, cures=stage.cures or today.cures)


def _operation(document: Document, own: OwnNumbers, stage: Stage, kinds: Mapping[tuple[str, bool], int]) -> Operation:
    """A stage of some blades, in the shop's own minutes. `kinds`: how many of each template, with a sheath or without."""
    name, count, minutes, set_ups = stage.name, sum(kinds.values()), 0.0, list[float]()
    for (of, sheathed), number in kinds.items():
        rate = own.rates.of(of, sheathed=sheathed).get(name, stage)
        minutes += number * rate.minutes * (own.ratio(name, of).ratio if rate is not stage else 1.0)
        set_ups.append(rate.set_up)
    return operation(document, own, stage, set_ups[0], minutes / count * (1 + own.charges.allowance), count)


def operation(document: Document, own: OwnNumbers, stage: Stage, set_up: float, each: float, pieces: int) -> Operation:
    """A stage as it is planned."""
    ratio = own.set_up_ratio(stage.name) or own.ratio(stage.name, "")
    each = inf if refused(document, stage) else each  # fits into no hours
    return Operation(
        stage=stage.name, set_up=set_up * (1 + own.charges.allowance) * ratio.ratio, each=each, pieces=pieces,
        kind=stage.kind, wait=wait_of(document, stage), holds=stage.equipment, at_once=stage.at_once,
    )  # fmt: skip


def _to_cut(document: Document, own: OwnNumbers, ahead: Ahead) -> Iterator[_Found]:
    """Blanks that are to be laid out and cut."""
    for line, count in not_cut(document):
        order = document.records.get(line.order)
        due = (order.wanted or _LAST) if isinstance(order, OrderRecord) else _LAST
        of = order.id if isinstance(order, OrderRecord) else ""
        rates = own.rates.of(line.of, sheathed=bool(line.sheath)).values()
        rough = sum(rate.set_up + rate.minutes * count for rate in rates)
        yield _Found(
            due, _line_key(document, line), of, partial(line_ahead, document, own, line, count, ahead), partial(float, rough)
        )


def _line_key(document: Document, line: OrderLine) -> str:
    order = document.records.get(line.order)
    return f"~{order.number if isinstance(order, OrderRecord) else 0:06} {line.id}"


def line_ahead(document: Document, own: OwnNumbers, line: OrderLine, count: int, ahead: Ahead) -> Upcoming:
    """Blanks of a line of an order with all stages before them."""
    record = document.records.get(line.order)
    order = record if isinstance(record, OrderRecord) else None
    rates = own.rates.of(line.of, sheathed=bool(line.sheath))
    stages = tuple(_with_equipment(own, stage) for stage in own.charges.stages if stage.name in rates)
    more = 1 + own.charges.allowance
    minutes = {stage.name: rates[stage.name].minutes * more * own.ratio(stage.name, line.of).ratio for stage in stages}
    operations = tuple(operation(document, own, stage, stage.set_up, minutes[stage.name], count) for stage in stages)
    stages, operations = _tended_together(stages, operations)
    lot = Lot(
        key=_line_key(document, line), operations=operations,
        due=_due(order.wanted or _LAST if order else _LAST, ahead), knives=float(count) if order else _SPARE * count,
    )  # fmt: skip
    return Upcoming(lot=lot, stages=stages, of=(line.of,) * count, order=line.order)
