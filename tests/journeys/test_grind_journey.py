"""A grind in the installed program's real window: the section moved by keys, the bar measured, the card printed; killed, kept."""

import pypdfium2

from tests.journeys.looking import Looked
from tests.journeys.test_window_journey import display, patiently, start  # noqa: F401
from workbook.document.records import BarRecord
from workbook.storage.unsaved import sessions


def test_a_bar_is_measured_and_its_bench_card_printed(start, tmp_path):  # noqa: F811
    program = start()

    def readings():
        """What the session keeps of the measured bar."""
        (kept,) = sessions(tmp_path / "data" / "sessions")
        database = Looked(kept.file)
        try:
            document = database.body().document
        finally:
            database.close()
        return next(r.bar.measured for r in document.all(BarRecord) if r.bar.measured.anything)

    patiently(lambda: sessions(tmp_path / "data" / "sessions"))
    program.quiet()
    assert readings().middle is None
    program.key("ctrl+2")
    program.quiet()
    for _ in range(60):  # by the keyboard alone, to the reading half-way along
        program.key("Tab")
        program.xdotool("type", "--delay", "30", "0.0765")
        if patiently_soon(lambda: readings().middle):
            break
    patiently(lambda: abs(readings().middle / 25.4 - 0.0765) < 1e-9)
    program.key("Return")
    program.find("Print the bench card")
    dialog = patiently(lambda: program.titled("Save the bench card")).splitlines()[0]
    program.xdotool("windowfocus", dialog)
    program.xdotool("key", "Return")
    patiently(lambda: list(tmp_path.glob("*.pdf")))
    (card,) = tmp_path.glob("*.pdf")
    patiently(lambda: card.stat().st_size > 1000)
    said = pypdfium2.PdfDocument(card)[0].get_textpage().get_text_range()
    assert "0.0765 in measured" in said
    assert "scribe from each face" in said


def patiently_soon(look):
    """Whether there is something to see within a moment."""
    try:
        return patiently(look, 0.5)
    except AssertionError:
        return None
