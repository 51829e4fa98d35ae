"""Lay out: bars filling while the worker searches; the cost and its lower bound; sheets and cutting file."""

import time

from PySide6.QtCore import QPoint, QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QScrollArea, QVBoxLayout

from workbook.app.canvas.bars import BarsView
from workbook.app.changed import Changed
from workbook.app.elements.basics import Lettered, label, row, surface, tool
from workbook.app.pages.layout.blanks import Blanks
from workbook.app.pages.layout.by_hand import ByHand
from workbook.app.pages.layout.hand import hand_buttons, make_room, show_menu
from workbook.app.pages.layout.shown import LayoutShowing, ShownLayout, lost, offcut_share, rearranged
from workbook.app.pages.layout.side import Side
from workbook.app.pages.page import Page
from workbook.app.search import Search
from workbook.app.workspace import Workspace
from workbook.document.action import Action
from workbook.document.actions.layouts import drop_layout
from workbook.document.records import LayoutRecord
from workbook.model.laying import Laid, finish
from workbook.model.results import SEARCH_WORDS
from workbook.nesting.arranging import Arranged, Spot
from workbook.nesting.model import BarUse, By, Layout
from workbook.problems import Severity
from workbook.sheets.bar import BarPlan
from workbook.shop.money import priced
from workbook.shop.serials import serials
from workbook.shop.wording import sentence
from workbook.tasks.keeping import Spots, fits_words, one_more, places_on
from workbook.tasks.sheets import bar_plan
from workbook.tasks.worker import Report
from workbook.texts import _, labelled

_ENOUGH = 15.0  # s without a better layout before the search stops; it can go on with another seed
_MORE_STEPS = 200  # of the search for room for one more blank
_BREATH = 1  # ms after a blank is released: at 0 it would be painted in the same turn
_NOTHING_CHOSEN = _("Drag a blank. R turns, F flips, the space bar pins. Ordinates from end A.")


class LayOutPage(Page):
    """Shows one layout of the job."""

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
        self._asked = ("", 0, 0)  # the search for room under way: its kind, the bar, the part
        look = workspace.look
        self.bars = BarsView(look)
        self.hand = ByHand(workspace, self.bars)
        self.side = Side(workspace)
        self.blanks = Blanks(look)
        self.first = self.bars  # where the keyboard starts on this page
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
        self.bars.pointed.connect(lambda at: scroll.ensureVisible(at.x(), at.y(), 0, look.px(48)))
        middle = QVBoxLayout()
        middle.setContentsMargins(0, 0, 0, 0)
        middle.setSpacing(0)
        self.standing = Lettered(look, _NOTHING_CHOSEN, 9, tone="soft")
        self.table_button = tool(look, "table-button", _("Table"), switch=False)
        self.hand_buttons = hand_buttons(look, self.hand.do, self.pin_chosen)
        strip = row(label(look, _("Bars"), "strong"), self.table_button, *self.hand_buttons.values(), self.standing)
        middle.addWidget(surface("strip", strip, look.px(40)))
        middle.addWidget(scroll, 1)
        middle.addWidget(self.blanks)
        self.blanks.setVisible(False)
        columns = QHBoxLayout(self)
        columns.setContentsMargins(0, 0, 0, 0)
        columns.setSpacing(0)
        columns.addLayout(middle, 1)
        columns.addWidget(self.side)

    def make_room(self, width: int, height: int) -> None:
        """Set the width of the side panel."""
        look = self._workspace.look
        self.side.setFixedWidth(look.px(316 if width / look.text >= 1100 else 300))
        make_room(self.hand_buttons, narrow=width / look.text < 1300)

    @property
    def laid(self) -> Laid | None:
        """The layout shown."""
        return self.shown.laid

    def entered(self) -> None:
        """Lay out when the page is shown, unless its layout is up to date."""
        if not self.shown.of_today:
            self._at_hand_or_new()

    def _at_hand_or_new(self) -> None:
        """Show the layout arranged by hand if it still holds, else start a new search."""
        if self.shown.at_hand():
            self._show()
        else:
            self._begin(seed=0)

    def showing(self) -> LayoutShowing | None:
        """The layout with its pins, what was left out and why, and whether the table is open."""
        left_out = tuple(self.side.left_out.text().splitlines())
        return LayoutShowing(self.shown.standing(), left_out, self.table_button.isChecked()) if self.laid else None

    def show_again(self, showing: object) -> None:
        """Show what the page in another look did; the search may go on from there."""
        assert isinstance(showing, LayoutShowing)
        self.shown.go_on_from(showing.layout)
        self.side.show_left_out(showing.left_out)
        self.table_button.setChecked(showing.table)
        self._show()

    def end(self) -> None:
        """End the search."""
        self.search.close()

    def _changed(self, change: Changed) -> None:
        if change.shapes:
            self._out_of_date()
        if change.unit:
            self._show()
        if change.history and not self._taking:
            self._follow_history()

    def _out_of_date(self) -> None:
        """Drop the layout after a change of the job, so that it is not printed or cut."""
        if self._taking or self.shown.busy:
            return
        self.search.stop()
        self._clear()
        self.shown.revision = -1  # matches none: laid out again when the page is shown
        if self.isVisible():
            self._at_hand_or_new()

    def _clear(self) -> None:
        """Show an empty layout."""
        self.shown.clear()
        self.bars.show_plans((), (), self._workspace.unit)
        self.hand.show_layout(None, ())
        self._show_state()

    def search_on(self) -> None:
        """Search from another start, around the pinned blanks."""
        self._begin(seed=self.shown.seed + 1)

    def _begin(self, seed: int) -> None:
        """Start a search; say at once which blanks cannot be made."""
        if not self.shown.of_today:
            self._clear()
        self._points, self._better_at, self._by = [], time.monotonic(), "compiled"
        mistakes = self.shown.begin(seed)
        warnings = [p for p in self._workspace.model.of_bars if p.severity is not Severity.STOP]  # those are left out
        problems = (labelled(p.template, sentence(p, self._workspace.unit)) for p in warnings)
        self.side.show_left_out([*(_("Left out: {mistake}", mistake=mistake) for mistake in mistakes), *problems])
        if self.shown.nesting is None:
            self._nothing(any_mistake=bool(mistakes))
            return
        self.search.begin(self.shown.nesting, seed)
        self._show_state()

    def _nothing(self, *, any_mistake: bool) -> None:
        """Show that nothing can be laid out and what to do about it."""
        self.search.stop()
        self._clear()
        self.blanks.show_plans((), self._workspace.unit, frozenset())
        self.side.clear()
        if not self._workspace.model.job.make:
            self._failed(_("Nothing to lay out. Enter quantities under To make, or tick an order."))
        elif any_mistake:
            self._failed(_("See above what is missing."))
        else:
            self._failed(_("Nothing can be laid out. Add a bar on the Stock page."))

    def _reported(self, report: Report) -> None:
        assert self.shown.nesting is not None and report.progress is not None
        progress = report.progress
        self._searched_by(progress.by)
        if self.laid is None or self.laid.layout != progress.best or self.laid.costs.bound != report.bound[0]:
            self._found(finish(self.shown.model, self.shown.nesting, progress, self.shown.seed, report.bound))
        assert self.laid is not None
        self._points.append((progress.step, lost(self.laid)))
        self.side.falling.show_points(self._points[-400:], progress.step, self.shown.least)
        self.side.show_steps(progress.step, time.monotonic() - self._better_at)
        if time.monotonic() - self._better_at > _ENOUGH and self._by != "waiting":
            self.search.stop()

    def _searched_by(self, by: By) -> None:
        """Note which search works now; say so when the compiled one becomes available."""
        if self._by == "waiting" and by == "compiled":
            self._better_at = time.monotonic()
            self._workspace.said.emit(SEARCH_WORDS["compiled"])
        self._by = by

    def _found(self, laid: Laid) -> None:
        """Show a layout that is no worse than the one shown."""
        if self.shown.better(laid):
            self._better_at = time.monotonic()
            self.shown.take(laid)
            self._show()

    def _show(self) -> None:
        """Show the layout and its figures."""
        laid, current = self.laid, self.shown
        if laid is None:
            return
        prices = [priced(cost.price, laid.model.job.money) for cost in laid.costs.each]
        plans, pinned, chosen = self._drawn(laid), current.pinned, self.bars.chosen
        self.bars.show_plans(plans, prices, self._workspace.unit, pinned, current.bad)
        self.blanks.show_plans(plans, self._workspace.unit, pinned)
        self.bars.chosen = chosen if chosen in self.blanks.spots else None
        self.hand.show_layout(laid, current.names)
        self.side.show_laid(laid, offcut_share(laid))
        self._show_state()

    def _drawn(self, laid: Laid) -> list[BarPlan]:
        """The plans of the bars; those of unchanged bars are cached."""
        names = serials(laid.nesting, laid.layout)
        keys = [(self.shown.revision, i, use, names[i]) for i, use in enumerate(laid.layout.bars)]
        self.plans = {key: self.plans.get(key) or bar_plan(laid, key[1], key[3], parted=False) for key in keys}
        return list(self.plans.values())

    def toggle_pin(self, bar: int, blank: int) -> None:
        """Pin a blank where it is, or unpin it; search again around the pinned blanks."""
        if self.laid is not None:
            self.pin(self.shown.pinned ^ {(bar, blank)})

    def pin_chosen(self) -> None:
        """Pin or unpin the chosen blank."""
        if self.bars.chosen is not None:
            self.toggle_pin(*self.bars.chosen)

    def pin(self, spots: Spots) -> None:
        """Pin just these blanks, but none if one of them is in the way."""
        assert self.laid is not None
        before, names = self.shown.pinned, self.shown.names
        if bad := sorted(names[b][i] for b, i in spots & self.shown.bad):
            self._workspace.said.emit(_("{names} would be in the way. Move it clear before you pin it.", names=", ".join(bad)))
            return
        verb = "blanks.pinned" if len(spots) > len(before) else "blanks.let_go"
        if self.shown.put(self.laid, spots, Action(verb, {"blanks": [names[b][i] for b, i in sorted(spots ^ before)]})):
            self._show()
            self._begin(self.shown.seed)

    def _moved(self, arranged: Arranged, spot: Spot, action: Action) -> None:
        """Show the layout after a change by hand; it stays until the search is started again."""
        assert self.laid is not None
        self.search.stop()
        laid, pinned = rearranged(self.laid, arranged), frozenset(arranged.now[spot] for spot in self.shown.pinned)
        if self.shown.put(laid, pinned, action):
            self.bars.setUpdatesEnabled(False)  # keeping the step takes long with a thousand blanks; paint afterwards
            QTimer.singleShot(_BREATH, self.bars, lambda: self.bars.setUpdatesEnabled(True))
            self._show()
            self.bars.choose(*arranged.now[spot])

    def _stands(self, words: str, clear: bool) -> None:
        """Show the clearances of the chosen blank."""
        self.standing.say(words or _NOTHING_CHOSEN, "soft" if clear else "stop")
        for command, button in self.hand_buttons.items():
            button.setEnabled(bool(words) and not (clear and command == "clear"))

    def _follow_history(self) -> None:
        """Show the layout that belonged to the present step, after undo or redo of a step by hand."""
        outcome = self.shown.followed()
        if outcome:
            self.search.stop()
            self._show()
        elif outcome is None:
            self._out_of_date()

    def mark_cut(self) -> None:
        """Book the layout as cut."""
        self.search.stop()
        if self.shown.mark_cut():
            self.bars.setFocus()  # not on the next field, which the button's keyboard would go to

    def _menu(self, bar: int, blank: int, at: QPoint) -> None:
        """Open the menu of a blank and its bar."""
        if self.laid is not None and not self.search.asking:
            if blank >= 0:
                self.bars.choose(bar, blank)
            show_menu(self, self, bar, blank, at)

    def one_more(self, bar: int, part: int) -> None:
        """Search for room for one more blank of a part on a bar; pinned blanks stay, the others may move."""
        assert self.laid is not None
        laid, pinned = self.laid, self.shown.pinned
        fixed = tuple(piece for i, piece in enumerate(laid.layout.bars[bar].pieces) if (bar, i) in pinned)
        self._asked = ("more", bar, part)
        self.search.ask(one_more, laid.nesting, laid.layout, bar, part, fixed, _MORE_STEPS)
        self.side.state.setText(_("Looking for room"))

    def what_fits(self, bar: int) -> None:
        """Search what else fits around the blanks of a bar and on its offcut."""
        assert self.laid is not None
        self._asked = ("fits", bar, 0)
        self.search.ask(places_on, self.laid.nesting, self.laid.layout.bars[bar], bar + 1)
        self.side.state.setText(_("Looking for room"))

    def _answered(self, answer: object) -> None:
        """Show the result of the search for room."""
        request, bar, part = self._asked
        self._show_state()
        QTimer.singleShot(0, self, lambda: self.side.area.ensureWidgetVisible(self.side.words))
        if request == "fits":
            assert self.laid is not None
            assert isinstance(answer, tuple)
            self.side.state.setText(_("What else fits"))
            self.side.words.setText("\n".join(fits_words(self.laid.nesting, answer, self._workspace.unit)))
        elif answer is None:
            self.side.words.setText(_("No room was found for it on this bar. Unpin blanks, or try a shorter blank."))
        else:
            assert isinstance(answer, Layout)
            self._take_more(answer, bar, part)

    def _take_more(self, layout: Layout, bar: int, part: int) -> None:
        """Add the blank that found room to what is to be made; go on searching from the fuller layout."""
        wish = self.shown.model.job.make[part]
        self._taking = True
        grown = self._workspace.layouts.make_more(wish.template, wish.steel) and self.shown.grown(layout)
        self._taking = False
        if grown:
            self._show()
            self._begin(self.shown.seed)

    def keep(self) -> None:
        """Keep the layout shown."""
        if self.laid is not None:
            self._workspace.layouts.keep(self.laid, self.shown.pinned, lost(self.laid))

    def show_kept(self, id: str) -> None:  # noqa: A002
        """Show a kept layout, if none of its templates and bars has changed."""
        self.search.stop()
        record = self._workspace.session.document.get(id, LayoutRecord)
        if problems := self.shown.open(record):
            self.side.words.setText(_("{name} cannot be shown any more: {names}.", name=record.name, names="; ".join(problems)))
        else:
            self._show()

    def drop(self, id: str) -> None:  # noqa: A002
        """Remove a kept layout."""
        if id:
            self._workspace.do(drop_layout(self._workspace.session.document, id))

    def _show_state(self) -> None:
        self.side.show_state(self.laid, self.shown.least, self._by, running=self.search.running, bad=bool(self.shown.bad))

    def _failed(self, problem: str) -> None:
        self._show_state()
        self.side.state.setText(_("Stopped"))
        self.side.stop_button.setVisible(False)
        self.side.words.setText(problem)
