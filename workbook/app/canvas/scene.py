"""What the drawing board shows, and the room it takes. Of the board, mm are of its text; of the knife, they follow the zoom."""

from enum import StrEnum

from msgspec import Struct

from workbook.geometry.path import Point, bounds
from workbook.template.contour import STATIONS, station
from workbook.template.handle import room
from workbook.template.pegs import Peg
from workbook.template.shape import Shape
from workbook.units import Unit

BAND = 8.0  # mm of the board: between dimension lines, and beside what is compared
ASIDE = 4 * BAND  # past the dimension of the heel's height


class GhostAt(StrEnum):
    """Where an outline to compare with stands."""

    OVER = "over"
    BELOW = "below"
    BESIDE = "beside"


class Scene(Struct, frozen=True, kw_only=True):
    """What the board shows."""

    blank: Shape
    unit: Unit
    rough: bool = False  # without what needs arrays: the window's first picture
    bar: float  # thickness the grind lines are for
    lit: str = ""  # the dimension that has the focus
    chosen: str = ""  # the mark of the hole chosen in the table
    ring: Point | None = None  # where the chosen problem is
    pegs: tuple[Peg, ...] = ()  # places to take hold of
    held: str = ""  # the peg that is chosen
    tag: str = ""  # words beside it
    stopped: bool = False  # it went no further
    ghost: Shape | None = None  # another to compare with
    ghost_at: GhostAt = GhostAt.OVER


def whole_extent(blank: Shape) -> tuple[float, float, float, float]:
    """Of the blank and, where the tang does not fill it, of the grip: smallest x and y, largest x and y."""
    own = blank.extent()
    if blank.grip is None:
        return own
    grip = bounds(blank.grip)
    return min(own[0], grip[0]), min(own[1], grip[1]), max(own[2], grip[2]), max(own[3], grip[3])


def room_beside(scene: Scene) -> tuple[float, float]:
    """What stands beside the knife: mm of the board for the gap, and mm of the knife."""
    if scene.ghost is None or scene.ghost_at is not GhostAt.BESIDE:
        return 0.0, 0.0
    low, _, high, _ = scene.ghost.extent()
    return ASIDE, high - low


def section_room(scene: Scene) -> tuple[float, float]:
    """What stands below the knife, sections or another outline: mm of the board for gaps and words, and mm of the knife."""
    template = scene.blank.template
    if scene.ghost is not None and scene.ghost_at is GhostAt.BELOW:
        _, low, _, high = scene.ghost.extent()
        return 3 * BAND, high - low
    if template is None or scene.lit != "contour":
        return 0.0, 0.0
    return 2 * BAND, max(room(template.handle, station(template.handle, name)) for name in STATIONS)
