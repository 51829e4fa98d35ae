"""The order of a start: the first picture comes soon, and nobody waits for the rest.

1. `faster_start.start_faster`: Qt's core and msgspec, by faster ways.
2. `main.main`: one start at a time; the work is opened; the window is built with the page Draw and only the names of its menus.
   Nothing so far uses arrays or polygons: `workbook.later` loads what needs them.
3. The first picture is seen (`DrawPage.seen`): arrays and polygons, the checks, the menus' actions (`Window._furnish`).
4. After `AFTER_MENUS` (`Window._after_start`): other starts find this window, unsaved changes go to the file, Lay out and its
   worker are built.
5. After `SETTLED` (`main._settled`): the faster ways end, garbage is collected on the window's thread, the start is recorded as
   successful, and work that could not be opened is reported.
6. `warming`: `BESIDE` in a thread, then `ONE_BY_ONE` on the window's.
7. `early`: the other pages, in slices.
"""

AFTER_MENUS = 400  # ms
SETTLED = 1500  # ms after the window is shown
BETWEEN_MODULES = 200  # ms
BETWEEN_SLICES = 100  # ms

BESIDE = (  # modules without Qt
    "numpy.ma", "multiprocessing.popen_spawn_posix", "csv", "workbook.tasks.exports", "workbook.tasks.exports.book",
    "workbook.tasks.quote_out", "workbook.tasks.judging", "workbook.tasks.stock_csv", "workbook.model.grinding",
    "workbook.model.quoting", "workbook.model.buying", "workbook.grind.checks", "workbook.template.tracing",
    "workbook.formats.look_up",
)  # fmt: skip
ONE_BY_ONE = (  # small once those are loaded
    "workbook.app.beside", "workbook.app.export", "workbook.app.proof", "workbook.app.paper",
    "workbook.app.pages.grind.page", "workbook.app.pages.stock.page", "workbook.app.pages.quote.page",
    "workbook.app.pages.look_up.page",
    "workbook.app.dialogs.export", "workbook.app.dialogs.trace", "workbook.app.dialogs.preflight",
)  # fmt: skip
