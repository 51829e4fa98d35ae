"""The bar in hand: the one answer to "which bar is this blade made of?".

A blank that was cut is of the bar it was cut from, as that was read then; blanks of a layout are of the bars they lie on. Else
the maker chooses a bar, and what is not chosen is guessed: what a blade still to be made can be made of, on the rack first, then
for sale; of one that is not to be made, the bar its last blanks were cut from. Only without any is it the template's nominal.
"""

from collections.abc import Iterator, Sequence
from enum import StrEnum

from msgspec import Struct

from workbook.shop.job import NOMINAL, AnyTemplate, Bar, Choice, Job, thickness_of, thicknesses
from workbook.structs import replace

CALIPERS = 0.03  # mm a caliper may be wrong by (common practice, no source): bars that differ by less are of one thickness

BETWEEN = "”, “"  # names of bars that are told together


class Source(StrEnum):
    """Where a bar in hand is known from."""

    CUT = "cut"
    LAID = "laid out"
    RACK = "rack"
    SALE = "for sale"
    NOMINAL = "nominal"


class InHand(Struct, frozen=True, kw_only=True):
    """A bar that blades of a template are made of, or are to be."""

    source: Source
    thickness: float  # mm; the least reading where it was read
    nominal: float  # mm; what the template asks for
    read: bool = False  # whether calipers read its thickness
    rack: bool = False  # whether it lies on the rack
    bar: str = ""  # its name
    steel: str = ""
    width: float | None = None
    serials: tuple[str, ...] = ()  # of the blanks cut from it or laid out on it

    @property
    def names(self) -> list[str]:
        """The names of the bars, where several of one thickness are told together."""
        return self.bar.split(BETWEEN)

    @property
    def over(self) -> float:
        """How much thicker than the template's nominal, mm; 0.0 within what calipers may be wrong by."""
        more = self.thickness - self.nominal
        return more if abs(more) > CALIPERS else 0.0

    @property
    def choice(self) -> Choice:
        """What the maker says who chooses it."""
        return Choice(self.bar, cut=self.source is Source.CUT)


def in_hand(job: Job, key: str, bars: Sequence[InHand]) -> InHand:
    """The bar that blades of a template are made of, of those that suit it: the one chosen, if it is there, or the likeliest."""
    choice = dict(job.chosen).get(key)
    return next((bar for bar in bars if bar.choice == choice), None) or likeliest(job, key, bars)


def bars_for(job: Job, key: str) -> tuple[InHand, ...]:
    """The bars that suit a template: on the rack (those that were read first), for sale, those blanks were cut from, nominal."""
    template, wanted = job.template(key), _steels(job, key)
    low, high = thicknesses(job.settings, template)
    thick = [bar for bar in job.bars if low <= bar.thickness <= high]
    fits = [bar for bar in thick if not wanted or bar.steel.casefold() in wanted]
    rack = sorted((_of_bar(template, bar, Source.RACK) for bar in fits if bar.have), key=lambda hand: not hand.read)
    sale = [_of_bar(template, bar, Source.SALE) for bar in fits if bar.buy and not bar.have]
    steel = next((wish.steel for wish in job.make if wish.template == key), "")
    return (*rack, *sale, *_cut(job, key), nominal_bar(thickness_of(template), steel))


def bar_laid_on(template: AnyTemplate, bar: Bar, serials: tuple[str, ...], *, bought: bool) -> InHand:
    """The same of blanks laid out on a bar; one that is yet to be bought was read by nobody."""
    return replace(_of_bar(template, bar, Source.SALE if bought else Source.RACK), source=Source.LAID, serials=serials)


def with_more(hand: InHand, more: InHand) -> InHand:
    """A bar in hand together with another of its thickness."""
    names = hand.bar if more.bar in hand.names else f"{hand.bar}{BETWEEN}{more.bar}"
    return replace(hand, bar=names, serials=(*hand.serials, *more.serials), rack=hand.rack or more.rack)


def _of_bar(template: AnyTemplate, bar: Bar, source: Source) -> InHand:
    read = bar.measured.least if source is Source.RACK else None
    return InHand(
        source=source,
        thickness=read or bar.thickness,
        nominal=thickness_of(template),
        read=read is not None,
        rack=source is Source.RACK,
        bar=bar.name,
        steel=bar.steel,
        width=bar.true_width if source is Source.RACK else bar.width,
    )


def nominal_bar(thickness: float, steel: str = "") -> InHand:
    """No bar: the thickness that a template asks for."""
    return InHand(source=Source.NOMINAL, thickness=thickness, nominal=thickness, bar=NOMINAL, steel=steel)


def _cut(job: Job, key: str) -> Iterator[InHand]:
    """The bars its blanks were cut from, the last first; blanks of one bar together."""
    found: dict[InHand, list[str]] = {}
    for blank in reversed([blank for blank in job.cut if blank.template == key]):
        read = blank.measured.least
        hand = InHand(
            source=Source.CUT,
            thickness=read or blank.thickness,
            nominal=thickness_of(job.template(key)),
            read=read is not None,
            bar=blank.bar,
            steel=blank.steel,
            width=blank.width,
        )
        found.setdefault(hand, []).append(blank.serial)
    yield from (replace(hand, serials=tuple(reversed(serials))) for hand, serials in found.items())


def likeliest(job: Job, key: str, bars: Sequence[InHand]) -> InHand:
    """The bar that blades of a template are most likely made of, of those that suit it."""
    wanted = _steels(job, key)
    cut = [bar for bar in bars if bar.source is Source.CUT and (not wanted or bar.steel.casefold() in wanted)]
    free = [bar for bar in bars if bar.source in (Source.RACK, Source.SALE)]
    return next(iter((*free, *cut) if wanted else (*cut, *free)), bars[-1])


def _steels(job: Job, key: str) -> set[str]:
    return {wish.steel.casefold() for wish in job.make if wish.template == key}
