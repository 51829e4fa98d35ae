"""What a maker does that takes long, each as a scene for the window's clock (tests/clock.py)."""

import os
import signal
from decimal import Decimal

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog

from tests.clock import boxes, settled, until
from tests.counts import FULL, tries
from workbook.document.action import said
from workbook.document.actions.rack import order
from workbook.document.document import replacing
from workbook.document.queries import template_named
from workbook.document.records import BarRecord
from workbook.structs import replace
from workbook.tasks.demo import demo_document

HUNDRED = 92  # blanks besides those of the demo
AWAY = QPoint(60, 5)  # px a blank is dragged
SPLINES, PICTURES, BLANKS = tries(600, 3000), tries(12, 30), tries(392, 992)


def splines(path, many=SPLINES):
    """A drawing that takes seconds to read."""
    import ezdxf

    made = ezdxf.new(units=4)
    space = made.modelspace()
    for n in range(many):
        x, y = n % 60 * 20.0, n // 60 * 20.0
        points = [(x, y), (x + 12, y + 1), (x + 12, y + 10), (x + 3, y + 12), (x, y)]
        space.add_spline(fit_points=points)
    made.saveas(path)
    return path


def large_picture(path, width=11_900, height=10_000):
    """A picture of very many pixels of one colour."""
    from PIL import Image

    Image.new("RGB" if FULL else "L", (width, height), (200, 190, 180) if FULL else 190).save(path, compress_level=1)
    return path


def stock(path, rows):
    """A table of stock."""
    from workbook.formats.csv_out import csv_text
    from workbook.formats.stock_csv import stock_rows
    from workbook.shop.job import Bar

    bar = next(demo_document().all(BarRecord)).bar
    assert isinstance(bar, Bar)
    bars = [replace(bar, name=f"bar {n}", heat=f"H{n}", have=1, price=bar.price + Decimal(n % 50)) for n in range(rows)]
    path.write_bytes(csv_text(stock_rows(bars)).encode())
    return path


def fifo(window, folder):
    """A pipe named as a drawing."""
    os.mkfifo(folder / "pipe.dxf")
    return lambda: window.filing.open_file(folder / "pipe.dxf"), lambda: bool(boxes(window))


def device(window, folder):
    """A device named as a picture."""
    (folder / "device.png").symlink_to("/dev/zero")
    return lambda: window.bringing.trace_picture(folder / "device.png"), lambda: bool(boxes(window))


def picture(window, folder):
    """A picture of 119 megapixels to trace."""
    file = large_picture(folder / "large.png")
    return lambda: window.bringing.trace_picture(file), lambda: has_dialog(window, "TraceDialog")


def has_dialog(window, kind):
    from PySide6.QtWidgets import QDialog

    return any(type(one).__name__ == kind and one.isVisible() for one in window.findChildren(QDialog))


def drawing(window, folder):
    """An outline from a drawing of many splines."""
    file = splines(folder / "many.dxf")
    return lambda: window.filing.open_file(file), lambda: bool(boxes(window))


def preflight(window, folder):
    """The same drawing looked through before it is cut."""
    from workbook.app.dialogs.preflight import judge_file

    file = splines(folder / "many.dxf", 400)
    return lambda: judge_file(window, file), lambda: has_dialog(window, "PreflightDialog") or bool(boxes(window))


def job(window, folder):
    """A job file opened."""
    from workbook.paths import resource

    file = resource("demo", "harbour-kitchen-run.toml")
    before = window.workspace.session
    return lambda: window.filing.open_file(file), lambda: window.workspace.session is not before


def table(window, folder):
    """A table of stock of 6,000 rows, at full 20,000."""
    file = stock(folder / "stock.csv", tries(5_999, 19_999))
    return lambda: window.bringing.bring_in_stock(file), lambda: window.page_name() == "stock"


def with_pictures(many=PICTURES, each=4_000_000):
    """The demo with bars whose origin is a picture, and the pictures: 48 MB of them, at full 120."""
    import hashlib

    from workbook.storage.attachment import Attachment, reference

    shots = [Attachment("image/png", os.urandom(each)) for _ in range(many)]
    document = demo_document()
    bar = next(document.all(BarRecord))
    names = {hashlib.sha256(shot.data).hexdigest(): shot for shot in shots}
    records = [
        BarRecord(id=f"b{n}", place=1000.0 + n, bar=replace(bar.bar, name=f"pictured {n}", origin=reference(name)))
        for n, name in enumerate(names)
    ]
    return document.applied(replacing(document, said("pictures"), records)), names


def large_book(path):
    """A workbook with many pictures."""
    from workbook.storage.body import BookBody
    from workbook.storage.file import written

    document, names = with_pictures()
    path.write_bytes(written(BookBody(document, book="ab" * 8, attachments=names)))
    return path


def strange_book(window, folder):
    """A large workbook that was not used here before."""
    file = large_book(folder / "strange.shopbook")
    return lambda: window.filing.open_file(file), lambda: window.workspace.session.path == file


def own_book(window, folder):
    """A large workbook of one's own opened again."""
    from workbook.tasks.recent import remember

    file = large_book(folder / "own.shopbook")
    remember(file)
    return lambda: window.filing.open_file(file), lambda: window.workspace.session.path == file


def publishing(window, folder):
    """A large workbook brought up to date."""
    window.filing.open_file(large_book(folder / "own.shopbook"))
    until(lambda: window.workspace.session.path is not None)
    settled()
    space = window.workspace
    return lambda: space.change_settings("name", "Another", name="Another"), lambda: space.session.saved


def stopped_workers(window, folder):
    """A search on workers that do not answer."""
    window.show_page("layout")
    until(lambda: window.bars_page().laid is not None)
    workers = [worker.process.pid for worker in window.bars_page().search.workers]
    for pid in workers:
        os.kill(pid, signal.SIGSTOP)

    def begin():
        for _ in range(10):
            window.bars_page().search_on()

    return begin, lambda: window.bars_page().search.running


def laid_out(window, many):
    """The page Lay out with so many blanks, and where one of them is on its canvas."""
    document = window.workspace.session.document
    window.workspace.do(order(document, template_named(document, "Petty").id, "52100", many, "x"))
    window.show_page("layout")
    page = window.bars_page()
    until(lambda: page.laid is not None and sum(len(use.pieces) for use in page.laid.layout.bars) >= many, 120)
    page.search.stop()
    settled(1.5)
    view = page.bars
    places = (QPoint(x, y) for y in range(40, 200, 4) for x in range(60, 400, 6))
    return page, next(place for place in places if (view.at(place.toPointF()) or (0, -1))[1] >= 0)


def let_go(window, folder, many=BLANKS, by=AWAY):
    """One of four hundred blanks let go elsewhere, at full of a thousand."""
    page, at = laid_out(window, many)
    view = page.bars
    QTest.mousePress(view, Qt.MouseButton.LeftButton, pos=at)
    QTest.mouseMove(view, at + QPoint(20, 5))
    QTest.mouseMove(view, at + by)
    settled()
    before = page.laid

    return (
        lambda: QTest.mouseRelease(view, Qt.MouseButton.LeftButton, pos=at + by),
        lambda: page.laid is not before and not page.search.asking,
    )


def let_go_of_hundred(window, folder):
    """One of a hundred blanks let go elsewhere."""
    return let_go(window, folder, HUNDRED)


def by_hand_of_hundred(*keys):
    """One of a hundred blanks dragged over its neighbours; then these keys, the last of which is timed."""

    def scene(window, folder):
        begin, over = let_go(window, folder, HUNDRED, QPoint(20, 12))
        page = window.bars_page()
        begin()
        until(over)
        page.bars.setFocus()
        for key in keys[:-1]:
            QTest.keyClick(page.bars, key)
        settled()
        before = page.laid
        return (
            lambda: QTest.keyClick(page.bars, keys[-1]),
            lambda: page.laid is not before or "no room" in window.status.text(),
        )

    return scene


def first_showing(name):
    """A page shown for the first time."""

    def scene(window, folder):
        return lambda: window.show_page(name), lambda: window.page_name() == name

    scene.__doc__ = f"The page {name} shown for the first time."
    return scene


def printed(what):
    """Something printed or written by its button or menu."""

    def scene(window, folder):
        if "bars" in what:
            window.show_page("layout")
            until(lambda: window.bars_page().laid is not None)
            window.bars_page().search.stop()
            window.show_page("draw")
            settled()
        path = folder / f"{what}.out"
        if what in PREVIEWED:
            from workbook.app.dialogs.export import ExportDialog

            return getattr(window.printing, what), lambda: any(bool(each.files) for each in window.findChildren(ExportDialog))
        QFileDialog.getSaveFileName = staticmethod(lambda *rest: (str(path), ""))
        return getattr(window.printing, what), lambda: any(p.stat().st_size for p in folder.glob(f"{what}.out.*"))

    scene.__doc__ = f"Made and written: {what}."
    return scene


def exported(key):
    """Something made in the dialog for all that can be written."""

    def scene(window, folder):
        from workbook.app.dialogs.export import ExportDialog
        from workbook.tasks.exports import EXPORTS

        if EXPORTS[key].of == "bars":
            window.show_page("layout")
            until(lambda: window.bars_page().laid is not None)
            window.bars_page().search.stop()
            settled()

        def over():
            found = window.findChildren(ExportDialog)
            return bool(found) and (bool(found[0].files) or found[0].trouble.isVisible())

        return lambda: ExportDialog(window, key).show(), over

    scene.__doc__ = f"The dialog opened for: {key}."
    return scene


PRINTED = (
    "print_template", "print_bench_set", "print_shelf", "save_cut_file", "print_quote", "save_stock", "save_needs", "print_bars",
    "cut_bars", "draw_bars",
)  # fmt: skip
PREVIEWED = ("print_template", "print_bench_set", "print_shelf", "print_quote", "print_bars")
EXPORTED = (
    "sheets", "cards", "cutting", "svg", "pictures", "holes", "bars", "bars-drawing", "bars-cut", "ordinates", "cuts", "costs",
    "buy", "labels", "stencil", "layout", "shelf", "printer",
)  # fmt: skip
PAGES = ("grind", "stock", "quote", "layout", "lookup")
BY_HAND = {
    "cleared": (Qt.Key.Key_C,),
    "turned": (Qt.Key.Key_R,),
    "exchanged": (Qt.Key.Key_X, Qt.Key.Key_Right, Qt.Key.Key_Right, Qt.Key.Key_Return),
}
SCENES = {
    **{
        one.__name__: one
        for one in (
            fifo, device, picture, drawing, preflight, job, table, strange_book, own_book, publishing, stopped_workers, let_go,
            let_go_of_hundred,
        )
    },
    **{f"hundred {name}": by_hand_of_hundred(*keys) for name, keys in BY_HAND.items()},
    **{f"first {name}": first_showing(name) for name in PAGES},
    **{name: printed(name) for name in PRINTED},
    **{f"export {key}": exported(key) for key in EXPORTED},
}  # fmt: skip
