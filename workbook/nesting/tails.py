"""Bars that go on beyond the end of their full width: cut off slanting, or with a corner missing at the upper edge of end B.

The search itself knows rectangles and blanks that stay. So such a job is searched in several forms by turns: with bars only as
far as their full width goes, and with bars that have a tail taken in advance, what they lack as blanks that stay. Bars so taken
seem to cost nothing, so all are taken in one form, the cheaper half in another, and in more those whose tails are needed.
"""

from collections import Counter
from collections.abc import Callable, Generator
from typing import Protocol, TypeAlias

from workbook.geometry.path import Points
from workbook.geometry.polygon import box, common, of_points, overlap
from workbook.nesting.aims import aims
from workbook.nesting.fits import ALLOWED, inward, margin_of_tail, missing
from workbook.nesting.model import BarUse, Layout, NestingJob, Part, Piece, Progress, Stock, written
from workbook.nesting.verify import faults
from workbook.structs import replace

Layouts: TypeAlias = Generator[Progress, Layout | None, None]
Search = Callable[[NestingJob, int], Layouts]
_NOTHING = 0.1  # mm
_MORE_FORMS = 2  # begun when the best layout needs the tails of fewer bars than were taken


def by_turns(search: Search, job: NestingJob, seed: int) -> Layouts:
    """The layouts of a search that knows only rectangles, for a job some of whose bars may have tails."""
    if not any(bar.beyond for bar in job.stock):
        return search(job, seed)
    return _both(search, job, seed)


def _both(search: Search, job: NestingJob, seed: int) -> Layouts:
    """The best of the searches, which take steps by turns; each is told what the others find."""
    tried = {_tailed(job), _cheaper_half(job)}
    forms: list[_Form] = [_WithoutTails(job), *(_Whole(job, taken) for taken in sorted(tried, key=len, reverse=True))]
    turns = [_Turn(form, search(form.job, seed)) for form in forms if form.possible]
    best: Layout | None = None
    step, most = 0, len(tried) + _MORE_FORMS
    while turns:
        for turn in [*turns]:
            step += 1
            progress = turn.step()
            found = turn.form.real(progress.best)
            better = not faults(job, found) and (best is None or aims(job, found) < aims(job, best))
            if better:
                best = found
                for other in turns:
                    other.better = other.form.form(found) if other is not turn else None
            if progress.done:
                turns.remove(turn)
            if best is None:
                continue
            elsewhere = yield Progress(step, best, not turns, better, progress.by)
            if elsewhere is not None and not faults(job, elsewhere) and aims(job, elsewhere) < aims(job, best):
                best = elsewhere
                for each in turns:
                    each.better = each.form.form(elsewhere)
        needed = _needed(job, best) if best is not None else frozenset[tuple[int, int]]()
        if turns and needed and needed not in tried and len(tried) < most:
            tried.add(needed)
            whole = _Whole(job, needed)
            turns.append(_Turn(whole, search(whole.job, seed)))


Tails = frozenset[tuple[int, int]]  # kinds of bar with tails, and how many of each


def _tailed(job: NestingJob) -> Tails:
    """All bars that have tails."""
    return frozenset((s, bar.count or 0) for s, bar in enumerate(job.stock) if bar.beyond)


def _cheaper_half(job: NestingJob) -> Tails:
    """The kinds of those that count less, half of them or one more."""
    ranked = sorted(_tailed(job), key=lambda kind: (job.counts(kind[0]), kind))
    return frozenset(ranked[: (len(ranked) + 1) // 2])


def _needed(job: NestingJob, layout: Layout) -> Tails:
    """The bars of a layout in whose tails blanks lie."""
    ends = [(use.stock, max(written(job, piece)[:, 0].max() for piece in use.pieces)) for use in layout.bars if use.pieces]
    return frozenset(Counter(s for s, end in ends if job.stock[s].beyond and end > job.stock[s].length).items())


class _Form(Protocol):
    """The job in a form without tails."""

    job: NestingJob
    possible: bool

    def real(self, layout: Layout) -> Layout:
        """A layout of this form as one of the job itself."""

    def form(self, layout: Layout) -> Layout | None:
        """A layout of the job as one of this form, where it is one."""


class _Turn:
    """A search of one form, and what is to be told it next."""

    def __init__(self, form: _Form, steps: Layouts) -> None:
        self.form, self._steps, self._begun = form, steps, False
        self.better: Layout | None = None

    def step(self) -> Progress:
        """Take a step."""
        better, self.better = self.better, None
        progress = self._steps.send(better if self._begun else None)
        self._begun = True
        return progress


class _WithoutTails:
    """The job with bars only as long as they are of full width."""

    def __init__(self, job: NestingJob) -> None:
        self.job = replace(job, stock=tuple(_square(job, s) for s in range(len(job.stock))))
        ends = ((self.job.stock[use.stock].length, written(job, p)[:, 0].max()) for use in job.kept for p in use.pieces)
        self.possible = all(reach <= length - job.bar_end + ALLOWED for length, reach in ends)

    def real(self, layout: Layout) -> Layout:
        """The layout as one of the job itself."""
        return layout

    def form(self, layout: Layout) -> Layout | None:
        """A layout of the job as one of this form, where it is one."""
        return None if faults(self.job, layout) else layout


def _square(job: NestingJob, stock: int) -> Stock:
    """A bar as far as it is of full width, and the margin there no less than beside a missing corner."""
    bar = job.stock[stock]
    if not bar.beyond:
        return bar
    return replace(bar, length=bar.length - (margin_of_tail(job, stock) - job.bar_end), beyond=0.0, tongue=0.0)


class _Whole:
    """The job with some bars that have tails taken in advance, with what they lack as blanks that stay; others without tails."""

    possible = True

    def __init__(self, job: NestingJob, taken: Tails) -> None:
        self._count, self._kept = len(job.parts), len(job.kept)
        kept = Counter(use.stock for use in job.kept if job.stock[use.stock].beyond)
        self._taken = {s: max(count, kept[s]) for s, count in sorted(dict(kept | Counter(dict(taken))).items())}
        parts, stock, suits = list(job.parts), [_square(job, s) for s in range(len(job.stock))], set(job.suits)
        self._lacking: dict[int, int] = {}  # by stock, the part that stands for what it lacks
        for s, count in self._taken.items():
            bar, outline = job.stock[s], lacking(job, s)
            stock[s] = replace(bar, length=bar.length + bar.beyond, beyond=0.0, tongue=0.0, count=count)
            if outline is not None:
                self._lacking[s] = len(parts)
                suits.add((len(parts), s))
                parts.append(Part(name="", steel="", outline=outline, quantity=count))
        self.job = replace(job, parts=tuple(parts), stock=tuple(stock), suits=frozenset(suits), marks=())
        self.job = replace(self.job, kept=self._with_all(job.kept))

    def _with_all(self, bars: tuple[BarUse, ...]) -> tuple[BarUse, ...]:
        """Bars with what they lack: the kept ones, then those taken in advance by their kinds, used or not, then the others."""
        first, rest = [self._with(use) for use in bars[: self._kept]], bars[self._kept :]
        for s in self._lacking:
            used = [self._with(use) for use in rest if use.stock == s]
            unused = self._taken[s] - len(used) - sum(use.stock == s for use in first)
            first += [*used, *(self._with(BarUse(s, ())) for _ in range(unused))]
        return (*first, *(use for use in rest if use.stock not in self._lacking))

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
