"""A grind in the installed program's real window: the bar measured, the card printed."""

import pypdfium2

from tests.journeys.by_mouse import hands  # noqa: F401
from tests.journeys.looking import looked_at
from tests.journeys.test_window_journey import display, patiently  # noqa: F401
from workbook.document.records import BarRecord


def test_a_bar_is_measured_and_its_bench_card_printed(hands, tmp_path):  # noqa: F811
    def middle():
        """The reading half-way along that is kept of the measured bar."""
        document = looked_at(tmp_path / "data" / "sessions")
        return next(r.bar.measured.middle for r in document.all(BarRecord) if r.bar.measured.anything)

    assert middle() is None
    hands.click(text="Grind")
    hands.click(name="middle")
    hands.type("0.0765", "Return")
    patiently(lambda: abs((middle() or 0.0) / 25.4 - 0.0765) < 1e-9)
    hands.click(name="print-card")
    hands.click(name="save")
    hands.click(text="Save")
    patiently(lambda: list(tmp_path.glob("*.pdf")))
    (card,) = tmp_path.glob("*.pdf")
    patiently(lambda: card.stat().st_size > 1000)
    pages = pypdfium2.PdfDocument(card)
    said = pages[len(pages) - 1].get_textpage().get_text_range()
    assert "0.0765 in measured" in said
    assert "Scribe from each face" in said
