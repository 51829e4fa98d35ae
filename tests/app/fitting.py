"""What lies beyond a window or is cut off in it."""

from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractScrollArea,
    QAbstractSpinBox,
    QComboBox,
    QHeaderView,
    QLabel,
    QLineEdit,
    QToolButton,
    QWidget,
)

from workbook.app.elements.basics import Lettered

CONTROLS = (QAbstractButton, QComboBox, QLineEdit, QAbstractSpinBox, QLabel, Lettered)
_SLACK = 2  # points of a text beyond its place that nobody sees


def words(widget):
    """What a widget says, where it says it in one piece."""
    return widget.currentText() if isinstance(widget, QComboBox) else widget.text()


def is_cut(widget):
    """Whether a label or button says more than it has room for."""
    if isinstance(widget, QLabel) and widget.wordWrap():
        return widget.heightForWidth(widget.width()) > widget.height() + _SLACK
    if isinstance(widget, QToolButton) and widget.toolButtonStyle() is Qt.ToolButtonStyle.ToolButtonTextUnderIcon:
        return widget.fontMetrics().horizontalAdvance(widget.text()) > widget.width()
    wanted, there = widget.sizeHint(), widget.size()
    return wanted.width() > there.width() + _SLACK or wanted.height() > there.height() + _SLACK


def scrolled_in(widget, top):
    """The area in which a widget scrolls; None where nothing does."""
    parent = widget.parentWidget()
    while parent is not None and parent is not top:
        if isinstance(parent, QAbstractScrollArea):
            return parent
        parent = parent.parentWidget()
    return None


def reached(widget, top):
    """Whether a widget lies in the window, or can be scrolled into it: not to the side where the area has no bar for that."""
    area = scrolled_in(widget, top)
    over = area.viewport() if area is not None else top
    place = QRect(widget.mapTo(over, QPoint(0, 0)), widget.size())
    if area is None:
        return top.rect().contains(place)
    aside = area.horizontalScrollBarPolicy() is not Qt.ScrollBarPolicy.ScrollBarAlwaysOff
    return aside or (place.left() >= 0 and place.right() <= over.width())


def cut_heads(header):
    """The heads of columns that say more than their columns have room for, and do not wrap."""
    model, wraps = header.model(), Qt.TextFlag.TextWordWrap & header.defaultAlignment().value
    if header.orientation() is not Qt.Orientation.Horizontal or model is None or wraps:
        return
    for n in range(header.count()):
        words = str(model.headerData(n, Qt.Orientation.Horizontal) or "")
        if (
            words
            and not header.isSectionHidden(n)
            and header.fontMetrics().horizontalAdvance(words) > header.sectionSize(n) - _SLACK
        ):
            yield words


def faults(top, status=None):
    """Controls beyond the window, and words that are cut; not those of the status line, which gives way."""
    for widget in top.findChildren(QWidget):
        if not widget.isVisible() or not isinstance(widget, (*CONTROLS, QHeaderView)):
            continue
        if not isinstance(widget, QHeaderView) and not reached(widget, top):
            yield f"outside: {widget.objectName() or words(widget)}"
        if isinstance(widget, QLabel | QAbstractButton | QComboBox) and words(widget) and is_cut(widget):
            yield words(widget)
        if isinstance(widget, QHeaderView):
            yield from cut_heads(widget)
        if isinstance(widget, Lettered) and widget is not status and widget.sizeHint().width() > widget.width() + _SLACK:
            yield widget.text()
