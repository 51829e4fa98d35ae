"""What a bar's sheet says in words: which bar it is, numbers that hold for it, the order of its cuts."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from workbook.sheets.bar import BarPlan, TightTurn
from workbook.sheets.bar_cuts import StraightCut
from workbook.sheets.paper import PrintRun
from workbook.sheets.parting import parted
from workbook.texts import _, listing, ngettext
from workbook.units import Unit, built, reading, show

_NOTHING_LEFT = 0.05  # mm; a shorter offcut counts as none
_NO_HOLES = _("Blanks without two holes: punch 1 is the tip, punch 2 the end of the butt or tang.")
_ON_EDGE = _("Spine “edge”: the spine is the bar's own edge. True and clean it first. No saw cut there.")
_LOWER = _(
    "A bar with a slanting end or a missing corner: lay its longer edge below, end B to the right. Turn it over if need be."
)
_STRIPS = _("Bars at true size: cut the parts out, lay the joining lines over each other, tape.")

Fact = tuple[str, str]  # words and their number


def name_of(plan: BarPlan) -> str:
    """The heading of a bar."""
    return _("Bar {number}: {steel}", number=plan.number, steel=plan.steel)


def under(plan: BarPlan, unit: Unit) -> str:
    """Where a bar comes from and its sizes."""
    sizes = sizes_words(plan, unit)
    if plan.source == "rack":
        return _("from the rack, {sizes}", sizes=sizes)
    return _("offcut, {sizes}", sizes=sizes) if plan.source == "offcut" else _("to buy, {sizes}", sizes=sizes)


def sizes_words(plan: BarPlan, unit: Unit) -> str:
    """A bar's thickness, width and length in words: which are measured, and which only nominal."""
    sides = plan.sides
    if len(set(plan.read)) == 1 and not plan.beyond[0]:
        text = " × ".join(reading(v, unit) if measured else built(show(v, unit)) for v, measured, _unused in sides)
        return _measured(f"{text} {unit}") if plan.read[0] else _nominal(f"{text} {unit}")
    measured = [_side(reading(v, unit), unit, side) for v, is_read, side in sides if is_read]
    nominal = [_side(built(show(v, unit)), unit, side) for v, is_read, side in sides if not is_read]
    told = [_measured(", ".join(measured))] if measured else []
    return "; ".join(told + ([_nominal(", ".join(nominal))] if nominal else []))


def _side(length: str, unit: Unit, side: str) -> str:
    return _("{length} {unit} {side}", length=length, unit=unit, side=side)


def _measured(sizes: str) -> str:
    return _("measured {sizes}", sizes=sizes)


def _nominal(sizes: str) -> str:
    return _("nominal, measure it: {sizes}", sizes=sizes)


def rules(run: PrintRun, plan: BarPlan) -> list[Fact]:
    """What is usually the same for all bars of a layout."""
    return [
        (_("Gap between blanks: kerf plus twice the clean-up"), run.length(plan.separation)),
        (_("Saw outside the line (leave the line) by"), run.length(plan.clean_up)),
        (_("Saw kerf"), run.length(plan.kerf)),
        (_("Outline to long edges, to ends"), f"{run.length(plan.edge)}, {run.length(plan.end)}"),
    ]


def facts(run: PrintRun, plan: BarPlan) -> list[Fact]:
    """What a bar is used for: the length used, what is left, what is lost."""
    rows = [
        (_("Used from end A"), run.length(plan.used, unit=True)),
        (_offcut_words(run, plan), run.length(plan.offcut, unit=True)),
    ]
    if plan.keeps_offcut:
        sizes = " × ".join([*(run.exact(side) for side in plan.size[:2]), run.length(plan.offcut + plan.beyond[0])])
        rows.append((_("Booked as, along its longer edge") if plan.beyond[0] else _("Booked as"), f"{sizes} {run.unit}"))
    for each in plan.beside:
        sizes = " × ".join([run.exact(plan.size[0]), run.length(each.width), run.length(each.length)])
        rows.append((_("Offcut beside blanks, {start} from end A", start=run.length(each.x, unit=True)), f"{sizes} {run.unit}"))
    rows.append((_("Lost between blanks, to kerf and at the ends"), f"{plan.lost:.0%}"))
    if plan.at_saw is not None:
        cut, turns = run.length(round(plan.at_saw.length), unit=True), plan.at_saw.turns
        words = ngettext("Saw: {cut} of cut, {count} turn, about", "Saw: {cut} of cut, {count} turns, about", turns, cut=cut)
        rows.append((words, _("{minutes:.0f} min", minutes=plan.at_saw.minutes)))
    return rows


def _offcut_words(run: PrintRun, plan: BarPlan) -> str:
    """The label of the piece left at end B: whether it is kept, and which length it is measured against."""
    if plan.offcut < _NOTHING_LEFT:
        return _("Left at end B")
    if plan.keeps_offcut:
        measured = plan.read[2]
        return (
            _("Offcut for the rack, from the measured length") if measured else _("Offcut for the rack, from the nominal length")
        )
    return _("Left at end B, under the {length} minimum", length=run.length(plan.keep, unit=True))


def notes(plans: Sequence[BarPlan]) -> list[str]:
    """What must be known to read the sheets."""
    words = [_NO_HOLES] if any(len(blank.shape.holes) < 2 for plan in plans for blank in plan.blanks) else []
    words += [_LOWER] if any(plan.beyond[0] for plan in plans) else []
    return [*words, *([_ON_EDGE] if any(plan.on_edge(blank) for plan in plans for blank in plan.blanks) else []), _STRIPS]


def saw_order(run: PrintRun, plan: BarPlan) -> list[str]:
    """The cuts in order, one line each: straight ones, then those along the lines between blanks."""
    if plan.service:
        return [_("Cut by a service: no saw order.")]
    straight = plan.straight
    words = list(_straight_words(run, plan, straight))
    for group in plan.cuts.groups:
        names = [plan.blanks[i].serial for i in group.pieces]
        if len(names) > 1:
            words.append(_("{names} come off together. Then saw along the dashed lines in mid-gap:", names=", ".join(names)))
            numbers = enumerate(plan.between, 1 + len(straight))
            lines = {(line.lower, line.upper): n for n, line in numbers if line.lower in names}
            words += [_freeing([lines[pair] for pair in pairs], freed) for pairs, freed in parted(names, list(lines))]
    words += [_tight(run, plan, turn) for turn in plan.tight]
    return words or [_("One blank: saw around it.")]


def _straight_words(run: PrintRun, plan: BarPlan, cuts: Sequence[StraightCut]) -> Iterator[str]:
    """The straight cuts in words; runs of cuts across in one line."""
    if any(cut.frees for cut in cuts):
        yield _("Scribe every blank first: offcuts take edges and ends away that are measured from.")
    numbered = list(enumerate(cuts, 1))
    if plan.keeps_offcut and numbered and numbered[0][1].frees is None:
        yield _("Cut 1 frees the offcut.")
        numbered = numbered[1:]
    for across, entries in groupby(numbered, key=lambda entry: entry[1].frees is None):
        run_of = list(entries)
        if across:
            first, last = run_of[0][0], run_of[-1][0]
            yield (
                _("Cut {count} straight across.", count=last)
                if first == last
                else _("Cuts {first} to {count} straight across, in order.", first=first, count=last)
            )
            continue
        for number, cut in run_of:
            assert cut.frees is not None
            sizes = f"{run.length(cut.frees.length)} × {run.length(cut.frees.width, unit=True)}"
            yield _("Cut {number} frees the offcut of {sizes}.", number=number, sizes=sizes)


def _freeing(numbers: Sequence[int], freed: Sequence[Sequence[str]]) -> str:
    """Cuts and the blanks they free, as "Cuts 2 + 3 free T2" or "Cut 4 parts S1 and S2"."""
    if not numbers:
        names = [name for names in freed for name in names]
        return ngettext("{listed} comes off with it.", "{listed} come off with it.", len(names), listed=listing(names))
    cuts = " + ".join(map(str, numbers))
    parts = len(freed) > 1 and all(len(names) == 1 for names in freed)
    listed = listing([name for names in freed for name in names])
    if len(numbers) == 1 and parts:
        return _("Cut {cuts} separates {listed}.", cuts=cuts, listed=listed)
    if len(numbers) == 1:
        return _("Cut {cuts} frees {listed}.", cuts=cuts, listed=listed)
    if parts:
        return _("Cuts {cuts} separate {listed}.", cuts=cuts, listed=listed)
    return _("Cuts {cuts} free {listed}.", cuts=cuts, listed=listed)


def _tight(run: PrintRun, plan: BarPlan, turn: TightTurn) -> str:
    number = 1 + len(plan.straight) + plan.between.index(turn.line)
    radius = run.length(turn.radius, unit=True)
    return _(
        "{number} turns at a radius of {radius}, tighter than the saw. Make relief cuts or drill a hole there first.",
        number=number,
        radius=radius,
    )
