"""What of a sheath is not as asked, or not as good as it could be, in sentences."""

from collections.abc import Iterator

from workbook.sheath.belt_loop import BeltLoop
from workbook.sheath.room import SheathRoom, farthest
from workbook.sheath.rules import THIN, SheathForm, SheathRules
from workbook.template.fittings import guard_of
from workbook.template.shape import Shape
from workbook.texts import _

_HAIR = 0.1  # mm


def wanting(blank: Shape, room: SheathRoom, rules: SheathRules, loop: BeltLoop | None) -> Iterator[str]:
    """What the maker should know before cutting."""
    template = blank.template
    assert template is not None
    if rules.reach > farthest(template.handle) + _HAIR:
        yield _("The throat is nearer to the handle front than you set it, to leave enough handle to draw the knife by.")
    if rules.stitched and rules.belt > 0:
        yield from _of_loop(rules, loop)
    if rules.stitched and rules.welts(room.spine) * rules.leather < room.spine - THIN:
        yield _("The welt is thinner than the blade, so the edge comes near the thread. Add a layer.")
    if rules.form is SheathForm.FOLDED and guard_of(template) > 0 and rules.reach > 0:
        yield _(
            "The fold is at the top of the guard, and the blade below it. With the throat at the handle front, "
            "the guard stays outside."
        )


def _of_loop(rules: SheathRules, loop: BeltLoop | None) -> Iterator[str]:
    if loop is None:
        yield _("No room for the belt loop. Choose a narrower belt or strip, or a throat farther behind the handle front.")
    elif loop.width < rules.loop - _HAIR:
        yield _("The belt loop strip is narrower than you set it, because the back is. Test the seams before you trust them.")
