"""Move a blank of a layout by hand: drag, nudge, turn, flip, put on another bar, with its clearances shown as it moves."""

from collections.abc import Sequence
from math import isfinite

from PySide6.QtCore import QObject, QPointF, Signal
from PySide6.QtGui import QPolygonF

from workbook.app.canvas.bars import BarsView, Ghost
from workbook.app.workspace import Workspace
from workbook.document.action import Action
from workbook.model.laying import Laid
from workbook.nesting.by_hand import Bed, StandingBlank, bed, by_steps, flipped, put, turned
from workbook.nesting.model import Piece, written
from workbook.texts import _, labelled
from workbook.units import built, show

_REACH = 1.5  # mm within which a blank snaps to the wanted distance from the bar's edge
Spot = tuple[int, int]


class ByHand(QObject):
    """Edits the layout shown by hand. `moved` carries the new layout, the blank's old and new spot, and the action."""

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
        view.taken.connect(self._take)
        view.dragged.connect(self._drag)
        view.dropped.connect(self._drop)
        view.put_back.connect(self._put_back)
        view.nudged.connect(self._nudge)
        view.asked.connect(self.do)
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
            self._beds[bar] = bed(self._laid.nesting, self._laid.layout.bars[bar], without)
        return self._beds[bar]

    def _take(self, bar: int, blank: int) -> None:
        if self._laid is not None:
            self._beds = {}
            self.taken.emit()
            self.hand = ((bar, blank), bar, self._laid.layout.bars[bar].pieces[blank])

    def _drag(self, to: int, dx: float, dy: float) -> None:
        if self.hand is None or self._laid is None:
            return
        spot = self.hand[0]
        first = self._laid.layout.bars[spot[0]].pieces[spot[1]]
        target = self._bed(to, spot)
        piece = target.against(by_steps(first, dx, dy, self._step()), _REACH)
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
        return (piece.part, self._laid.layout.bars[bar].stock) in self._laid.nesting.suits

    def _put_back(self) -> None:
        self.hand = None
        self._view.show_ghost(None)

    def _drop(self) -> None:
        hand, self.hand = self.hand, None
        if hand is not None and self._suits(hand[2], hand[1]):
            self._put(hand[0], hand[2], hand[1], "blank.moved")
        self._view.show_ghost(None)  # last, so that nothing is painted twice

    def _nudge(self, dx: int, dy: int) -> None:
        chosen = self._chosen()
        if chosen is not None:
            spot, piece = chosen
            step = self._step()
            self._put(spot, by_steps(piece, dx * step, dy * step, step), spot[0], "blank.moved")

    def do(self, command: str) -> None:
        """Turn, flip or move clear the chosen blank, or put it on the bar above or below."""
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

    def _put(self, spot: Spot, piece: Piece, to: int, action: str) -> None:
        assert self._laid is not None
        if to == spot[0] and piece == self._laid.layout.bars[spot[0]].pieces[spot[1]]:
            return
        layout, at = put(self._laid.layout, spot, piece, to)
        self.moved.emit(layout, (spot, at), Action(action, {"blank": self._names[spot[0]][spot[1]]}))

    def tell(self) -> None:
        """Report the clearances of the chosen blank."""
        chosen = self._chosen()
        if chosen is None:
            self.standing_changed.emit("", True)
            return
        assert self._laid is not None
        spot, piece = chosen
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
