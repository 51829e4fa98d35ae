"""Care cards, to cut apart and put in the parcel, one for each knife."""

from collections.abc import Sequence

from msgspec import Struct

from workbook.geometry.drawing import Drawing, Mark, Text, shifted, stroke
from workbook.sheets.furniture import fitting
from workbook.sheets.letter_sheet import knife_marks, scale_within
from workbook.sheets.paper import PrintRun, SheetPage
from workbook.sheets.table import paragraph
from workbook.template.shape import Shape
from workbook.texts import _

_PAD = 8.0  # mm inside a card's edge
_TALL = 22.0  # mm, the most for the knife's picture
_DOWN = 2
_FITS = ((2, 9.5), (2, 9.0), (1, 9.5))  # how many beside each other, and points: the first that holds all words


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
    """Build the pages, in portrait: four cards on each, or two where the words of one need the room."""
    across, size = next((fit for fit in _FITS if all(_holds(run, card, *fit) for card in cards)), _FITS[-1])
    wide, high = run.upright
    room, each, pages = _room(run, across), across * _DOWN, []
    for first in range(0, len(cards), each):
        marks: list[Mark] = [stroke(((run.margin, high / 2), (wide - run.margin, high / 2)), "extension")]
        if across > 1:
            marks.append(stroke(((wide / 2, run.margin), (wide / 2, high - run.margin)), "extension"))
        for n, card in enumerate(cards[first : first + each]):
            corner = (n % across * room[0], high - n // across * room[1])
            marks += shifted(_card(run, card, room[0], size)[0], *corner)
        pages.append(SheetPage(wide, high, tuple(marks)))
    return pages


def _room(run: PrintRun, across: int) -> tuple[float, float]:
    """Width and height of a card."""
    return run.upright[0] / across, run.upright[1] / _DOWN


def _holds(run: PrintRun, card: CareCard, across: int, size: float) -> bool:
    """Whether the words of a card end above its lower edge."""
    width, height = _room(run, across)
    return -_card(run, card, width, size)[1] <= height - _pad(run)


def _pad(run: PrintRun) -> float:
    return max(_PAD, run.margin + 1.0)


def _card(run: PrintRun, card: CareCard, width: float, size: float) -> tuple[Drawing, float]:
    """The marks of a card, its upper left corner on the origin, and the y of their lower end."""
    left, right, top = _pad(run), width - _pad(run), -_pad(run)
    span, shop = right - left, card.shop or card.name
    marks: list[Mark] = [
        Text((right, top - 4.5), card.serial, 11.0, "end", True),
        Text((left, top - 4.5), shop, fitting(run, shop, 12.0, True, span * 0.7), bold=True),
    ]
    told = ", ".join(part for part in (card.name if card.shop else "", card.facts) if part)
    more, low = paragraph(left, top - 6.0, span, told, run.measure, size=size)
    marks += more
    if card.knife is not None:
        picture, low = knife_marks(card.knife, scale_within([card.knife], (span, _TALL)), (left, low - 3.0))
        marks += picture
    low -= 2.0
    for line in (*card.lines, card.law):
        more, low = paragraph(left, low, span, line, run.measure, size=size)
        marks += more
        low -= 1.0
    if card.reached:
        words = _("Questions, sharpening, repairs: {reached}", reached=card.reached)
        more, low = paragraph(left, low - 0.5, span, words, run.measure, size=size, tone="soft")
        marks += more
    return tuple(marks), low
