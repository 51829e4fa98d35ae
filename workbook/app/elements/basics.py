"""Labels, buttons, rows and surfaces in the visual language."""

from typing import TypeVar

from PySide6.QtCore import QPointF, QSize, Qt, QTimer
from PySide6.QtGui import QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QLayout, QPushButton, QScrollArea, QSizePolicy, QToolButton, QWidget

from workbook.app.elements.painting import letter, text_width
from workbook.app.icons import icon
from workbook.app.look import Look

_Widget = TypeVar("_Widget", bound=QWidget)


def named(widget: _Widget, name: str) -> _Widget:
    """Give a widget the object name that styles, tests and screen readers find it by, and return it."""
    widget.setObjectName(name)
    return widget


def label(look: Look, text: str, kind: str = "body", *, bold: bool = False, soft: bool = False) -> QLabel:
    """A label of plain text."""
    widget = QLabel(text)
    widget.setTextFormat(Qt.TextFormat.PlainText)
    widget.setObjectName("soft" if soft else "")
    widget.setFont(look.font(kind, bold=bold))
    return widget


def button(look: Look, name: str, text: str, icon_name: str = "", *, main: bool = False) -> QPushButton:
    """A push button; a page has one `main` button. `name`: its action, by which tests and readers find it."""
    widget = QPushButton(text)
    widget.setObjectName("main" if main else name)
    widget.setProperty("action", name)
    widget.setAccessibleName(text)
    widget.setFont(look.font("strong", bold=main))
    widget.setMinimumHeight(look.px(36))
    if icon_name:
        widget.setIcon(icon(look, icon_name, 20, "on_dye" if main else "ink"))
        widget.setIconSize(QSize(look.px(20), look.px(20)))
    return widget


def tool(look: Look, name: str, text: str, icon_name: str = "", *, switch: bool | None = None) -> QToolButton:
    """A flat button for a strip; `switch` makes it checkable, with that initial state."""
    widget = named(QToolButton(), name)
    widget.setText(text)
    widget.setAccessibleName(text)
    widget.setFont(look.font("small"))
    widget.setMinimumHeight(look.px(30))
    if switch is not None:
        widget.setCheckable(True)
        widget.setChecked(switch)
    if icon_name:
        widget.setIcon(icon(look, icon_name, 18))
        widget.setIconSize(QSize(look.px(18), look.px(18)))
        widget.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
    return widget


def row(*widgets: QWidget | None, margins: tuple[int, int, int, int] = (12, 0, 12, 0), gap: int = 8) -> QHBoxLayout:
    """Lay out widgets side by side; None adds a stretch."""
    layout = QHBoxLayout()
    layout.setContentsMargins(*margins)
    layout.setSpacing(gap)
    for widget in widgets:
        if widget is None:
            layout.addStretch(1)
        else:
            layout.addWidget(widget)
    return layout


def coloured(look: Look, box: QWidget) -> None:
    """Colour a spin box by its palette, since the style sheet would remove its arrows."""
    colours = box.palette()
    for role, tone in ((QPalette.ColorRole.Base, "field"), (QPalette.ColorRole.Button, "panel")):
        colours.setColor(role, look.colour(tone))
    for role in (QPalette.ColorRole.Text, QPalette.ColorRole.ButtonText):
        colours.setColor(role, look.colour("ink"))
    box.setPalette(colours)


def surface(name: str, layout: QLayout, height: int = 0) -> QFrame:
    """A named frame around a layout, with a fixed height in pixels if given."""
    frame = named(QFrame(), name)
    frame.setLayout(layout)
    if height:
        frame.setFixedHeight(height)
    return frame


def scrolled(inner: QWidget) -> QScrollArea:
    """A scroll area that scrolls vertically only."""
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setWidget(inner)
    return area


def reveal(field: QWidget) -> None:
    """Scroll to a field and give it the keyboard, once it is laid out."""

    def show() -> None:
        field.setFocus(Qt.FocusReason.ShortcutFocusReason)
        over = field.parentWidget()
        while over is not None and not isinstance(over, QScrollArea):
            over = over.parentWidget()
        if isinstance(over, QScrollArea):
            over.ensureWidgetVisible(field)

    QTimer.singleShot(0, field, show)


class Lettered(QWidget):
    """A line of text with typeset fractions; text too long for it ends in an ellipsis."""

    def __init__(
        self, look: Look, text: str = "", points: float = 9.75, *, bold: bool = False, tone: str = "ink", anchor: str = "start"
    ) -> None:
        super().__init__()
        self._look, self._points, self._bold, self._anchor = look, points, bold, anchor
        self._text, self._tone, self._wide = "", tone, 2  # pixels that the text needs
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.say(text, tone)

    def say(self, text: str, tone: str = "ink") -> None:
        """Show a text. For speed in a drag, the same text does nothing, and one of the same width needs no new layout."""
        if (text, tone) == (self._text, self._tone):
            return
        old_width = self._wide
        self._text, self._tone = text, tone
        self._wide = round(text_width(self._look, text, self._points, self._bold)) + 2
        self.setAccessibleName(text.replace("⁄", "/"))
        if self._wide != old_width:
            self.updateGeometry()
        self.update()

    def text(self) -> str:
        """The full text."""
        return self._text

    def sizeHint(self) -> QSize:
        """A size just large enough for the text."""
        return QSize(self._wide, round(self._points * 1.9 * self._look.text))

    def minimumSizeHint(self) -> QSize:
        """A small width: the line may shrink, which shortens the text."""
        return QSize(20, self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the text, vertically centred."""
        painter = QPainter(self)
        text = fitted(self._look, self._text, self._points, self._bold, self.width())
        x = {"start": 0.0, "middle": self.width() / 2, "end": float(self.width())}[self._anchor]
        y = self.height() / 2 + self._points * 0.48 * self._look.text
        letter(painter, self._look, QPointF(x, y), text, self._points, self._anchor, self._bold, self._tone)


def broken(look: Look, text: str, points: float, bold: bool, room: float) -> list[str]:
    """The text in lines that fit in `room` pixels, broken between words; a word that is too long ends in an ellipsis."""
    lines = [""]
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if not lines[-1] or text_width(look, longer, points, bold) <= room + 1:
            lines[-1] = longer
        else:
            lines.append(word)
    return [fitted(look, line, points, bold, room) for line in lines]


def fitted(look: Look, text: str, points: float, bold: bool, room: float) -> str:
    """The text, or as much of it as fits in `room` pixels with an ellipsis."""
    if text_width(look, text, points, bold) <= room + 1:
        return text
    while text and text_width(look, text + "…", points, bold) > room:
        text = text[:-1]
    return text.rstrip() + "…" if text else ""
