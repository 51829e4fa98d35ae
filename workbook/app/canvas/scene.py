"""The scene on the drawing board and the room it takes. Board mm scale with the text; knife mm scale with the zoom."""

from enum import StrEnum

from msgspec import Struct

from workbook.geometry.path import Point, bounds
from workbook.template.contour import STATIONS, station
from workbook.template.handle import room
from workbook.template.pegs import Peg
from workbook.template.shape import Shape
from workbook.units import Unit

BAND = 8.0  # mm of the board: between dimension lines, and beside a compared outline
ASIDE = 4 * BAND  # past the dimension of the heel's height


class GhostAt(StrEnum):
    """The position of a compared outline relative to the knife."""

    OVER = "over"
    BELOW = "below"
    BESIDE = "beside"


class Scene(Struct, frozen=True, kw_only=True):
    """Everything the board shows."""

    blank: Shape
    unit: Unit
    rough: bool = False  # omit what needs arrays, for the window's first picture
    bar: float  # mm, the thickness the grind lines are for
    lit: str = ""  # the highlighted dimension, whose field has the focus
    chosen: str = ""  # mark of the hole chosen in the table
    ring: Point | None = None  # place of the chosen problem
    pegs: tuple[Peg, ...] = ()  # places that can be dragged
    held: str = ""  # name of the chosen peg
    tag: str = ""  # text beside it
    stopped: bool = False  # the peg reached its limit
    ghost: Shape | None = None  # another outline to compare with
    ghost_at: GhostAt = GhostAt.OVER


def whole_extent(blank: Shape) -> tuple[float, float, float, float]:
    """The extent of the blank, and of the grip where the tang does not fill it: smallest x and y, largest x and y, mm."""
    extent = blank.extent()
    if blank.grip is None:
        return extent
    grip = bounds(blank.grip)
    return min(extent[0], grip[0]), min(extent[1], grip[1]), max(extent[2], grip[2]), max(extent[3], grip[3])


def room_beside(scene: Scene) -> tuple[float, float]:
    """The room for an outline beside the knife: the gap in mm of the board, and its length in mm of the knife."""
    if scene.ghost is None or scene.ghost_at is not GhostAt.BESIDE:
        return 0.0, 0.0
    low, _, high, _ = scene.ghost.extent()
    return ASIDE, high - low


def section_room(scene: Scene) -> tuple[float, float]:
    """The room for sections or an outline below the knife: gaps and text in mm of the board, height in mm of the knife."""
    template = scene.blank.template
    if scene.ghost is not None and scene.ghost_at is GhostAt.BELOW:
        _, low, _, high = scene.ghost.extent()
        return 3 * BAND, high - low
    if template is None or scene.lit != "contour":
        return 0.0, 0.0
    return 2 * BAND, max(room(template.handle, station(template.handle, name)) for name in STATIONS)
