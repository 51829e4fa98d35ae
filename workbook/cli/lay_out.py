"""The command `lay-out`: a search that keeps to its time, and its files. Returns the exit code.

The seconds asked for count from the command's start, files included: a few bars of the first layout are drawn to measure how
long the files take on this machine, and that time is reserved for them.
"""

import argparse
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import nullcontext
from decimal import Decimal

from workbook.cli.progress import bar_of_progress
from workbook.cli.summary import layout_lines
from workbook.formats.layout_in import read_layout
from workbook.model.laying import Laid, finish, start
from workbook.model.model import Model
from workbook.model.results import SEARCH_WORDS
from workbook.nesting.model import BarUse, Layout, NestingJob, Progress
from workbook.sheets.bar import BarPlan
from workbook.shop.serials import serials
from workbook.structs import replace
from workbook.system.names import shown
from workbook.system.pipes import Connection
from workbook.system.processes import cores
from workbook.tasks import compiling
from workbook.tasks.beside import PdfBeside
from workbook.tasks.bounding import Bounding
from workbook.tasks.exports import EXPORTS, Files, Wanted, exported
from workbook.tasks.keeping import keeping, kept_from
from workbook.tasks.load import load_job
from workbook.tasks.outputs import refuse_foreign, write_outputs
from workbook.tasks.pair import partner, search_on_two
from workbook.tasks.searching import search
from workbook.tasks.sheets import bar_plan, bars_planned, run_of, today
from workbook.texts import _

DONE, RAN_OUT = 0, 3
_PDF, _OTHERS = "bars", ("layout", "bars-drawing", "costs", "buy")  # what is written
_FILES = tuple(EXPORTS[key].file for key in ("layout", _PDF, *_OTHERS[1:]))
_GRACE = 0.2  # s after the time asked for, by which all must be written
_WORTH_TWO, _WORTH_SENDING = 3.0, 1.0  # s asked for, and s of search left once the job is read
_TABLES = 1500  # blanks times kinds of bars that add a second to the start of a second process
_SAMPLE, _SAMPLE_BLANKS = 2, 6  # bars drawn to measure, and blanks on each
_PER_BAR, _MORE = 0.3, 1.3  # share of a sample's time that goes with bars, not with blanks; the others take longer
_MANY, _BESIDE = 150, 0.55  # blanks from which another process makes the PDF; the share of the files' time then left
_PER_BLANK = 0.008  # s that its files may take; measured where there is time to
_LESS = 0.9  # factor by which a long step counts for less with each later step
_FOR_BOUND = 0.1  # share of the time for the longest piece of work on the bound


def lay_out(options: argparse.Namespace) -> int:
    """Verify, nest, and write the layout, its sheets, its drawing and its costs."""
    with partner() if _on_two(options) else nullcontext() as worker:  # it makes ready while the job is read
        return _lay_out(options, worker)


def _on_two(options: argparse.Namespace) -> bool:
    """Whether there may be time for a search in two processes, and all is there for it."""
    return not options.steps and options.seconds >= _WORTH_TWO and cores() > 1 and compiling.possible() and compiling.ready()


def _lay_out(options: argparse.Namespace, worker: Connection | None) -> int:
    model = load_job(options.job, meanwhile=_bring_search)
    refuse_foreign(options.out, _FILES, force=options.force)
    nesting = start(model)
    if options.keep:
        nesting = keeping(nesting, *kept_from(nesting, read_layout(options.keep), options.keep_blanks))
    many = blanks_of(nesting) >= _MANY and cores() > 1
    with PdfBeside(run_of(model.job, options.paper, today(model.job.region))) if many else nullcontext() as beside:
        laid = _LayOut(model, nesting, options, _BESIDE if many else 1.0, worker).laid()
        plans, files = layout_files(laid, options.paper, beside)
    write_outputs(options.out, files, force=options.force)
    if not options.quiet:
        print("\n".join(layout_lines(laid, plans)))
        print(_("Written to {out}: {names}", out=shown(options.out), names=", ".join(_FILES)))
        elapsed = time.monotonic() - options.began
        if laid.steps == 1 and laid.seconds is not None and elapsed > options.seconds:
            print(
                _(
                    "Reading, a first layout and its files took {gone:.0f} s. Give the search more time with --seconds.",
                    gone=elapsed,
                )
            )
    return RAN_OUT if laid.layout.left_over else DONE


def _bring_search() -> None:
    if compiling.possible() and compiling.ready():
        compiling.load()


def blanks_of(nesting: NestingJob) -> int:
    """The number of blanks to lay out."""
    return sum(part.quantity for part in nesting.parts)


class _LayOut:
    """One search, for its seconds or its steps."""

    def __init__(
        self, model: Model, nesting: NestingJob, options: argparse.Namespace, share: float, worker: Connection | None = None
    ) -> None:
        """`share`: of the time for the files, what is left if another process makes one of them. `worker`: it may help."""
        self._worker = worker
        self._loaded, self._nesting, self._options, self._files = model, nesting, options, share
        self._until = options.began + options.seconds + _GRACE  # less what the files take, once that is known
        self._step_began, self._step = time.monotonic(), 0.0

    def laid(self) -> Laid:
        """The result of the search when its time is over."""
        options, nesting = self._options, self._nesting
        _bring_search()
        bounding = Bounding(nesting, _FOR_BOUND * options.seconds)
        show = bar_of_progress(nesting, self._loaded.job.money, quiet=options.quiet)
        mode, last = "compiled", None
        for last in self._search():
            if last.step == 1 and not options.steps:
                self._until -= self._for_files(last)
            if not options.steps and time.monotonic() < self._until:
                bounding.of(last.best)
            if last.by != mode:
                self._tell(last)
                mode = last.by
            show(last, min(self._share(last.step), 1.0))
        assert last is not None
        if options.steps:
            return finish(self._loaded, nesting, last, options.seed)
        while bounding.more and time.monotonic() < self._until:
            bounding.of(last.best)
        elapsed = round(time.monotonic() - options.began, 1)
        return finish(self._loaded, nesting, last, options.seed, bounding.known(last.best), elapsed)

    def _search(self) -> Iterator[Progress]:
        options, nesting = self._options, self._nesting
        remaining = self._until - time.monotonic()
        size = blanks_of(nesting) * len(nesting.stock)
        if self._worker is None or remaining < _WORTH_SENDING + size / _TABLES:
            if self._worker is not None:
                self._worker.close()  # it ends, and leaves its core to the files
            return search(nesting, options.seed, self._stop, repeatable=bool(options.steps))
        return search_on_two(nesting, options.seed, self._stop, self._worker)

    def _stop(self, step: int) -> bool:
        """Whether the time is over, or would be with another step as long as the last long one."""
        if self._options.steps:
            return step >= int(self._options.steps)
        now = time.monotonic()
        self._step, self._step_began = max(now - self._step_began, _LESS * self._step), now
        return bool(now + (self._step if step > 1 else 0.0) >= self._until)

    def _share(self, step: int) -> float:
        if self._options.steps:
            return float(step / self._options.steps)
        began = self._options.began
        return float((time.monotonic() - began) / max(self._until - began, 1e-3))

    def _for_files(self, first: Progress) -> float:
        """The time that the files will take, s: some bars of the first layout are drawn, which also loads the writers.

        All the time there is, if that is short for so many blanks.
        """
        remaining = float(self._until - time.monotonic())
        if blanks_of(self._nesting) * _PER_BLANK >= remaining:
            return remaining
        bars = first.best.bars
        if not bars:
            return 0.0
        sample = [replace(use, pieces=use.pieces[:_SAMPLE_BLANKS]) for use in bars[:_SAMPLE]]
        self._drawn(first, [replace(sample[0], pieces=sample[0].pieces[:1])])
        duration = self._drawn(first, sample)
        share = sum(len(use.pieces) for use in bars) / sum(len(use.pieces) for use in sample)
        self._step_began = time.monotonic()
        return duration * (_PER_BAR * len(bars) / len(sample) + (1 - _PER_BAR) * share) * _MORE * self._files

    def _drawn(self, first: Progress, bars: Sequence[BarUse]) -> float:
        """Draw these bars; returns the time it took, s."""
        began = time.monotonic()
        laid = finish(self._loaded, self._nesting, replace(first, best=Layout(tuple(bars))), 0, (Decimal(0), "area"))
        names = serials(laid.nesting, laid.layout)
        _draw(laid, [bar_plan(laid, i, names[i], parted=True) for i in range(len(bars))], self._options.paper)
        return time.monotonic() - began

    def _tell(self, progress: Progress) -> None:
        """Say which search is running."""
        if not self._options.quiet:
            print(SEARCH_WORDS[progress.by], file=sys.stderr)


def _wanted(laid: Laid, paper: str, plans: Sequence[BarPlan]) -> Wanted:
    """The request for the files of a layout, or of the first of its bars."""
    return Wanted(
        model=laid.model, run=run_of(laid.model.job, paper, today(laid.model.job.region)), keys=(), laid=laid, planned=plans
    )


def _draw(laid: Laid, plans: Sequence[BarPlan], paper: str) -> None:
    """Make those files of some bars that take long. The search's layouts are sound, so nothing has to be refused."""
    request = _wanted(laid, paper, plans)
    for key in (_PDF, "bars-drawing"):
        EXPORTS[key].make(request, EXPORTS[key].file)


def layout_files(laid: Laid, paper: str, beside: PdfBeside | None = None) -> tuple[list[BarPlan], Files]:
    """The bars of a layout and its files, by name. `beside`: the process that makes the PDF meanwhile."""
    plans = []
    for plan in bars_planned(laid):
        plans.append(plan)
        if beside is not None:
            beside.add(plan)
    if beside is not None:
        beside.done()
    request = _wanted(laid, paper, plans)
    files = exported(request, _OTHERS)
    pdf = beside.made() if beside is not None else None
    files |= {EXPORTS[_PDF].file: pdf} if pdf else exported(request, [_PDF])
    return plans, {name: files[name] for name in _FILES}
