"""Buttons of the rail: icon over word, always both."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QSizePolicy, QToolButton

from workbook.app.icons import icon
from workbook.app.look import Look
from workbook.app.widgets.basics import named


def rail_button(look: Look, name: str, word: str) -> QToolButton:
    """One verb of the rail."""
    made = named(QToolButton(), "rail")
    made.setProperty("page", name)
    made.setText(word)
    made.setAccessibleName(word)
    made.setCheckable(True)
    made.setFont(look.font("body"))
    made.setIcon(icon(look, name, 24, "ink", checked_role="on_dye"))
    made.setIconSize(QSize(look.px(24), look.px(24)))
    made.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
    made.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
    made.setFixedHeight(look.px(62))
    return made
