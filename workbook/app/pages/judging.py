"""What the checks say of the chosen template, and the remedies."""

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


def all_problems(space: Workspace, problems: tuple[Problem, ...], of_bars: tuple[Problem, ...]) -> list[Problem]:
    """The problems of the template, of the bars it is to be made from, and of the hands it is for; worst first."""
    return worst_first((*problems, *(p for p in of_bars if p.template == space.name), *for_hands(space)))


def off_where_stopped(space: Workspace, *buttons: QAbstractButton) -> None:
    """Turn off buttons that print or cut the chosen template if a check stops it; their tooltips say why."""
    stops = space.model.stops(space.chosen)
    for button in buttons:
        button.setEnabled(not stops)
        button.setToolTip(plain("\n".join(JobError(stops).lines())))


def for_hands(space: Workspace) -> Iterator[Problem]:
    """The problems of a handle too short for someone who ordered the knife."""
    template, document = space.chosen_template, space.session.document
    if isinstance(template, Template):
        for name, breadth in hands_for(document, space.chosen):
            source = _("{name}'s hand plus 10 mm", name=name)
            yield from short_for(template, _("the handle is short for {name}’s hand", name=name), breadth, Severity.WARN, source)


def with_source(finding: str, problem: Problem) -> str:
    """What was found, with the source of the rule where there is one, as sentences."""
    if problem.source:
        return _("{finding}. Source: {source}.", finding=finding, source=problem.source)
    return _("{finding}.", finding=finding)


def remedy_for(space: Workspace, problem: Problem) -> tuple[Template, Action] | None:
    """The remedy for a problem of the chosen template: the template after it, and the action. None if there is none."""
    tools = space.model.tools
    if problem.cause == "handle length" and problem.wanted is not None:  # also for a customer, whom the checks do not know
        tools = replace(tools, hand_breadth=problem.wanted - BESIDE)
    result = remedy(space.blank, problem, tools)
    return None if result is None else (result.template, Action(result.id, result.fields))
