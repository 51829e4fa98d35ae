"""Commands for a blank of the layout: their names, buttons and menu."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QMenu, QToolButton, QWidget

from workbook.app.elements.basics import tool
from workbook.app.look import Look
from workbook.app.plain import plain
from workbook.nesting.arranging import unused_bars
from workbook.shop.money import priced
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.pages.layout.by_hand import ByHand
    from workbook.app.pages.layout.shown import ShownLayout
    from workbook.model.laying import Laid

WAYS = (  # the command, its words in a menu and on a button, its icon
    ("turn", _("Turn end for end"), _("Turn"), "turn"),
    ("flip", _("Flip to the other face"), _("Flip"), "flip"),
    ("clear", _("Move clear of the others"), _("Move clear"), ""),
    ("exchange", _("Exchange with another blank"), _("Exchange"), "exchange"),
    ("up", _("To the bar above"), "", ""),
    ("down", _("To the bar below"), "", ""),
)
Spot = tuple[int, int]
Below = Sequence[tuple[str, Callable[[], None]]]  # a menu within the menu
Entry = tuple[str, Callable[[], None] | Below, bool] | None


def hand_buttons(look: Look, do: Callable[[str], None], pin: Callable[[], None]) -> dict[str, QToolButton]:
    """Build the buttons for the chosen blank, disabled until one is chosen."""
    buttons = {}
    for command, words, short, icon in WAYS:
        if short:
            buttons[command] = tool(look, f"hand-{command}", short, icon)
            buttons[command].setToolTip(plain(words))
            buttons[command].clicked.connect(lambda checked=False, command=command: do(command))
    buttons["pin"] = tool(look, "hand-pin", _("Pin"), "pin")
    buttons["pin"].clicked.connect(lambda: pin())
    for button in buttons.values():
        button.setEnabled(False)
    return buttons


def make_room(buttons: dict[str, QToolButton], *, narrow: bool) -> None:
    """Show only icons on the buttons of a narrow page, to leave room for the words beside them."""
    for command, button in buttons.items():
        icon = narrow and command != "clear"
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonIconOnly if icon else Qt.ToolButtonStyle.ToolButtonTextBesideIcon)


class OfBlanks(Protocol):
    """What the menu needs of the page."""

    shown: ShownLayout
    hand: ByHand

    @property
    def laid(self) -> Laid | None:
        """The layout shown."""

    def toggle_pin(self, bar: int, blank: int) -> None:
        """Pin or unpin a blank."""

    def pin(self, spots: frozenset[Spot]) -> None:
        """Pin these blanks and no others."""

    def one_more(self, bar: int, part: int) -> None:
        """Add one more blank of a part on a bar."""

    def what_fits(self, bar: int) -> None:
        """Say what else fits on a bar."""


def _entries(page: OfBlanks, bar: int, blank: int) -> Iterator[Entry]:
    """The entries for a blank (-1: none) and its bar: words, what they do, whether they are enabled; None for a separator."""
    assert page.laid is not None
    use, pinned = page.laid.layout.bars[bar], page.shown.pinned
    here = frozenset((bar, i) for i in range(len(use.pieces)))
    if blank >= 0:
        words = _("Unpin blank") if (bar, blank) in pinned else _("Pin blank")
        yield words, partial(page.toggle_pin, bar, blank), True
        yield from ((words, partial(page.hand.do, command), True) for command, words, _unused, _unused in WAYS)
        yield _("To a bar not yet used"), (bars := list(_unused_bars(page, use.pieces[blank].part))), bool(bars)
    yield _("Pin all blanks on this bar"), partial(page.pin, pinned | here), not here <= pinned
    yield _("Unpin all blanks"), partial(page.pin, frozenset()), bool(pinned)
    yield None
    for part, stock in sorted(page.laid.nesting.suits):
        if stock == use.stock:
            yield (
                _("Add one more {name} on this bar", name=page.laid.nesting.parts[part].name),
                partial(page.one_more, bar, part),
                True,
            )
    yield _("Find what else fits on this bar"), partial(page.what_fits, bar), True


def _unused_bars(page: OfBlanks, part: int) -> Iterator[tuple[str, Callable[[], None]]]:
    """An entry for each kind of bar that a blank may have one more of."""
    assert page.laid is not None
    nesting, money = page.laid.nesting, page.laid.model.job.money
    for stock in unused_bars(nesting, page.laid.layout, part):
        bar = nesting.stock[stock]
        price = priced(bar.price, money)
        words = (
            _("{name}   to buy   {price}", name=bar.name, price=price)
            if bar.source == "buy"
            else _("{name}   from the rack   {price}", name=bar.name, price=price)
        )
        yield words, partial(page.hand.to_unused, stock)


def show_menu(page: OfBlanks, over: QWidget, bar: int, blank: int, at: QPoint) -> None:
    """Open the menu of a blank and its bar over a widget."""
    menu = QMenu(over)
    menu.setFont(over.font())
    for entry in _entries(page, bar, blank):
        if entry is None:
            menu.addSeparator()
        else:
            _add(menu, *entry)
    menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    menu.popup(at)


def _add(menu: QMenu, words: str, run: Callable[[], None] | Below, can: bool) -> None:
    """Add an entry to a menu."""
    if callable(run):
        menu.addAction(words, run).setEnabled(can)
        return
    below = menu.addMenu(words)
    below.setEnabled(can)
    for each, do in run:
        below.addAction(each, do)
