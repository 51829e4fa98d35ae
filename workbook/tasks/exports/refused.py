"""What may not be made, and why, in the same words for menus, buttons, the dialog and the commands."""

from workbook.model.laying import bars_laid_on, ground_template, refuse_clash, refuse_stopped
from workbook.nesting.model import Layout
from workbook.problems import JobError, Mistake
from workbook.tasks.exports.wanted import Wanted
from workbook.texts import _

_FIRST = _("Lay the blanks out first.")


def refuse_nothing(wanted: Wanted) -> None:
    """Refuse nothing: what shows the shop as it is may always be made."""


def refuse_templates(wanted: Wanted) -> None:
    """Raise JobError for templates that a check stops, on any of the bars their blades are made of."""
    refuse_stopped(wanted.model, ((key, bar) for key in wanted.keys for bar in wanted.bars_of(key)))


def refuse_cards(wanted: Wanted) -> None:
    """Do the same, and raise JobError if none of the templates has a grind."""
    if not wanted.ground:
        for key in wanted.keys:
            ground_template(wanted.model, key)
    refuse_templates(wanted)


def refuse_bars(wanted: Wanted) -> None:
    """Raise JobError if there is no layout, or if it is empty, has templates that a check stops, or has a clash."""
    laid = wanted.laid
    if laid is None:
        raise JobError([Mistake(place=_("layout"), what=_("there is none."), right=_FIRST)])
    refuse_empty(laid.layout)
    refuse_stopped(laid.model, ((key, bar) for key, bars in bars_laid_on(laid).items() for bar in bars))
    refuse_clash(laid.clash)


def refuse_empty(layout: Layout) -> None:
    """Raise JobError for a layout without bars."""
    if not layout.bars:
        raise JobError([Mistake(place=_("layout"), what=_("it is empty."), right=_FIRST)])
