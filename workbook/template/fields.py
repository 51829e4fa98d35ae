"""Limits and meanings of the fields of templates, outlines, tools and services; a template's groups follow its parameters."""

from collections.abc import Iterator
from itertools import pairwise
from math import ceil

from workbook.fields import (
    DEGREES,
    NAME,
    Field,
    Kind,
    Rule,
    Table,
    angle,
    choice,
    count,
    length,
    name,
    number,
    part,
    parts,
    share,
    switch,
    text,
)
from workbook.geometry.loops import GAP
from workbook.geometry.path import Arc, Bezier, Line, Path, bounds, corners
from workbook.template.drawn import LEAST, MOST, DrawnTemplate
from workbook.template.model import (
    GROUPS,
    Blade,
    Fittings,
    FreePoint,
    Grind,
    Handle,
    Heel,
    HolePattern,
    HoleWish,
    PointShape,
    Tang,
    Template,
)
from workbook.template.model import MOST as MOST_FREE
from workbook.template.parameters import PARAMETERS, Parameter
from workbook.template.service import DxfUnit, DxfVersion, Service
from workbook.template.tools import SERIES, Owned
from workbook.texts import _
from workbook.units import HABITS

MOST_HOLES = 200
_FARTHEST = 1e7  # mm from a drawing's origin
_MOST_CURVES = 200_000  # in an outline; a reader takes 20,000 pieces, each of which may have many
_GAP = 2 * GAP  # mm between the end of a curve and the beginning of the next
_APART = 0.05  # share of the handle's length between waist, palm and neck at least: its curve goes through them in this order
_GROUPS = dict(zip(GROUPS, (Blade, PointShape, Heel, Handle, Fittings, Tang, Grind), strict=True))
# The widest limits where a range depends on other parameters: those may have had other values when this one was entered.
_WIDEST = {
    "blade.spine_straight": (0.0, 1.0), "blade.edge_straight": (0.0, 1.0), "point.spine_lean": (-0.7, 0.6),
    "point.edge_lean": (-0.7, 0.6), "heel.ahead": (0.0, 225.0), "heel.ricasso": (0.0, 225.0), "heel.notch": (0.0, 180.0),
    "handle.waist_at": (0.08, 0.75), "handle.palm_at": (0.18, 0.75), "handle.neck_at": (0.28, 0.85),
    "handle.edge_radius": (0.0, 22.5), "fittings.bolster": (0.0, 125.0), "tang.width": (3.0, 58.0), "tang.end_width": (2.0, 58.0),
    "tang.butt_thickness": (0.5, 13.0),
    "grind.height": (1.0, 150.0), "grind.edge_before_hardening": (0.0, 11.7), "grind.edge_before_sharpening": (0.0, 7.8),
    "grind.face_allowance": (0.0, 3.9), "grind.swedge": (0.0, 405.0), "grind.swedge_height": (0.5, 75.0),
    "grind.swedge_spine": (0.3, 13.0),
}  # fmt: skip
_VERSIONS = tuple((version, version.value) for version in DxfVersion)
_DRILLS = (
    ((), _("match units")),
    (SERIES[:3], _("number, letter, fraction")),
    (SERIES[2:3], _("fractions of an inch")),
    (SERIES[3:], _("metric")),
    (SERIES, _("all of them")),
)
_DXF_UNITS = ((DxfUnit.MM, HABITS["mm"].names), (DxfUnit.INCHES, HABITS["in"].names))
_NO_LAYER = set('<>/\\":;?*|=`')  # what the name of a DXF layer may not have (DXF reference)
_NONE = {"grind.height": _("up to the spine, or as the angle gives it")}


def widest(parameter: Parameter) -> tuple[float, float]:
    """The limits of a parameter for any values of the others."""
    low, high = parameter.low, parameter.high
    return _WIDEST[parameter.path] if callable(low) or callable(high) else (float(low), float(high))


def _of_parameter(parameter: Parameter) -> Field:
    if parameter.kind is Kind.CHOICE:
        return choice(parameter.key)
    if parameter.kind is Kind.TEXT:
        return text(parameter.key)
    unit = DEGREES if parameter.kind is Kind.ANGLE else ""
    return number(parameter.key, *widest(parameter), parameter.kind, none=_NONE.get(parameter.path, ""), unit=unit)


def _group(group: str, kind: type) -> Table:
    """A row for each field, in the struct's order."""
    rows = {parameter.key: _of_parameter(parameter) for parameter in PARAMETERS if parameter.group == group}
    rows["free"] = parts("free", MOST_FREE)
    return tuple(rows[key] for key in kind.__struct_fields__)  # type: ignore[attr-defined]


def _place(key: str) -> Field:
    return length(key, -_FARTHEST, _FARTHEST, Kind.PLACE)


FIELDS: dict[type, Table] = {
    **{kind: _group(group, kind) for group, kind in _GROUPS.items()},
    FreePoint: (
        choice("run", meaning=_("a control point: the curve it pulls")),
        share("at", meaning=_("its place along that curve, from the handle front (on the butt, from the back)")),
        length("x", -500, 500, named="along", meaning=_("how far it is pulled toward the tip")),
        length("y", -500, 500, named="up", meaning=_("how far it is pulled toward the spine")),
    ),
    HoleWish: (
        choice("purpose", meaning=_("holes listed one by one replace the family's")),
        length("size", 0.3, 40, meaning=_("what goes through it. For epoxy, the hole itself")),
        length("x", -1000, 1000, meaning=_("from the handle front, + toward the tip")),
        length("y", -200, 200, meaning=_("from the straight axis, + toward the spine")),
    ),
    HolePattern: (
        choice("purpose"), length("size", 0.3, 40), count("count", 1, 100), length("first", -500, 500), length("last", -500, 500),
        switch("from_butt"), switch("fill"), length("web", 0, 50),
    ),
    Template: (
        name(), text("family"), *(part(group, since=11 if group == "fittings" else 0) for group in GROUPS), parts("patterns", 20),
        parts("holes", MOST_HOLES, none=_("from the templates")), text("use"), choice("rolling"),
        count("revision", 1, 10**6),
    ),
    Line: (_place("start"), _place("end")),
    Arc: (_place("start"), _place("end"), number("bulge", -1000, 1000)),
    Bezier: (_place("start"), _place("c1"), _place("c2"), _place("end")),
    Path: (parts("segments", _MOST_CURVES), switch("closed")),
    DrawnTemplate: (
        name(), text("source", 2 * NAME), length("thickness", 0.2, 60, Kind.FINE), part("outline"),
        Field(key="circles", kind=Kind.CIRCLE, low=-_FARTHEST, high=_FARTHEST, entries=_MOST_CURVES),
        parts("openings", _MOST_CURVES),
        text("remarks", 2 * NAME, entries=100), choice("rolling"), count("revision", 1, 10**6),
    ),
    Service: (
        text("name", label=_("Name"), filled=True,
            meaning=_("who cuts, printed on the note with the cutting file")),
        choice("version", options=_VERSIONS, label=_("DXF version"), meaning=_("DXF version it reads")),
        number("hole_share", 0, 5, unit=_("× thickness"), label=_("Smallest hole"),
            meaning=_("smallest hole it cuts, as a share of the thickness. Smaller ones are left out and listed")),
        length("smallest_hole", 0, 20, label=_("Smallest hole diameter"),
            meaning=_("smallest hole it cuts, as a diameter. Smaller ones are left out and listed")),
        length("inside_radius", 0, 20, label=_("Min. inside radius"), meaning=_("smallest inside radius it cuts")),
        length("drilled_under", 0, 5, Kind.FINE, label=_("Holes under size by"),
            meaning=_("holes are this much smaller in diameter, so that you can drill them to size")),
        length("kerf", 0, 3, Kind.FINE, zero=_("service compensates"), label=_("Kerf compensation in file"),
            meaning=_("0 when the service compensates for its own kerf. Otherwise the outline is moved out by half of it, "
                      "and holes get smaller")),
        count("tabs", 0, 20, zero=_("none"), label=_("Tabs"),
            meaning=_("uncut bridges that hold a blank in its plate")),
        length("tab", 0.1, 10, Kind.FINE, label=_("Tab width"), meaning=_("width of each tab")),
        choice("unit", options=_DXF_UNITS, label=_("File unit"), meaning=_("unit of a cutting file"), since=11),
        name("outline_layer", label=_("Outline layer"), meaning=_("layer of outlines and openings"), since=11),
        name("hole_layer", label=_("Hole layer"), meaning=_("layer of round holes"), since=11),
    ),
    Owned: (
        length("wheels", 1, 2000, entries=MOST_HOLES, label=_("Contact wheels"),
            meaning=_("diameters of your contact wheels. With the files they set the smallest inside radius")),
        length("files", 0.5, 100, entries=MOST_HOLES, label=_("Round files"),
            meaning=_("diameters of your round files. With the wheels they set the smallest inside radius")),
        choice("drills", entries=4, words=SERIES, options=_DRILLS, label=_("Drills"),
            meaning=_("the series of drills you have. If empty, by the unit")),
        angle("angle_step", 0, 10, zero=_("any"), label=_("Jig angle step"),
            meaning=_("step of your grinding jig. 0 means any angle")),
        length("gauge_step", 0, 1, Kind.FINE, zero=_("any"), label=_("Surface gauge step"),
            meaning=_("step of your surface gauge. 0 means any height. Otherwise the nearest setting is given, with the "
                      "edge it leaves")),
        length("stone", 0, 1000, zero=_("none"), label=_("Round stone diameter"),
            meaning=_("diameter of a round stone for sharpening")),
        length("projection", 10, 1000, label=_("Stone rest to knife edge"),
            meaning=_("from the round stone's rest to the knife's edge")),
        length("rest", 0, 200, zero=_("an edge"), label=_("Stone rest diameter"),
            meaning=_("diameter of that rest. 0 means an edge")),
        length("jig_offset", 0, 200, label=_("Jig offset from rest"),
            meaning=_("how far a jig holds the blade off the rest")),
    ),
}  # fmt: skip


def _of_template(template: Template) -> Iterator[tuple[str, str]]:
    handle = template.handle
    for first, then in pairwise(("waist_at", "palm_at", "neck_at")):
        if getattr(handle, then) - getattr(handle, first) < _APART:
            yield f"handle.{then}", _("lies before or at {first}.", first=first)
    rows = [pattern for pattern in template.patterns if not pattern.fill]
    fixed, filling = sum(p.count for p in rows), sum(p.count for p in template.patterns if p.fill)
    if fixed * (1 + filling) > 2 * MOST_HOLES:
        yield (
            "patterns",
            _("make {fixed} holes. At most {most_holes} are drilled.", fixed=fixed * (1 + filling), most_holes=2 * MOST_HOLES),
        )


def _of_path(path: Path) -> Iterator[tuple[str, str]]:
    """Mistakes in a path: no segments, an arc of no length, or a piece that does not begin where the one before it ends."""
    if not path.segments:
        yield "segments", _("has none.")
        return
    for n, (segment, following) in enumerate(pairwise((*path.segments, path.segments[0])), 1):
        if isinstance(segment, Arc) and (segment.start == segment.end or abs(segment.bulge) < 1e-9):
            yield f"segments[{n}]", _("is an arc without a direction.")
        gap = max(abs(segment.end[0] - following.start[0]), abs(segment.end[1] - following.start[1]))
        if gap > _GAP and (path.closed or n < len(path.segments)):
            yield f"segments[{n}]", _("does not end where the next begins.")


def _of_drawn(template: DrawnTemplate) -> Iterator[tuple[str, str]]:
    for key, path in (
        ("outline", template.outline),
        *((f"openings[{n}]", opening) for n, opening in enumerate(template.openings, 1)),
    ):
        x0, y0, x1, y1 = bounds(path)
        size, least = max(x1 - x0, y1 - y0), LEAST if key == "outline" else 0.0
        if not least <= size <= MOST:
            yield key, _("is {ceil} mm long. Allowed: {least:g} to {most:g} mm.", ceil=ceil(size), least=least, most=MOST)
        elif not path.closed or (len(path.segments) < 3 and len(corners(path)) < 3):
            yield key, _("has no inside.")


def _of_service(service: Service) -> Iterator[tuple[str, str]]:
    """Names that no DXF layer can have."""
    for key in ("outline_layer", "hole_layer"):
        layer = getattr(service, key)
        wrong = sorted({letter for letter in layer if letter in _NO_LAYER or not letter.isprintable()})
        if wrong:
            yield key, _("has {letters}, which a layer name cannot have.", letters=" ".join(wrong))


RULES: dict[type, Rule] = {Service: _of_service, Template: _of_template, Path: _of_path, DrawnTemplate: _of_drawn}
