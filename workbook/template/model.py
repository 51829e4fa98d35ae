"""What a template is: named parameters in groups, as the knife is.

Frame: O on the straight axis of the handle where the front of the handle begins; +x to the point, +y to the spine;
the right face towards you. Lengths mm, angles degrees, shares 0..1.
"""

from enum import StrEnum

from msgspec import Struct, field

from workbook.texts import _


class SpineForm(StrEnum):
    """How the spine runs from its straight part to the point."""

    CURVED = "curved"  # one smooth curve
    CLIP = "clip"  # a corner, then a hollow arc to the point
    STRAIGHT = "straight"  # a corner, then a straight line


class EdgeForm(StrEnum):
    """How the edge runs from its straight part to the point."""

    BELLY = "belly"  # one smooth curve
    CORNER = "corner"  # a corner, then a straight front edge


class HeelForm(StrEnum):
    """How the edge begins."""

    DROPPED = "dropped"  # an open heel standing below the handle, as on kitchen blades
    PLAIN = "plain"  # a ricasso that flows from the handle


class TangForm(StrEnum):
    """What the handle is built on."""

    FULL = "full"
    SKELETON = "skeletonised"
    TAPERED = "tapered"
    HIDDEN = "hidden"
    STUB = "stub"


class Bevel(StrEnum):
    """Cross-section of the primary bevel."""

    FLAT = "flat"
    HOLLOW = "hollow"
    CONVEX = "convex"
    SINGLE = "single"
    SCANDI = "scandi"


class Held(StrEnum):
    """What stays the same along the blade as it gets thinner."""

    HEIGHT = "height"  # the grind line keeps its height above the edge, the angle falls
    ANGLE = "angle"  # the angle stays, the grind line falls


class Taper(StrEnum):
    """When the distal taper is ground."""

    BEFORE = "before"  # hardening
    AFTER = "after"


class Face(StrEnum):
    """A face of the blade, as held with the edge down and the point away from you."""

    RIGHT = "right"
    LEFT = "left"


class Purpose(StrEnum):
    """What a hole is for."""

    BOLT = "bolt"
    PIN = "pin"
    LANYARD = "lanyard"
    EPOXY = "epoxy"


class OutlineRun(StrEnum):
    """A run of the outline that free points may pull."""

    SPINE = "spine"
    EDGE = "edge"
    BACK = "back"  # of the handle
    UNDERSIDE = "underside"  # of the handle
    BUTT = "butt"


class FreePoint(Struct, frozen=True, kw_only=True):
    """A place of a run pulled off the family's curve (free.py)."""

    run: OutlineRun
    at: float  # share of the run's length from the handle front; on the butt, from the back
    x: float = 0.0  # how far it is pulled, mm
    y: float = 0.0


OF_BLADE = (OutlineRun.SPINE, OutlineRun.EDGE)
MOST = 40  # most free points of a part
LAST_BELLY = 0.95  # largest share of the blade's length at which a belly begins


def _make_sure(free: tuple[FreePoint, ...], *, of_blade: bool) -> None:
    """Raise ValueError for too many free points, or for one on a run of another part."""
    if len(free) > MOST:
        raise ValueError(_("{count} control points. Allowed: at most {most}", count=len(free), most=MOST))
    if any((point.run in OF_BLADE) is not of_blade for point in free):
        raise ValueError(_("a control point is in the wrong part"))


class Blade(Struct, frozen=True, kw_only=True):
    """Blade: its size, and how far spine and edge run straight."""

    length: float  # handle front to point
    height: float  # at the heel
    thickness: float  # nominal bar thickness, before any grinding
    spine_straight: float  # share of the length
    edge_straight: float  # share of the length at which the belly begins
    edge_rise: float = 0.0  # of the edge at that place above the heel, share of the height
    taper_from: float = 0.3  # where distal taper begins, share of the length
    point_thickness: float = 0.0  # of the finished spine 12.7 mm behind the point; 0: no distal taper
    free: tuple[FreePoint, ...] = ()  # of spine and edge

    def __post_init__(self) -> None:
        _make_sure(self.free, of_blade=True)


class PointShape(Struct, frozen=True, kw_only=True):
    """The point: where it lies and how spine and edge arrive there."""

    drop: float  # below the spine, share of the height; negative for a trailing point
    spine_slope: float  # spine's fall at the point, degrees
    edge_slope: float  # edge's rise at the point, degrees
    spine: SpineForm = SpineForm.CURVED
    edge: EdgeForm = EdgeForm.BELLY
    spine_fullness: float = 0.6  # where the spine begins to fall
    edge_fullness: float = 0.6  # where the belly begins
    spine_lean: float = 0.0  # more fullness at the point, or less
    edge_lean: float = 0.0


class Heel(Struct, frozen=True, kw_only=True):
    """Where the cutting edge begins."""

    ahead: float  # of the handle front; on a plain heel this is the ricasso length
    form: HeelForm = HeelForm.PLAIN
    ricasso: float = 0.0  # of a dropped heel: level steel between the drop and the heel; 0 on kitchen blades
    radius: float = 8.0  # inside a dropped heel
    notch: float = 0.0  # sharpening notch, diameter of the file; 0: none
    choil: float = 0.0  # finger choil, its radius; 0: none
    plunge_radius: float = 6.0
    plunge_rake: float = 0.0  # degrees the plunge line leans towards the handle


class Handle(Struct, frozen=True, kw_only=True):
    """The handle as seen from the side, and its scales."""

    length: float
    front: float  # height where the scales begin
    waist: float
    palm: float
    neck: float
    butt: float
    waist_at: float = 0.24  # share of the length behind the front
    palm_at: float = 0.55
    neck_at: float = 0.82
    drop: float = 4.0  # of the back of the butt below the line of the spine
    crown: float = 0.0  # rise of the back over the palm
    squareness: float = 0.56  # of the butt: 0.55 round, near 1 square
    slant: float = 0.0  # where the butt reaches furthest: -1 low, 0 middle, 1 high
    scale_thickness: float = 9.525  # 3/8 in, as scales are mostly sold (common practice, no source)
    front_angle: float = 90.0  # of the scale front to the axis
    material: str = "canvas phenolic"
    thick_front: float = 15.0  # of the finished handle with its tang, at the front
    thick_palm: float = 20.0  # at the palm
    thick_butt: float = 18.0  # where the butt's rounding begins
    edge_radius: float = 6.0  # of the scales' edges in section
    fasteners: str = "brass"  # what pins, bolts and tubes are made of
    bolt_head: float = 8.0  # diameter of a handle bolt's head
    head_height: float = 3.2  # of that head: what its counterbore takes of the scale
    shoulders: float = 0.0  # between a bolt's shoulders when it is screwed home, the least it clamps; 0: not known
    free: tuple[FreePoint, ...] = ()  # of back, underside and butt

    def __post_init__(self) -> None:
        _make_sure(self.free, of_blade=False)


class Fittings(Struct, frozen=True, kw_only=True):
    """Guard, bolsters and liners; each is there where its first size is not 0."""

    guard: float = 0.0  # its thickness along the handle, from the handle's front
    guard_height: float = 45.0
    guard_drop: float = 0.0  # of its middle below the axis
    guard_width: float = 18.0  # across both faces
    guard_material: str = "brass"
    bolster: float = 0.0  # length of a pair along the handle, behind the guard
    bolster_thickness: float = 6.35  # of one, before it is shaped
    bolster_material: str = "nickel silver"
    liner: float = 0.0  # thickness of one, between tang and scale
    liner_material: str = "vulcanised fibre"


class Tang(Struct, frozen=True, kw_only=True):
    """The steel inside the handle."""

    form: TangForm = TangForm.FULL
    width: float = 11.0  # hidden and stub: at the shoulder
    end_width: float = 7.0  # hidden and stub: at its end
    length: float = 80.0  # hidden and stub
    shoulder_radius: float = 1.6  # hidden and stub
    web: float = 5.0  # skeletonised: steel left beside the openings
    butt_thickness: float = 1.5  # tapered: left at the butt when finished

    @property
    def is_enclosed(self) -> bool:
        """Whether the handle goes all around it: a hidden or a stub tang."""
        return self.form in (TangForm.HIDDEN, TangForm.STUB)


class Grind(Struct, frozen=True, kw_only=True):
    """How the blade is to be ground. `height` None: up to the spine, or derived (Scandi)."""

    bevel: Bevel = Bevel.FLAT
    height: float | None = None
    edge_before_hardening: float = 0.7
    edge_before_sharpening: float = 0.25
    face_allowance: float = 0.1
    edge_angle: float = 17.0
    wheel: float = 254.0
    bulge: float = 0.15  # of a convex bevel, out of its chord, at the heel
    held: Held = Held.HEIGHT
    taper: Taper = Taper.BEFORE
    face: Face = Face.RIGHT  # the ground one of a single bevel
    swedge: float = 0.0  # length of the swedge, back from the point; 0: none
    swedge_height: float = 4.0  # from the spine down
    swedge_spine: float = 1.2  # thickness it leaves at the spine


class HoleWish(Struct, frozen=True, kw_only=True):
    """One hole as requested: what goes through it and where, from O along and across the straight axis."""

    purpose: Purpose
    size: float  # diameter of the pin, bolt shank or tube; of the hole itself for epoxy
    x: float
    y: float


class HolePattern(Struct, frozen=True, kw_only=True):
    """Several holes on the tang's middle line from a few numbers: the first and last place, and how many."""

    purpose: Purpose
    size: float
    count: int = 1
    first: float = 18.0  # behind the handle front
    last: float = 18.0  # ahead of the butt; for a single hole, `first` counts unless `from_butt`
    from_butt: bool = False
    fill: bool = False  # placed midway between the other holes instead, as many as fit with `web` left
    web: float = 3.2  # steel left between a filling hole and its neighbours (1/8 in)


class Rolling(StrEnum):
    """How a blank may lie relative to the direction its bar was rolled in, which is along the bar."""

    ALONG = "along"  # tougher across the blade; the usual choice (common practice, no source)
    ACROSS = "across"
    FREE = "free"


class Template(Struct, frozen=True, kw_only=True):
    """A whole parametric template."""

    name: str
    family: str
    blade: Blade
    point: PointShape
    heel: Heel
    handle: Handle
    fittings: Fittings = field(default_factory=Fittings)
    tang: Tang = field(default_factory=Tang)
    grind: Grind = field(default_factory=Grind)
    patterns: tuple[HolePattern, ...] = ()
    holes: tuple[HoleWish, ...] | None = None  # listed one by one instead of by patterns
    use: str = ""  # "kitchen" or "outdoor": some checks depend on it
    rolling: Rolling = Rolling.ALONG
    revision: int = 1


GROUPS = ("blade", "point", "heel", "handle", "fittings", "tang", "grind")
