"""The table of pages, for the rail, the window, building in advance, and the remembered page.

Each page is imported when it is built: a start shows only the first.
"""

from __future__ import annotations

from collections.abc import Callable, Generator
from typing import TYPE_CHECKING, NamedTuple

from workbook.app.pages.draw.page import DrawPage
from workbook.app.pages.page import Page
from workbook.later import modules
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.frame import Frame
    from workbook.app.pages.grind import page as grind_page
    from workbook.app.pages.grind import side as grind_side
    from workbook.app.pages.layout import page as layout_page
    from workbook.app.pages.look_up import page as look_up_page
    from workbook.app.pages.make import page as make_page
    from workbook.app.pages.make import side as make_side
    from workbook.app.pages.quote import page as quote_page
    from workbook.app.pages.quote import side as quote_side
    from workbook.app.pages.stock import page as stock_page
    from workbook.app.pages.stock import side as stock_side
    from workbook.app.pages.today import page as today_page
    from workbook.app.printing import Printing
else:
    (
        grind_page, grind_side, layout_page, look_up_page, make_page, make_side, quote_page, quote_side, stock_page, stock_side,
        today_page,
    ) = modules(
        "app.pages.grind.page",
        "app.pages.grind.side",
        "app.pages.layout.page",
        "app.pages.look_up.page",
        "app.pages.make.page",
        "app.pages.make.side",
        "app.pages.quote.page",
        "app.pages.quote.side",
        "app.pages.stock.page",
        "app.pages.stock.side",
        "app.pages.today.page",
    )  # fmt: skip

Slices = Generator[None, None, Page]
Maker = Callable[["Frame", Callable[[], "Printing"]], Slices]  # builds a page, in slices


def _draw(window: Frame, printing: Callable[[], Printing]) -> Slices:
    page = DrawPage(window.workspace)
    page.hint.connect(lambda text: window.hint(text, "soft"))
    page.print_wanted.connect(lambda: printing().print_template())
    page.cut_file_wanted.connect(lambda: printing().save_cut_file())
    yield from ()
    return page


def _grind(window: Frame, printing: Callable[[], Printing]) -> Slices:
    side = grind_side.BenchSide(window.workspace)
    yield
    page = grind_page.GrindPage(window.workspace, side)
    page.hint.connect(lambda text: window.hint(text, "soft"))
    page.print_wanted.connect(printing().print_bench_set)
    yield
    return page


def _stock(window: Frame, printing: Callable[[], Printing]) -> Slices:
    side = stock_side.StockSide(window.workspace)
    yield
    page = stock_page.StockPage(window.workspace, side)
    page.hint.connect(lambda text: window.hint(text, "ink"))
    yield
    return page


def _quote(window: Frame, printing: Callable[[], Printing]) -> Slices:
    side = quote_side.QuoteSide(window.workspace)
    yield
    page = quote_page.QuotePage(window.workspace, side)
    page.hint.connect(lambda text: window.hint(text, "ink"))
    page.print_wanted.connect(printing().print_quote)
    page.needs.write_wanted.connect(printing().save_needs)
    page.rates_wanted.connect(lambda: window.dialog("rates"))
    page.account_wanted.connect(window.show_account)
    yield
    return page


def _layout(window: Frame, printing: Callable[[], Printing]) -> Slices:
    page = layout_page.LayOutPage(window.workspace)
    page.print_wanted.connect(printing().print_bars)
    page.cut_file_wanted.connect(printing().cut_bars)
    page.search.warm()
    yield from ()
    return page


def _make(window: Frame, printing: Callable[[], Printing]) -> Slices:
    side = make_side.MakingSide(window.workspace.look)
    yield
    page = make_page.MakePage(window.workspace, side)
    page.hint.connect(lambda text: window.hint(text, "ink"))
    page.print_button.clicked.connect(lambda: printing().print_traveller())
    page.side.sheets_button.clicked.connect(lambda: printing().print_heat_sheets())
    page.side.scale_sheets_button.clicked.connect(lambda: printing().print_scale_sheets())
    page.side.labels_button.clicked.connect(lambda: printing().print_labels())
    page.side.outgoing_button.clicked.connect(lambda: printing().print_outgoing())
    page.heat_wanted.connect(window.show_heat_load)
    page.load_wanted.connect(window.show_load)
    page.finished_wanted.connect(lambda: window.dialog("finished"))
    yield
    return page


def _today(window: Frame, printing: Callable[[], Printing]) -> Slices:
    page = today_page.TodayPage(window.workspace)
    page.hint.connect(lambda text: window.hint(text, "ink"))
    page.line_wanted.connect(window.take_on)
    page.page_wanted.connect(window.show_page)
    page.buying_wanted.connect(window.show_needs)
    page.hours_wanted.connect(lambda: window.dialog("hours"))
    yield
    return page


def _look_up(window: Frame, printing: Callable[[], Printing]) -> Slices:
    yield from look_up_page.card_slices(window.workspace.unit)
    page = look_up_page.LookUpPage(window.workspace)
    yield
    return page


class Row(NamedTuple):
    """A page: its name (and its icon's), its word, a hint given when it is shown, what builds it, in slices, and other words
    that people look for it by.

    `early`: it is built and drawn in advance, while the window is idle.
    """

    name: str
    word: str
    hint: str
    make: Maker
    also: str
    early: bool = True


PAGES = (
    Row(
        "today", _("Today"), _("Type the minutes you have and press Enter. Each line says why it comes now."), _today,
        _(
            "plan tonight evening schedule next tasks todo agenda calendar due waiting deadline promise "
            "day what now timeline shopping"
        ),
    ),
    Row(
        "draw", _("Draw"),
        _("Type a length, e.g. 1 3/16, 30 mm or 5 thou. The up and down arrows nudge it. Wheel zooms, drag " "moves, 0 fits."),
        _draw, _("design shape profile template blade board sketch edit draw model"), early=False,
    ),
    Row(
        "grind", _("Grind"),
        _("Drag the section along the blade, or use the left and right arrow keys. Drag in a shaded picture to "
          "move its lamp."), _grind,
        _("grinding bevel weight heavy balance point angle edge section hollow flat convex mass balance jig"),
    ),
    Row(
        "stock", _("Stock"), _("Type a bar in one line, as the field shows. Select one to change it."), _stock,
        _(
            "inventory steel rack bars materials supplies glue epoxy belts buy use offcuts leftovers "
            "ledger handle wood low running short reorder"
        ),
    ),
    Row(
        "quote", _("Quote"),
        _("Type an order in one line, as the field shows. Every amount opens to show its breakdown."), _quote,
        _(
            "order price customer cost client sell sold estimate offer job deadline invoice receipt "
            "payment delivered shopping list calendar diary agenda clients buyer"
        ),
    ),
    Row(
        "layout", _("Lay out"),
        _("The layout improves while you watch. Stop when you like. Keep searching tries from another start."),
        _layout, _("nest nesting optimize optimise pack arrange cut bars blanks saw fit waste layout"), early=False,
    ),
    Row(
        "make", _("Make"),
        _("Choose a stage, type the minutes, press Enter. They are entered for the blades at that stage."), _make,
        _(
            "batch progress timer production time hours track stage serial traveler schedule timeline "
            "finish polish log heat treatment tasks todo next tonight do"
        ),
    ),
    Row(
        "lookup", _("Look up"),
        _("Type a name to see its card. Source, beside a head, says where it comes from and how sure it is."), _look_up,
        _(
            "handbook steel reference table data chart drill tap grit sandpaper wood density hardness "
            "alloy metal anneal normalize facts rust corrosion stainless carbon"
        ),
    ),
)  # fmt: skip
NAMES = tuple(row.name for row in PAGES)
