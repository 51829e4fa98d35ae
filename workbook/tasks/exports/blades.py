"""Exports for the blades of a batch: labels and tags for each and its scales, and the scales of each drawn for it."""

from collections.abc import Iterator

from workbook.document.document import Document
from workbook.document.making import blades_of, name_of_batch, order_of, standings_in
from workbook.document.making_records import BatchRecord
from workbook.document.orders import customer_of
from workbook.document.records import MaterialRecord, TemplateRecord
from workbook.document.shop_records import PieceRecord
from workbook.geometry.drawing import Drawing, Mark
from workbook.model.blade_checks import hand_of
from workbook.model.blade_shape import blank_of
from workbook.model.sheathing import handle_name
from workbook.problems import JobError, Mistake
from workbook.sheets.cautions import HANDLE
from workbook.sheets.furniture import title_block
from workbook.sheets.labels import Label, label_pages
from workbook.sheets.scale_sheet import OwnScales, scale_sheet
from workbook.sheets.table import paragraph
from workbook.sheets.tags import tag_pages
from workbook.sheets.true_size import Sheet, true_size
from workbook.structs import replace
from workbook.tasks.exports.making import batch_name, batch_wanted
from workbook.tasks.exports.wanted import Files, Wanted, pages_pdf
from workbook.texts import _, labelled

NO_SCALES = Mistake(
    place=_("scale sheets"),
    what=_("no good blade of the batch has scales or a handle block."),
    right=_("Choose another batch."),
)


def blade_labels(wanted: Wanted, file: str) -> Files:
    """Labels to stick on, of every good blade of the batch and of its scales; the batch's name replaces the braces in `file`."""
    pages = label_pages(wanted.run, labels_of(wanted))
    return {file.format(batch_name(wanted)): pages_pdf(wanted.run, pages, _title(wanted, _("labels")))}


def blade_tags(wanted: Wanted, file: str) -> Files:
    """The same as tags to tie on."""
    pages = tag_pages(wanted.run, labels_of(wanted))
    return {file.format(batch_name(wanted)): pages_pdf(wanted.run, pages, _title(wanted, _("tags")))}


def _title(wanted: Wanted, what: str) -> str:
    return labelled(name_of_batch(batch_wanted(wanted)), what)


def labels_of(wanted: Wanted) -> list[Label]:
    """A label for each good blade of the batch, and one for each of its two scales once it has a pair."""
    batch, document = batch_wanted(wanted), wanted.document
    assert document is not None
    return [label for piece in _good(document, batch) for label in _labels(document, batch, piece)]


def _good(document: Document, batch: BatchRecord) -> Iterator[PieceRecord]:
    """The blades that are not lost."""
    standings = standings_in(document, batch.id)
    return (piece for piece in blades_of(document, batch.id) if not standings[piece.id].scrapped)


def _labels(document: Document, batch: BatchRecord, piece: PieceRecord) -> Iterator[Label]:
    heat = _("{steel}, heat no. {heat}", steel=piece.steel, heat=piece.heat) if piece.heat else piece.steel
    order = order_of(document, piece)
    whose = (_("order {number}", number=order.number), customer_of(document, order)) if order else (_("shop stock"),)
    scales = _("scales {mark}", mark=piece.scales) if piece.scales else ""
    where = ", ".join(part for part in (name_of_batch(batch), scales) if part)
    name = _("{name}, revision {revision}", name=piece.name, revision=piece.revision)
    told = _("{serial}; {name}; {steel}", serial=piece.serial, name=name, steel=heat)
    yield Label(piece.serial, (name, heat, ", ".join(part for part in whose if part), where), told)
    material = handle_name(document, piece)
    for side in _sides(document, piece) if piece.scales else ():
        lines = (side, material, name)
        told = _("{serial}; {mark}; {side}", serial=piece.serial, mark=piece.scales, side=side)
        yield Label(_("{serial}  {mark}", serial=piece.serial, mark=piece.scales), tuple(line for line in lines if line), told)


def _sides(document: Document, piece: PieceRecord) -> tuple[str, ...]:
    """What a blade's handle is made of: two scales, or a block over a hidden tang."""
    record = document.records.get(piece.of)
    family = record.family if isinstance(record, TemplateRecord) else None
    hidden = family is not None and family.tang.is_enclosed
    return (_("handle block"),) if hidden else (_("right scale, outside up"), _("left scale, outside up"))


def refuse_scales(wanted: Wanted) -> None:
    """Raise JobError where there is no batch, or no scales in it."""
    if not list(scale_sheets_of(wanted)):
        raise JobError([NO_SCALES])


def scales_by_serial(wanted: Wanted, file: str) -> Files:
    """Both scales of each good blade at true size, with its serial and mark; the batch's name replaces the braces in `file`."""
    run, name = wanted.run, name_of_batch(batch_wanted(wanted))

    def head(size: tuple[float, float]) -> Drawing:
        words = _("Print at 100%, then measure both check bars")
        under = ", ".join(part for part in (run.job, _("each for its own blade and bar"), run.date) if part)
        return title_block(run, size, _("{name}: scales", name=name), under, words, "")

    def caution(x: float, y: float, span: float) -> tuple[Drawing, float]:
        marks, low = paragraph(x, y, span, HANDLE, run.measure)
        return tuple[Mark, ...](marks), low

    pages = true_size(run, list(scale_sheets_of(wanted)), [caution], head, _("{name}: scales", name=name))
    return {file.format(batch_name(wanted)): pages_pdf(run, pages, _("{name}: scales", name=name))}


def scale_sheets_of(wanted: Wanted) -> Iterator[Sheet]:
    """The scales of each good blade of the batch, drawn as the blade was cut."""
    batch, document, model = batch_wanted(wanted), wanted.document, wanted.model
    assert document is not None
    for piece in _good(document, batch):
        blank, now = blank_of(document, model, piece)
        sheet = scale_sheet(wanted.run, blank, hand_of(model, piece).thickness, _own(document, piece)) if blank else None
        if sheet is not None and now is not None:
            what = _(
                "{what}. Drawn as the template is now, revision {now}. The blade is of revision {then}",
                what=sheet.what,
                now=now,
                then=piece.revision,
            )
            sheet = replace(sheet, what=what, named=what)
        if sheet is not None:
            yield sheet


def _own(document: Document, piece: PieceRecord) -> OwnScales:
    record = document.records.get(piece.handle)
    thick = record.material.size if isinstance(record, MaterialRecord) else 0.0
    return OwnScales(serial=piece.serial, mark=piece.scales, material=handle_name(document, piece), thick=thick)
