"""Change the chosen template in one step: back to its family, a part of another template, for the other hand, turned."""

from workbook.app.workspace import Workspace
from workbook.document.action import Action
from workbook.document.actions import templates
from workbook.template.model import Bevel, Face, Template
from workbook.template.parameters import changed
from workbook.template.resizing import Taken, reset, with_part
from workbook.texts import _


def as_family(space: Workspace, group: str = "") -> None:
    """Reset the chosen template, or one group of it, to its family."""
    template, base = space.chosen_template, space.base
    if isinstance(template, Template) and base is not None:
        result = reset(template, base, group)
        space.reshape(result, Action("template.reset", {"group": group}))


def take_part(space: Workspace, other: str, part: Taken) -> None:
    """Take a part of another template, by its key, into the chosen one; say so if they do not go together."""
    template, from_ = space.chosen_template, space.model.job.template(other)
    if not isinstance(template, Template) or not isinstance(from_, Template):
        return
    try:
        space.reshape(with_part(template, from_, part), Action("template.part", {"part": part.value, "other": from_.name}))
    except ValueError as trouble:
        space.said.emit(
            _("{part} does not suit {chosen}: {trouble}.", part=part_of(part, from_.name), chosen=space.name, trouble=trouble)
        )


def part_of(part: Taken, name: str) -> str:
    """A part of a template with this name, in words."""
    match part:
        case Taken.HANDLE:
            return _("Handle of {name}", name=name)
        case Taken.BLADE:
            return _("Blade of {name}", name=name)
        case Taken.GRIND:
            return _("Grind of {name}", name=name)


def mirror(space: Workspace) -> None:
    """Change the chosen template to the other hand: grind the other face, if only one is ground."""
    template = space.chosen_template
    if not isinstance(template, Template) or template.grind.bevel is not Bevel.SINGLE:
        space.said.emit(_("{chosen} is the same for both hands. Only a single bevel is handed.", chosen=space.name))
        return
    face = Face.LEFT if template.grind.face is Face.RIGHT else Face.RIGHT
    space.reshape(changed(template, "grind.face", face), Action("template.hand", {"face": face.value}))


def turn(space: Workspace) -> None:
    """Turn the chosen outline from a file end for end."""
    if isinstance(space.chosen_template, Template):
        space.said.emit(_("{chosen} has its tip to the right. Only an imported outline can be flipped.", chosen=space.name))
    else:
        record = space.record
        space.do(templates.turn_end_for_end(space.session.document, record.id))
