"""The order of a start: what comes when, so that the first picture stands soon and nobody waits for what follows.

1. `faster_start.start_faster`: Qt's core and msgspec, by quicker ways.
2. `main.main`: one start at a time; the work is opened; the window is made with the page Draw, its menus by name only. Nothing up
   to here takes arrays or polygons: what needs them is brought by `workbook.later`.
3. The first picture is seen (`DrawPage.seen`): arrays and polygons, the checks, the menus' actions (`Window._furnish`).
4. After `AFTER_MENUS` (`Window._after_start`): other starts find this window, the file follows work that was left, Lay out and
   its worker are made.
5. After `SETTLED` (`main._settled`): the quicker ways end, garbage is collected on the window's thread, the start counts as well
   ended, what could not be opened is said.
6. `warming`: `BESIDE` in a thread, then `ONE_BY_ONE` on the window's.
7. `early`: the other pages, a slice at a time.
"""

AFTER_MENUS = 400  # ms
SETTLED = 1500  # ms after the window is shown
BETWEEN_MODULES = 200  # ms
BETWEEN_SLICES = 100  # ms

BESIDE = (  # what knows no Qt
    "numpy.ma", "multiprocessing.popen_spawn_posix", "csv", "workbook.tasks.exports", "workbook.tasks.exports.book",
    "workbook.tasks.quote_out", "workbook.tasks.judging", "workbook.tasks.stock_csv", "workbook.model.grinding",
    "workbook.model.quoting", "workbook.model.buying", "workbook.grind.checks", "workbook.template.tracing",
    "workbook.formats.look_up",
)  # fmt: skip
ONE_BY_ONE = (  # which are small without it
    "workbook.app.beside", "workbook.app.export", "workbook.app.proof", "workbook.app.paper",
    "workbook.app.pages.grind.page", "workbook.app.pages.stock.page", "workbook.app.pages.quote.page",
    "workbook.app.pages.look_up.page",
    "workbook.app.dialogs.export", "workbook.app.dialogs.trace", "workbook.app.dialogs.preflight",
)  # fmt: skip
