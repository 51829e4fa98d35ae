"""The visual language: colours, type, space and lines from resources/data/look.json, for light or dark and a text scale."""

from functools import cache, lru_cache
from typing import Any

from msgspec import Struct
from msgspec.json import decode
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPen

from workbook.geometry.drawing import MM_PER_POINT
from workbook.paths import resource

PX_PER_MM = 96 / 25.4  # a logical pixel is 1/96 in


@cache
def tokens() -> dict[str, Any]:
    """The table of all tokens."""
    table: dict[str, Any] = decode(resource("data", "look.json").read_bytes())
    return table


class Look(Struct, frozen=True):
    """One theme at one text scale. All sizes are logical pixels."""

    theme: str = "light"
    text: float = 1.0
    screen: float = PX_PER_MM  # logical pixels to a mm of this screen, as measured
    strong: bool = False  # more contrast, as the system may ask

    def colour(self, role: str) -> QColor:
        """The colour of a role, such as board, ink, blue or stop. Cached: do not modify it. KeyError for an unknown role."""
        return _colour(self.theme, role, self.strong)

    def px(self, size: float) -> int:
        """A size scaled with the text, in whole pixels."""
        return round(size * self.text)

    def font(self, kind: str = "body", *, bold: bool = False) -> QFont:
        """The system's font in one of the sizes small, body, strong, title, figure; figures of equal width where it has them."""
        font = QFont()
        font.setPixelSize(self.px(tokens()["type"][kind]))
        font.setBold(bold or kind in ("strong", "title", "figure"))
        font.setFeature(QFont.Tag("tnum"), 1)
        return font

    def sized(self, points: float, *, bold: bool = False) -> QFont:
        """The system's font at a size in points, as drawings state it. Cached: do not modify it."""
        return _sized(self, points, bold)

    def pen(self, line: str, tone: str = "ink") -> QPen:
        """The pen of a row of the line table. Cached: do not modify it."""
        return _pen(self.theme, line, tone, self.strong)

    def measure(self, text: str, points: float, bold: bool) -> float:
        """The width of plain text in mm, as on the sheets: 1 mm is `PX_PER_MM` times the text scale in pixels."""
        return _wide(self, text, points, bold)

    def size(self, name: str) -> int:
        """A size token: row, target, rail, header, status, handle, reach."""
        return self.px(tokens()["size"][name])


@cache
def _colour(theme: str, role: str, strong: bool = False) -> QColor:
    usual = tokens()["colour"][theme][role]
    return QColor(tokens()["strong"][theme].get(role, usual) if strong else usual)


@cache
def _pen(theme: str, line: str, tone: str, strong: bool = False) -> QPen:
    width, dashes = tokens()["lines"][line]
    pen = QPen(_colour(theme, tone, strong), width)
    pen.setCosmetic(True)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    if dashes:
        pen.setDashPattern([d / width for d in dashes])
    return pen


@lru_cache(maxsize=128)
def _sized(look: Look, points: float, bold: bool) -> QFont:
    font = look.font("body", bold=bold)
    font.setPixelSize(max(1, round(points * MM_PER_POINT * PX_PER_MM * look.text)))
    return font


@lru_cache(maxsize=4096)
def _wide(look: Look, text: str, points: float, bold: bool) -> float:
    """The width of a text in mm; cached, since a drag shows most texts again."""
    return QFontMetricsF(_sized(look, points, bold)).horizontalAdvance(text) / (PX_PER_MM * look.text)
