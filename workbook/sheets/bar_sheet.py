"""Bar sheets: one bar to scribe from its numbers, and the same bar at true size over several pages."""

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import groupby
from math import ceil

from workbook.geometry.drawing import Clip, Copy, Disc, Drawing, Mark, Pattern, Text, placed, seen, shifted, stroke
from workbook.geometry.path import Placement, Point
from workbook.sheets.bar import BarPlan, Blank, TightTurn, steel_marks
from workbook.sheets.cautions import LAYOUT_AND_SAW
from workbook.sheets.dimensions import row_of_labels
from workbook.sheets.furniture import BESIDE, CHECK_ROOM, FOOT_HEIGHT, TITLE_HEIGHT, check_bars, page_foot, title_block
from workbook.sheets.paper import PrintRun, SheetPage
from workbook.sheets.parting import parted
from workbook.sheets.table import pairs, paragraph, table
from workbook.sheets.tiles import pages_for, tiles
from workbook.sheets.views import View
from workbook.texts import _
from workbook.units import Unit, built, reading, show

BIG = 16.0  # points: read at arm's length
_NO_HOLES = _("Blanks without two holes: punch 1 is the point, punch 2 the end of the butt or tang.")
_ON_EDGE = _("Spine “edge”: it lies on the bar's own edge, true and clean it first; no saw cut there.")
_ROW = 485.0  # most mm of bar on one row of the picture: 36 in makes two rows
_TALLEST = 100.0  # most mm of paper across a bar
_UNDER = 17.5  # mm under a row for its ordinates
_NOTHING_LEFT = 0.05  # mm; a shorter offcut counts as none
_OVER = 9.4  # mm over a row for its cut numbers


def bar_pages(run: PrintRun, plan: BarPlan) -> list[SheetPage]:
    """Build the scribing sheet: the bar in rows, the blanks' numbers and hole centres, on as many pages as it takes."""
    w, h = run.wide
    top, floor = h - run.margin - TITLE_HEIGHT, run.margin + FOOT_HEIGHT
    blocks = [*_picture_rows(run, plan), *_blank_rows(run, plan), *_facts(run, plan), *_hole_rows(run, plan)]
    bodies: list[list[Mark]] = [[]]
    y = top
    for height, marks in blocks:
        if y - height < floor and bodies[-1]:
            bodies.append([])
            y = top
        bodies[-1] += shifted(marks, 0, y)
        y -= height
    pages = []
    for n, body in enumerate(bodies, 1):
        head = _title(run, (w, h), plan, _("Not true size: scribe the numbers"), _datum())
        foot = page_foot(run, (w, h), _("bar sheet, {name}", name=plan.name), n, len(bodies))
        pages.append(SheetPage(w, h, (*head, *body, *foot)))
    return pages


def _title(run: PrintRun, size: tuple[float, float], plan: BarPlan, scale: str, words: str) -> Drawing:
    """The head of a bar's page, with its scale and what to do."""
    name = _("Bar {number}: {steel}", number=plan.number, steel=plan.steel)
    return title_block(run, size, name, _under(run, plan), scale, words)


def _under(run: PrintRun, plan: BarPlan) -> str:
    source = {"rack": _("from the rack"), "offcut": _("an offcut"), "buy": _("to buy")}[plan.source]
    return ", ".join(part for part in (run.job, run.date, source, sizes_words(plan, run.unit)) if part)


def sizes_words(plan: BarPlan, unit: Unit) -> str:
    """A bar's thickness, width and length in words: which are measured, and which only nominal."""
    sides = plan.sides
    if len(set(plan.read)) == 1 and not plan.slant:
        text = " x ".join(reading(v, unit) if measured else built(show(v, unit)) for v, measured, _unused in sides)
        return f"{'measured' if plan.read[0] else 'nominal, measure it:'} {text} {unit}"
    measured = ", ".join(f"{reading(v, unit)} {unit} {side}" for v, is_read, side in sides if is_read)
    nominal = ", ".join(f"{built(show(v, unit))} {unit} {side}" for v, is_read, side in sides if not is_read)
    groups = (("measured", measured), (_("nominal, measure it:"), nominal))
    return "; ".join(f"{which} {sizes}" for which, sizes in groups if sizes)


def _datum() -> str:
    return _("File end A square first: every number is from it and the lower edge")


Block = tuple[float, Drawing]  # height, and marks with their upper edge at y = 0


def _picture_rows(run: PrintRun, plan: BarPlan) -> list[Block]:
    """The bar drawn small, split into rows, each with its ordinates under it and cut numbers over it."""
    length = plan.size[2]
    count = ceil(length / _ROW)
    scale = (run.wide[0] - 2 * run.margin - 4) * count / max(length, _ROW / 2)
    scale = min(scale, _TALLEST / plan.size[1])
    picture = _picture(plan)
    return [_picture_row(run, plan, picture, length * i / count, length * (i + 1) / count, scale) for i in range(count)]


def _picture(plan: BarPlan) -> Drawing:
    """Bar, blanks, punch marks, hatch on the offcut and saw lines, at true size."""
    marks: list[Mark] = [*steel_marks(plan, text_size=BIG, holes=False)]
    for blank in plan.blanks:
        for x, y in blank.punches():
            marks += [stroke(((x - 3, y), (x + 3, y)), "extension"), stroke(((x, y - 3), (x, y + 3)), "extension")]
        marks += [Disc(blank.placement.point(hole.centre), hole.diameter / 2, line="extension") for hole in blank.shape.holes]
    return (*marks, *_parting(plan), *_across(plan), *_hatch(plan))


@lru_cache(maxsize=64)
def _parting(plan: BarPlan) -> Drawing:
    """The lines between blanks, as one pattern that is drawn on many pages."""
    lines = tuple(stroke(line.points, "saw") for line in plan.between)
    return (Copy(Pattern(lines), Placement()),) if lines else ()


def _across(plan: BarPlan) -> Drawing:
    """Straight cuts across the bar, a little longer than it is wide."""
    places = () if plan.service else plan.cuts.across
    return tuple(stroke(((x, -3), (x, plan.size[1] + 3)), "saw") for x in places)


def _hatch(plan: BarPlan) -> Drawing:
    """Slanting lines over the offcut."""
    if plan.offcut < 2:
        return ()
    width, length = plan.size[1], plan.size[2]
    lines = [stroke(((x, 0), (x + width, width)), "extension") for x in range(int(plan.used - width), int(length), 12)]
    return (Clip((plan.used, 0.0, length, width), tuple(lines)),)


def _picture_row(run: PrintRun, plan: BarPlan, picture: Drawing, start: float, end: float, scale: float) -> Block:
    tall = plan.size[1] * scale
    base = -_OVER - tall
    where = Placement(run.margin + 2 - start * scale, base, scale=scale)
    window = (run.margin, base - 2, run.margin + 4 + (end - start) * scale, base + tall + 4)
    marks: list[Mark] = [Clip(window, seen(placed(picture, where), window))]
    labels = [(where.point((x, 0.0)), run.length(x)) for x in _ordinates(plan) if start - 0.01 <= x < end]
    marks += row_of_labels([((x, y - 0.8), text) for (x, y), text in labels], base - 13.0, run.measure, size=BIG, gap=3.0,
                           limits=(run.margin, run.wide[0] - run.margin))  # fmt: skip
    for number, x in enumerate(() if plan.service else plan.cuts.across, 1):
        if start <= x < end:
            marks += _numbered((where.point((x, plan.size[1]))[0], base + tall + 6.0), number)
    for number, line in enumerate(plan.between, 1 + len(plan.cuts.across)):
        if start <= line.middle[0] < end:
            marks += _numbered(where.point(line.middle), number)
    words = "end A" if start == 0 else _("from {length} on, still measured from end A", length=run.length(start, unit=True))
    covered = any(start <= x < start + 90 / scale for x in plan.cuts.across)
    spot, anchor = (where.x + end * scale - 2, "end") if covered else (run.margin + 2, "start")
    marks.append(Text((spot, base + tall + 2.0), words, 8, anchor, tone="soft"))  # type: ignore[arg-type]
    return _OVER + tall + _UNDER, tuple(marks)


def _ordinates(plan: BarPlan) -> list[float]:
    """x of both ends of every blank, each position once."""
    places = sorted(x for blank in plan.blanks for x in blank.span)
    return [next(group) for _, group in groupby(places, key=lambda x: round(x, 1))]


def _numbered(at: Point, number: int) -> Drawing:
    x, y = at
    return (Disc((x, y), 3.9, line="dimension", fill="paper"), Text((x, y - 2.0), str(number), BIG, "middle", True))


def _blank_rows(run: PrintRun, plan: BarPlan) -> list[Block]:
    """The table of blanks in blocks of a dozen rows, so that it can break over pages."""
    heads = (_("Stamp"), _("Spine"), _("Face up"), _("Butt at"), _("Point at"), "Punch 1: X", "Y", "Punch 2: X", "Y")
    rows = [_blank_row(run, plan, blank) for blank in plan.blanks]
    per_page = 12
    return [_as_block(table(run.margin, 0.0, heads, rows[i : i + per_page], run.measure, size=BIG, head_size=8.5, gap=4.5), 3)
            for i in range(0, len(rows), per_page)]  # fmt: skip


def _blank_row(run: PrintRun, plan: BarPlan, blank: Blank) -> tuple[str, ...]:
    punches = [run.length(v, fine=True) for p in blank.punches() for v in p]
    butt, point = blank.butt_and_point
    return (
        blank.serial,
        ("up" if blank.spine_up else "down") + (", edge" if plan.on_edge(blank) else ""),
        blank.face_up,
        run.length(butt),
        run.length(point),
        *punches,
    )


def _as_block(layout: tuple[Drawing, float, float], after: float) -> Block:
    marks, _, low = layout
    return -low + after, marks


def _facts(run: PrintRun, plan: BarPlan) -> list[Block]:
    """Gaps, offcut, saw order, which line to leave, cautions."""
    rows = [
        (_("Gap between blanks: kerf and twice the clean-up"), run.length(plan.separation)),
        (_("Saw outside the line (leave the line) by"), run.length(plan.clean_up)),
        (_("Saw kerf"), run.length(plan.kerf)),
        (_("Outline to the long edges, to the ends"), f"{run.length(plan.edge)}, {run.length(plan.end)}"),
        (_("Used from end A"), run.length(plan.used, unit=True)),
        (_offcut_words(run, plan), run.length(plan.offcut, unit=True)),
    ]
    span = 110.0
    marks, low = pairs(run.margin, 0.0, span, rows, size=10, value_size=12)
    right, x = run.wide[0] - 2 * run.margin - span - 12, run.margin + span + 12
    more, low_right = paragraph(x, 0.0, right, _saw_order(run, plan), run.measure, size=10)
    cautions, low_right = paragraph(x, low_right - 2, right, LAYOUT_AND_SAW, run.measure, size=8)
    notes = [_NO_HOLES] if any(len(blank.shape.holes) < 2 for blank in plan.blanks) else []
    if plan.lead and not plan.service:
        free = run.length(plan.lead, unit=True)
        notes.append(
            _(
                "{free} lie free before the first blank, not booked as an offcut. To keep it, scribe all, then saw it off.",
                free=free,
            )
        )
    notes += [_ON_EDGE] if any(plan.on_edge(blank) for blank in plan.blanks) else []
    for words in notes:
        note, low_right = paragraph(x, low_right - 2, right, words, run.measure, size=8)
        cautions = (*cautions, *note)
    signature = Text((x, low_right - 6), _("Scribed by ______________   date ______________"), 9)
    return [(-min(low, low_right - 8) + 4, (*marks, *more, *cautions, signature))]


def _offcut_words(run: PrintRun, plan: BarPlan) -> str:
    """The label of the piece left at end B: whether it is kept, and which length it is measured against."""
    length = "measured" if plan.read[2] else "nominal"
    if plan.offcut < _NOTHING_LEFT:
        return _("Left at end B")
    if plan.keeps_offcut:
        return _("Offcut for the rack, of the {length} length", length=length)
    return _("Left at end B, less than the {length} you keep", length=run.length(plan.keep, unit=True))


def _saw_order(run: PrintRun, plan: BarPlan) -> str:
    """The cuts across in order, then the cuts along the lines between blanks."""
    if plan.service:
        return _("To be cut by a service: no saw order.")
    count = len(plan.cuts.across)
    words = []
    if plan.keeps_offcut and count:
        words.append(_("Cut 1 frees the offcut."))
    if count > int(plan.keeps_offcut):
        first = 1 + int(plan.keeps_offcut)
        words.append(
            _("Cuts {first} to {count} straight across, in order.", first=first, count=count)
            if first < count
            else _("Cut {count} straight across.", count=count)
        )
    for group in plan.cuts.groups:
        names = [plan.blanks[i].serial for i in group.pieces]
        if len(names) > 1:
            words.append(_("{names} come off together; then along the dashed lines in mid-gap:", names=", ".join(names)))
            lines = {(b.lower, b.upper): n for n, b in enumerate(plan.between, 1 + count) if b.lower in names}
            along = [_along([lines[pair] for pair in pairs], freed) for pairs, freed in parted(names, list(lines))]
            words.append("; ".join(along) + ".")
    words += [_tight(run, plan, turn) for turn in plan.tight]
    return " ".join(words) or _("One piece: saw round it.")


def _along(numbers: Sequence[int], freed: Sequence[Sequence[str]]) -> str:
    """Cuts and the blanks they free, as "2 and 3: T2 comes off" or "4: S1 and S2 part"."""
    cut = _listed([str(number) for number in numbers]) or "then"
    if len(freed) > 1 and all(len(names) == 1 for names in freed):
        return _("{cut}: {listed} part", cut=cut, listed=_listed([names[0] for names in freed]))
    return f"{cut}: " + ", ".join(f"{_listed(names)} {'comes' if len(names) == 1 else 'come'} off" for names in freed)


def _listed(words: Sequence[str]) -> str:
    """Join words as in "a, b and c"."""
    return " and ".join(part for part in (", ".join(words[:-1]), *words[-1:]) if part)


def _tight(run: PrintRun, plan: BarPlan, turn: TightTurn) -> str:
    number = 1 + len(plan.cuts.across) + plan.between.index(turn.line)
    radius = run.length(turn.radius, unit=True)
    return _(
        "{number} turns at a radius of {radius}, tighter than the saw: relief cuts or a drilled hole there first.",
        number=number,
        radius=radius,
    )


def _hole_rows(run: PrintRun, plan: BarPlan) -> list[Block]:
    """Hole centres on the bar, for drilling before sawing; two tables side by side."""
    rows = [
        (blank.serial, hole.mark, run.length(x, fine=True), run.length(y, fine=True), hole.drill.named(run.unit))
        for blank in plan.blanks
        for hole in blank.shape.holes
        for x, y in [blank.placement.point(hole.centre)]
    ]
    heads = (_("Blank"), _("Hole"), "X", "Y", _("Tang drill"))
    blocks: list[Block] = []
    step = min(24, ceil(len(rows) / 2))
    for i in range(0, len(rows), 2 * step or 1):
        title = Text((run.margin, -5), _("Hole centres on the bar, for drilling before sawing"), 11, bold=True)
        left = table(run.margin, -8.0, heads, rows[i : i + step], run.measure, size=11, gap=7)
        parts: list[Mark] = [title, *left[0]]
        if rows[i + step : i + 2 * step]:
            parts += table(run.wide[0] / 2 + 4, -8.0, heads, rows[i + step : i + 2 * step], run.measure, size=11, gap=7)[0]
        blocks.append((-left[2] + 5, tuple(parts)))
    return blocks


def tiled_bar_pages(run: PrintRun, plan: BarPlan) -> list[SheetPage]:
    """Build the whole bar at true size, cut into overlapping pages."""
    w, h = run.wide
    top = h - run.margin - TITLE_HEIGHT
    length, width = plan.size[2], plan.size[1]
    beside = top - (width + 12.0) < run.margin + FOOT_HEIGHT + CHECK_ROOM[1]
    window = (w - 2 * run.margin - (BESIDE if beside else 0.0), top - run.margin - FOOT_HEIGHT - 14.0)
    extent = min(length, plan.used + 10.0)  # pages of nothing but offcut help nobody
    if pages_for(length + 8.0, window[0]) == pages_for(extent + 8.0, window[0]):
        extent = length
    view = View(marks=_true_marks(run, plan), x0=-4.0, y0=-9.0, x1=extent + 4.0, y1=width + 3.0)
    pieces = tiles(view, (run.margin, top), window, 1, run.measure)
    pages = []
    for n, tile in enumerate(pieces, 1):
        words = _(
            "Part {n} of {count}. Print at 100 %, measure both check bars, lay joining lines over each other",
            n=n,
            count=len(pieces),
        )
        head = _title(run, (w, h), plan, _("True size"), words)
        last = max(x for blank in plan.blanks for x in blank.span)
        closing = _(
            "Closing check when joined: end A to the end of the last blank is {length}",
            length=run.length(last, fine=True, unit=True),
        )
        low = top - min(view.y1 - view.y0, window[1]) - 10
        marks = (
            *head,
            *tile.marks,
            Text((run.margin, low), closing, 9, bold=True),
            *check_bars((w - run.margin - 3.5, run.margin + FOOT_HEIGHT + 3.0)),
            *page_foot(run, (w, h), _("tiled bar, {name}", name=plan.name), n, len(pieces)),
        )
        pages.append(SheetPage(w, h, marks))
    return pages


def _true_marks(run: PrintRun, plan: BarPlan) -> Drawing:
    """Blanks, their ordinates and the cuts, at true size."""
    ends = [((x, -0.8), run.length(x)) for x in _ordinates(plan)]
    labels = row_of_labels(ends, -7.5, run.measure, size=9)
    return (*steel_marks(plan, text_size=BIG, holes=True), *labels, *_across(plan), *_parting(plan), *_hatch(plan))


def all_pages(run: PrintRun, plans: Iterable[BarPlan]) -> Iterator[SheetPage]:
    """Every bar's scribing sheet followed by its tiled true-size bar."""
    return (page for plan in plans for page in (*bar_pages(run, plan), *tiled_bar_pages(run, plan)))
