"""What was measured of a blade beside what the grind expects of it, on the bar it was cut from, and what can be done."""

from collections.abc import Iterator
from math import tan

from workbook.document.making_records import BatchRecord
from workbook.document.shop_records import PieceRecord
from workbook.grind.bench import Bench
from workbook.making.entry import MeasuredAt
from workbook.making.readings import where_words
from workbook.making.standing import Standing
from workbook.model.grinding import bench_of
from workbook.model.model import Model
from workbook.shop.in_hand import InHand, Source
from workbook.shop.job import thickness_of
from workbook.shop.labour import StageAsks
from workbook.template.model import Template
from workbook.texts import _
from workbook.units import Unit, reading

CLOSE = 0.05  # mm by which an edge may differ from what is asked, two thousandths of an inch: common practice, no source


def hand_of(model: Model, piece: PieceRecord) -> InHand:
    """The bar a blade was cut from, as it was read then; the template's thickness where that is not known."""
    wanted = thickness_of(model.job.template(piece.of))
    read = piece.measured.least
    return InHand(
        source=Source.CUT, thickness=read or piece.thickness or wanted, nominal=wanted, read=read is not None, bar=piece.bar,
        steel=piece.steel,
    )  # fmt: skip


def blade_checks(model: Model, batch: BatchRecord, piece: PieceRecord, standing: Standing) -> list[str]:
    """What is said of the last readings of a blade, of an edge at its worst place; nothing where its template has no grind."""
    if (
        not standing.readings
        or standing.scrapped
        or piece.of not in model.shapes
        or not isinstance(model.job.template(piece.of), Template)
    ):
        return []
    bench = bench_of(model, piece.of, hand_of(model, piece))
    last = {(stage, each.what, each.where): each for stage, each in standing.readings}
    worst = dict[tuple[str, str], MeasuredAt]()
    for (stage, what, _where), each in last.items():
        asked = bench.edge_finished if is_hard(batch, stage) else bench.edge_before
        if (stage, what) not in worst or abs(each.value - asked) > abs(worst[stage, what].value - asked):
            worst[stage, what] = each
    return [
        words
        for (stage, _what), each in worst.items()
        for words in reading_checks(bench, each, hard=is_hard(batch, stage), unit=model.job.unit)
    ]


def is_hard(batch: BatchRecord, stage: str) -> bool:
    """Whether a stage comes with or after hardening, the first whose hardness is asked for."""
    names = [each.name for each in batch.stages]
    hardened = next((n for n, each in enumerate(batch.stages) if each.asks is StageAsks.HARDNESS), len(names))
    return stage in names and names.index(stage) >= hardened


def reading_checks(bench: Bench, measured: MeasuredAt, *, hard: bool, unit: Unit) -> Iterator[str]:
    """What is said of one reading. `hard`: it was taken after hardening."""
    if measured.what == StageAsks.EDGE:
        yield from _of_edge(bench, measured, hard=hard, unit=unit)
    if measured.what == StageAsks.BOW and measured.value > 2 * bench.face_allowance:
        yield _(
            "Bow {bow}: more than the {left} left to grind on both faces. Straighten in or after the temper, "
            "never cold as quenched.",
            bow=_told(measured.value, unit),
            left=_told(2 * bench.face_allowance, unit),
        )


def _of_edge(bench: Bench, measured: MeasuredAt, *, hard: bool, unit: Unit) -> Iterator[str]:
    """The edge at one place. What is taken off the edge thickens it by the bevel's two faces, 2 tan a for each of height."""
    asked = bench.edge_finished if hard else bench.edge_before
    off = measured.value - asked
    if abs(off) <= CLOSE:
        return
    by = _told(abs(off), unit)
    if off > 0:
        words = _("{by} thicker than the target {asked} at the {where}. Keep grinding.")
    elif hard:
        words = _("{by} thinner than the target {asked} at the {where}. It lasts fewer sharpenings and chips sooner.")
    else:
        words = _(
            "{by} thinner than the target {asked} at the {where}. Harden with care, or take {back} off the edge. "
            "A bevel cannot give steel back."
        )
    slope = bench.faces * tan(bench.angle)
    back = _told(-off / slope, unit) if slope > 0 else "-"
    yield words.format(by=by, asked=_told(asked, unit), where=where_words(measured.where), back=back)


def _told(mm: float, unit: Unit) -> str:
    return f"{reading(mm, unit)} {unit}"
