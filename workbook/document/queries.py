"""Queries of a document: the job it stands for, the templates found by words, revision numbers, free names."""

from collections.abc import Iterator
from itertools import count

from workbook.document.document import Document, Edit
from workbook.document.making_records import BatchRecord, EntryRecord, LoadRecord, RecipeRecord
from workbook.document.orders import free_count, serials_used, to_make
from workbook.document.records import AT_HAND, BarRecord, FamilyRecord, LayoutRecord, Record, Revision, TemplateRecord
from workbook.document.shop_records import PieceRecord
from workbook.shop.in_hand import InHand, Source
from workbook.shop.job import NOMINAL, AnyTemplate, Bar, Choice, CutBlank, Job, Make
from workbook.structs import replace
from workbook.texts import _

_BESIDE_JOB = (BatchRecord, EntryRecord, LoadRecord, RecipeRecord)


def touches_job(edit: Edit) -> bool:
    """Whether an edit may change what `job_of` tells."""
    records = (record for change in edit.changes for record in (change.before, change.after) if record is not None)
    return not all(isinstance(record, _BESIDE_JOB) for record in records)


def job_of(document: Document) -> Job:
    """Everything of the document that a layout, a sheet or a check needs."""
    settings = document.settings
    records = list(document.all(TemplateRecord))
    return Job(
        name=_("{name} (sample)", name=settings.name) if settings.sample else settings.name,
        unit=settings.unit,
        currency=settings.currency,
        region=settings.region,
        saw=settings.saw,
        settings=settings.rules,
        tools=document.tools.owned,
        service=settings.service,
        sheath=settings.sheath,
        templates=tuple(numbered(document, record) for record in records),
        ids=tuple(record.id for record in records),
        bars=tuple(bars_to_lay_out(document)),
        make=tuple(Make(template=of, steel=steel, quantity=n) for (of, steel), n in to_make(document).items()),
        serials=serials_used(document),
        chosen=tuple(_chosen(document)),
        cut=tuple(_cut_blanks(document)),
    )


def _chosen(document: Document) -> Iterator[tuple[str, Choice]]:
    """The id of each template with the bar its blades are made of, where the maker chose one and it still exists."""
    for record in document.all(TemplateRecord):
        bar = document.records.get(record.bar)
        if record.ground_from == "nominal":
            yield record.id, Choice(NOMINAL)
        elif record.ground_from != "likeliest" and isinstance(bar, BarRecord):
            yield record.id, Choice(bar.bar.name, cut=record.ground_from == "cut")


def _cut_blanks(document: Document) -> Iterator[CutBlank]:
    """The blanks cut of existing templates, oldest first, each with its bar; older pieces that record no bar are skipped."""
    for piece in document.all(PieceRecord):
        if piece.thickness and piece.of in document.records:
            bar = document.records.get(piece.of_bar)
            yield CutBlank(
                template=piece.of,
                serial=piece.serial,
                bar=bar.bar.name if isinstance(bar, BarRecord) else piece.bar,
                steel=piece.steel,
                thickness=piece.thickness,
                width=piece.width,
                measured=piece.measured,
            )


def bars_to_lay_out(document: Document) -> Iterator[Bar]:
    """The bars that blanks may be laid out on: free on the rack, or for sale; not those set aside."""
    for record in document.all(BarRecord):
        free = free_count(document, record) if record.spoken else record.bar.have
        if (free or record.bar.buy) and not record.aside:
            yield record.bar if free == record.bar.have else replace(record.bar, have=free)


def numbered(document: Document, record: TemplateRecord) -> AnyTemplate:
    """A record's template with its revision number, as printed on sheets."""
    return replace(record.template, revision=number_of(document, record.id))


def template_named(document: Document, name: str) -> TemplateRecord:
    """The template with a name, which is unique on the shelf. KeyError when there is none."""
    return next((record for record in document.all(TemplateRecord) if record.template.name == name), None) or _none(name)


def _none(name: str) -> TemplateRecord:
    raise KeyError(name)


def revisions_of(document: Document, template: str) -> list[Revision]:
    """The kept revisions of a template, oldest first."""
    return sorted((r for r in document.all(Revision) if r.of == template), key=lambda r: r.number)


def number_of(document: Document, template: str) -> int:
    """The revision number to print on a template: the last one kept if it is unchanged since, else the next."""
    record, revisions = document.get(template, TemplateRecord), revisions_of(document, template)
    if not revisions:
        return 1
    same = (revisions[-1].family, revisions[-1].drawn) == (record.family, record.drawn)
    return revisions[-1].number if same else revisions[-1].number + 1


def bar_to_measure(document: Document, hand: InHand) -> BarRecord | None:
    """The bar in hand, if it is on the rack; else None."""
    if hand.source is not Source.RACK:
        return None
    return next((record for record in document.all(BarRecord) if record.bar.name == hand.bar), None)


def templates_found(document: Document, words: str) -> list[str]:
    """The ids of the templates with every word in their name, family, use, tags or steel, in the shelf's order."""
    terms, steels = words.casefold().split(), list(to_make(document))
    ids = []
    for record in document.all(TemplateRecord):
        template = record.template
        own = document.records.get(record.own_family)
        own_name = own.template.name if isinstance(own, FamilyRecord) else ""
        of_family = (getattr(template, "family", ""), getattr(template, "use", ""), own_name)
        text = " ".join((template.name, *of_family, *record.tags, *(steel for of, steel in steels if of == record.id)))
        ids += [record.id] if all(word in text.casefold() for word in terms) else []
    return ids


def free_name(document: Document, wished: str, template_id: str = "") -> str:
    """The name wished for, with a number after it where a template other than `template_id` has it.

    Case is ignored, since names become file names.
    """
    names = {record.template.name.casefold() for record in document.all(TemplateRecord) if record.id != template_id}
    name, n = wished, 2
    while name.casefold() in names:
        name, n = f"{wished} {n}", n + 1
    return name


def free_bar_name(document: Document, wished: str) -> str:
    """The name wished for, with a number after it where another bar has it; case counts."""
    names = {record.bar.name for record in document.all(BarRecord)}
    return next(name for n in count(1) if (name := wished if n == 1 else f"{wished} ({n})") not in names)


def free_layout_name(document: Document) -> str:
    """The first of "Layout 1", "Layout 2" and so on that no kept layout has."""
    names = {record.name for record in layouts_kept(document)}
    more = len(names) + 1
    return next((name for n in range(1, more + 1) if (name := _("Layout {n}", n=n)) not in names), f"Layout {more}")


def layouts_kept(document: Document) -> list[LayoutRecord]:
    """The kept layouts in their order, without the one at hand."""
    return [record for record in document.all(LayoutRecord) if record.id != AT_HAND]


def changed_since(document: Document, layout: LayoutRecord) -> list[str]:
    """What has changed since a layout was kept, in words: templates changed or gone, bars gone."""
    changes = []
    for of, revision in dict.fromkeys((piece.of, piece.revision) for bar in layout.bars for piece in bar.pieces):
        record = document.records.get(of)
        if not isinstance(record, TemplateRecord):
            changes.append(_("a template was deleted"))
        elif number_of(document, of) != revision:
            changes.append(_("{name} was revision {revision} then", name=record.template.name, revision=revision))
    gone = {bar.bar for bar in layout.bars} - document.records.keys()
    return list(dict.fromkeys(changes)) + ([_("a bar is no longer on the rack")] if gone else [])


def next_place(document: Document, kind: type[Record]) -> float:
    """The next place after all records of a kind."""
    records = list(document.all(kind))
    return float(getattr(records[-1], "place", 0.0)) + 1.0 if records else 1.0
