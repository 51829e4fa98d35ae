"""What checks say of the chosen template, and what may be done about it."""

from collections.abc import Iterator

from PySide6.QtWidgets import QAbstractButton

from workbook.app.plain import plain
from workbook.app.workspace import Workspace
from workbook.document.action import Action
from workbook.document.orders import hands_for
from workbook.problems import JobError, Problem, Severity, worst_first
from workbook.structs import replace
from workbook.template.checks import CHECKS, short_for
from workbook.template.hand import BESIDE
from workbook.template.model import Template
from workbook.template.remedies import remedy
from workbook.texts import _

COUNT = len(CHECKS)


def all_problems(space: Workspace, own: tuple[Problem, ...], of_bars: tuple[Problem, ...]) -> list[Problem]:
    """The template's own problems, those with the bars it is to be made from, and with the hands it is for; worst first."""
    return worst_first((*own, *(p for p in of_bars if p.template == space.name), *for_hands(space)))


def off_where_stopped(space: Workspace, *buttons: QAbstractButton) -> None:
    """Buttons that print or cut the chosen template are off where a check stops it, and say what would be said then."""
    found = space.model.stops(space.chosen)
    for button in buttons:
        button.setEnabled(not found)
        button.setToolTip(plain("\n".join(JobError(found).lines())))


def for_hands(space: Workspace) -> Iterator[Problem]:
    """Of a handle that is too short for someone who ordered the knife."""
    template, document = space.chosen_template, space.session.document
    if isinstance(template, Template):
        for name, breadth in hands_for(document, space.chosen):
            source = _("the hand of {name}, and 10 mm", name=name)
            yield from short_for(template, _("{name}’s hand", name=name), breadth, Severity.WARN, source)


def remedy_for(space: Workspace, problem: Problem) -> tuple[Template, Action] | None:
    """What may be done about a problem of the chosen template: the template then, and the step that makes it so."""
    tools = space.model.tools
    if problem.cause == "handle length" and problem.wanted is not None:  # also of a customer whom no check knows
        tools = replace(tools, hand_breadth=problem.wanted - BESIDE)
    found = remedy(space.blank, problem, tools)
    return None if found is None else (found.template, Action(found.id, found.fields))
