"""What leaves the shelf when a stage is entered: for a handle where handles begin, for a sheath where it is made. Once."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from msgspec import Struct

from workbook.document.document import Document
from workbook.document.making import batch_id, entries_of
from workbook.document.making_records import BatchRecord
from workbook.document.records import MaterialRecord
from workbook.document.shop_records import OrderLine, PieceRecord
from workbook.making.entry import EntryKind, Logged
from workbook.model.model import Model
from workbook.model.sheathing import material_of, sheath_of
from workbook.shop.labour import StageFor
from workbook.shop.materials import Material, MaterialKind
from workbook.shop.needs import Use, uses
from workbook.texts import _

OF_HANDLES = (
    MaterialKind.HANDLE, MaterialKind.PIN, MaterialKind.BOLT, MaterialKind.TUBE, MaterialKind.GUARD, MaterialKind.BOLSTER,
    MaterialKind.LINER, MaterialKind.ADHESIVE,
)  # fmt: skip
_DIGITS = 4  # of an amount: a ten-thousandth of a rod


class Taking(Struct, frozen=True, kw_only=True):
    """What blades take: the material of each blade's scales, by the blade's id, and the amount of each material, by its id."""

    scales: dict[str, str]
    amounts: dict[str, Decimal]


def taking_at(document: Document, model: Model, batch: BatchRecord, entry: Logged) -> Taking:
    """What an entry takes from the shelf, before it is entered."""
    handles, sheaths = (_first_of(batch, of) == entry.stage for of in (StageFor.HANDLED, StageFor.SHEATHED))
    if entry.kind is not EntryKind.DONE or not (handles or sheaths):
        return Taking(scales={}, amounts={})
    pieces = [document.get(id_, PieceRecord) for id_ in entry.pieces]
    if handles:
        wants = [
            (piece, line.handle) for piece in pieces if not piece.handle and (line := _line(document, piece)) and line.handle
        ]
        return handles_of(document, model, wants)
    before = [each for each in pieces if not went_through(document, each, entry.stage)]
    sheaths_of = (sheath_of(document, model, line) for each in before if (line := _line(document, each)) is not None)
    return Taking(scales={}, amounts=_summed(document, (use for use in sheaths_of if use is not None)))


def handles_of(document: Document, model: Model, wants: Sequence[tuple[PieceRecord, str]]) -> Taking:
    """What the handles of blades take; each blade with the id of the material of its scales."""
    every = [use for piece, handle in wants for use in _handle_uses(document, model, piece, handle)]
    return Taking(scales={piece.id: handle for piece, handle in wants}, amounts=_summed(document, every))


def _handle_uses(document: Document, model: Model, piece: PieceRecord, handle: str) -> Iterator[Use]:
    shape = model.shapes.get(piece.of)
    if shape is not None:
        materials = [record.material for record in document.all(MaterialRecord)]
        found, _missing = uses(shape, material_of(document, handle), materials)
        yield from (use for use in found if use.material.kind in OF_HANDLES)


def _summed(document: Document, found: Iterable[Use]) -> dict[str, Decimal]:
    """The amount of each material, by its id."""
    sums = defaultdict[str, float](float)
    ids = {id(record.material): record.id for record in document.all(MaterialRecord)}
    for use in found:
        sums[ids[id(use.material)]] += use.amount
    return {key: Decimal(repr(round(amount, _DIGITS))) for key, amount in sums.items()}


def short_words(document: Document, taking: Taking) -> str:
    """What is not there in full, in words; "" where all is."""
    materials = {key: document.get(key, MaterialRecord).material for key in taking.amounts}
    lacking = [(materials[key], amount) for key, amount in taking.amounts.items() if float(amount) > materials[key].have]
    told = "; ".join(_short(material, amount) for material, amount in lacking)
    return _("Not everything was on hand: {told}. What was on hand is booked.", told=told) if told else ""


def _short(material: Material, amount: Decimal) -> str:
    return _(
        "{name}: {amount} needed, {have:g} on hand", name=material.name, amount=f"{amount.normalize():f}", have=material.have
    )


def with_handles(document: Document, line: OrderLine) -> int:
    """How many blades of a line have taken the materials of their handles."""
    return sum(1 for piece in document.all(PieceRecord) if piece.line == line.id and piece.handle)


def with_sheaths(document: Document, line: OrderLine) -> int:
    """How many blades of a line have taken the material of their sheaths."""
    found = 0
    for piece in document.all(PieceRecord):
        batch = document.records.get(batch_id(piece))
        stage = _first_of(batch, StageFor.SHEATHED) if isinstance(batch, BatchRecord) else None
        if piece.line == line.id and stage is not None:
            found += went_through(document, piece, stage)
    return found


def went_through(document: Document, piece: PieceRecord, stage: str) -> bool:
    """Whether a stage was ever entered for a blade, even if the entry was taken back: what it took was taken then."""
    entries = (record.entry for record in entries_of(document, batch_id(piece)))
    return any(each.kind is EntryKind.DONE and each.stage == stage and piece.id in each.pieces for each in entries)


def _first_of(batch: BatchRecord, of: StageFor) -> str | None:
    """The first of a batch's stages for some knives; None where there is none."""
    return next((stage.name for stage in batch.stages if stage.of is of), None)


def _line(document: Document, piece: PieceRecord) -> OrderLine | None:
    line = document.records.get(piece.line)
    return line if isinstance(line, OrderLine) else None
