"""Bar sheets: each bar to scribe from its numbers, then all of them at true size in strips; on as few pages as it takes."""

from collections.abc import Iterable, Iterator, Sequence
from math import ceil, inf

from workbook.geometry.drawing import Drawing, Mark, Text, stroke
from workbook.geometry.lettering import width
from workbook.sheets.bar import BarPlan, Blank
from workbook.sheets.bar_picture import BIG, picture_rows
from workbook.sheets.bar_strips import add_strips, size_for
from workbook.sheets.bar_words import Fact, facts, name_of, notes, rules, saw_order, under
from workbook.sheets.cautions import LAYOUT_AND_SAW
from workbook.sheets.flow import Flow, PageBlock, room_on
from workbook.sheets.furniture import SMALL, fitting, page_foot, title_block
from workbook.sheets.paper import PrintRun, SheetPage
from workbook.sheets.table import pairs, paragraph, table
from workbook.template.words import FACE_WORDS
from workbook.texts import _

BAR_PARTS = ("scribing", "true")  # of the sheets: to scribe from numbers, and at true size
_HEADING, _LINE = 11.5, 4.4  # mm, and what another line in it takes
_TIGHT = 1.2  # leading of rows of numbers
_GAP = 4.0  # mm between their columns
_LEFT = 88.0  # mm, the column of numbers
_TABLE_ROWS = 12  # of blanks in one block
_CUTS_BESIDE, _CUTS = 16, 20  # cuts told beside the numbers, and in each block after them


def all_pages(run: PrintRun, plans: Iterable[BarPlan], parts: Sequence[str] = BAR_PARTS) -> Iterator[SheetPage]:
    """The sheets of all bars: what to scribe, bar by bar, and after it the bars at true size. Plans may still be arriving."""
    plans = list(plans) if run.paper.height == inf else plans
    size = size_for(run, plans if isinstance(plans, list) else ())
    room = room_on(run, size)
    flow, bars, scribed = Flow(room), list[BarPlan](), list[_Scribed]()
    for plan in plans:
        bars.append(plan)
        scribed += [_Scribed(run, plan, room.narrow)] if "scribing" in parts else []
    if scribed:
        common = [fact for fact in rules(run, bars[0]) if all(fact in rules(run, plan) for plan in bars)]
        flow.add(_for_all(run, bars, common, room.narrow))
        for entry in scribed:
            for n, block in enumerate(entry.blocks(common)):
                flow.add(block, running=_("{name}, continued", name=name_of(entry.plan)) if n else "")
    if "true" in parts:
        add_strips(run, bars, flow, room)
    words = _("Print at 100%, then measure both check bars")
    head = title_block(run, size, _("Bar sheets"), ", ".join(filter(None, (run.job, run.date))), words, _datum())
    pages = flow.pages()
    for n, marks in enumerate(pages, 1):
        foot = page_foot(run, size, _("bar sheets, {job}", job=run.job), n, len(pages), checked=True)
        yield SheetPage(*size, (*head, *marks, *foot))


def _datum() -> str:
    return _("File end A square first. Every number is measured from it and from the lower edge")


def _for_all(run: PrintRun, plans: Sequence[BarPlan], common: Sequence[Fact], span: float) -> PageBlock:
    """What holds for all bars, once: gaps, how to read the sheets, cautions."""
    marks, low = pairs(0.0, 0.0, _LEFT, common, run.measure, size=SMALL, value_size=12)
    x, y = _LEFT + 8.0, 0.0
    for words in (*notes(plans), LAYOUT_AND_SAW):
        more, y = paragraph(x, y, span - x, words, run.measure, size=SMALL)
        marks = (*marks, *more)
        y -= 1.0
    return PageBlock(span, -min(low, y) + 2.0, marks)


class _Scribed:
    """The scribing sheet of a bar: heading and picture, its blanks' numbers, the order of its cuts, its hole centres."""

    def __init__(self, run: PrintRun, plan: BarPlan, span: float) -> None:
        """What takes long is drawn here, while other bars are still being planned."""
        self.plan, self._run, self._span = plan, run, span
        self._rows, self._blanks, self._holes = (
            picture_rows(run, plan, span),
            list(_blank_rows(run, plan)),
            list(_hole_rows(run, plan, span)),
        )

    def blocks(self, common: Sequence[Fact]) -> Iterator[PageBlock]:
        """Its blocks, in order; `common`: what is said for all bars and not here."""
        first, *rows = self._rows
        heading, high = _heading(self._run, self.plan, self._span)
        yield PageBlock(self._span, first.height + high, heading, ((first, 0.0, -high),))
        yield from (*rows, *self._blanks)
        yield from _facts(self._run, self.plan, common, self._span)
        yield from self._holes


def _heading(run: PrintRun, plan: BarPlan, span: float) -> tuple[Drawing, float]:
    """The bar's name over a line, and that its picture is not true; the height it takes."""
    scale, signed = _("Not true size. Scribe by the numbers"), _("Scribed by ______________   date ______________")
    room = span - width(scale, SMALL, False, run.measure) - 4.0
    name, sizes = name_of(plan), under(plan, run.unit)
    letters = fitting(run, name, 14, True, room)
    wide = width(name, letters, True, run.measure) + 5.0
    beside = wide + width(plan.name, 10, False, run.measure) <= room
    lines = [sizes] if beside else [plan.name, sizes]
    if width(lines[-1], SMALL, False, run.measure) + width(signed, SMALL, False, run.measure) + 4.0 > span:
        lines.append("")  # to be signed under it
    marks: list[Mark] = [
        stroke(((0.0, 0.0), (span, 0.0)), "extension"),
        Text((0.0, -5.6), name, letters, bold=True),
        *([Text((wide, -5.6), plan.name, 10)] if beside else []),
        Text((span, -5.6), scale, SMALL, "end"),
        *(
            Text((0.0, -10.2 - n * _LINE), words, fitting(run, words, SMALL, False, span))
            for n, words in enumerate(lines)
            if words
        ),
        Text((span, -10.2 - (len(lines) - 1) * _LINE), signed, SMALL, "end"),
    ]
    return tuple(marks), _HEADING + (len(lines) - 1) * _LINE


def _blank_rows(run: PrintRun, plan: BarPlan) -> Iterator[PageBlock]:
    """The table of blanks in blocks of a dozen rows, so that it can break over pages."""
    heads = (_("Stamp"), _("Spine"), _("Face up"), _("Butt at"), _("Tip at"), _("Punch 1: X"), "Y", _("Punch 2: X"), "Y")
    rows = [_blank_row(run, plan, blank) for blank in plan.blanks]
    sizes = (BIG, 11.0, 11.0, *[BIG] * 6)
    for i in range(0, len(rows), _TABLE_ROWS):
        marks, wide, low = table(
            0.0, 0.0, heads, rows[i : i + _TABLE_ROWS], run.measure, size=sizes, head_size=SMALL, gap=_GAP, leading=_TIGHT
        )
        yield PageBlock(wide, -low, marks)


def _spine_words(blank: Blank, *, on_edge: bool) -> str:
    if blank.spine_up:
        return _("up, edge") if on_edge else _("up")
    return _("down, edge") if on_edge else _("down")


def _blank_row(run: PrintRun, plan: BarPlan, blank: Blank) -> tuple[str, ...]:
    punches = [run.length(v, fine=True) for p in blank.punches() for v in p]
    butt, point = blank.butt_and_point
    return (
        blank.serial,
        _spine_words(blank, on_edge=plan.on_edge(blank)),
        FACE_WORDS[blank.face_up],
        run.length(butt),
        run.length(point),
        *punches,
    )


def _facts(run: PrintRun, plan: BarPlan, common: Sequence[Fact], span: float) -> Iterator[PageBlock]:
    """Length used, offcut, what is lost; beside them the cuts in order, which may go on under them."""
    rows = [*(fact for fact in rules(run, plan) if fact not in common), *facts(run, plan)]
    marks, low = pairs(0.0, 0.0, _LEFT, rows, run.measure, size=SMALL, value_size=12)
    order = saw_order(run, plan)
    x, y = _LEFT + 8.0, 0.0
    for words in order[:_CUTS_BESIDE]:
        more, y = paragraph(x, y, span - x, words, run.measure, size=10, leading=_TIGHT)
        marks = (*marks, *more)
    yield PageBlock(span, -min(low, y), marks)
    for begin in range(_CUTS_BESIDE, len(order), _CUTS):
        marks, y = (), 0.0
        for words in order[begin : begin + _CUTS]:
            more, y = paragraph(0.0, y, span, words, run.measure, size=10, leading=_TIGHT)
            marks = (*marks, *more)
        yield PageBlock(span, -y, marks)


def _hole_rows(run: PrintRun, plan: BarPlan, span: float) -> Iterator[PageBlock]:
    """Hole centres on the bar, for drilling before sawing; two tables side by side."""
    rows = [
        (blank.serial, hole.mark, run.length(x, fine=True), run.length(y, fine=True), hole.drill.named(run.unit))
        for blank in plan.blanks
        for hole in blank.shape.holes
        for x, y in [blank.placement.point(hole.centre)]
    ]
    heads = (_("Blank"), _("Hole"), "X", "Y", _("Tang drill"))
    sizes = (11.0, 11.0, BIG, BIG, 11.0)
    step = min(20, ceil(len(rows) / 2))
    for i in range(0, len(rows), 2 * step or 1):
        parts: list[Mark] = [Text((0.0, -4.0), _("Hole centers on the bar, for drilling before sawing"), 11, bold=True)]
        low = 0.0
        for x, begin in ((0.0, i), (span / 2 + 3.0, i + step)):
            if rows[begin : begin + step]:
                some = rows[begin : begin + step]
                marks, _wide, under_it = table(
                    x, -6.0, heads, some, run.measure, size=sizes, head_size=SMALL, gap=_GAP, leading=_TIGHT
                )
                parts += marks
                low = min(low, under_it)
        yield PageBlock(span, -low, tuple(parts))
