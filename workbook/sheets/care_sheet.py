"""Care cards: four to a page, to cut apart and put in the parcel, one for each knife."""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from workbook.geometry.drawing import Mark, Text, shifted, stroke
from workbook.sheets.furniture import fitting
from workbook.sheets.letter_sheet import knife_marks, scale_within
from workbook.sheets.paper import PrintRun, SheetPage
from workbook.sheets.table import paragraph
from workbook.template.shape import Shape
from workbook.texts import _

_PAD = 8.0  # mm inside a card's edge
_TALL = 22.0  # mm, the most for the knife's picture
_ACROSS = _DOWN = 2
_SIZE = 9.5  # points


class CareCard(Struct, frozen=True, kw_only=True):
    """What a card says: whose work it is, which knife it is for, and how to care for it."""

    shop: str
    reached: str
    name: str
    facts: str  # steel, handle, hardness, year
    serial: str
    knife: Shape | None
    lines: tuple[str, ...]
    law: str


def care_pages(run: PrintRun, cards: Sequence[CareCard]) -> list[SheetPage]:
    """Build the pages, in portrait."""
    wide, high = run.upright
    size, each = (wide / _ACROSS, high / _DOWN), _ACROSS * _DOWN
    pages = []
    for first in range(0, len(cards), each):
        marks: list[Mark] = [
            stroke(((wide / 2, run.margin), (wide / 2, high - run.margin)), "extension"),
            stroke(((run.margin, high / 2), (wide - run.margin, high / 2)), "extension"),
        ]
        for n, card in enumerate(cards[first : first + each]):
            corner = (n % _ACROSS * size[0], high - n // _ACROSS * size[1])
            marks += shifted(tuple(_card(run, card, size)), *corner)
        pages.append(SheetPage(wide, high, tuple(marks)))
    return pages


def _card(run: PrintRun, card: CareCard, size: tuple[float, float]) -> Iterator[Mark]:
    """The marks of a card, its upper left corner on the origin."""
    pad = max(_PAD, run.margin + 1.0)
    left, right, top = pad, size[0] - pad, -pad
    span = right - left
    yield Text((right, top - 4.5), card.serial, 11.0, "end", True)
    shop = card.shop or card.name
    yield Text((left, top - 4.5), shop, fitting(run, shop, 12.0, True, span * 0.7), bold=True)
    name = card.name if card.shop else ""
    told = ", ".join(part for part in (name, card.facts) if part)
    marks, low = paragraph(left, top - 6.0, span, told, run.measure, size=9.5)
    yield from marks
    if card.knife is not None:
        scale = scale_within([card.knife], (span, _TALL))
        picture, low = knife_marks(card.knife, scale, (left, low - 3.0))
        yield from picture
    low -= 2.0
    for line in (*card.lines, card.law):
        marks, low = paragraph(left, low, span, line, run.measure, size=_SIZE)
        yield from marks
        low -= 1.0
    if card.reached:
        words = _("Questions, sharpening, repairs: {reached}", reached=card.reached)
        marks, low = paragraph(left, low - 0.5, span, words, run.measure, size=_SIZE, tone="soft")
        yield from marks
