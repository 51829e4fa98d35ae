"""The figures of a layout with their working: the number of bars, the loss, the cost of steel."""

from workbook.app.elements.working import OpenedFigure
from workbook.model.laying import Laid, least_offcut
from workbook.shop.money import priced
from workbook.shop.serials import serials
from workbook.shop.steel_balance import balance_of
from workbook.texts import _, ngettext
from workbook.units import Unit, built, show

_SOURCES = {"rack": _("from the rack"), "offcut": _("an offcut of the rack"), "buy": _("to buy")}


def bars_opened(laid: Laid) -> OpenedFigure:
    """The number of bars, and which they are."""
    parts = []
    for use in laid.layout.bars:
        stock = laid.nesting.stock[use.stock]
        blanks = ngettext("{count} blank", "{count} blanks", len(use.pieces))
        parts.append(OpenedFigure(stock.name, blanks, _SOURCES[stock.source]))
    return OpenedFigure(_("Bars"), str(len(laid.layout.bars)), _("bars with blanks"), tuple(parts))


def lost_opened(laid: Laid, unit: Unit) -> OpenedFigure:
    """The part of all steel taken that is neither blanks nor offcuts: by area, each part measured on its own."""
    job = laid.model.job
    balance = balance_of(laid.nesting, laid.layout, job.saw.clean_up, job.saw.kerf, least_offcut(job))
    lost = balance.bars - balance.blanks - balance.offcuts
    parts = (
        (
            _("Kerf"),
            balance.kerf,
            _("a kerf of {length} {unit} around every blank", length=built(show(job.saw.kerf, unit)), unit=unit),
        ),
        (
            _("Clean-up allowance"),
            balance.clean_up,
            _("{length} {unit}, ground off", length=built(show(job.saw.clean_up, unit)), unit=unit),
        ),
        (_("Slivers"), balance.slivers, _("between the blanks, along the edges, and offcuts too small to keep")),
        (_("Blanks"), balance.blanks, _("as they are when profiled to the line")),
        (_("Offcuts"), balance.offcuts, _("large enough to go back to the rack")),
    )
    total = max(balance.bars, 1e-9)
    rows = tuple(
        OpenedFigure(words, f"{area / total:.1%}", _("{area:.1f} cm²: {how}", area=area / 100, how=note))
        for words, area, note in parts
    )
    return OpenedFigure(
        _("Lost"), f"{lost / total:.0%}", _("kerf, clean-up and slivers of {bars:.0f} cm² of bar", bars=balance.bars / 100), rows
    )


def steel_opened(laid: Laid) -> OpenedFigure:
    """The cost of steel: every bar less its offcut, shared by its blanks."""
    money = laid.model.job.money
    names = serials(laid.nesting, laid.layout)
    parts = []
    for use, cost, row in zip(laid.layout.bars, laid.costs.each, names, strict=True):
        blanks = [
            OpenedFigure(name, priced(share, money), _("by its area")) for name, share in zip(row, cost.pieces, strict=True)
        ]
        price, credit = priced(cost.price, money), priced(cost.credit, money)
        note = _("{price} less {credit} for its offcut", price=price, credit=credit)
        parts.append(
            OpenedFigure(laid.nesting.stock[use.stock].name, priced(cost.price - cost.credit, money), note, tuple(blanks))
        )
    bars, offcuts = priced(laid.costs.bars, money), priced(laid.costs.credit, money)
    words = _("bars {bars} less offcuts {offcuts}", bars=bars, offcuts=offcuts)
    return OpenedFigure(_("Steel"), priced(laid.costs.material, money), words, tuple(parts))
