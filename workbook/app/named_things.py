"""What a page names that the handbook has a card of: steel, wood, drills, pins."""

from collections.abc import Iterable, Iterator

from workbook.app.workspace import Workspace
from workbook.formats.tables import rows
from workbook.handbook.cards import card_named, cards
from workbook.template.model import Template


def titles_of(space: Workspace, names: Iterable[str]) -> list[str]:
    """The titles of the cards of some names, each once; names without a card are left out."""
    everything = cards(rows, space.unit)
    found = (card_named(everything, name) for name in dict.fromkeys(names) if name)
    return list(dict.fromkeys(card.title for card in found if card is not None))


def of_knife(space: Workspace) -> list[str]:
    """The titles of what the chosen template names: its steel, its scales, the drills of its holes."""
    return titles_of(space, _of_knife(space))


def _of_knife(space: Workspace) -> Iterator[str]:
    yield space.model.steel_of(space.chosen)
    template = space.chosen_template
    if isinstance(template, Template):
        yield material_name(space, template.handle.material)
    for hole in space.blank.holes:
        yield hole.drill.label
        yield hole.scale_drill.label if hole.scale_drill is not None else ""


def material_name(space: Workspace, material: str) -> str:
    """A material as the tables have it: "curly maple" is "sugar (hard) maple"."""
    row = space.model.facts.weighed(material)
    return row.name if row is not None else material
