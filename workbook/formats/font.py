"""The sheets' font: how wide words are in it. It is brought when a word is first measured or drawn."""

from functools import cache, lru_cache

from workbook.libraries import pdf_fonts, pdf_metrics, reportlab
from workbook.paths import resource

POINTS = 72 / 25.4  # points in a millimetre
REGULAR, BOLD = "Sheet", "Sheet-Bold"


@cache
def bring_fonts() -> None:
    """Registers the shipped font once, and has streams written as they are: as letters they take a third of the time."""
    pdf_metrics.registerFont(pdf_fonts.TTFont(REGULAR, str(resource("fonts", "LiberationSans-Regular.ttf"))))
    reportlab.rl_config.useA85 = 0
    pdf_metrics.registerFont(pdf_fonts.TTFont(BOLD, str(resource("fonts", "LiberationSans-Bold.ttf"))))


def measure(text: str, size: float, bold: bool) -> float:
    """Width in mm of plain text in the sheets' font."""
    return _wide(text, bold) * size


@lru_cache(maxsize=16384)
def _wide(text: str, bold: bool) -> float:
    """Width in mm of plain text of one point; kept, since the same numbers and heads stand on many pages."""
    bring_fonts()
    return float(pdf_metrics.stringWidth(text, BOLD if bold else REGULAR, 1000)) / 1000 / POINTS
