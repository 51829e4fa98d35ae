"""What knives really cost, beside what quotes count for them: of one, of a batch, an order, a year."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal

from msgspec import Struct

from workbook.document.document import Document
from workbook.document.making import batch_id, batches, blades_of, is_sheathed, name_of_batch, order_of, standing_of, standings_in
from workbook.document.making_records import BatchRecord
from workbook.document.orders import order_name
from workbook.document.records import MaterialRecord
from workbook.document.shop_records import OrderLine, OrderRecord, PieceRecord
from workbook.making.minutes import minutes_words
from workbook.making.standing import THROUGH, CellState, Standing
from workbook.model.model import Model
from workbook.model.own_numbers import KnifeStages
from workbook.model.sheathing import material_of, sheath_of
from workbook.model.taking import OF_HANDLES
from workbook.shop.labour import StageKind
from workbook.shop.line_cost import ELSEWHERE, MATERIALS, OVERHEAD, STEEL, WORK
from workbook.shop.materials import MaterialKind
from workbook.shop.money import NOTHING, cents, priced
from workbook.shop.needs import Use, uses
from workbook.shop.worked import Worked, total
from workbook.texts import _, ngettext


class CostOf(Struct, frozen=True, kw_only=True):
    """Whose cost is told."""

    key: str
    words: str
    pieces: tuple[PieceRecord, ...]


class StageDifference(Struct, frozen=True, kw_only=True):
    """A stage's minutes in quotes and in truth, and the money between, with its overhead; over 0 where it took longer."""

    stage: str
    quoted: float
    real: float
    money: Decimal


class RealCost(Struct, frozen=True, kw_only=True):
    """What some blades cost, and what quotes count for those of them that were not lost."""

    real: Worked
    quoted: Worked
    stages: tuple[StageDifference, ...]
    good: int
    lost: int

    @property
    def each(self) -> Decimal:
        """The cost of a blade that was not lost."""
        return self.real.one_of(self.good)


class _Blade(Struct, frozen=True):
    piece: PieceRecord
    standing: Standing
    batch: BatchRecord
    rates: Mapping[str, float]  # minutes by stage, as quotes counted them when its batch was begun


def choices(document: Document) -> Iterator[CostOf]:
    """Orders with blades, the newest first; batches; years in which knives were finished."""
    pieces, of_orders = list(document.all(PieceRecord)), dict[str, list[PieceRecord]]()
    for piece in pieces:
        if (order := order_of(document, piece)) is not None:
            of_orders.setdefault(order.id, []).append(piece)
    for order in sorted(document.all(OrderRecord), key=lambda order: -order.number):
        if order.id in of_orders:
            yield CostOf(key=order.id, words=order_name(document, order), pieces=tuple(of_orders[order.id]))
    for batch in batches(document):
        yield CostOf(key=batch.id, words=name_of_batch(batch), pieces=blades_of(document, batch.id))
    years = dict[str, list[PieceRecord]]()
    for piece in pieces:
        ended = finished_on(document, piece) or lost_on(document, piece)
        if ended:
            years.setdefault(ended[:4], []).append(piece)
    for year in sorted(years, reverse=True):
        yield CostOf(key=year, words=_("Year {year}", year=year), pieces=tuple(years[year]))


def finished_on(document: Document, piece: PieceRecord) -> str:
    """The ISO date of a blade's last stage, once it is finished; "" before."""
    standing = standing_of(document, piece)
    return max((cell.date for cell in standing.cells), default="") if standing.finished else ""


def lost_on(document: Document, piece: PieceRecord) -> str:
    """The ISO date on which a blade was lost; "" for one that was not."""
    return next((cell.date for cell in standing_of(document, piece).cells if cell.state is CellState.SCRAPPED), "")


def real_cost(document: Document, model: Model, of: CostOf) -> RealCost:
    """What the blades of an order, a batch or a year cost; every amount is rounded once, to the cent."""
    blades = list(_blades(document, model, of.pieces))
    good = [blade for blade in blades if not blade.standing.scrapped]
    lost = [blade for blade in blades if blade.standing.scrapped]
    parts = list(_parts(document, model, good, real=True))
    if lost:
        count = ngettext("{count} blade", "{count} blades", len(lost))
        parts.append(total(_("Lost blades"), list(_parts(document, model, lost, real=True)), count))
    return RealCost(
        real=total(_("Cost as it was"), parts),
        quoted=total(_("As quotes count"), list(_parts(document, model, good, real=False))),
        stages=tuple(_differences(document, good)),
        good=len(good),
        lost=len(lost),
    )


def cost_of_blade(document: Document, model: Model, piece: PieceRecord) -> RealCost:
    """What one blade cost."""
    return real_cost(document, model, CostOf(key=piece.id, words=piece.serial, pieces=(piece,)))


def _blades(document: Document, model: Model, pieces: Iterable[PieceRecord]) -> Iterator[_Blade]:
    found = {batch.id: batch for batch in batches(document)}
    rates = dict[str, tuple[KnifeStages, Mapping[str, int]]]()
    for piece in pieces:
        key = batch_id(piece)
        if key not in rates:
            rates[key] = KnifeStages(document, model, found[key].stages), _together(document, found[key])
        stages, together = rates[key]
        own = stages.of(piece.of, sheathed=is_sheathed(document, piece))
        minutes = {name: stage.minutes + stage.set_up / max(together[name], 1) for name, stage in own.items()}
        yield _Blade(piece, standing_of(document, piece), found[key], minutes)


def _together(document: Document, batch: BatchRecord) -> Mapping[str, int]:
    """How many blades of a batch share the set-up of each stage."""
    standings = standings_in(document, batch.id).values()
    return {stage.name: sum(standing.cells[n].state in THROUGH for standing in standings) for n, stage in enumerate(batch.stages)}


def _minutes(blades: Sequence[_Blade], *, real: bool, allowance: float) -> dict[str, float]:
    """Minutes of each stage: as entered, or as quotes count them for what is done."""
    found = dict[str, float]()
    for blade in blades:
        for stage, cell in zip(blade.batch.stages, blade.standing.cells, strict=True):
            counted = blade.rates.get(stage.name, 0.0) * (1 + allowance) if cell.state in THROUGH else 0.0
            minutes = cell.minutes if real else counted
            if minutes:
                found[stage.name] = found.get(stage.name, 0.0) + minutes
    return found


def _differences(document: Document, blades: Sequence[_Blade]) -> Iterator[StageDifference]:
    charges = document.settings.charges
    real, quoted = (_minutes(blades, real=each, allowance=charges.allowance) for each in (True, False))
    each = charges.hour * (1 + Decimal(repr(charges.overhead))) / 60
    for stage in dict.fromkeys((*quoted, *real)):
        took, counted = real.get(stage, 0.0), quoted.get(stage, 0.0)
        yield StageDifference(stage=stage, quoted=counted, real=took, money=cents(each * Decimal(repr(took - counted))))


def _parts(document: Document, model: Model, blades: Sequence[_Blade], *, real: bool) -> Iterator[Worked]:
    """Steel, materials, work elsewhere, hours and overhead of some blades."""
    charges, money = document.settings.charges, document.settings.money
    steel = [Worked(blade.piece.serial, blade.piece.cost, blade.piece.bar) for blade in blades if blade.piece.cost]
    if steel:
        yield total(STEEL, steel, _("shares of the bars as cut"))
    materials = list(_materials(document, model, blades))
    if materials:
        yield total(MATERIALS, materials, _("as the knives take them, at today's prices"))
    outside = list(_outside(document, blades))
    if outside:
        yield total(ELSEWHERE, outside)
    hour = charges.hour
    work = total(WORK, [
        Worked(stage, cents(hour * Decimal(repr(minutes)) / 60), _("{minutes} at {amount} per hour",
               minutes=minutes_words(minutes), amount=priced(hour, money)))
        for stage, minutes in _minutes(blades, real=real, allowance=charges.allowance).items()
    ])  # fmt: skip
    if work.parts:
        yield work
        how = _("{overhead:.0%} of the work: {amount}", overhead=charges.overhead, amount=priced(work.amount, money))
        yield Worked(OVERHEAD, cents(work.amount * Decimal(repr(charges.overhead))), how)


def _materials(document: Document, model: Model, blades: Sequence[_Blade]) -> Iterator[Worked]:
    """What the blades took: those with a handle its materials, those with a sheath its own, all what is used up."""
    sums = dict[str, tuple[Use, float]]()
    for blade in blades:
        for use in _uses_of(document, model, blade):
            known = sums.get(use.material.name, (use, 0.0))[1]
            sums[use.material.name] = use, known + use.amount
    for name, (use, amount) in sums.items():
        cost = cents(use.material.price * Decimal(repr(amount)))
        if cost:
            yield Worked(name, cost, _("{amount:.3g} {unit}", amount=amount, unit=use.material.per))


def _uses_of(document: Document, model: Model, blade: _Blade) -> Iterator[Use]:
    piece = blade.piece
    shape = model.shapes.get(piece.of)
    if shape is None:
        return
    materials = [record.material for record in document.all(MaterialRecord)]
    line = document.records.get(piece.line)
    sheath = sheath_of(document, model, line) if isinstance(line, OrderLine) and blade.standing.finished else None
    found, _missing = uses(shape, material_of(document, piece.handle), materials, sheath)
    for use in found:
        of_handle, of_sheath = use.material.kind in OF_HANDLES, use.material.kind is MaterialKind.SHEATH
        if (of_handle and piece.handle) or of_sheath or (blade.standing.finished and not of_handle):
            yield use


def _outside(document: Document, blades: Sequence[_Blade]) -> Iterator[Worked]:
    """Work done elsewhere, by the shop's rates; a batch's share goes by its blades."""
    blades = [blade for blade in blades if blade.standing.finished or _was_out(blade)]
    for service in document.settings.charges.outside:
        share = sum(Decimal(1) / len(blades_of(document, blade.batch.id)) for blade in blades)
        amount = cents(service.piece * len(blades) + service.batch * share)
        if amount:
            yield Worked(service.name, amount, ngettext("{count} blade", "{count} blades", len(blades)))


def _was_out(blade: _Blade) -> bool:
    """Whether a blade went through a stage of work elsewhere, or is there."""
    cells = zip(blade.batch.stages, blade.standing.cells, strict=True)
    return any(stage.kind is StageKind.OUTSIDE and cell.state in (*THROUGH, CellState.SENT) for stage, cell in cells)


def sum_words(document: Document, cost: RealCost) -> str:
    """A cost in a sentence: what it came to for a good knife, beside what quotes count."""
    money = document.settings.money
    quoted = cost.quoted.one_of(cost.good) if cost.good else NOTHING
    words = ngettext(
        "{count} blade, {each} each. Quotes count {quoted}.", "{count} blades, {each} each. Quotes count {quoted}.", cost.good,
        each=priced(cost.each, money), quoted=priced(quoted, money),
    )  # fmt: skip
    return f"{words} {ngettext('{count} blade was lost.', '{count} blades were lost.', cost.lost)}" if cost.lost else words
