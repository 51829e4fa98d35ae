"""When orders can be promised: what is not known of each lot and stage, for a forecast."""

from collections.abc import Mapping, Sequence
from math import log

from workbook.document.document import Document
from workbook.document.making import still_good
from workbook.document.orders import blanks_started, lines_of, not_cut
from workbook.document.shop_records import OrderLine, OrderRecord
from workbook.making.learned import PRIOR_STARTS
from workbook.model.lots import Ahead, Upcoming, line_ahead
from workbook.model.own_numbers import OwnNumbers, passed_and_lost
from workbook.planning.model import Operation
from workbook.planning.promise import StageChances, Uncertain
from workbook.structs import replace

_REACH = 1.645  # errors on either side of the middle nine times in ten


def chances(document: Document, own: OwnNumbers) -> Mapping[str, StageChances]:
    """What is not known of each stage: its minutes within their spread, its share good by what was lost so far."""
    counts = passed_and_lost(document)
    found = dict[str, StageChances]()
    for stage in own.charges.stages:
        minutes, (good, lost) = own.ratio(stage.name, ""), counts.get(stage.name, (0, 0))
        found[stage.name] = StageChances(
            error=log(minutes.high / minutes.low) / 2 / _REACH,
            good=PRIOR_STARTS * stage.good + good,
            lost=PRIOR_STARTS * (1 - stage.good) + lost,
        )
    return found


def uncertain(document: Document, own: OwnNumbers, upcoming: Sequence[Upcoming], ahead: Ahead) -> list[Uncertain]:
    """The lots with what an order has to spare, and what a lost blade takes to make again."""
    spare = {order: _spare(document, order) for order in {each.order for each in upcoming if each.order}}
    found = list[Uncertain]()
    for each in upcoming:
        again = _again(document, own, each, ahead)
        given = min(spare.get(each.order, 0), len(each.of))
        spare[each.order] = spare.get(each.order, 0) - given
        found.append(Uncertain(lot=each.lot, spare=given, again=again))
    return found


def _spare(document: Document, order: str) -> int:
    """Blades of an order, cut and not lost or still to be cut, over those ordered."""
    lines = lines_of(document, order)
    coming = {line.id: n for line, n in not_cut(document)}
    started = (still_good(document, line.id) + coming.get(line.id, 0) or blanks_started(document, line) for line in lines)
    return max(sum(started) - sum(line.quantity for line in lines), 0)


def _again(document: Document, own: OwnNumbers, each: Upcoming, ahead: Ahead) -> tuple[Operation, ...]:
    """All stages of one more blade; none for the shop's own, which nobody waits for."""
    line = next((line for line in lines_of(document, each.order) if line.of in each.of), None) if each.order else None
    return line_ahead(document, own, line, 1, ahead).lot.operations if line is not None else ()


def asked_for(document: Document, own: OwnNumbers, order: OrderRecord, ahead: Ahead) -> list[Upcoming]:
    """The blanks still to be cut of an order that is only talked of, as if it were to be made."""
    lines: list[OrderLine] = lines_of(document, order.id)
    known = [line for line in lines if line.of in document.records]
    counts = {line.id: max(blanks_started(document, line) - still_good(document, line.id), 0) for line in known}
    found = [line_ahead(document, own, line, counts[line.id], ahead) for line in known if counts[line.id]]
    return [replace(each, lot=replace(each.lot, knives=float(len(each.of)))) for each in found]
