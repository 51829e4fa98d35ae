"""Beside the bars: what is to be made, the cost of the layout, the state of the search, the kept layouts."""

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from workbook.app.canvas.layout_picture import SIZE, layout_picture
from workbook.app.changed import Changed
from workbook.app.elements.basics import Lettered, button, label, named, row, scrolled, surface, tool
from workbook.app.elements.working import Figure, OpenedFigure
from workbook.app.elements.wrapping_row import WrappingRow
from workbook.app.pages.layout.choice import LayoutChoice
from workbook.app.pages.layout.loss import Falling, Shares
from workbook.app.pages.layout.opened import bars_opened, lost_opened, steel_opened
from workbook.app.pages.layout.order import OrderTable
from workbook.app.plain import plain
from workbook.app.workspace import Workspace
from workbook.document.queries import changed_since, layouts_kept
from workbook.document.records import LayoutRecord
from workbook.model.laying import Laid
from workbook.model.results import SEARCH_WORDS, bound_words
from workbook.nesting.model import By
from workbook.shop.money import priced
from workbook.tasks.marking import why_not
from workbook.texts import _, ngettext

_FIGURES = {"bars": _("bars"), "lost": _("lost"), "steel": _("steel")}
_SHARES = (_("Blanks"), _("Offcuts"), _("Lost to kerf and slivers"))
_MONEY = (_("Bars"), _("Bars to buy"), _("Offcut credit"), _("Material"))


class Side(QWidget):
    """Figures, words and buttons of one layout."""

    keep_wanted = Signal()
    kept_wanted = Signal(str)  # id of a kept layout
    drop_wanted = Signal(str)

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        look = workspace.look
        self._workspace = workspace
        self.order, self.choice = OrderTable(workspace), LayoutChoice(workspace)
        self.figures = {name: Figure(look, name, words) for name, words in _FIGURES.items()}
        self.shares, self.falling = Shares(look), Falling(look)
        self._share_rows, self._money_rows = (
            [Lettered(look, "", 9.75, anchor="end") for _row in rows] for rows in (_SHARES, _MONEY)
        )
        self.state, self.words = label(look, "", "strong"), label(look, "", soft=False)
        self.steps = label(look, "", "small", soft=True)
        self.left_out = named(label(look, "", bold=True), "stop")
        for words in (self.words, self.left_out):
            words.setWordWrap(True)
        self.left_out.setVisible(False)
        self.stop_button = tool(look, "stop-search", _("Stop"), "stop")
        self.again_button = tool(look, "search-again", _("Keep searching"), "turn")
        self.keep_button = tool(look, "keep-layout", _("Save layout"), "pin")
        self.drop_button = tool(look, "drop-layout", _("Delete"))
        self.blades_button = tool(look, "layout-blades", _("Blades"), "right")
        self.kept = named(QListWidget(), "found")
        self.kept.setAccessibleName(_("Saved layouts"))
        self.kept.setFont(look.font("body"))
        self.kept.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.kept.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.print_button = button(look, "print-bars", _("Print bar sheets"), "print", main=True)
        self.cut_button = tool(look, "cut-bars", _("Cutting file"), "cut")
        self.mark_button = button(look, "mark-cut", _("Mark as cut"))
        self._build()
        self.keep_button.clicked.connect(self.keep_wanted)
        self.drop_button.clicked.connect(lambda: self.drop_wanted.emit(self._chosen()))
        self.blades_button.clicked.connect(lambda: workspace.blades_wanted.emit(self._cut_on()))
        self.kept.currentRowChanged.connect(lambda at: self.blades_button.setVisible(bool(self._cut_on())))
        self.kept.itemActivated.connect(lambda item: self.kept_wanted.emit(self._chosen()))
        self.kept.itemClicked.connect(lambda item: self.kept_wanted.emit(self._chosen()))
        workspace.changed.connect(self._changed)
        self.refresh_kept()

    def _changed(self, change: Changed) -> None:
        if change.history:
            self.refresh_kept()

    def _chosen(self) -> str:
        item = self.kept.currentItem()
        return str(item.data(_ID)) if item is not None else ""

    def _cut_on(self) -> str:
        """The day the chosen layout was cut; "" where it was not."""
        record = self._workspace.session.document.records.get(self._chosen())
        return record.cut[:10] if isinstance(record, LayoutRecord) else ""

    def _build(self) -> None:
        look = self._workspace.look
        column = QVBoxLayout()
        column.setContentsMargins(14, 12, 14, 12)
        column.setSpacing(6)
        figures = QHBoxLayout()
        for stretch, figure in zip((2, 3, 5), self.figures.values(), strict=True):
            figures.addWidget(figure, stretch)
        column.addLayout(figures)
        column.addWidget(self.shares)
        for words, value in zip(_SHARES, self._share_rows, strict=True):
            column.addLayout(row(label(look, words), value, margins=(0, 0, 0, 0)))
        column.addSpacing(look.px(10))
        for words, value in zip(_MONEY, self._money_rows, strict=True):
            column.addLayout(row(label(look, words), value, margins=(0, 0, 0, 0)))
        column.addSpacing(look.px(14))
        column.addLayout(row(self.state, None, self.stop_button, self.again_button, margins=(0, 0, 0, 0)))
        for widget in (self.falling, self.steps, self.left_out, self.words):
            column.addWidget(widget)
        column.addSpacing(look.px(14))
        every_steel = tool(look, "every-steel", _("All steels"), switch=False)
        every_steel.setToolTip(_("Show each template in every steel you have a bar of, not only in the steels asked for"))
        every_steel.toggled.connect(self.order.show_every_steel)
        column.addLayout(row(label(look, _("To make"), "strong"), None, every_steel, margins=(0, 0, 0, 0)))
        column.addWidget(self.order)
        column.addSpacing(look.px(10))
        column.addWidget(self.choice)
        column.addSpacing(look.px(14))
        column.addLayout(row(label(look, _("Saved layouts"), "strong"), None, margins=(0, 0, 0, 0)))
        column.addLayout(row(self.keep_button, self.blades_button, self.drop_button, None, margins=(0, 0, 0, 0)))
        column.addWidget(self.kept)
        column.addStretch(1)
        self._frame(column)

    def _frame(self, column: QVBoxLayout) -> None:
        look = self._workspace.look
        inner = named(QWidget(), "inner")
        inner.setLayout(column)
        self.area = scroll = scrolled(inner)
        side = QVBoxLayout()
        side.setContentsMargins(0, 0, 0, 0)
        side.setSpacing(0)
        side.addWidget(surface("strip", row(label(look, _("This layout"), "strong"), None, self.cut_button), look.px(40)))
        side.addWidget(scroll, 1)
        side.addWidget(surface("foot", WrappingRow(self.mark_button, self.print_button, side=12, above=12, gap=8)))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(surface("panel", side))

    def show_laid(self, laid: Laid, offcuts: float) -> None:
        """Show a layout's figures; `offcuts`: the share of the steel that goes back to the rack."""
        unit, money = self._workspace.unit, laid.model.job.money
        self.figures["bars"].say_only(str(len(laid.layout.bars)), lambda: bars_opened(laid))
        self.figures["lost"].say_only(f"{1 - offcuts - laid.costs.utilisation:.0%}", lambda: lost_opened(laid, unit))
        self.figures["steel"].say_only(priced(laid.costs.material, money), lambda: steel_opened(laid))
        blanks, money = laid.costs.utilisation, laid.model.job.money
        lost = 1 - offcuts - blanks
        self.shares.show_shares(blanks, offcuts)
        for value, share in zip(self._share_rows, (blanks, offcuts, lost), strict=True):
            value.say(f"{share:.1%}")
        amounts = (laid.costs.bars, laid.costs.bought, laid.costs.credit, laid.costs.material)
        for value, amount in zip(self._money_rows, amounts, strict=True):
            value.say(priced(amount, money))

    def clear(self) -> None:
        """Show no figures, without a layout."""
        for name, figure in self.figures.items():
            figure.say(OpenedFigure(_FIGURES[name], "-"))
        self.shares.show_shares(0.0, 0.0)
        for value in (*self._share_rows, *self._money_rows):
            value.say("-")
        self.steps.setText("")
        self.falling.show_points([], 0, 0.0)

    def show_steps(self, steps: int, since: float) -> None:
        """Show how far the search is: its steps, and the time in s since it last found a better layout."""
        self.steps.setText(
            ngettext(
                "{count} step, last improved {since:.0f} s ago",
                "{count} steps, last improved {since:.0f} s ago",
                steps,
                since=since,
            )
        )

    def show_state(self, laid: Laid | None, least: float, by: By, *, running: bool, bad: bool) -> None:
        """Show whether a search is running, what can be done with the layout, and its `layout_words`."""
        self.state.setText(_("Searching") if running else _("Best found") if laid else _("Nothing laid out"))
        self.stop_button.setVisible(running)
        self.again_button.setVisible(not running)
        ready = laid is not None and bool(laid.layout.bars)
        for each in (self.print_button, self.cut_button, self.keep_button):
            each.setEnabled(ready and not bad)
        reason = why_not(laid) if laid is not None and not running else ""
        self.mark_button.setEnabled(ready and not running and not reason and not self._workspace.session.read_only)
        self.mark_button.setToolTip(
            plain(reason or (_("Stop the search first") if running else _("Books bars, offcuts and blanks")))
        )
        self.words.setText(layout_words(laid, least, by, bad=bad) if laid else "")

    def show_left_out(self, words: Sequence[str]) -> None:
        """Show what cannot be made, and why."""
        self.left_out.setText("\n".join(words))
        self.left_out.setVisible(bool(words))

    def refresh_kept(self) -> None:
        """List the kept layouts with their costs, marking those whose templates or bars have changed."""
        document, look = self._workspace.session.document, self._workspace.look
        at = self.kept.currentRow()
        self.kept.clear()
        for record in layouts_kept(document):
            first = [record.name, *([_("cut")] if record.cut else [])]
            second = [priced(record.steel, document.settings.money), _("{share:.0%} lost", share=record.lost)]
            second += [_("(changed since)")] if changed_since(document, record) else []
            words = f"{'  '.join(first)}\n{'   '.join(second)}"
            item = QListWidgetItem(QIcon(layout_picture(look, document, record, self._workspace.model.shapes)), words)
            item.setData(_ID, record.id)
            self.kept.addItem(item)
        self.kept.setCurrentRow(min(at, self.kept.count() - 1))
        self.kept.setVisible(self.kept.count() > 0)
        self.drop_button.setVisible(self.kept.count() > 0)
        self.blades_button.setVisible(bool(self._cut_on()))
        self.kept.setIconSize(QSize(*(look.px(size) for size in SIZE)))
        self.kept.setFixedHeight(look.px(SIZE[1] + 10) * min(self.kept.count(), 4) + 4)


_ID = 0x0100  # Qt.ItemDataRole.UserRole


def layout_words(laid: Laid, least: float, by: By, *, bad: bool) -> str:
    """The search at work if not the usual one, the bound, and what found no room, in the maker's words.

    `least`: the share that must be lost on these bars. `bad`: blanks lie too near to something.
    """
    if bad:
        return _("Do not cut this layout: {reason}", reason=why_not(laid))
    said = [] if by == "compiled" else [SEARCH_WORDS[by]]
    if laid.layout.left_over:
        names = ", ".join(f"{n} {laid.nesting.parts[p].name}" for p, n in laid.layout.left_over)
        said.append(_("Not enough steel: {blanks} not placed. Add a bar on the Stock page.", blanks=names))
    said.append(bound_words(laid))
    said.append(_("Kerf and gaps alone waste at least {least:.0%} of these bars.", least=least))
    return " ".join(said)
