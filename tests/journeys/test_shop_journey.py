"""From an order to steel on the saw in the installed program's real window, by keys alone; and all of it undone."""

import time

import pypdfium2

from tests.journeys.looking import Looked
from tests.journeys.test_window_journey import display, patiently, start  # noqa: F401
from workbook.document.orders import customer_of
from workbook.document.records import AT_HAND, BarRecord
from workbook.document.shop_records import OrderRecord, PieceRecord
from workbook.storage.unsaved import sessions


def test_an_order_is_quoted_laid_out_cut_and_undone(start, tmp_path):  # noqa: F811
    program = start()

    def document():
        (left,) = patiently(lambda: sessions(tmp_path / "data" / "sessions"))
        database = Looked(left.file)
        try:
            return database.body().document
        finally:
            database.close()

    def all_of(kind):
        return list(document().all(kind))

    def line(page, text):
        """Types in the line of a page."""
        program.key(page)
        program.quiet()
        program.key("ctrl+l")
        program.xdotool("type", "--delay", "40", text)
        program.xdotool("key", "Return")

    program.quiet()
    first = document()
    bars = len(all_of(BarRecord))
    line("ctrl+3", "52100 5/64 x 2 x 36, 29.00, 1")
    patiently(lambda: len(all_of(BarRecord)) == bars + 1)
    line("ctrl+3", "1095 5/64 x 2 x 48, 26.00, 1")
    patiently(lambda: len(all_of(BarRecord)) == bars + 2)

    line("ctrl+4", "2 Petty of 1095 for R. Okafor by 2027-03-01")
    order = patiently(lambda: next((o for o in all_of(OrderRecord) if customer_of(document(), o) == "R. Okafor"), None))
    program.quiet()
    program.find("print the quote")
    asked = patiently(lambda: program.titled("Save the quote")).splitlines()[0]
    program.xdotool("windowfocus", asked)
    program.xdotool("key", "Return")
    (sheet,) = patiently(lambda: list(tmp_path.glob("quote*.pdf")))
    patiently(lambda: sheet.stat().st_size > 1000)
    words = pypdfium2.PdfDocument(sheet)[0].get_textpage().get_text_bounded()
    assert "R. Okafor" in words
    assert "1 March 2027" in words
    patiently(lambda: document().get(order.id, OrderRecord).quoted)
    program.xdotool("windowfocus", program.window)

    program.find("lay out this order")
    patiently(lambda: document().get(order.id, OrderRecord).laying)
    program.quiet()

    def moved_by_hand():
        """As soon as there is a layout: the window is quiet too while it waits for the first."""
        program.key("ctrl+l")
        program.xdotool("key", "Right")
        program.xdotool("key", "shift+Right")
        time.sleep(1)
        return AT_HAND in document().records

    patiently(moved_by_hand)
    program.find("move it clear")
    program.quiet()
    program.find("pin it")
    patiently(lambda: any(p.pinned for bar in document().records[AT_HAND].bars for p in bar.pieces))
    program.quiet()  # the search goes on round it until nothing better is found
    program.find("mark the layout as cut")
    patiently(lambda: all_of(PieceRecord))
    after = document()
    petty = [piece for piece in after.all(PieceRecord) if piece.name == "Petty" and piece.line]
    assert len(petty) >= 2, "the blanks are the order's"
    offcuts = [r for r in after.all(BarRecord) if r.bar.steel == "1095" and r.bar.offcut and r.bar.have]
    assert offcuts, "two or three blanks leave much of four feet"

    def undone():
        program.key("ctrl+z")
        return document() == first

    patiently(undone)
