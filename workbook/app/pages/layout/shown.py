"""The layout that the page Lay out shows: found by the search, moved by hand or kept; its pins, and how it is undone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from msgspec import Struct

from workbook.app.workspace import Workspace
from workbook.document.action import Action
from workbook.document.records import AT_HAND, LayoutRecord
from workbook.model.laying import Laid, finish, least_offcut, start_what_can
from workbook.model.model import Model
from workbook.nesting.aims import aims
from workbook.nesting.arranging import Arranged
from workbook.nesting.bounds import area_bound, least_lost
from workbook.nesting.by_hand import clashing
from workbook.nesting.model import BarUse, Layout, NestingJob, Progress, bought_for, laid_out
from workbook.shop.job import Job
from workbook.shop.serials import serials
from workbook.structs import replace
from workbook.tasks.keeping import Spots, kept_at, spots_of
from workbook.tasks.kept_layouts import opened
from workbook.tasks.marking import why_not
from workbook.texts import _


class _Seen(Struct, frozen=True):
    """What was shown before a step by hand, and of which job."""

    job: Job
    model: Model
    nesting: NestingJob | None
    laid: Laid | None
    kept: tuple[BarUse, ...]


class ShownState(Struct, frozen=True):
    """What is shown, of which revision of the work, and what was shown before each step by hand."""

    seen: _Seen
    revision: int
    seed: int
    least: float
    bad: Spots
    record: LayoutRecord | None
    earlier: Mapping[int, _Seen]


class LayoutShowing(NamedTuple):
    """What the page shows, to be shown again in another look."""

    layout: ShownState
    left_out: tuple[str, ...]
    table: bool


class ShownLayout:
    """The layout shown, of one workspace."""

    def __init__(self, workspace: Workspace) -> None:
        self._space = workspace
        self.model: Model = workspace.model
        self.nesting: NestingJob | None = None
        self.laid: Laid | None = None
        self.kept: tuple[BarUse, ...] = ()  # pinned blanks
        self.revision, self.seed, self.least = -1, 0, 0.0
        self.bad: Spots = frozenset()  # blanks that lie too near to something
        self._clashes: dict[BarUse, frozenset[int]] = {}
        self._clashes_of: tuple[object, ...] = ()  # the parts, stock and separation of these clashes
        self._record: LayoutRecord | None = None  # the layout arranged by hand, as last kept
        self._seen: dict[int, _Seen] = {}  # by the number of steps done
        self.busy = False  # the step is our own

    @property
    def of_today(self) -> bool:
        """Whether the layout shown or searched is up to date with the workbook."""
        return self.revision == self._space.revision

    @property
    def pinned(self) -> Spots:
        """The spots of the pinned blanks."""
        return spots_of(self.laid.layout, self.kept) if self.laid else frozenset()

    @property
    def names(self) -> Sequence[Sequence[str]]:
        """The serials, bar by bar."""
        return serials(self.laid.nesting, self.laid.layout) if self.laid else ()

    def clear(self) -> None:
        """Drop the layout."""
        self.laid, self.kept, self.bad = None, (), frozenset()

    def marks(self) -> tuple[tuple[str, ...], ...]:
        """The serials of the pinned blanks, which they keep."""
        spots, names = self.pinned, self.names
        rows = [tuple(names[b][i] for i in range(len(names[b])) if (b, i) in spots) for b in range(len(names))]
        return tuple(row for row in rows if row)

    def begin(self, seed: int) -> list[str]:
        """Build the nesting job around the pinned blanks and return what was left out; `nesting` is None if nothing remains."""
        if not self.of_today:
            self.clear()
        self.seed, self.revision = seed, self._space.revision
        self.model, nesting, mistakes = start_what_can(self._space.model)
        self.nesting = replace(nesting, kept=self.kept, marks=self.marks()) if nesting else None
        return [str(mistake) for mistake in mistakes]

    def take(self, laid: Laid) -> None:
        """Show a layout; the pins stay."""
        self.laid, self.least = laid, least_lost(laid.nesting, laid.layout)
        clashes = self._clashing(laid)
        self.bad = frozenset((b, i) for b, use in enumerate(laid.layout.bars) for i in clashes[use])

    def _clashing(self, laid: Laid) -> dict[BarUse, frozenset[int]]:
        """The blanks of each bar that clash; cached for unchanged bars."""
        nesting, cached = laid.nesting, self._clashes
        if self._clashes_of != (nesting.parts, nesting.stock, nesting.separation):
            cached = {}
        self._clashes_of = (nesting.parts, nesting.stock, nesting.separation)
        self._clashes = {use: cached[use] if use in cached else clashing(nesting, use) for use in laid.layout.bars}
        return self._clashes

    def better(self, laid: Laid) -> bool:
        """Whether a layout is no worse by the order of the aims than the one shown; always, if that has clashes."""
        now = self.laid
        return now is None or bool(self.bad) or aims(laid.nesting, laid.layout) <= aims(now.nesting, now.layout)

    def put(self, laid: Laid, pinned: Spots, action: Action) -> bool:
        """Show a layout arranged by hand, and keep it as a step of the history. Return False if it could not be kept."""
        self._remember()
        self.busy = True
        record = self._space.layouts.put_at_hand(laid, pinned, lost(laid), action)
        self.busy = False
        if record is not None:
            self._record, self.kept = record, kept_at(laid.layout, pinned)
            self.take(laid)
        return record is not None

    def _remember(self) -> None:
        position = self._space.session.done
        earlier = {step: state for step, state in self._seen.items() if step < position}  # later steps are of another history
        self._seen = {**earlier, position: _Seen(self._space.model.job, self.model, self.nesting, self.laid, self.kept)}

    def followed(self) -> bool | None:
        """Follow a step of the history. Return whether another layout is shown now; None if the one shown is no longer valid."""
        record = self._space.session.document.records.get(AT_HAND)
        if self.busy or self.revision < 0 or (record == self._record and self.laid is not None):
            return False
        same, self._record = record == self._record, record if isinstance(record, LayoutRecord) else None
        state = self._seen.get(self._space.session.done)
        if state is not None and state.laid is not None and state.job == self._space.model.job:
            self.model, self.nesting, self.kept, self.revision = state.model, state.nesting, state.kept, self._space.revision
            self.take(state.laid)
            return True
        if same:
            return False
        return True if self._record is not None and not self.open(self._record) else None

    def at_hand(self) -> bool:
        """Show the layout arranged by hand, if there is one and it still holds. Return whether it is shown."""
        record = self._space.session.document.records.get(AT_HAND)
        self._record = record if isinstance(record, LayoutRecord) else None
        return self._record is not None and not self.open(self._record)

    def open(self, record: LayoutRecord) -> tuple[str, ...]:
        """Show a kept layout. Return the problems if it cannot be shown."""
        model, nesting, _mistakes = start_what_can(self._space.model)
        if nesting is None:
            return (_("nothing to make"),)
        layout, pinned, marks, problems = opened(self._space.session.document, nesting, record)
        if layout is None:
            return problems
        self.model, self.revision, self.kept = model, self._space.revision, kept_at(layout, pinned)
        fixed = layout.bars if record.id == AT_HAND else self.kept
        self.nesting = replace(nesting, kept=fixed, marks=marks)
        self.take(finish(model, self.nesting, Progress(0, layout), self.seed))
        return ()

    def grown(self, layout: Layout) -> bool:
        """Show a fuller layout after one more blank was ordered; pins and serials stay. Return False if it cannot be shown."""
        assert self.laid is not None
        names = {(b, self.laid.layout.bars[b].pieces[i]): self.names[b][i] for b, i in self.pinned}
        spots = frozenset(
            (b, i) for b, use in enumerate(layout.bars) for i, piece in enumerate(use.pieces) if (b, piece) in names
        )
        rows = [tuple(names[b, piece] for piece in use.pieces if (b, piece) in names) for b, use in enumerate(layout.bars)]
        self.model, nesting, _mistakes = start_what_can(self._space.model)
        if nesting is None:
            return False
        self.revision, self.kept = self._space.revision, kept_at(layout, spots)
        self.nesting = replace(nesting, kept=self.kept, marks=tuple(row for row in rows if row))
        self.take(finish(self.model, self.nesting, Progress(0, layout), self.seed))
        return True

    def mark_cut(self) -> bool:
        """Book the layout as cut. Return False if it could not be booked."""
        if self.laid is None or why_not(self.laid):
            return False
        self._remember()
        return self._space.layouts.mark_cut(self.laid, lost(self.laid))

    def standing(self) -> ShownState:
        """What is shown, to go on from in another look."""
        state = _Seen(self._space.model.job, self.model, self.nesting, self.laid, self.kept)
        return ShownState(state, self.revision, self.seed, self.least, self.bad, self._record, dict(self._seen))

    def go_on_from(self, standing: ShownState) -> None:
        """Show what was shown in another look."""
        state = standing.seen
        self.model, self.nesting, self.laid, self.kept = state.model, state.nesting, state.laid, state.kept
        self.revision, self.seed, self.least, self.bad = standing.revision, standing.seed, standing.least, standing.bad
        self._record, self._seen = standing.record, dict(standing.earlier)


def offcut_share(laid: Laid) -> float:
    """Offcuts large enough to keep, as a share of the steel taken."""
    keep = least_offcut(laid.model.job).length
    stock = laid.nesting.stock
    total = sum(stock[use.stock].area for use in laid.layout.bars)
    bars = zip(laid.layout.bars, laid.costs.each, strict=True)
    kept = [(stock[use.stock], cost.offcut) for use, cost in bars if cost.offcut >= keep]
    reusable = sum(offcut * bar.width + bar.tail for bar, offcut in kept)
    beside = sum(each.area for cost in laid.costs.each for each in cost.beside)
    return (reusable + beside) / total if total else 0.0


def lost(laid: Laid) -> float:
    """The share of the steel taken that is neither blanks nor offcuts kept."""
    return 1 - laid.costs.utilisation - offcut_share(laid)


def rearranged(laid: Laid, arranged: Arranged) -> Laid:
    """A layout changed by hand, whose blanks keep their serials."""
    layout = arranged.layout
    rows = [[""] * len(use.pieces) for use in layout.bars]
    names = serials(laid.nesting, laid.layout)
    for (b, i), (to, at) in arranged.now.items():
        rows[to][at] = names[b][i]
    nesting = replace(laid.nesting, kept=layout.bars, marks=tuple(tuple(row) for row in rows))
    bound = (laid.costs.bound, laid.bound_by)
    if bought_for(nesting, layout) != laid.costs.bought:  # the bound was for layouts that buy as little
        bound = (area_bound(replace(nesting, kept=()), laid_out(layout, len(nesting.parts))), "area")
    return finish(laid.model, nesting, Progress(laid.steps, layout), laid.seed, bound)
