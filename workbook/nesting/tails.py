"""Bars that go on beyond the end of their full width: cut off slanting, or with a corner missing at the upper edge of end B.

The search itself knows rectangles and blanks that stay. So such a bar is searched in two ways by turns: as far as its full
width goes, as if the rest were not there; and as a whole, taken in advance, with the missing part as a blank that stays.
"""

from collections.abc import Callable, Generator
from typing import TypeAlias

from workbook.geometry.path import Points
from workbook.geometry.polygon import box, common, of_points, overlap
from workbook.nesting.aims import aims
from workbook.nesting.fits import ALLOWED, inward, margin_of_tail, missing
from workbook.nesting.model import BarUse, Layout, NestingJob, Part, Piece, Progress, written
from workbook.nesting.verify import faults
from workbook.structs import replace

Layouts: TypeAlias = Generator[Progress, Layout | None, None]
Search = Callable[[NestingJob, int], Layouts]
_NOTHING = 0.1  # mm


def by_turns(search: Search, job: NestingJob, seed: int) -> Layouts:
    """The layouts of a search that knows only rectangles, for a job some of whose bars may have tails."""
    if not any(bar.beyond for bar in job.stock):
        return search(job, seed)
    return _both(search, job, seed)


def _both(search: Search, job: NestingJob, seed: int) -> Layouts:
    """The better of two searches, which take steps by turns; each is told what the other finds."""
    forms = [form for form in (_WithoutTails(job), _Whole(job)) if form.possible]
    searches = [search(form.job, seed) for form in forms]
    sent: list[Layout | None] = [None for _ in forms]
    best: Layout | None = None
    active, step = list(range(len(forms))), 0
    while active:
        for n in [*active]:
            step += 1
            progress = searches[n].send(sent[n] if step > len(forms) else None)
            found, sent[n] = forms[n].real(progress.best), None
            better = not faults(job, found) and (best is None or aims(job, found) < aims(job, best))
            if better:
                best = found
                sent = [form.form(found) if k != n else None for k, form in enumerate(forms)]
            if progress.done:
                active.remove(n)
            if best is not None:
                elsewhere = yield Progress(step, best, not active, better, progress.by)
                if elsewhere is not None:
                    sent = [form.form(elsewhere) for form in forms]
                    if not faults(job, elsewhere) and aims(job, elsewhere) < aims(job, best):
                        best = elsewhere


class _WithoutTails:
    """The job with bars only as long as they are of full width."""

    def __init__(self, job: NestingJob) -> None:
        self.job = replace(job, stock=tuple(replace(bar, beyond=0.0, tongue=0.0) for bar in job.stock))
        ends = ((job.stock[use.stock].length, written(job, piece)[:, 0].max()) for use in job.kept for piece in use.pieces)
        self.possible = all(reach <= length - job.bar_end + ALLOWED for length, reach in ends)

    def real(self, layout: Layout) -> Layout:
        """The layout as one of the job itself."""
        return layout

    def form(self, layout: Layout) -> Layout | None:
        """A layout of the job as one of this form, where it is one."""
        return None if faults(self.job, layout) else layout


class _Whole:
    """The job with every bar that has a tail taken in advance, with what it lacks as a blank that stays."""

    possible = True

    def __init__(self, job: NestingJob) -> None:
        self._count, self._real = len(job.parts), job
        parts, stock, suits = list(job.parts), list(job.stock), set(job.suits)
        self._lacking: dict[int, int] = {}  # by stock, the part that stands for what it lacks
        for s, bar in enumerate(job.stock):
            outline = lacking(job, s) if bar.beyond else None
            if outline is not None:
                self._lacking[s] = len(parts)
                suits.add((len(parts), s))
                parts.append(Part(name="", steel="", outline=outline, quantity=bar.count or 0))
            stock[s] = replace(bar, length=bar.length + bar.beyond, beyond=0.0, tongue=0.0)
        self.job = replace(job, parts=tuple(parts), stock=tuple(stock), suits=frozenset(suits), marks=())
        self.job = replace(self.job, kept=self._with_all(job.kept))

    def _with_all(self, bars: tuple[BarUse, ...]) -> tuple[BarUse, ...]:
        """Bars with what they lack, and behind the kept ones those with tails that are not among them."""
        kept, free = len(self._real.kept), {s: self._real.stock[s].count or 0 for s in self._lacking}
        for use in bars:
            if use.stock in free:
                free[use.stock] -= 1
        whole = [self._with(use) for use in bars]
        unused = [self._with(BarUse(s, ())) for s, count in free.items() for _ in range(count)]
        return (*whole[:kept], *(use for use in whole[kept:] if use.stock in free), *unused,
                *(use for use in whole[kept:] if use.stock not in free))  # fmt: skip

    def _with(self, use: BarUse) -> BarUse:
        part = self._lacking.get(use.stock)
        return use if part is None else BarUse(use.stock, (*use.pieces, Piece(part, 0.0, 0.0, 0.0, mirrored=False)))

    def real(self, layout: Layout) -> Layout:
        """The layout without what stands for missing parts, and without bars that hold nothing else."""
        uses = (BarUse(use.stock, tuple(p for p in use.pieces if p.part < self._count)) for use in layout.bars)
        return Layout(tuple(use for use in uses if use.pieces), layout.left_over)

    def form(self, layout: Layout) -> Layout | None:
        """A layout of the job with what its bars lack."""
        whole = Layout(self._with_all(layout.bars), layout.left_over)
        return None if faults(self.job, whole) else whole


def lacking(job: NestingJob, stock: int) -> "Points | None":
    """What a bar lacks of a rectangle as long as its longer edge, as the outline (n, 2) of a blank that stays.

    Blanks that keep the separation from it keep the margin from the bar's own edge. None where the margins cover it.
    """
    bar, end, edge = job.stock[stock], job.bar_end, job.edge(stock)
    room = box(inward(end), inward(edge), -inward(end - bar.length - bar.beyond), -inward(edge - bar.width))
    shape = of_points(missing(bar, margin_of_tail(job, stock) - job.separation))
    return common(shape, room) if overlap(shape, room) > _NOTHING else None
