"""The layout that the page Lay out shows: found by the search, moved by hand or kept; its pins; how it is taken back."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from msgspec import Struct

from workbook.app.workspace import Workspace
from workbook.document.action import Action
from workbook.document.records import AT_HAND, LayoutRecord
from workbook.model.laying import Laid, finish, start_what_can
from workbook.model.model import Model
from workbook.nesting.aims import aims
from workbook.nesting.bounds import least_lost
from workbook.nesting.by_hand import clashing
from workbook.nesting.model import BarUse, Layout, NestingJob, Progress
from workbook.shop.job import Job
from workbook.shop.serials import serials
from workbook.structs import replace
from workbook.tasks.keeping import Spots, kept_at, spots_of
from workbook.tasks.kept_layouts import opened
from workbook.tasks.marking import why_not
from workbook.texts import _

Spot = tuple[int, int]


class _Seen(Struct, frozen=True):
    """What was shown before a step by hand, and of which job."""

    job: Job
    model: Model
    nesting: NestingJob | None
    laid: Laid | None
    kept: tuple[BarUse, ...]


class ShownState(Struct, frozen=True):
    """What is shown of which revision of the work, and what was shown before each step by hand."""

    seen: _Seen
    revision: int
    seed: int
    least: float
    bad: Spots
    record: LayoutRecord | None
    earlier: Mapping[int, _Seen]


class ShownLayout:
    """What is shown, of one workspace."""

    def __init__(self, workspace: Workspace) -> None:
        self._space = workspace
        self.model: Model = workspace.model
        self.nesting: NestingJob | None = None
        self.laid: Laid | None = None
        self.kept: tuple[BarUse, ...] = ()  # blanks pinned
        self.revision, self.seed, self.least = -1, 0, 0.0
        self.bad: Spots = frozenset()  # blanks that lie too near to something
        self._clashes: dict[BarUse, frozenset[int]] = {}
        self._clashes_of: tuple[object, ...] = ()  # of which blanks and bars these are
        self._record: LayoutRecord | None = None  # the layout at hand, as it was kept last
        self._seen: dict[int, _Seen] = {}  # by the number of steps done
        self.busy = False  # the step is of our own making

    @property
    def of_today(self) -> bool:
        """Whether what is shown, or searched, is of the workbook as it is."""
        return self.revision == self._space.revision

    @property
    def pinned(self) -> Spots:
        """Spots of the blanks that are pinned."""
        return spots_of(self.laid.layout, self.kept) if self.laid else frozenset()

    @property
    def names(self) -> Sequence[Sequence[str]]:
        """Serials, bar by bar."""
        return serials(self.laid.nesting, self.laid.layout) if self.laid else ()

    def clear(self) -> None:
        """Nothing is laid out."""
        self.laid, self.kept, self.bad = None, (), frozenset()

    def marks(self) -> tuple[tuple[str, ...], ...]:
        """The serials of the pinned blanks, which they keep."""
        spots, names = self.pinned, self.names
        rows = [tuple(names[b][i] for i in range(len(names[b])) if (b, i) in spots) for b in range(len(names))]
        return tuple(row for row in rows if row)

    def begin(self, seed: int) -> list[str]:
        """Makes the nesting job of today, round what is pinned; why something was left out. `nesting` None: nothing is left."""
        if not self.of_today:
            self.clear()
        self.seed, self.revision = seed, self._space.revision
        self.model, nesting, mistakes = start_what_can(self._space.model)
        self.nesting = replace(nesting, kept=self.kept, marks=self.marks()) if nesting else None
        return [str(mistake) for mistake in mistakes]

    def take(self, laid: Laid) -> None:
        """Shows a layout; the pins stay."""
        self.laid, self.least = laid, least_lost(laid.nesting, laid.layout)
        clashes = self._clashing(laid)
        self.bad = frozenset((b, i) for b, use in enumerate(laid.layout.bars) for i in clashes[use])

    def _clashing(self, laid: Laid) -> dict[BarUse, frozenset[int]]:
        """The blanks of each bar that clash; what is known of bars that are as they were stays."""
        nesting, known = laid.nesting, self._clashes
        if self._clashes_of != (nesting.parts, nesting.stock, nesting.separation):
            known = {}
        self._clashes_of = (nesting.parts, nesting.stock, nesting.separation)
        self._clashes = {use: known[use] if use in known else clashing(nesting, use) for use in laid.layout.bars}
        return self._clashes

    def better(self, laid: Laid) -> bool:
        """Whether a layout is no worse by the order of the aims than the one shown; any is that has no clash."""
        now = self.laid
        return now is None or bool(self.bad) or aims(laid.nesting, laid.layout) <= aims(now.nesting, now.layout)

    def put(self, laid: Laid, pinned: Spots, action: Action) -> bool:
        """Shows a layout as it was left by hand, and keeps it as a step of the history."""
        self._remember()
        self.busy = True
        record = self._space.layouts.put_at_hand(laid, pinned, lost(laid), action)
        self.busy = False
        if record is not None:
            self._record, self.kept = record, kept_at(laid.layout, pinned)
            self.take(laid)
        return record is not None

    def _remember(self) -> None:
        done = self._space.session.done
        earlier = {step: seen for step, seen in self._seen.items() if step < done}  # what came after is another history now
        self._seen = {**earlier, done: _Seen(self._space.model.job, self.model, self.nesting, self.laid, self.kept)}

    def followed(self) -> bool | None:
        """After a step of the history: whether something else is shown now; None: what was shown is there no more."""
        record = self._space.session.document.records.get(AT_HAND)
        if self.busy or self.revision < 0 or (record == self._record and self.laid is not None):
            return False
        same, self._record = record == self._record, record if isinstance(record, LayoutRecord) else None
        seen = self._seen.get(self._space.session.done)
        if seen is not None and seen.laid is not None and seen.job == self._space.model.job:
            self.model, self.nesting, self.kept, self.revision = seen.model, seen.nesting, seen.kept, self._space.revision
            self.take(seen.laid)
            return True
        if same:
            return False
        return True if self._record is not None and not self.open(self._record) else None

    def at_hand(self) -> bool:
        """Shows the layout that was worked on by hand, if there is one and nothing of it has changed; whether it does."""
        record = self._space.session.document.records.get(AT_HAND)
        self._record = record if isinstance(record, LayoutRecord) else None
        return self._record is not None and not self.open(self._record)

    def open(self, record: LayoutRecord) -> tuple[str, ...]:
        """Shows a layout that is kept; why it cannot be."""
        model, nesting, _mistakes = start_what_can(self._space.model)
        if nesting is None:
            return (_("nothing is to be made"),)
        layout, pinned, marks, why = opened(self._space.session.document, nesting, record)
        if layout is None:
            return why
        self.model, self.revision, self.kept = model, self._space.revision, kept_at(layout, pinned)
        stay = layout.bars if record.id == AT_HAND else self.kept
        self.nesting = replace(nesting, kept=stay, marks=marks)
        self.take(finish(model, self.nesting, Progress(0, layout), self.seed))
        return ()

    def grown(self, layout: Layout) -> bool:
        """Shows a fuller layout, of an order that has grown: the pins and their serials stay. False: it cannot be."""
        assert self.laid is not None
        had = {(b, self.laid.layout.bars[b].pieces[i]): self.names[b][i] for b, i in self.pinned}
        spots = frozenset((b, i) for b, use in enumerate(layout.bars) for i, piece in enumerate(use.pieces) if (b, piece) in had)
        rows = [tuple(had[b, piece] for piece in use.pieces if (b, piece) in had) for b, use in enumerate(layout.bars)]
        self.model, nesting, _mistakes = start_what_can(self._space.model)
        if nesting is None:
            return False
        self.revision, self.kept = self._space.revision, kept_at(layout, spots)
        self.nesting = replace(nesting, kept=self.kept, marks=tuple(row for row in rows if row))
        self.take(finish(self.model, self.nesting, Progress(0, layout), self.seed))
        return True

    def mark_cut(self) -> bool:
        """Books the layout as cut; False where it cannot be."""
        if self.laid is None or why_not(self.laid):
            return False
        self._remember()
        return self._space.layouts.mark_cut(self.laid, lost(self.laid))

    def standing(self) -> ShownState:
        """What is shown, to go on from."""
        seen = _Seen(self._space.model.job, self.model, self.nesting, self.laid, self.kept)
        return ShownState(seen, self.revision, self.seed, self.least, self.bad, self._record, dict(self._seen))

    def go_on_from(self, standing: ShownState) -> None:
        """Shows what was shown elsewhere."""
        seen = standing.seen
        self.model, self.nesting, self.laid, self.kept = seen.model, seen.nesting, seen.laid, seen.kept
        self.revision, self.seed, self.least, self.bad = standing.revision, standing.seed, standing.least, standing.bad
        self._record, self._seen = standing.record, dict(standing.earlier)


def offcut_share(laid: Laid) -> float:
    """Offcuts long enough to keep, as a share of the steel taken."""
    keep = laid.model.job.settings.keep_offcut
    stock = laid.nesting.stock
    whole = sum(stock[use.stock].length * stock[use.stock].width for use in laid.layout.bars)
    bars = zip(laid.layout.bars, laid.costs.each, strict=True)
    kept = sum(cost.offcut * stock[use.stock].width for use, cost in bars if cost.offcut >= keep)
    return kept / whole if whole else 0.0


def lost(laid: Laid) -> float:
    """Share of the steel taken that is neither blanks nor offcuts kept."""
    return 1 - laid.costs.utilisation - offcut_share(laid)


def moved_laid(laid: Laid, layout: Layout, spots: tuple[Spot, Spot]) -> tuple[Laid, Callable[[Spot], Spot]]:
    """A layout with one blank put elsewhere, all of whose blanks keep their serials; and where each spot is now."""
    (bar, index), target = spots
    gone = len(laid.layout.bars) > len(layout.bars)
    moved_off = gone or len(layout.bars[bar].pieces) < len(laid.layout.bars[bar].pieces)

    def now(spot: Spot) -> Spot:
        b, i = spot
        if spot == (bar, index):
            return target
        return b - (gone and b > bar), i - (moved_off and b == bar and i > index)

    rows = [[""] * len(use.pieces) for use in layout.bars]
    for b, row in enumerate(serials(laid.nesting, laid.layout)):
        for i, name in enumerate(row):
            to, at = now((b, i))
            rows[to][at] = name
    nesting = replace(laid.nesting, kept=layout.bars, marks=tuple(tuple(row) for row in rows))
    bound = (laid.costs.bound, laid.bound_by)
    return finish(laid.model, nesting, Progress(laid.steps, layout), laid.seed, bound), now
