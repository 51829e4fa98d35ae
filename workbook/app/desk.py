"""The layout of the window: header, rail and page, status line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QLayout, QStackedWidget, QVBoxLayout, QWidget

from workbook.app.elements.basics import named, surface
from workbook.app.elements.rail import rail, rail_button
from workbook.app.elements.shelf import TEMPLATE
from workbook.app.header import Header
from workbook.app.pages.table import PAGES

if TYPE_CHECKING:
    from workbook.app.frame import Frame


def desk(window: Frame, header: Header, verbs: QButtonGroup, pages: QStackedWidget, status: QLayout) -> QWidget:
    """Build the window's central widget. A rail button for each page joins `verbs` and shows that page."""
    look = window.workspace.look
    widget = named(QWidget(), "desk")
    column = QVBoxLayout(widget)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(0)
    column.addWidget(header)
    middle = QHBoxLayout()
    middle.setContentsMargins(0, 0, 0, 0)
    middle.setSpacing(0)
    buttons = [rail_button(look, row.name, row.word, TEMPLATE if row.name == "layout" else "") for row in PAGES]
    for number, (verb, row) in enumerate(zip(buttons, PAGES, strict=True)):
        verb.clicked.connect(lambda checked=False, page=row.name: window.show_page(page))
        verb.dropped.connect(window.one_more)
        verbs.addButton(verb, number)
    middle.addWidget(rail(look, buttons))
    middle.addWidget(pages, 1)
    column.addLayout(middle, 1)
    column.addWidget(surface("status", status, look.size("status")))
    return widget
