"""What a sheath is made of and how it goes together, in numbers and steps."""

from collections.abc import Iterator
from functools import partial

from workbook.sheath.pattern import SheathPattern
from workbook.sheath.rules import SheathForm
from workbook.sheets.paper import PrintRun
from workbook.texts import _
from workbook.units import INCH

_OUNCE = INCH / 64  # leather of one ounce
_THREAD = 4  # times the seam, for a saddle stitch: common practice, no source


def sheath_numbers(run: PrintRun, pattern: SheathPattern) -> Iterator[tuple[str, str]]:
    """What it is made of, by name and value."""
    rules, room, long = pattern.rules, pattern.room, partial(run.length, unit=True)
    yield from _sewn(run, pattern) if rules.stitched else _riveted(run, pattern)
    yield _("Throat behind the handle front"), long(-room.throat)
    if rules.drain > 0:
        yield _("Drain hole"), long(rules.drain)
    if pattern.loop is not None:
        yield _("Belt loop, inside"), long(pattern.loop.inside)
    sides = " × ".join(run.length(side) for side in pattern.pieces[0].size)
    yield _("Largest piece"), f"{sides} {run.unit}"
    yield _("Blade thickness, finished"), f"{run.reading(room.spine)} {run.unit}"


def _sewn(run: PrintRun, pattern: SheathPattern) -> Iterator[tuple[str, str]]:
    rules, long, fine = pattern.rules, partial(run.length, unit=True), partial(run.length, unit=True, fine=True)
    yield _("Leather"), _("{thick}, {ounces:.2g} oz", thick=fine(rules.leather), ounces=rules.leather / _OUNCE)
    yield _("Welt, layers by width"), f"{rules.welts(pattern.room.spine)} × {long(rules.welt)}"
    yield _("Stitch spacing"), _("{count}, {apart}", count=len(pattern.line), apart=fine(pattern.apart))
    yield _("Stitch hole"), fine(rules.stitch_hole)
    yield _("Thread, about"), long(_THREAD * len(pattern.line) * pattern.apart)


def _riveted(run: PrintRun, pattern: SheathPattern) -> Iterator[tuple[str, str]]:
    long, count = partial(run.length, unit=True), len(pattern.line)
    yield _("Thermoplastic sheet"), run.length(pattern.rules.plastic, unit=True, fine=True)
    if pattern.odd:
        spans = _("{count}, {apart}, one step {odd}", count=count, apart=long(pattern.apart), odd=long(pattern.odd))
    else:
        spans = _("{count}, {apart}", count=count, apart=long(pattern.apart))
    yield _("Rivet spacing"), spans
    yield _("Rivet hole"), long(pattern.rules.rivet_hole)


def sheath_steps(pattern: SheathPattern) -> list[str]:
    """How it is made, step by step."""
    return list(_of_leather(pattern) if pattern.rules.stitched else _of_plastic(pattern))


def _of_leather(pattern: SheathPattern) -> Iterator[str]:
    rules = pattern.rules
    folded = rules.form is SheathForm.FOLDED
    yield _("Cut out the pieces. They are drawn from the good side.")
    yield _("Mark the inner edge of the seam, dash-dotted, on the flesh side. Prick it through and join the pricks.")
    if rules.drain > 0:
        yield _("Punch the drain hole.")
    if pattern.loop is not None:
        yield _("Sew the belt loop strip on while the leather is flat. The belt goes between the two pairs of seams.")
    if folded:
        yield _("Damp the leather along the dashed line and fold it there, good side out. Let it dry.")
    yield _("Glue the welt in on the flesh side, its inner edge on the marked line.")
    if folded:
        yield _("Close the sheath and clamp it, with the holes of both sides on each other.")
    else:
        yield _("Glue the front on, good sides out, and clamp it, with the holes of both on each other.")
    yield _("When the glue holds, pierce the holes through all layers, from both faces, and sew.")
    yield _("Sand the edges flush, damp them and rub them smooth.")
    yield _("Wet it, press it around the knife wrapped in film, and let it dry slowly. That is what holds the knife.")


def _of_plastic(pattern: SheathPattern) -> Iterator[str]:
    folded = pattern.rules.form is SheathForm.FOLDED
    yield _("Cut out the pieces a little large. They are drawn from the outside. Holes are marks, to drill after forming.")
    if folded:
        yield _("Warm the sheet as its data sheet says, and fold it on the dashed line around the knife wrapped in tape.")
    else:
        yield _("Warm the pieces as their data sheet says, and lay them around the knife wrapped in tape.")
    yield _("Press, in at the choil or the plunge too, so that the knife locks. Let it cool in the press.")
    if pattern.rules.drain > 0:
        yield _("Clamp it and drill through both sides, but the drain hole through one.")
    else:
        yield _("Clamp it and drill through both sides.")
    yield _("Rivet it, saw it to the outline, and sand the edges flush.")
    yield _("Screw a belt clip to two holes that match its spacing.")
