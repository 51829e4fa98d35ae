"""Blanks of the shipped families, some with other parameters."""

from workbook.formats.family import family
from workbook.formats.tables import facts
from workbook.template.parameters import changed
from workbook.template.shape import shape
from workbook.template.tools import Tools, drills_for

TOOLS = Tools(drills=drills_for(facts().drills, "in"))


def blank_of(name, changes=()):
    """The blank of a family, its parameters changed by path."""
    template = family(name)
    for path, value in dict(changes).items():
        template = changed(template, path, value)
    return shape(template, TOOLS)
