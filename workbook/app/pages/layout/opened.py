"""The figures of a layout, opened: how many bars, what is lost, what the steel costs."""

from workbook.app.elements.working import OpenedFigure
from workbook.model.laying import Laid
from workbook.shop.money import priced
from workbook.shop.serials import serials
from workbook.shop.steel_balance import balance_of
from workbook.units import Unit, built, counted, show

_SOURCES = {"rack": "from the rack", "offcut": "an offcut of the rack", "buy": "to buy"}


def bars_opened(laid: Laid) -> OpenedFigure:
    """How many bars, and which."""
    parts = []
    for use in laid.layout.bars:
        stock = laid.nesting.stock[use.stock]
        parts.append(OpenedFigure(stock.name, counted(len(use.pieces), "blank"), _SOURCES[stock.source]))
    return OpenedFigure("Bars", str(len(laid.layout.bars)), "those the blanks lie on", tuple(parts))


def lost_opened(laid: Laid, unit: Unit) -> OpenedFigure:
    """What is neither blanks nor offcuts, of all the steel taken: by area, each part measured on its own."""
    job = laid.model.job
    found = balance_of(laid.nesting, laid.layout, job.saw.clean_up, job.saw.kerf, job.settings.keep_offcut)
    lost = found.bars - found.blanks - found.offcuts
    parts = (
        ("To the saw", found.kerf, f"a kerf of {built(show(job.saw.kerf, unit))} {unit} round every blank"),
        ("Left outside the line", found.clean_up, f"{built(show(job.saw.clean_up, unit))} {unit}, ground off"),
        ("Slivers", found.slivers, "between the blanks, along the edges, and offcuts too short to keep"),
        ("Blanks", found.blanks, "as they are when profiled to the line"),
        ("Offcuts", found.offcuts, "long enough to go back to the rack"),
    )
    whole = max(found.bars, 1e-9)
    rows = tuple(OpenedFigure(words, f"{area / whole:.1%}", f"{area / 100:.1f} cm²: {how}") for words, area, how in parts)
    return OpenedFigure("Lost", f"{lost / whole:.0%}", f"kerf, clean-up and slivers of {found.bars / 100:.0f} cm² of bar", rows)


def steel_opened(laid: Laid) -> OpenedFigure:
    """What the steel costs: every bar, less its offcut, shared by its blanks."""
    currency = laid.model.job.currency
    names = serials(laid.nesting, laid.layout)
    parts = []
    for use, cost, row in zip(laid.layout.bars, laid.costs.each, names, strict=True):
        blanks = [
            OpenedFigure(name, priced(share, currency), "by its area") for name, share in zip(row, cost.pieces, strict=True)
        ]
        how = f"{priced(cost.price, currency)} less {priced(cost.credit, currency)} for its offcut"
        parts.append(
            OpenedFigure(laid.nesting.stock[use.stock].name, priced(cost.price - cost.credit, currency), how, tuple(blanks))
        )
    words = f"bars {priced(laid.costs.bars, currency)} less offcuts {priced(laid.costs.credit, currency)}"
    return OpenedFigure("Steel", priced(laid.costs.material, currency), words, tuple(parts))
