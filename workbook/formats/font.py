"""The sheets' font and the width of words in it. It is loaded when a word is first measured or drawn."""

from functools import cache, lru_cache

from workbook.libraries import pdf_fonts, pdf_metrics, reportlab
from workbook.paths import resource

POINTS = 72 / 25.4  # per millimetre
REGULAR, BOLD = "Sheet", "Sheet-Bold"


@cache
def bring_fonts() -> None:
    """Register the shipped font once, and leave streams binary: encoding them as text takes a third of the time."""
    pdf_metrics.registerFont(pdf_fonts.TTFont(REGULAR, str(resource("fonts", "LiberationSans-Regular.ttf"))))
    reportlab.rl_config.useA85 = 0
    pdf_metrics.registerFont(pdf_fonts.TTFont(BOLD, str(resource("fonts", "LiberationSans-Bold.ttf"))))


def measure(text: str, size: float, bold: bool) -> float:
    """Width in mm of plain text in the sheets' font."""
    return _wide(text, bold) * size


@lru_cache(maxsize=16384)
def _wide(text: str, bold: bool) -> float:
    """Width in mm of plain text of one point; cached, since the same numbers and headings are on many pages."""
    bring_fonts()
    return float(pdf_metrics.stringWidth(text, BOLD if bold else REGULAR, 1000)) / 1000 / POINTS
