"""Lay out: bars filling while the worker searches; what it costs and what no layout can beat; sheets and cutting file."""

import time
from typing import NamedTuple

from PySide6.QtCore import QPoint, QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QScrollArea, QVBoxLayout

from workbook.app.canvas.bars import BarsView
from workbook.app.changed import Changed
from workbook.app.elements.basics import Lettered, label, row, surface, tool
from workbook.app.pages.layout.blanks import Blanks
from workbook.app.pages.layout.by_hand import ByHand
from workbook.app.pages.layout.hand import hand_buttons, make_room, show_menu
from workbook.app.pages.layout.shown import ShownLayout, ShownState, lost, moved_laid, offcut_share
from workbook.app.pages.layout.side import Side
from workbook.app.pages.page import Page
from workbook.app.search import Search
from workbook.app.workspace import Workspace
from workbook.document.action import Action
from workbook.document.actions.layouts import drop_layout
from workbook.document.records import LayoutRecord
from workbook.model.laying import Laid, finish
from workbook.model.results import SEARCH_WORDS
from workbook.nesting.model import BarUse, By, Layout
from workbook.problems import Severity
from workbook.sheets.bar import BarPlan
from workbook.shop.money import priced
from workbook.shop.serials import serials
from workbook.shop.wording import sentence
from workbook.tasks.keeping import Spots, fits_words, one_more, places_on
from workbook.tasks.sheets import bar_plan
from workbook.tasks.worker import Report
from workbook.texts import _

_ENOUGH = 15.0  # s without anything better: the search stops by itself; it can be asked to go on with another seed
_MORE_STEPS = 200  # of the search for room for one more blank
_BREATH = 1  # ms after a blank is let go: at 0 it would be painted in the same turn
_NOTHING_CHOSEN = _("Drag a blank. R turns it, F flips it, the space bar pins it. Ordinates from end A.")


class LayoutShowing(NamedTuple):
    """What the page shows, for one in another look to go on with."""

    layout: ShownState
    left_out: tuple[str, ...]
    table: bool


class LayOutPage(Page):
    """One layout of the job."""

    print_wanted = Signal()
    cut_file_wanted = Signal()

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self.setObjectName("layout-page")
        self._workspace, self.search, self.shown = workspace, Search(), ShownLayout(workspace)
        self._points: list[tuple[int, float]] = []
        self._better_at = 0.0
        self._by: By = "compiled"
        self.plans: dict[tuple[int, int, BarUse, tuple[str, ...]], BarPlan] = {}  # of the bars shown
        self._taking = False  # the change is this page's own
        self._asked = ("", 0, 0)  # what room is looked for: what, on which bar, for which part
        look = workspace.look
        self.bars = BarsView(look)
        self.hand = ByHand(workspace, self.bars)
        self.side = Side(workspace)
        self.blanks = Blanks(look)
        self.first = self.bars  # where the keyboard begins on this page
        self._build()
        self._connect()
        workspace.changed.connect(self._changed)

    def _connect(self) -> None:
        self.bars.pin_wanted.connect(self.toggle_pin)
        self.bars.menu_wanted.connect(self._menu)
        self.search.answered.connect(self._answered)
        side = self.side
        side.stop_button.clicked.connect(self.search.stop)
        side.again_button.clicked.connect(self.search_on)
        side.print_button.clicked.connect(self.print_wanted)
        side.cut_button.clicked.connect(self.cut_file_wanted)
        side.order.changed.connect(self._workspace.layouts.make)
        side.mark_button.clicked.connect(self.mark_cut)
        side.choice.order_ticked.connect(self._workspace.orders.lay)
        side.choice.bar_ticked.connect(self._workspace.layouts.set_aside)
        self.hand.moved.connect(self._moved)
        self.hand.taken.connect(self.search.stop)
        self.hand.standing_changed.connect(self._stands)
        side.keep_wanted.connect(self.keep)
        side.kept_wanted.connect(self.show_kept)
        side.drop_wanted.connect(self.drop)
        self.bars.chosen_changed.connect(lambda: self.blanks.choose(*(self.bars.chosen or (-1, -1))))
        self.blanks.chosen.connect(self.bars.choose)
        self.blanks.pin_wanted.connect(self.toggle_pin)
        self.blanks.menu_wanted.connect(self._menu)
        self.table_button.toggled.connect(self.blanks.setVisible)
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
        self._standing = Lettered(look, _NOTHING_CHOSEN, 9, tone="soft")
        self.table_button = tool(look, "table-button", _("Table"), switch=False)
        self.hand_buttons = hand_buttons(look, self.hand.do, self.pin_chosen)
        strip = row(label(look, _("Bars"), "strong"), self.table_button, *self.hand_buttons.values(), self._standing)
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
        make_room(self.hand_buttons, narrow=width / look.text < 1300)

    @property
    def laid(self) -> Laid | None:
        """The layout shown."""
        return self.shown.laid

    def entered(self) -> None:
        """The page is shown: lay out unless what is there is of today."""
        if not self.shown.of_today:
            self._at_hand_or_new()

    def _at_hand_or_new(self) -> None:
        """The layout that was worked on by hand where there still is one, else a new search."""
        if self.shown.at_hand():
            self._show()
        else:
            self._begin(seed=0)

    def showing(self) -> LayoutShowing | None:
        """The layout with its pins, why something is not in it, and whether the table is open."""
        left_out = tuple(self.side.left_out.text().splitlines())
        return LayoutShowing(self.shown.standing(), left_out, self.table_button.isChecked()) if self.laid else None

    def show_again(self, showing: object) -> None:
        """Shows what a page in another look showed; the search may be gone on with."""
        assert isinstance(showing, LayoutShowing)
        self.shown.go_on_from(showing.layout)
        self.side.show_left_out(showing.left_out)
        self.table_button.setChecked(showing.table)
        self._show()

    def end(self) -> None:
        """Ends the search."""
        self.search.close()

    def _changed(self, change: Changed) -> None:
        if change.shapes:
            self._out_of_date()
        if change.unit:
            self._show()
        if change.history and not self._taking:
            self._follow_history()

    def _out_of_date(self) -> None:
        """Something changed: what was laid out is no longer of this job, and is not printed or cut."""
        if self._taking or self.shown.busy:
            return
        self.search.stop()
        self._clear()
        self.shown.revision = -1  # of no day: what is shown next is looked for when the page is
        if self.isVisible():
            self._at_hand_or_new()

    def _clear(self) -> None:
        """Nothing is laid out."""
        self.shown.clear()
        self.bars.show_plans((), (), self._workspace.unit)
        self.hand.show_layout(None, ())
        self._show_state()

    def search_on(self) -> None:
        """Searches from another start, round what is pinned."""
        self._begin(seed=self.shown.seed + 1)

    def _begin(self, seed: int) -> None:
        """Begins a search; a blank that cannot be made is said at once."""
        if not self.shown.of_today:
            self._clear()
        self._points, self._better_at, self._by = [], time.monotonic(), "compiled"
        mistakes = self.shown.begin(seed)
        warnings = [p for p in self._workspace.model.of_bars if p.severity is not Severity.STOP]  # those are left out
        said = (f"{p.template}: {sentence(p, self._workspace.unit)}" for p in warnings)
        self.side.show_left_out([*(_("Left out: {mistake}", mistake=mistake) for mistake in mistakes), *said])
        if self.shown.nesting is None:
            self._nothing(any_mistake=bool(mistakes))
            return
        self.search.begin(self.shown.nesting, seed)
        self._show_state()

    def _nothing(self, *, any_mistake: bool) -> None:
        """Nothing can be laid out: it is said what to do."""
        self.search.stop()
        self._clear()
        self.blanks.show_plans((), self._workspace.unit, frozenset())
        self.side.clear()
        if not self._workspace.model.job.make:
            self._failed(_("Nothing is to be made: say how many under To be made, or tick an order."))
        elif any_mistake:
            self._failed(_("See above what is missing."))
        else:
            self._failed(_("Nothing can be laid out: add a bar on the page Stock."))

    def _reported(self, report: Report) -> None:
        assert self.shown.nesting is not None
        assert report.progress is not None
        progress = report.progress
        self._searched_by(progress.by)
        if self.laid is None or self.laid.layout != progress.best or self.laid.costs.bound != report.bound[0]:
            self._found(finish(self.shown.model, self.shown.nesting, progress, self.shown.seed, report.bound))
        assert self.laid is not None
        self._points.append((progress.step, lost(self.laid)))
        self.side.falling.show_points(self._points[-400:], progress.step, self.shown.least)
        self.side.steps.setText(_("{step} steps of the search", step=progress.step))
        if time.monotonic() - self._better_at > _ENOUGH and self._by != "waiting":
            self.search.stop()

    def _searched_by(self, by: By) -> None:
        """Which search works now; it is said when the one that was waited for does."""
        if self._by == "waiting" and by == "compiled":
            self._better_at = time.monotonic()
            self._workspace.said.emit(SEARCH_WORDS["compiled"])
        self._by = by

    def _found(self, laid: Laid) -> None:
        """Shows a layout that is no worse than the one shown."""
        if self.shown.better(laid):
            self._better_at = time.monotonic()
            self.shown.take(laid)
            self._show()

    def _show(self) -> None:
        """The layout and its figures."""
        laid, shown = self.laid, self.shown
        if laid is None:
            return
        prices = [priced(cost.price, laid.model.job.currency) for cost in laid.costs.each]
        plans, pinned, chosen = self._drawn(laid), shown.pinned, self.bars.chosen
        self.bars.show_plans(plans, prices, self._workspace.unit, pinned, shown.bad)
        self.blanks.show_plans(plans, self._workspace.unit, pinned)
        self.bars.chosen = chosen if chosen in self.blanks.spots else None
        self.hand.show_layout(laid, shown.names)
        self.side.show_laid(laid, offcut_share(laid))
        self._show_state()

    def _drawn(self, laid: Laid) -> list[BarPlan]:
        """Plans of the bars; those of bars that are as they were are kept."""
        names = serials(laid.nesting, laid.layout)
        keys = [(self.shown.revision, i, use, names[i]) for i, use in enumerate(laid.layout.bars)]
        self.plans = {key: self.plans.get(key) or bar_plan(laid, key[1], key[3], parted=False) for key in keys}
        return list(self.plans.values())

    def toggle_pin(self, bar: int, blank: int) -> None:
        """Pins a blank where it is, or lets it go; the rest is searched anew round those that are pinned."""
        if self.laid is not None:
            self.pin(self.shown.pinned ^ {(bar, blank)})

    def pin_chosen(self) -> None:
        """Pins the chosen blank or lets it go."""
        if self.bars.chosen is not None:
            self.toggle_pin(*self.bars.chosen)

    def pin(self, spots: Spots) -> None:
        """Pins just these blanks; one that is in the way of another is not."""
        assert self.laid is not None
        before, names = self.shown.pinned, self.shown.names
        if bad := sorted(names[b][i] for b, i in spots & self.shown.bad):
            self._workspace.said.emit(_("{names} would be in the way: move it clear before it is pinned.", names=", ".join(bad)))
            return
        done = "blanks.pinned" if len(spots) > len(before) else "blanks.let_go"
        if self.shown.put(self.laid, spots, Action(done, {"blanks": [names[b][i] for b, i in sorted(spots ^ before)]})):
            self._show()
            self._begin(self.shown.seed)

    def _moved(self, layout: Layout, spots: tuple[tuple[int, int], tuple[int, int]], action: Action) -> None:
        """A blank was put elsewhere by hand: the layout stays so until the search is asked to go on."""
        assert self.laid is not None
        self.search.stop()
        laid, now = moved_laid(self.laid, layout, spots)
        if self.shown.put(laid, frozenset(now(spot) for spot in self.shown.pinned), action):
            self.bars.setUpdatesEnabled(False)  # keeping the step of a thousand blanks takes long; they are painted after
            QTimer.singleShot(_BREATH, self.bars, lambda: self.bars.setUpdatesEnabled(True))
            self._show()
            self.bars.choose(*spots[1])

    def _stands(self, words: str, clear: bool) -> None:
        """How the chosen blank stands."""
        self._standing.say(words or _NOTHING_CHOSEN, "soft" if clear else "stop")
        for what, made in self.hand_buttons.items():
            made.setEnabled(bool(words) and not (clear and what == "clear"))

    def _follow_history(self) -> None:
        """Where a step by hand was undone or done again, what was shown then shows again."""
        followed = self.shown.followed()
        if followed:
            self.search.stop()
            self._show()
        elif followed is None:
            self._out_of_date()

    def mark_cut(self) -> None:
        """The layout was cut: everything that follows is booked."""
        self.search.stop()
        self.shown.mark_cut()

    def _menu(self, bar: int, blank: int, at: QPoint) -> None:
        """What can be done with a blank and with its bar."""
        if self.laid is not None and not self.search.asking:
            if blank >= 0:
                self.bars.choose(bar, blank)
            show_menu(self, self, bar, blank, at)

    def one_more(self, bar: int, part: int) -> None:
        """Looks for room for one more blank of a part on a bar; pinned blanks stay, the others may be moved."""
        assert self.laid is not None
        laid, pinned = self.laid, self.shown.pinned
        stay = tuple(piece for i, piece in enumerate(laid.layout.bars[bar].pieces) if (bar, i) in pinned)
        self._asked = ("more", bar, part)
        self.search.ask(one_more, laid.nesting, laid.layout, bar, part, stay, _MORE_STEPS)
        self.side.state.setText(_("Looking for room"))

    def what_fits(self, bar: int) -> None:
        """Looks what else fits round the blanks of a bar and on its offcut."""
        assert self.laid is not None
        self._asked = ("fits", bar, 0)
        self.search.ask(places_on, self.laid.nesting, self.laid.layout.bars[bar], bar + 1)
        self.side.state.setText(_("Looking for room"))

    def _answered(self, answer: object) -> None:
        """What came of looking for room."""
        what, bar, part = self._asked
        self._show_state()
        QTimer.singleShot(0, self, lambda: self.side.area.ensureWidgetVisible(self.side.words))
        if what == "fits":
            assert self.laid is not None
            assert isinstance(answer, tuple)
            self.side.state.setText(_("What else fits"))
            self.side.words.setText("\n".join(fits_words(self.laid.nesting, answer, self._workspace.unit)))
        elif answer is None:
            self.side.words.setText(_("No room was found for it on this bar. Let pinned blanks go, or try a shorter blank."))
        else:
            assert isinstance(answer, Layout)
            self._take_more(answer, bar, part)

    def _take_more(self, layout: Layout, bar: int, part: int) -> None:
        """The order grows by the blank that found room; the search goes on from the fuller layout."""
        wish = self.shown.model.job.make[part]
        self._taking = True
        grown = self._workspace.layouts.make_more(wish.template, wish.steel) and self.shown.grown(layout)
        self._taking = False
        if grown:
            self._show()
            self._begin(self.shown.seed)

    def keep(self) -> None:
        """Keeps the layout shown, to come back to."""
        if self.laid is not None:
            self._workspace.layouts.keep(self.laid, self.shown.pinned, lost(self.laid))

    def show_kept(self, id: str) -> None:  # noqa: A002
        """Shows a kept layout in place of what the search has, if nothing of it has changed."""
        self.search.stop()
        record = self._workspace.session.document.get(id, LayoutRecord)
        if why := self.shown.open(record):
            self.side.words.setText(_("{name} cannot be shown any more: {names}.", name=record.name, names="; ".join(why)))
        else:
            self._show()

    def drop(self, id: str) -> None:  # noqa: A002
        """Takes a kept layout out."""
        if id:
            self._workspace.do(drop_layout(self._workspace.session.document, id))

    def _show_state(self) -> None:
        self.side.show_state(self.laid, self.shown.least, self._by, running=self.search.running, bad=bool(self.shown.bad))

    def _failed(self, why: str) -> None:
        self._show_state()
        self.side.state.setText(_("Stopped"))
        self.side.stop_button.setVisible(False)
        self.side.words.setText(why)
