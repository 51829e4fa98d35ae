"""From the first start to steel on the saw in the installed program's real window, by keys alone; and all of it undone."""

import time

import pypdfium2
import pytest

from tests.counts import FULL
from tests.journeys.looking import looked_at
from tests.journeys.test_window_journey import display, patiently, start  # noqa: F401
from workbook.document.orders import customer_of
from workbook.document.records import AT_HAND, BarRecord, TemplateRecord
from workbook.document.shop_records import OrderRecord, PieceRecord


@pytest.mark.skipif(not FULL, reason="the journeys of drawing and of making go the same way from an order to the saw")
def test_an_order_is_quoted_laid_out_cut_and_undone(start, tmp_path):  # noqa: F811
    program = start()

    def document():
        return looked_at(tmp_path / "data" / "sessions")

    def all_of(kind):
        return list(document().all(kind))

    def line(page, text):
        """Types in the line of a page."""
        program.key(page)
        program.quiet()
        program.key("ctrl+l")
        program.xdotool("type", "--delay", "10", text)
        program.xdotool("key", "Return")

    def written(action, what, pattern):
        """The file that an action writes under the name it proposes; without `what`, in the preview that it opens."""
        program.quiet()
        program.find(action)
        preview = not what and patiently(lambda: program.titled("Export or print")).splitlines()[0]
        asked = program.save_in(preview) if preview else patiently(lambda: program.titled(f"Save: {what}")).splitlines()[0]
        program.xdotool("windowfocus", asked)
        program.xdotool("key", "Return")
        file = patiently(lambda: next(iter(tmp_path.glob(pattern)), None))
        patiently(lambda: file.stat().st_size > 1000)
        if preview:
            program.xdotool("windowfocus", preview)
            program.xdotool("key", "Escape")
        program.xdotool("windowfocus", program.window)
        return file

    program.quiet()
    program.key("ctrl+n")
    patiently(lambda: not document().settings.sample)
    program.find("new petty")
    patiently(lambda: any(each.template.name == "Petty" for each in all_of(TemplateRecord)))
    first = document()
    line("ctrl+3", "52100 2 x 50 x 900, 29.00, 1")
    patiently(lambda: len(all_of(BarRecord)) == 1)
    line("ctrl+3", "1095 2 x 50 x 1200, 26.00, 1")
    patiently(lambda: len(all_of(BarRecord)) == 2)
    written("print template sheet", "", "petty.pdf")

    line("ctrl+4", "2 Petty of 1095 for R. Okafor by 2027-03-01")
    order = patiently(lambda: next((o for o in all_of(OrderRecord) if customer_of(document(), o) == "R. Okafor"), None))
    program.quiet()
    sheet = written("print quote", "", "quote*.pdf")
    words = pypdfium2.PdfDocument(sheet)[0].get_textpage().get_text_bounded()
    assert "R. Okafor" in words
    assert "March 1, 2027" in words
    patiently(lambda: document().get(order.id, OrderRecord).quoted)

    program.find("include this order")
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
    program.find("move clear")
    program.quiet()
    program.find("pin or unpin")
    patiently(lambda: any(p.pinned for bar in document().records[AT_HAND].bars for p in bar.pieces))
    program.quiet()  # the search goes on around it until nothing better is found
    written("print bar sheets", "", "*bars*.pdf")
    written("export cutting file of the bars", "Cutting file of the bars", "*.dxf")
    program.find("mark layout as cut")
    patiently(lambda: all_of(PieceRecord))
    after = document()
    petty = [piece for piece in after.all(PieceRecord) if piece.name == "Petty" and piece.line]
    assert len(petty) >= 2, "the blanks are the order's"
    offcuts = [r for r in after.all(BarRecord) if r.bar.steel == "1095" and r.bar.offcut and r.bar.have]
    assert offcuts, "two or three blanks leave much of 1200 mm"

    def undone():
        program.key("ctrl+z")
        return document() == first

    patiently(undone)
