"""What the page Lay out needs to work by hand: the ways a blank can be moved, their buttons, the menu."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QMenu, QToolButton, QWidget

from workbook.app.elements.basics import tool
from workbook.app.look import Look
from workbook.app.plain import plain
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.pages.layout.by_hand import ByHand
    from workbook.app.pages.layout.shown import ShownLayout
    from workbook.model.laying import Laid

WAYS = (  # what is asked of a blank, its words in a menu, those on a button, its icon
    ("turn", _("Turn it end for end"), _("Turn"), "turn"),
    ("flip", _("Flip it, other face up"), _("Flip"), "flip"),
    ("clear", _("Move it clear"), _("Move clear"), ""),
    ("up", _("To the bar above"), "", ""),
    ("down", _("To the bar below"), "", ""),
)
Spot = tuple[int, int]
Entry = tuple[str, Callable[[], None], bool] | None


def hand_buttons(look: Look, do: Callable[[str], None], pin: Callable[[], None]) -> dict[str, QToolButton]:
    """Buttons for the chosen blank; they are off while none is."""
    made = {}
    for what, words, short, icon in WAYS:
        if short:
            made[what] = tool(look, f"hand-{what}", short, icon)
            made[what].setToolTip(plain(words))
            made[what].clicked.connect(lambda checked=False, what=what: do(what))
    made["pin"] = tool(look, "hand-pin", _("Pin"), "pin")
    made["pin"].clicked.connect(lambda: pin())
    for button in made.values():
        button.setEnabled(False)
    return made


def make_room(buttons: dict[str, QToolButton], *, narrow: bool) -> None:
    """A narrow page has icons alone, so that the words beside them have room."""
    for what, made in buttons.items():
        icon = narrow and what != "clear"
        made.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonIconOnly if icon else Qt.ToolButtonStyle.ToolButtonTextBesideIcon)


class OfBlanks(Protocol):
    """What the menu asks of the page."""

    shown: ShownLayout
    hand: ByHand

    @property
    def laid(self) -> Laid | None:
        """The layout shown."""

    def toggle_pin(self, bar: int, blank: int) -> None:
        """Pins a blank, or lets it go."""

    def pin(self, spots: frozenset[Spot]) -> None:
        """Pins these blanks and no others."""

    def one_more(self, bar: int, part: int) -> None:
        """One more blank of a part on a bar."""

    def what_fits(self, bar: int) -> None:
        """Says what else fits on a bar."""


def _entries(page: OfBlanks, bar: int, blank: int) -> Iterator[Entry]:
    """What can be done with a blank (-1: none) and with its bar: words, what they do, whether they can; None: a line."""
    assert page.laid is not None
    use, pinned = page.laid.layout.bars[bar], page.shown.pinned
    here = frozenset((bar, i) for i in range(len(use.pieces)))
    if blank >= 0:
        words = _("Let this blank go") if (bar, blank) in pinned else _("Pin this blank")
        yield words, partial(page.toggle_pin, bar, blank), True
        yield from ((words, partial(page.hand.do, what), True) for what, words, _unused, _unused in WAYS)
    yield _("Pin all blanks of this bar"), partial(page.pin, pinned | here), not here <= pinned
    yield _("Let all blanks go"), partial(page.pin, frozenset()), bool(pinned)
    yield None
    for part, stock in sorted(page.laid.nesting.suits):
        if stock == use.stock:
            yield (
                _("One more {name} on this bar", name=page.laid.nesting.parts[part].name),
                partial(page.one_more, bar, part),
                True,
            )
    yield _("What else fits on this bar?"), partial(page.what_fits, bar), True


def show_menu(page: OfBlanks, over: QWidget, bar: int, blank: int, at: QPoint) -> None:
    """The menu of a blank and its bar, with the page's entries, over a widget."""
    menu = QMenu(over)
    menu.setFont(over.font())
    for entry in _entries(page, bar, blank):
        if entry is None:
            menu.addSeparator()
        else:
            words, run, can = entry
            menu.addAction(words, run).setEnabled(can)
    menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    menu.popup(at)
