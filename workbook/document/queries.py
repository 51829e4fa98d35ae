"""What is asked of a document: the job it stands for, what uses a template, the revision a print is of."""

from collections.abc import Iterator
from itertools import count

from workbook.document.document import Document
from workbook.document.orders import free_count, serials_used, to_make
from workbook.document.records import AT_HAND, BarRecord, LayoutRecord, Record, Revision, TemplateRecord
from workbook.document.shop_records import PieceRecord
from workbook.shop.in_hand import InHand, Source
from workbook.shop.job import NOMINAL, AnyTemplate, Bar, Choice, CutBlank, Job, Make
from workbook.structs import replace
from workbook.texts import _


def job_of(document: Document) -> Job:
    """Everything of the document that a layout, a sheet or a check needs."""
    settings = document.settings
    records = list(document.all(TemplateRecord))
    return Job(
        name=settings.name,
        unit=settings.unit,
        currency=settings.currency,
        saw=settings.saw,
        settings=settings.rules,
        tools=document.tools.owned,
        service=settings.service,
        templates=tuple(numbered(document, record) for record in records),
        ids=tuple(record.id for record in records),
        bars=tuple(bars_to_lay_out(document)),
        make=tuple(Make(template=of, steel=steel, quantity=n) for (of, steel), n in to_make(document).items()),
        serials=serials_used(document),
        chosen=tuple(_chosen(document)),
        cut=tuple(_cut_blanks(document)),
    )


def _chosen(document: Document) -> Iterator[tuple[str, Choice]]:
    """By the id of a template, the bar its blades are made of, where the maker has said so and it is still there."""
    for record in document.all(TemplateRecord):
        bar = document.records.get(record.bar)
        if record.ground_from == "nominal":
            yield record.id, Choice(NOMINAL)
        elif record.ground_from != "likeliest" and isinstance(bar, BarRecord):
            yield record.id, Choice(bar.bar.name, cut=record.ground_from == "cut")


def _cut_blanks(document: Document) -> Iterator[CutBlank]:
    """The blanks cut of the templates there are, oldest first, each with the bar it was cut from; older workbooks know no bar."""
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
    """Bars that blanks may be laid out on: on the rack and free, or for sale; not those set aside."""
    for record in document.all(BarRecord):
        free = free_count(document, record) if record.spoken else record.bar.have
        if (free or record.bar.buy) and not record.aside:
            yield record.bar if free == record.bar.have else replace(record.bar, have=free)


def numbered(document: Document, record: TemplateRecord) -> AnyTemplate:
    """A record's template with the number of its revision, as sheets print it."""
    return replace(record.template, revision=number_of(document, record.id))


def template_named(document: Document, name: str) -> TemplateRecord:
    """The template of a name; names on a shelf differ. KeyError when there is none."""
    return next((record for record in document.all(TemplateRecord) if record.template.name == name), None) or _none(name)


def _none(name: str) -> TemplateRecord:
    raise KeyError(name)


def revisions_of(document: Document, template: str) -> list[Revision]:
    """The revisions kept of a template, oldest first."""
    return sorted((r for r in document.all(Revision) if r.of == template), key=lambda r: r.number)


def number_of(document: Document, template: str) -> int:
    """The revision number today's template is printed with: the last kept if it is still as it was then, else the next."""
    record, kept = document.get(template, TemplateRecord), revisions_of(document, template)
    if not kept:
        return 1
    same = (kept[-1].family, kept[-1].drawn) == (record.family, record.drawn)
    return kept[-1].number if same else kept[-1].number + 1


def bar_to_measure(document: Document, hand: InHand) -> BarRecord | None:
    """The bar on the rack that is in hand; None where none is."""
    if hand.source is not Source.RACK:
        return None
    return next((record for record in document.all(BarRecord) if record.bar.name == hand.bar), None)


def templates_found(document: Document, words: str) -> list[str]:
    """Ids of the templates that have every word in their name, family, use, tags or steel, in the shelf's order."""
    wanted, steels = words.casefold().split(), list(to_make(document))
    found = []
    for record in document.all(TemplateRecord):
        template = record.template
        of_family = (getattr(template, "family", ""), getattr(template, "use", ""))
        text = " ".join((template.name, *of_family, *record.tags, *(steel for of, steel in steels if of == record.id)))
        found += [record.id] if all(word in text.casefold() for word in wanted) else []
    return found


def free_name(document: Document, wished: str, own: str = "") -> str:
    """The name wished for, with a number behind it where another template than `own` (its id) has it.

    Small and capital letters are the same: names become file names.
    """
    taken = {record.template.name.casefold() for record in document.all(TemplateRecord) if record.id != own}
    name, n = wished, 2
    while name.casefold() in taken:
        name, n = f"{wished} {n}", n + 1
    return name


def free_bar_name(document: Document, wished: str) -> str:
    """The same for bars."""
    taken = {record.bar.name for record in document.all(BarRecord)}
    return next(name for n in count(1) if (name := wished if n == 1 else f"{wished} ({n})") not in taken)


def free_layout_name(document: Document) -> str:
    """ "Layout 1" or the next that no kept layout has."""
    taken = {record.name for record in layouts_kept(document)}
    more = len(taken) + 1
    return next((name for n in range(1, more + 1) if (name := _("Layout {n}", n=n)) not in taken), f"Layout {more}")


def layouts_kept(document: Document) -> list[LayoutRecord]:
    """The layouts that are kept, in their order: not the one at hand."""
    return [record for record in document.all(LayoutRecord) if record.id != AT_HAND]


def changed_since(document: Document, layout: LayoutRecord) -> list[str]:
    """What is not any more as a kept layout has it, in words: templates that changed or are gone, bars that are gone."""
    found = []
    for of, revision in dict.fromkeys((piece.of, piece.revision) for bar in layout.bars for piece in bar.pieces):
        record = document.records.get(of)
        if not isinstance(record, TemplateRecord):
            found.append(_("a template is not on the shelf any more"))
        elif number_of(document, of) != revision:
            found.append(_("{name} was revision {revision} then", name=record.template.name, revision=revision))
    gone = {bar.bar for bar in layout.bars} - document.records.keys()
    return list(dict.fromkeys(found)) + ([_("a bar is not on the rack any more")] if gone else [])


def next_place(document: Document, kind: type[Record]) -> float:
    """A place behind all records of a kind."""
    places = (float(getattr(record, "place", 0.0)) for record in document.records.values() if isinstance(record, kind))
    return max(places, default=0.0) + 1.0
