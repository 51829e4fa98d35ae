"""Labels, buttons, rows and surfaces in the visual language."""

from typing import TypeVar

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QLayout, QPushButton, QScrollArea, QSizePolicy, QToolButton, QWidget

from workbook.app.elements.painting import letter, text_width
from workbook.app.icons import icon
from workbook.app.look import Look

_Widget = TypeVar("_Widget", bound=QWidget)


def named(widget: _Widget, name: str) -> _Widget:
    """The widget, with the name that styles, tests and readers find it by."""
    widget.setObjectName(name)
    return widget


def label(look: Look, text: str, kind: str = "body", *, bold: bool = False, soft: bool = False) -> QLabel:
    """Plain text."""
    made = QLabel(text)
    made.setTextFormat(Qt.TextFormat.PlainText)
    made.setObjectName("soft" if soft else "")
    made.setFont(look.font(kind, bold=bold))
    return made


def button(look: Look, name: str, text: str, icon_name: str = "", *, main: bool = False) -> QPushButton:
    """A button; a page has one main. `name` is what tests and readers find it by."""
    made = QPushButton(text)
    made.setObjectName("main" if main else name)
    made.setProperty("action", name)
    made.setAccessibleName(text)
    made.setFont(look.font("strong", bold=main))
    made.setMinimumHeight(look.px(36))
    if icon_name:
        made.setIcon(icon(look, icon_name, 20, "on_dye" if main else "ink"))
        made.setIconSize(QSize(look.px(20), look.px(20)))
    return made


def tool(look: Look, name: str, text: str, icon_name: str = "", *, switch: bool | None = None) -> QToolButton:
    """A quiet button on a strip; `switch` makes it one that stays on or off."""
    made = named(QToolButton(), name)
    made.setText(text)
    made.setAccessibleName(text)
    made.setFont(look.font("small"))
    made.setMinimumHeight(look.px(30))
    if switch is not None:
        made.setCheckable(True)
        made.setChecked(switch)
    if icon_name:
        made.setIcon(icon(look, icon_name, 18))
        made.setIconSize(QSize(look.px(18), look.px(18)))
        made.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
    return made


def row(*widgets: QWidget | None, margins: tuple[int, int, int, int] = (12, 0, 12, 0), gap: int = 8) -> QHBoxLayout:
    """Widgets side by side; None is a stretch."""
    made = QHBoxLayout()
    made.setContentsMargins(*margins)
    made.setSpacing(gap)
    for widget in widgets:
        if widget is None:
            made.addStretch(1)
        else:
            made.addWidget(widget)
    return made


def coloured(look: Look, box: QWidget) -> None:
    """A count in the look's colours: the style sheet would take its arrows away."""
    colours = box.palette()
    for role, tone in ((QPalette.ColorRole.Base, "field"), (QPalette.ColorRole.Button, "panel")):
        colours.setColor(role, look.colour(tone))
    for role in (QPalette.ColorRole.Text, QPalette.ColorRole.ButtonText):
        colours.setColor(role, look.colour("ink"))
    box.setPalette(colours)


def surface(name: str, layout: QLayout, height: int = 0) -> QFrame:
    """A named surface round a layout, of a fixed height where one is given."""
    made = named(QFrame(), name)
    made.setLayout(layout)
    if height:
        made.setFixedHeight(height)
    return made


def scrolled(inner: QWidget) -> QScrollArea:
    """A column that scrolls up and down where it is too long, never sideways."""
    made = QScrollArea()
    made.setWidgetResizable(True)
    made.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    made.setWidget(inner)
    return made


class Lettered(QWidget):
    """A line of text with built fractions; long text is cut with an ellipsis."""

    def __init__(
        self, look: Look, text: str = "", points: float = 9.75, *, bold: bool = False, tone: str = "ink", anchor: str = "start"
    ) -> None:
        super().__init__()
        self._look, self._points, self._bold, self._anchor = look, points, bold, anchor
        self._text, self._tone, self._wide = "", tone, 2  # pixels that the text wants
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.say(text, tone)

    def say(self, text: str, tone: str = "ink") -> None:
        """Shows another text. The same again costs nothing, nor does one as wide a new layout: a drag says many."""
        if (text, tone) == (self._text, self._tone):
            return
        wide = self._wide
        self._text, self._tone = text, tone
        self._wide = round(text_width(self._look, text, self._points, self._bold)) + 2
        self.setAccessibleName(text.replace("⁄", "/"))
        if self._wide != wide:
            self.updateGeometry()
        self.update()

    def text(self) -> str:
        """What it says."""
        return self._text

    def sizeHint(self) -> QSize:
        """Just room for the text."""
        return QSize(self._wide, round(self._points * 1.9 * self._look.text))

    def minimumSizeHint(self) -> QSize:
        """May shrink: the text is then cut."""
        return QSize(20, self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """The text on the middle line."""
        painter = QPainter(self)
        text = fitted(self._look, self._text, self._points, self._bold, self.width())
        x = {"start": 0.0, "middle": self.width() / 2, "end": float(self.width())}[self._anchor]
        y = self.height() / 2 + self._points * 0.48 * self._look.text
        letter(painter, self._look, QPointF(x, y), text, self._points, self._anchor, self._bold, self._tone)


def fitted(look: Look, text: str, points: float, bold: bool, room: float) -> str:
    """The text, or as much of it as fits with an ellipsis."""
    if text_width(look, text, points, bold) <= room + 1:
        return text
    while text and text_width(look, text + "…", points, bold) > room:
        text = text[:-1]
    return text.rstrip() + "…" if text else ""
