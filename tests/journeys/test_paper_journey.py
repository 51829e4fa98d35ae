"""Sheets from the installed program's real window, by keys alone: the dialog, the file, its pages and their code."""

import pypdfium2
import zxingcpp

from tests.journeys.test_window_journey import display, patiently, start  # noqa: F401


def test_template_sheets_are_written_and_known_again(start, tmp_path):  # noqa: F811
    program = start()
    program.quiet()
    program.key("ctrl+e")
    dialog = patiently(lambda: program.titled("Export or print")).splitlines()[0]
    asked = program.save_in(dialog)
    program.xdotool("windowfocus", asked)
    program.xdotool("key", "Return")
    (sheets,) = patiently(lambda: list(tmp_path.glob("petty.pdf")))
    patiently(lambda: sheets.stat().st_size > 1000)
    opened = pypdfium2.PdfDocument(sheets)
    assert len(opened) == 3
    (code,) = zxingcpp.read_barcodes(opened[0].render(scale=150 / 72).to_pil())
    opened.close()
    assert code.text.startswith("Petty; revision 1; ")
