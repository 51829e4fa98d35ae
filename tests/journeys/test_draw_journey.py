"""From the first start to paper and steel, by the mouse: an own book, a hunter drawn, drilled and mended, four of it ordered and
laid out, bench set, bar sheets and cutting file written; every click and drag counted.
"""

import time

import ezdxf
import pypdfium2

from tests.journeys.by_mouse import hands  # noqa: F401
from tests.journeys.looking import looked_at
from tests.journeys.test_window_journey import display, patiently, pytestmark  # noqa: F401
from workbook.document.orders import customer_of, lines_of
from workbook.document.queries import job_of, template_named
from workbook.document.records import BarRecord
from workbook.document.shop_records import OrderRecord
from workbook.formats.tables import facts
from workbook.model.model import tools_for
from workbook.problems import Severity
from workbook.template.checks import check
from workbook.template.shape import shape

NAME = "Drop-point hunter 2"  # an own book begins with one
MOST = 90  # clicks and drags


def test_a_hunter_of_four_from_the_first_start_to_the_saw(hands, tmp_path):  # noqa: F811
    def document():
        return looked_at(tmp_path / "data" / "sessions")

    def hunter():
        try:
            return template_named(document(), NAME).family
        except KeyError:
            return None

    def written(pattern, preview=False):
        if preview:
            hands.click(name="save")
        hands.click(text="Save")
        file = patiently(lambda: next(iter(tmp_path.glob(pattern)), None))
        patiently(lambda: file.stat().st_size > 1000)
        if preview:
            patiently(left)
        return file

    def left():
        """Whether the preview is gone; without a window manager the keyboard is not back in it by itself."""
        preview = hands.titled("Export or print").splitlines()
        if preview:
            hands.xdotool("windowfocus", preview[0])
            hands.xdotool("key", "Escape")
            time.sleep(0.3)
        return not preview

    hands.click(name="own-book")
    patiently(lambda: not document().settings.sample)
    hands.click(name="new-template")
    hands.click(menu="Drop-point hunter")
    family = patiently(hunter)

    hands.drag(40, 0, peg="point")
    patiently(lambda: hunter().blade.length > family.blade.length + 3)
    hands.click(name="blade.height")
    hands.type("1 3/16", "Return")
    patiently(lambda: abs(hunter().blade.height - 1.1875 * 25.4) < 1e-6)
    hands.drag(0, 18, peg="P1")
    patiently(lambda: hunter().holes is not None)
    before = hunter().holes
    hands.click(chip="first")
    hands.click(name="fix-it")
    patiently(lambda: hunter().holes != before)
    tools = tools_for(job_of(document()), facts())
    assert not [p for p in check(shape(hunter(), tools), tools) if "P1" in p.what and p.severity is not Severity.NOTE]

    hands.click(text="Stock")
    hands.click(name="bar-line")
    hands.type("1084 1/8 x 1 1/2 x 36, 21.50, 2", "Return")
    patiently(lambda: list(document().all(BarRecord)))
    hands.click(text="Quote")
    hands.click(name="order-line")
    hands.type(f"4 {NAME} of 1084 for R. Okafor by 2027-03-01", "Return")
    (order,) = patiently(lambda: list(document().all(OrderRecord)))
    assert customer_of(document(), order) == "R. Okafor"
    assert [line.quantity for line in lines_of(document(), order.id)] == [4]

    hands.click(text="Draw")
    hands.click(name="print-template")
    sheet = pypdfium2.PdfDocument(written("*hunter*.pdf", preview=True))
    assert "R. Okafor" not in sheet[0].get_textpage().get_text_bounded()
    hands.click(text="Grind")
    hands.click(name="print-card")
    sheet.close()
    next(tmp_path.glob("*hunter*.pdf")).unlink()
    bench = pypdfium2.PdfDocument(written("*hunter*.pdf", preview=True))
    assert "Scribe from each face" in bench[len(bench) - 1].get_textpage().get_text_bounded(), "the bench card is the last page"

    hands.click(text="Lay out")
    hands.click(cell="1  R. Okafor")
    patiently(lambda: document().get(order.id, OrderRecord).laying)
    hands.click(name="print-bars")
    assert len(pypdfium2.PdfDocument(written("*bar*.pdf", preview=True))) >= 1
    hands.click(name="cut-bars")
    assert list(ezdxf.readfile(written("*.dxf")).modelspace())
    assert hands.count <= MOST
    print(f"{hands.count} clicks and drags")
