"""Change a layout by hand: drag a blank, nudge, turn, flip, exchange, put it on another bar; its clearances as it moves."""

from collections.abc import Sequence
from math import isfinite

from PySide6.QtCore import QObject, QPointF, Signal
from PySide6.QtGui import QPolygonF

from workbook.app.canvas.bar_painting import Ghost
from workbook.app.canvas.bars import BarsView
from workbook.app.workspace import Workspace
from workbook.document.action import Action
from workbook.model.laying import Laid
from workbook.nesting.arranging import Spot, exchanged, put, unused_bars
from workbook.nesting.by_hand import Bed, StandingBlank, bed, by_steps, flipped, turned
from workbook.nesting.model import BarUse, Piece, written
from workbook.shop.money import priced
from workbook.tasks.sheets import empty_plan
from workbook.texts import _, labelled
from workbook.units import built, show

_REACH = 1.5  # mm within which a blank snaps to the wanted distance from the bar's edge


class ByHand(QObject):
    """Edits the layout shown by hand. `moved` carries the new layout, the spot the blank had, and the action."""

    moved = Signal(object, object, object)
    taken = Signal()  # a blank is held: the search stops
    standing_changed = Signal(str, bool)  # the clearances of the chosen blank, and whether it may lie there

    def __init__(self, workspace: Workspace, view: BarsView) -> None:
        super().__init__()
        self._workspace, self._view = workspace, view
        self._laid: Laid | None = None
        self._names: Sequence[Sequence[str]] = ()
        self.hand: tuple[Spot, int, Piece] | None = None  # the spot it was taken from, the bar it is over, its place there
        self._beds: dict[int, Bed] = {}
        self._spare: Sequence[int] = ()  # stock of which the blank in hand may have a bar not used yet
        view.taken.connect(self._take)
        view.dragged.connect(self._drag)
        view.dropped.connect(self._drop)
        view.put_back.connect(self._put_back)
        view.nudged.connect(self._nudge)
        view.asked.connect(self.do)
        view.exchange_wanted.connect(self._exchange)
        view.chosen_changed.connect(self.tell)

    def show_layout(self, laid: Laid | None, names: Sequence[Sequence[str]]) -> None:
        """Show another layout; drop the blank in hand."""
        self._laid, self._names, self.hand, self._beds = laid, names, None, {}
        self.tell()

    def _chosen(self) -> tuple[Spot, Piece] | None:
        """The chosen blank's spot and place."""
        spot, laid = self._view.chosen, self._laid
        if laid is None or spot is None or spot[0] >= len(laid.layout.bars) or spot[1] >= len(laid.layout.bars[spot[0]].pieces):
            return None
        return spot, laid.layout.bars[spot[0]].pieces[spot[1]]

    def _step(self) -> float:
        return self._workspace.session.document.settings.steps.of(self._workspace.unit)

    def _bed(self, bar: int, spot: Spot) -> Bed:
        """A bar without the blank in hand; cached while that is the same."""
        if bar not in self._beds:
            assert self._laid is not None
            without = spot[1] if bar == spot[0] else None
            self._beds[bar] = bed(self._laid.nesting, self._use(bar), without)
        return self._beds[bar]

    def _use(self, bar: int) -> BarUse:
        """A bar of the layout or, after the last, one not used yet."""
        assert self._laid is not None
        bars = self._laid.layout.bars
        return bars[bar] if bar < len(bars) else BarUse(self._spare[bar - len(bars)], ())

    def _take(self, bar: int, blank: int) -> None:
        if self._laid is not None:
            self._beds = {}
            self.taken.emit()
            piece = self._laid.layout.bars[bar].pieces[blank]
            self.hand = ((bar, blank), bar, piece)
            self._spare = unused_bars(self._laid.nesting, self._laid.layout, piece.part)
            stock, money = self._laid.nesting.stock, self._laid.model.job.money
            number = len(self._laid.layout.bars) + 1
            plans = [empty_plan(self._laid, s, number) for s in self._spare]
            self._view.show_spare(plans, [priced(stock[s].price, money) for s in self._spare])

    def _drag(self, to: int, dx: float, dy: float) -> None:
        if self.hand is None or self._laid is None:
            return
        spot = self.hand[0]
        first = self._laid.layout.bars[spot[0]].pieces[spot[1]]
        target = self._bed(to, spot)
        piece = target.against(by_steps(first, dx, dy, self._step()), _REACH)
        if to >= len(self._laid.layout.bars):  # an empty bar: wherever it is let go, it may lie
            piece = target.clear_of(piece) or piece
        self.hand = (spot, to, piece)
        standing, suits = target.standing(piece), self._suits(piece, to)
        words = (
            self._words(standing, to)
            if suits
            else _("{name} is not made of this bar", name=self._laid.nesting.parts[piece.part].name)
        )
        shape = QPolygonF([QPointF(x, y) for x, y in written(self._laid.nesting, piece).tolist()])
        self._view.show_ghost(Ghost(to, shape, standing.clear and suits, words))

    def _suits(self, piece: Piece, bar: int) -> bool:
        assert self._laid is not None
        return (piece.part, self._use(bar).stock) in self._laid.nesting.suits

    def _put_back(self) -> None:
        self.hand = None
        self._view.show_ghost(None)
        self._view.show_spare()

    def _drop(self) -> None:
        hand, self.hand = self.hand, None
        if hand is not None and self._laid is not None and self._suits(hand[2], hand[1]):
            spot, to, piece = hand
            self._put(spot, piece, to, "blank.moved" if to < len(self._laid.layout.bars) else "blank.other_bar")
        self._view.show_ghost(None)  # last, so that nothing is painted twice
        self._view.show_spare()

    def _nudge(self, dx: int, dy: int) -> None:
        chosen = self._chosen()
        if chosen is not None:
            spot, piece = chosen
            step = self._step()
            self._put(spot, by_steps(piece, dx * step, dy * step, step), spot[0], "blank.moved")

    def do(self, command: str) -> None:
        """Turn, flip or move clear the chosen blank, offer it for exchange, or put it on the bar above or below."""
        chosen, laid = self._chosen(), self._laid
        if chosen is None or laid is None:
            return
        spot, piece = chosen
        self._beds = {}
        if command == "turn":
            self._put(spot, turned(laid.nesting, piece), spot[0], "blank.turned")
        elif command == "flip":
            self._put(spot, flipped(laid.nesting, piece), spot[0], "blank.flipped")
        elif command == "clear":
            self._clear(spot, piece)
        elif command == "exchange":
            self._offer(spot)
        else:
            self._other_bar(spot, piece, -1 if command == "up" else 1)

    def _clear(self, spot: Spot, piece: Piece) -> None:
        clear_piece = self._bed(spot[0], spot).clear_of(piece)
        if clear_piece is None:
            self._workspace.said.emit(_("There is no room near it. Drag it elsewhere, or to another bar."))
        elif clear_piece != piece:
            self._put(spot, clear_piece, spot[0], "blank.cleared")

    def _other_bar(self, spot: Spot, piece: Piece, step: int) -> None:
        """Move the blank to the next bar above or below that suits it, as near as possible to where it was."""
        assert self._laid is not None
        at = spot[0] + step
        while 0 <= at < len(self._laid.layout.bars) and not self._suits(piece, at):
            at += step
        if not 0 <= at < len(self._laid.layout.bars):
            self._workspace.said.emit(_("No other bar in that direction suits it."))
            return
        target = self._bed(at, spot)
        self._put(spot, target.clear_of(target.against(piece, _REACH)) or piece, at, "blank.other_bar")

    def to_unused(self, stock: int) -> None:
        """Put the chosen blank at end A of a bar that is not used yet."""
        chosen = self._chosen()
        if chosen is not None and self._laid is not None:
            (spot, piece), self._spare, self._beds = chosen, (stock,), {}
            to = len(self._laid.layout.bars)
            self._put(spot, self._bed(to, spot).at_end_a(piece), to, "blank.other_bar")

    def _offer(self, spot: Spot) -> None:
        """Offer a blank for exchange, and say how to name the other."""
        self.taken.emit()
        self._view.offer(spot)
        self.tell()

    def _exchange(self, first: Spot, second: Spot) -> None:
        """Exchange two blanks, if each is made of the other's bar."""
        assert self._laid is not None
        arranged = exchanged(self._laid.nesting, self._laid.layout, first, second)
        a, b = (self._names[bar][blank] for bar, blank in (first, second))
        if arranged is None:
            self._workspace.said.emit(_("{first} and {second} need different bars.", first=a, second=b))
        else:
            self.moved.emit(arranged, first, Action("blanks.exchanged", {"blanks": [a, b]}))

    def _put(self, spot: Spot, piece: Piece, to: int, action: str) -> None:
        assert self._laid is not None
        if to == spot[0] and piece == self._laid.layout.bars[spot[0]].pieces[spot[1]]:
            return
        new = self._use(to).stock if to >= len(self._laid.layout.bars) else None
        arranged = put(self._laid.layout, spot, piece, to, new)
        self.moved.emit(arranged, spot, Action(action, {"blank": self._names[spot[0]][spot[1]]}))

    def tell(self) -> None:
        """Report the clearances of the chosen blank."""
        chosen = self._chosen()
        if chosen is None:
            self.standing_changed.emit("", True)
            return
        assert self._laid is not None
        spot, piece = chosen
        if self._view.offered is not None:
            bar, blank = self._view.offered
            words = _(
                "Exchange {name}: click another blank, or choose it and press Enter. Esc cancels.", name=self._names[bar][blank]
            )
            self.standing_changed.emit(words, True)
            return
        standing = bed(self._laid.nesting, self._laid.layout.bars[spot[0]], spot[1]).standing(piece)
        name = f"{self._names[spot[0]][spot[1]]}, {self._laid.nesting.parts[piece.part].name}"
        self.standing_changed.emit(labelled(name, self._words(standing, spot[0])), standing.clear)

    def _words(self, standing: StandingBlank, bar: int) -> str:
        """A blank's clearances in words: to the edge, and to the nearest blank; if it lies wrong, only the problem."""
        edge = (
            _("{length} from {edge}", length=self._length(standing.room), edge=standing.edge)
            if standing.room >= 0
            else _("over {edge}", edge=standing.edge)
        )
        if standing.neighbour is None or not isfinite(standing.gap):
            return edge if standing.clear else self._too_near(edge, standing)
        name = self._names[bar][standing.neighbour]
        gap = (
            _("{length} from {name}", length=self._length(standing.gap), name=name)
            if standing.gap > 0
            else _("overlaps {name} by {length}", name=name, length=self._length(-standing.gap))
        )
        if standing.clear:
            return f"{edge}, {gap}"
        return self._too_near(gap if standing.by_neighbour else edge, standing)

    def _too_near(self, where: str, standing: StandingBlank) -> str:
        return _("{where}: {length} too near", where=where, length=self._length(standing.short))

    def _length(self, mm: float) -> str:
        unit = self._workspace.unit
        return f"{built(show(mm, unit))} {unit}"
