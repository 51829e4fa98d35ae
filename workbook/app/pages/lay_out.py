"""Lay out: bars filling while the worker searches; what it costs and what no layout can beat; sheets and cutting file."""

import time
from dataclasses import replace
from functools import partial

from PySide6.QtCore import QPoint, Qt, QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QMenu, QScrollArea, QVBoxLayout, QWidget

from workbook.app.canvas.bars import BarsView
from workbook.app.pages.layout_side import Side
from workbook.app.search import Search
from workbook.app.widgets.basics import label, row, surface, tool
from workbook.app.widgets.blanks import Blanks
from workbook.app.workspace import Workspace
from workbook.document.actions.layouts import drop_layout
from workbook.document.records import LayoutRecord
from workbook.nesting.aims import aims
from workbook.nesting.bounds import least_lost
from workbook.nesting.model import BarUse, Layout, NestingJob, Progress
from workbook.problems import Severity
from workbook.sheets.bar import BarPlan
from workbook.shop.money import priced
from workbook.shop.serials import serials
from workbook.shop.wording import sentence
from workbook.tasks.keeping import Spots, fits_words, kept_at, one_more, places_on, spots_of
from workbook.tasks.kept_layouts import opened
from workbook.tasks.layout import Laid, finish, start_what_can
from workbook.tasks.load import LoadedJob
from workbook.tasks.results import bound_words
from workbook.tasks.sheets import bar_plan
from workbook.tasks.worker import Report

_ENOUGH = 15.0  # s without anything better: the search stops by itself; it can be asked to go on with another seed
_MORE_STEPS = 200  # of the search for room for one more blank


class LayOutPage(QWidget):
    """One layout of the job."""

    print_wanted = Signal()
    cut_file_wanted = Signal()

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self.setObjectName("layout-page")
        self._workspace, self.search = workspace, Search()
        self._loaded: LoadedJob = workspace.loaded
        self._nesting: NestingJob | None = None
        self.laid: Laid | None = None
        self._revision, self._seed, self._points = -1, 0, []  # type: tuple[int, int, list[tuple[int, float]]]
        self._least, self._better_at = 0.0, 0.0
        self._kept: tuple[BarUse, ...] = ()  # blanks pinned
        self._plans: dict[tuple[int, int, BarUse, tuple[str, ...]], BarPlan] = {}  # of the bars shown
        self._taking = False  # the change is this page's own
        self._asked = ("", 0, 0)  # what room is looked for: what, on which bar, for which part
        look = workspace.look
        self.bars = BarsView(look)
        self.side = Side(workspace)
        self.blanks = Blanks(look)
        self._build()
        self._connect()
        workspace.unit_changed.connect(self._show)
        workspace.template_changed.connect(lambda name: self._out_of_date())
        workspace.templates_changed.connect(self._out_of_date)

    def _connect(self) -> None:
        self.bars.pin_wanted.connect(self.toggle_pin)
        self.bars.menu_wanted.connect(self._menu)
        self.search.answered.connect(self._answered)
        side = self.side
        side.stop_button.clicked.connect(self.search.stop)
        side.again_button.clicked.connect(self._again)
        side.print_button.clicked.connect(self.print_wanted)
        side.cut_button.clicked.connect(self.cut_file_wanted)
        side.order.changed.connect(self._workspace.make)
        side.keep_wanted.connect(self.keep)
        side.kept_wanted.connect(self.show_kept)
        side.drop_wanted.connect(self.drop)
        self.bars.chosen_changed.connect(lambda: self.blanks.choose(*(self.bars.chosen or (-1, -1))))
        self.blanks.chosen.connect(self.bars.choose)
        self.blanks.pin_wanted.connect(self.toggle_pin)
        self.blanks.menu_wanted.connect(self._menu)
        self._table_button.toggled.connect(self.blanks.setVisible)
        self.search.reported.connect(self._reported)
        self.search.stopped.connect(self._show_state)
        self.search.failed.connect(self._failed)

    def _build(self) -> None:
        look = self._workspace.look
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setWidget(self.bars)
        middle = QVBoxLayout()
        middle.setContentsMargins(0, 0, 0, 0)
        middle.setSpacing(0)
        words = label(look, "Click a blank, click it again to pin it. Ordinates from end A", "small", soft=True)
        self._table_button = tool(look, "table-button", "Table", switch=False)
        strip = row(label(look, "Bars", "strong"), self._table_button, None, words)
        middle.addWidget(surface("strip", strip, look.px(40)))
        middle.addWidget(scroll, 1)
        middle.addWidget(self.blanks)
        self.blanks.setVisible(False)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(middle, 1)
        whole.addWidget(self.side)

    def make_room(self, width: int, height: int) -> None:
        """The side panel's width."""
        look = self._workspace.look
        self.side.setFixedWidth(look.px(316 if width / look.text >= 1100 else 300))

    def entered(self) -> None:
        """The page is shown: lay out unless what is there is of today."""
        if self._revision != self._workspace.revision:
            self._begin(seed=0)

    def adopt(self, other: "LayOutPage") -> None:
        """Shows what a page in another look showed, with its pins; the search may be gone on with."""
        if other.laid is not None:
            self._loaded, self._nesting, self._revision = other._loaded, other._nesting, other._revision
            self._seed, self._least, self._kept, self.laid = other._seed, other._least, other._kept, other.laid
            self.side.show_left_out(other.side.left_out.text().splitlines())
            self._table_button.setChecked(other._table_button.isChecked())
            self._show()

    def _out_of_date(self) -> None:
        """Something changed: what was laid out is no longer of this job, and is not printed or cut."""
        if self._taking:
            return
        self.search.stop()
        self.laid, self._kept = None, ()
        self.bars.show_plans((), (), self._workspace.unit)
        self._show_state()
        if self.isVisible():
            self._begin(seed=0)

    def _again(self) -> None:
        self._begin(seed=self._seed + 1)

    def _begin(self, seed: int) -> None:
        """Begins a search; a blank that cannot be made is said at once."""
        if self._revision != self._workspace.revision:
            self.laid, self._kept = None, ()
        self._points, self._better_at = [], time.monotonic()
        self._seed, self._revision = seed, self._workspace.revision
        self._loaded, self._nesting, mistakes = start_what_can(self._workspace.loaded)
        warnings = [p for p in self._workspace.loaded.of_bars if p.severity is not Severity.STOP]  # those are left out
        said = (f"{p.template}: {sentence(p, self._workspace.unit)}" for p in warnings)
        self.side.show_left_out([*(f"Left out: {mistake}" for mistake in mistakes), *said])
        if self._nesting is None:
            self.search.stop()
            self.bars.show_plans((), (), self._workspace.unit)
            self.blanks.show_plans((), self._workspace.unit, frozenset())
            self.side.clear()
            nothing = not self._workspace.loaded.job.make
            cure = "Nothing is to be made: say how many under To be made." if nothing else "See above what is missing."
            self._failed(cure if nothing or mistakes else "Nothing can be laid out: add a bar on the page Stock.")
            return
        self._nesting = replace(self._nesting, kept=self._kept, marks=self._marks())
        self.search.begin(self._nesting, seed)
        self._show_state()

    def _reported(self, report: Report) -> None:
        assert self._nesting is not None
        assert report.progress is not None
        progress = report.progress
        if self.laid is None or self.laid.layout != progress.best or self.laid.costs.bound != report.bound[0]:
            self._found(finish(self._loaded, self._nesting, progress, self._seed, report.bound))
        assert self.laid is not None
        self._points.append((progress.step, self._lost(self.laid)))
        self.side.falling.show_points(self._points[-400:], progress.step, self._least)
        self.side.steps.setText(f"{progress.step} steps of the search")
        if time.monotonic() - self._better_at > _ENOUGH:
            self.search.stop()

    def _found(self, laid: Laid) -> None:
        """Shows a layout that is no worse than the one shown."""
        if self.laid is None or self._better(laid):
            self._better_at = time.monotonic()
            self.laid, self._least = laid, least_lost(laid.nesting, laid.layout)
            self._show()

    def _better(self, laid: Laid) -> bool:
        """Whether a layout is no worse by the order of the aims than the one shown."""
        assert self.laid is not None
        return aims(laid.nesting, laid.layout) <= aims(self.laid.nesting, self.laid.layout)

    def _lost(self, laid: Laid) -> float:
        """Share of the steel taken that is neither blanks nor offcuts kept."""
        return 1 - laid.costs.utilisation - _offcut_share(laid)

    def _show(self) -> None:
        """The layout and its figures."""
        if self.laid is None:
            return
        laid, job = self.laid, self.laid.loaded.job
        prices = [priced(cost.price, job.currency) for cost in laid.costs.each]
        pinned = spots_of(laid.layout, self._kept)
        plans = self._drawn(laid)
        self.bars.show_plans(plans, prices, self._workspace.unit, pinned)
        self.blanks.show_plans(plans, self._workspace.unit, pinned)
        self.side.show_laid(laid, _offcut_share(laid))
        self._show_state()

    def _drawn(self, laid: Laid) -> list[BarPlan]:
        """Plans of the bars; those of bars that are as they were are kept."""
        names = serials(laid.nesting, laid.layout)
        keys = [(self._revision, i, use, names[i]) for i, use in enumerate(laid.layout.bars)]
        self._plans = {key: self._plans.get(key) or bar_plan(laid, key[1], key[3], parted=False) for key in keys}
        return list(self._plans.values())

    def toggle_pin(self, bar: int, blank: int) -> None:
        """Pins a blank where it is, or lets it go; the rest is searched anew round those that are pinned."""
        if self.laid is not None:
            self._pin(spots_of(self.laid.layout, self._kept) ^ {(bar, blank)})

    def _pin(self, spots: Spots) -> None:
        assert self.laid is not None
        self._kept = kept_at(self.laid.layout, spots)
        self._show()
        self._begin(self._seed)

    def _marks(self) -> tuple[tuple[str, ...], ...]:
        """The serials of the pinned blanks, which they keep."""
        if self.laid is None:
            return ()
        names, spots = serials(self.laid.nesting, self.laid.layout), spots_of(self.laid.layout, self._kept)
        rows = [tuple(names[b][i] for i in range(len(names[b])) if (b, i) in spots) for b in range(len(names))]
        return tuple(row for row in rows if row)

    def _menu(self, bar: int, blank: int, at: QPoint) -> None:
        """What can be done with a blank and with its bar."""
        if self.laid is None or self.search.asking:
            return
        use, pinned = self.laid.layout.bars[bar], spots_of(self.laid.layout, self._kept)
        here = frozenset((bar, i) for i in range(len(use.pieces)))
        menu = QMenu(self)
        menu.setFont(self._workspace.look.font("body"))
        if blank >= 0:
            menu.addAction(
                "Let this blank go" if (bar, blank) in pinned else "Pin this blank", partial(self.toggle_pin, bar, blank)
            )
        menu.addAction("Pin all blanks of this bar", partial(self._pin, pinned | here)).setEnabled(not here <= pinned)
        menu.addAction("Let all blanks go", partial(self._pin, frozenset())).setEnabled(bool(pinned))
        menu.addSeparator()
        for part, stock in sorted(self.laid.nesting.suits):
            if stock == use.stock:
                menu.addAction(f"One more {self.laid.nesting.parts[part].name} on this bar", partial(self.one_more, bar, part))
        menu.addAction("What else fits on this bar?", partial(self.what_fits, bar))
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(at)

    def one_more(self, bar: int, part: int) -> None:
        """Looks for room for one more blank of a part on a bar; pinned blanks stay, the others may be moved."""
        assert self.laid is not None
        laid, pinned = self.laid, spots_of(self.laid.layout, self._kept)
        stay = tuple(piece for i, piece in enumerate(laid.layout.bars[bar].pieces) if (bar, i) in pinned)
        self._asked = ("more", bar, part)
        self.search.ask(one_more, laid.nesting, laid.layout, bar, part, stay, _MORE_STEPS)
        self.side.state.setText("Looking for room")

    def what_fits(self, bar: int) -> None:
        """Looks what else fits round the blanks of a bar and on its offcut."""
        assert self.laid is not None
        self._asked = ("fits", bar, 0)
        self.search.ask(places_on, self.laid.nesting, self.laid.layout.bars[bar], bar + 1)
        self.side.state.setText("Looking for room")

    def _answered(self, found: object) -> None:
        """What came of looking for room."""
        what, bar, part = self._asked
        self._show_state()
        QTimer.singleShot(0, self, lambda: self.side.area.ensureWidgetVisible(self.side.words))
        if what == "fits":
            assert self.laid is not None
            assert isinstance(found, tuple)
            self.side.state.setText("What else fits")
            self.side.words.setText("\n".join(fits_words(self.laid.nesting, found, self._workspace.unit)))
        elif found is None:
            self.side.words.setText("No room was found for it on this bar. Let pinned blanks go, or try a shorter blank.")
        else:
            assert isinstance(found, Layout)
            self._take_more(found, bar, part)

    def _take_more(self, layout: Layout, bar: int, part: int) -> None:
        """The order grows by the blank that found room; the search goes on from the fuller layout."""
        assert self.laid is not None
        names = serials(self.laid.nesting, self.laid.layout)
        had = {(b, self.laid.layout.bars[b].pieces[i]): names[b][i] for b, i in spots_of(self.laid.layout, self._kept)}
        spots = frozenset((b, i) for b, use in enumerate(layout.bars) for i, piece in enumerate(use.pieces) if (b, piece) in had)
        rows = [tuple(had[b, piece] for piece in use.pieces if (b, piece) in had) for b, use in enumerate(layout.bars)]
        wish = self._loaded.job.make[part]
        self._taking = True
        grown = self._workspace.make_more(wish.template, wish.steel)
        self._taking = False
        if not grown:
            return
        self._loaded, nesting, _ = start_what_can(self._workspace.loaded)
        assert nesting is not None
        self._revision, self._kept = self._workspace.revision, kept_at(layout, spots)
        self._nesting = replace(nesting, kept=self._kept, marks=tuple(row for row in rows if row))
        self.laid = finish(self._loaded, self._nesting, Progress(0, layout), self._seed)
        self._show()
        self._begin(self._seed)

    def keep(self) -> None:
        """Keeps the layout shown, to come back to."""
        if self.laid is not None:
            pinned = spots_of(self.laid.layout, self._kept)
            self._workspace.keep_layout(self.laid, pinned, self._lost(self.laid))

    def show_kept(self, id: str) -> None:  # noqa: A002
        """Shows a kept layout in place of what the search has, if nothing of it has changed."""
        self.search.stop()
        document = self._workspace.session.document
        self._loaded, nesting, _ = start_what_can(self._workspace.loaded)
        if nesting is None:
            return
        record = document.get(id, LayoutRecord)
        layout, pinned, marks, why = opened(document, nesting, record)
        if layout is None:
            self.side.words.setText(f"{record.name} cannot be shown any more: {'; '.join(why)}.")
            return
        self._revision, self._kept = self._workspace.revision, kept_at(layout, pinned)
        self._nesting = replace(nesting, kept=self._kept, marks=marks)
        self.laid = finish(self._loaded, self._nesting, Progress(0, layout), self._seed)
        self._least = least_lost(self.laid.nesting, layout)
        self._show()

    def drop(self, id: str) -> None:  # noqa: A002
        """Takes a kept layout out."""
        if id:
            self._workspace.do(drop_layout(self._workspace.session.document, id))

    def _show_state(self) -> None:
        running = self.search.running
        self.side.state.setText("Searching" if running else "Best found" if self.laid else "Nothing laid out")
        self.side.stop_button.setVisible(running)
        self.side.again_button.setVisible(not running)
        ready = self.laid is not None
        self.side.print_button.setEnabled(ready)
        self.side.cut_button.setEnabled(ready)
        self.side.keep_button.setEnabled(ready)
        self.side.words.setText(self._in_words() if ready else "")

    def _in_words(self) -> str:
        """The bound, and what found no room, as a maker would say it."""
        assert self.laid is not None
        words = f"{bound_words(self.laid)} On these bars the loss cannot fall below {self._least:.0%}: "
        words += "the gaps between the blanks alone are that much."
        if self.laid.layout.left_over:
            names = ", ".join(f"{n} {self.laid.nesting.parts[p].name}" for p, n in self.laid.layout.left_over)
            words = f"The bars listed ran out: {names} not placed. {words}"
        return words

    def _failed(self, why: str) -> None:
        self._show_state()
        self.side.state.setText("Stopped")
        self.side.stop_button.setVisible(False)
        self.side.words.setText(why)


def _offcut_share(laid: Laid) -> float:
    """Offcuts long enough to keep, as a share of the steel taken."""
    keep = laid.loaded.job.settings.keep_offcut
    stock = laid.nesting.stock
    whole = sum(stock[use.stock].length * stock[use.stock].width for use in laid.layout.bars)
    kept = sum(
        c.offcut * stock[u.stock].width for u, c in zip(laid.layout.bars, laid.costs.each, strict=True) if c.offcut >= keep
    )
    return kept / whole if whole else 0.0
