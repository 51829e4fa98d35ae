"""The bar in hand: the one answer to "which bar is this blade made from?".

A blank already cut belongs to the bar it was cut from, as measured then; blanks of a layout belong to the bars they lie on.
Otherwise the maker chooses a bar, or the program guesses: for a blade still to be made, a bar that suits it, from the rack first,
then from those for sale; for one that is not to be made, the bar its last blanks were cut from. Without any bar it is the
template's nominal thickness.
"""

from collections.abc import Iterator, Sequence
from enum import StrEnum

from msgspec import Struct

from workbook.shop.job import NOMINAL, AnyTemplate, Bar, Choice, Job, thickness_of, thicknesses
from workbook.structs import replace

CALIPERS = 0.03  # mm of caliper error (common practice, no source): bars that differ by less count as one thickness

BETWEEN = "”, “"  # separates the names of bars listed together


class Source(StrEnum):
    """Where a bar in hand comes from."""

    CUT = "cut"
    LAID = "laid out"
    RACK = "rack"
    SALE = "for sale"
    NOMINAL = "nominal"


class InHand(Struct, frozen=True, kw_only=True):
    """A bar that blades of a template are, or will be, made from."""

    source: Source
    thickness: float  # mm; the least reading where it was read
    nominal: float  # mm; what the template asks for
    read: bool = False  # whether calipers read its thickness
    rack: bool = False  # whether it is on the rack
    bar: str = ""  # its name
    steel: str = ""
    width: float | None = None
    serials: tuple[str, ...] = ()  # of the blanks cut from it or laid out on it

    @property
    def names(self) -> list[str]:
        """The names of the bars, where several of one thickness are listed together."""
        return self.bar.split(BETWEEN)

    @property
    def over(self) -> float:
        """How much thicker than the template's nominal, mm; 0.0 within caliper error."""
        excess = self.thickness - self.nominal
        return excess if abs(excess) > CALIPERS else 0.0

    @property
    def choice(self) -> Choice:
        """The choice to record when the maker picks this bar."""
        return Choice(self.bar, cut=self.source is Source.CUT)


def in_hand(job: Job, key: str, bars: Sequence[InHand]) -> InHand:
    """The bar that blades of a template are made from, among those that suit it: the chosen one if present, or the likeliest."""
    choice = dict(job.chosen).get(key)
    return next((bar for bar in bars if bar.choice == choice), None) or likeliest(job, key, bars)


def bars_for(job: Job, key: str) -> tuple[InHand, ...]:
    """The bars that suit a template: on the rack (measured ones first), for sale, those blanks were cut from, nominal."""
    template, steels = job.template(key), _steels(job, key)
    low, high = thicknesses(job.settings, template)
    candidates = [bar for bar in job.bars if low <= bar.thickness <= high]
    suitable = [bar for bar in candidates if not steels or bar.steel.casefold() in steels]
    rack = sorted((_of_bar(template, bar, Source.RACK) for bar in suitable if bar.have), key=lambda hand: not hand.read)
    sale = [_of_bar(template, bar, Source.SALE) for bar in suitable if bar.buy and not bar.have]
    steel = next((wish.steel for wish in job.make if wish.template == key), "")
    return (*rack, *sale, *_cut(job, key), nominal_bar(thickness_of(template), steel))


def bar_laid_on(template: AnyTemplate, bar: Bar, serials: tuple[str, ...], *, bought: bool) -> InHand:
    """The bar in hand for blanks laid out on a bar; one still to be bought has no readings."""
    return replace(_of_bar(template, bar, Source.SALE if bought else Source.RACK), source=Source.LAID, serials=serials)


def with_more(hand: InHand, more: InHand) -> InHand:
    """Join a bar in hand with another of its thickness."""
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
    """The bar in hand where there is no bar: only the thickness a template asks for, mm."""
    return InHand(source=Source.NOMINAL, thickness=thickness, nominal=thickness, bar=NOMINAL, steel=steel)


def _cut(job: Job, key: str) -> Iterator[InHand]:
    """The bars its blanks were cut from, latest first; blanks of one bar are grouped."""
    by_bar: dict[InHand, list[str]] = {}
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
        by_bar.setdefault(hand, []).append(blank.serial)
    yield from (replace(hand, serials=tuple(reversed(serials))) for hand, serials in by_bar.items())


def likeliest(job: Job, key: str, bars: Sequence[InHand]) -> InHand:
    """The bar that blades of a template are most likely made from, among those that suit it."""
    steels = _steels(job, key)
    cut = [bar for bar in bars if bar.source is Source.CUT and (not steels or bar.steel.casefold() in steels)]
    available = [bar for bar in bars if bar.source in (Source.RACK, Source.SALE)]
    return next(iter((*available, *cut) if steels else (*cut, *available)), bars[-1])


def _steels(job: Job, key: str) -> set[str]:
    return {wish.steel.casefold() for wish in job.make if wish.template == key}
