"""A button that opens the card of something named beside it."""

from collections.abc import Callable, Iterable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMenu, QToolButton

from workbook.app.elements.basics import tool
from workbook.app.look import Look
from workbook.texts import _


def look_up_button(look: Look, titles: Callable[[], Iterable[str]], wanted: Callable[[str], object]) -> QToolButton:
    """A button whose menu offers the cards with these titles, asked for when it opens; `wanted` gets the one chosen."""
    button = tool(look, "look-up-named", _("Look up"), "lookup")
    button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonIconOnly)
    button.setToolTip(_("Look up these names"))
    menu = QMenu(button)
    menu.setFont(look.font("body"))

    def fill() -> None:
        menu.clear()
        for title in titles():
            menu.addAction(title.replace("&", "&&")).triggered.connect(lambda checked=False, title=title: wanted(title))
        if menu.isEmpty():
            menu.addAction(_("No card for these names")).setEnabled(False)

    menu.aboutToShow.connect(fill)
    button.setMenu(menu)
    button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
    return button
