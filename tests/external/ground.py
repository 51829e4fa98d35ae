"""A blade cut from a block as its grind is defined: the outline as thick as the bar, less what planes and wheels take.

Nothing here asks the program where its bevels lie: only the drawn outline, its edge and the template's own numbers are taken.
The plunge must be an upright wall (no radius, no rake). A solid is a list of pieces side by side, as booleans of few
faces are quick.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from ezdxf.math import ConstructionArc, Vec2
from manifold3d import CrossSection, FillRule, Manifold, OpType

from tests.external.blanks import blank_of
from workbook.geometry.path import Path, flatten
from workbook.grind.stations import State
from workbook.template.model import Bevel, Held, TangForm, Taper

STATION = 12.7  # mm behind the point, where a distal taper's thickness is meant
FAR = 400.0  # mm; beyond every blank
WALL = {"heel.plunge_radius": 0.0, "heel.plunge_rake": 0.0}


@dataclass
class Piece:
    """A part of the blank between two stations, or all behind the plunge."""

    begin: float
    solid: Manifold


def with_wall(name, changes=()):
    """A family's blank whose plunge is an upright wall."""
    return blank_of(name, {**dict(changes), **WALL})


def ground(blank, state, slabs=60):
    """The pieces of the steel, from the handle on. Where a piece begins its section is exact; between, a hull is taken off."""
    body = between_flats(blank, state)
    heel = blank.template.heel.ahead
    pieces = [Piece(-FAR, body.trim_by_plane((-1, 0, 0), -heel))]
    blade = body.trim_by_plane((1, 0, 0), heel)
    if held_by_angle(blank.template.grind):
        blade = cut_by_planes(blank, state, blade)
    ends = heel + (blank.template.blade.length - heel) * np.sin(np.linspace(0, np.pi / 2, slabs + 1))  # closer at the point
    for begin, end in pairwise(ends):
        part = blade.trim_by_plane((1, 0, 0), begin).trim_by_plane((-1, 0, 0), -end)
        if not held_by_angle(blank.template.grind):
            part = bevelled(blank, state, part, begin, end)
        pieces.append(Piece(float(begin), part))
    return pieces


def held_by_angle(grind):
    """Whether the bevel is a plane square to the edge wherever that runs."""
    return grind.bevel is Bevel.SCANDI or (grind.held is Held.ANGLE and grind.bevel in (Bevel.FLAT, Bevel.SINGLE))


def weighed(pieces):
    """Volume, and the centre along and across the blank."""
    volumes = np.array([p.solid.volume() for p in pieces])
    centres = np.array([centre(p.solid) for p in pieces])
    return volumes.sum(), *(volumes @ centres / volumes.sum())


def centre(solid):
    """The centre of mass of a closed mesh: trimesh's."""
    import trimesh  # it takes a second, and every worker collects all tests

    mesh = solid.to_mesh64()
    if len(mesh.tri_verts) == 0:
        return np.zeros(2)
    return trimesh.Trimesh(mesh.vert_properties[:, :3], mesh.tri_verts, process=False).center_mass[:2]


def thickness(pieces, x, y):
    """What calipers read at a place: the length of an upright line inside the steel."""
    piece = next(p for p in reversed(pieces) if p.begin <= x)
    crossed = [hit.position[2] for hit in piece.solid.ray_cast((x, y, -50.0), (x, y, 50.0))]
    return max(crossed) - min(crossed) if crossed else 0.0


def between_flats(blank, state):
    """The outline less its holes, extruded, and cut by the flats as the taper has them."""
    drawn = CrossSection([flatten(blank.outline, 0.002)], FillRule.NonZero)
    for opening in blank.openings:
        drawn -= CrossSection([flatten(opening, 0.002)], FillRule.NonZero)
    for hole in blank.holes:
        drawn -= CrossSection.circle(hole.diameter / 2, 720).translate(hole.centre)
    block = Manifold.extrude(drawn, blank.thickness).translate((0, 0, -blank.thickness / 2))
    profile = flats(blank, state)
    side = CrossSection([np.vstack((profile, profile[::-1] * (1, -1)))], FillRule.NonZero)
    return block ^ Manifold.extrude(side, 2 * FAR).rotate((90, 0, 0)).translate((0, FAR, 0))


def flats(blank, state):
    """The right flat seen from above, as points (x, z) from the butt on: a tapered tang and a distal taper are straight. The
    distal taper goes through the thickness wanted half an inch behind the point; it sets in over its first quarter, as a parabola
    tangent to both."""
    template = blank.template
    blade, grind = template.blade, template.grind
    whole, half = blank.thickness - 2 * grind.face_allowance, blank.thickness / 2 - grind.face_allowance
    more = grind.face_allowance if state is State.BEFORE else 0.0
    butt = template.tang.butt_thickness / 2 if template.tang.form is TangForm.TAPERED else half
    back = np.array([(-FAR, butt), (-template.handle.length, butt), (0, half)])
    late = grind.taper is Taper.AFTER and state is State.BEFORE
    if late or not 0 < blade.point_thickness < whole:
        return np.add(np.vstack((back, (FAR, half))), (0, more))
    start, station = blade.taper_from * blade.length, blade.length - STATION
    run = station - start
    fall = (half - blade.point_thickness / 2) / (run * 7 / 8)  # the straight part, drawn back, leaves the flat an eighth on
    t = np.linspace(0, 1, 30)[:, None]
    a, b = np.array((start, half)), np.array((start + run / 8, half))
    c = np.array((start + run / 4, half - fall * run / 8))
    curve = (1 - t) ** 2 * a + 2 * t * (1 - t) * b + t**2 * c
    end = np.array((blade.length, half - fall * (blade.length - b[0])))
    return np.add(np.vstack((back, curve, end)), (0, more))


def half_at(blank, state, x):
    """Half the thickness between the flats at a station."""
    profile = flats(blank, state)
    return float(np.interp(x, profile[:, 0], profile[:, 1]))


def edges(blank, state):
    """Thickness left at the edge: finished, and in this state."""
    grind = blank.template.grind
    finished = 0.0 if grind.bevel is Bevel.SCANDI else grind.edge_before_sharpening
    return finished, grind.edge_before_hardening if state is State.BEFORE else finished


def span(blank, x):
    """Where an upright line meets the outline, lowest and highest (shapely)."""
    outline = shapely.Polygon(flatten(blank.outline, 0.002))
    met = outline.intersection(shapely.LineString([(x, -FAR), (x, FAR)]))
    return met.bounds[1], met.bounds[3]


def ground_faces(blank):
    """The faces the bevel is on: 1 right, -1 left."""
    return (1,) if blank.template.grind.bevel is Bevel.SINGLE else (1, -1)


def cut_by_planes(blank, state, blade):
    """Planes along tangents of the edge, through what is left at it, at one angle square to it. The edge must not be hollow."""
    grind, faces = blank.template.grind, ground_faces(blank)
    finished, left = edges(blank, state)
    heel = blank.template.heel.ahead
    if grind.bevel is Bevel.SCANDI:
        fall = np.tan(np.radians(grind.edge_angle))
    else:
        low, high = span(blank, heel + 1e-3)
        line = (high - low) * rise(blank, heel) if grind.height is None else grind.height  # square to the edge
        fall = (2 * half_at(blank, State.FINISHED, heel) - finished) / len(faces) / line
    points = edge_points(blank)
    for a, b in pairwise(points):
        along = (b - a) / np.hypot(*(b - a))
        inward = np.array((-along[1], along[0]))
        for face in faces:
            low = left / 2 if len(faces) == 2 else left - half_at(blank, state, heel)
            normal = np.array((fall * inward[0], fall * inward[1], -face))
            at = fall * inward @ a - low
            blade = blade.trim_by_plane(tuple(normal), at / np.linalg.norm(normal))
    return blade


def cut_by_a_wheel(blank, state, place, reach=8.0, step=0.5):
    """The blade ground about one place of its edge, a length along it: the wheel stands at every place within reach, its plane
    square to the edge there, and cuts what is left at the edge and the flat as far up as at the heel."""
    grind = blank.template.grind
    finished, left = edges(blank, state)
    top = half_at(blank, State.FINISHED, blank.template.heel.ahead)
    wheel = disc(np.array((0.0, finished / 2)), np.array((grind.height, top)), grind.wheel / 2, count=121)
    profile = CrossSection([np.add(wheel, (0, (left - finished) / 2))], FillRule.NonZero)
    solid = Manifold.extrude(profile, 2 * step).translate((0, 0, -step))
    slices = []
    for at in np.arange(place - reach, place + reach, step):
        (x, y), along = edge_at(blank, at)
        slices.append(solid.transform(np.array([(-along[1], 0, along[0], x), (along[0], 0, along[1], y), (0, 1, 0, 0)])))
    taken = Manifold.batch_boolean(slices, OpType.Add)
    return Piece(-FAR, between_flats(blank, state) - taken - taken.mirror((0, 0, 1)))


def edge_at(blank, length):
    """The place so far along the edge from the heel, and which way it runs there."""
    line = shapely.LineString(edge_points(blank))
    a, b = (np.array(line.interpolate(length + side).coords[0]) for side in (-0.05, 0.05))
    return (a + b) / 2, (b - a) / np.hypot(*(b - a))


def edge_points(blank):
    """The edge from heel to point in chords."""
    return np.array(flatten(Path(blank.curves.edge, closed=False), 0.01))


def bevelled(blank, state, part, begin, end):
    """A slab between two stations less its bevels, each the hull of its two sections."""
    for face in ground_faces(blank):
        hull = hull_of(begin, end, [removed(blank, state, float(x)) for x in (begin, end)], face)
        part = part ^ hull if blank.template.grind.bevel is Bevel.CONVEX else part - hull
    if begin >= swedge_whole(blank):
        for face in (1, -1):
            part -= hull_of(begin, end, [swedged(blank, float(x)) for x in (begin, end)], face)
    return part


def hull_of(begin, end, sections, face):
    """The hull of two sections (y, z), on the right face or mirrored."""
    corners = np.vstack([np.column_stack((np.full(len(s), x), s)) for x, s in zip((begin, end), sections, strict=True)])
    return Manifold.hull_points(corners * (1, 1, face))


def swedge_whole(blank):
    """The station from which the swedge has its whole height: it sets in over about a third of its length."""
    grind, length = blank.template.grind, blank.template.blade.length
    return length - 0.65 * grind.swedge if grind.swedge > 0 else np.inf


def swedged(blank, x):
    """Corners (y, z) of what the finished swedge takes off the right face."""
    grind = blank.template.grind
    _, high = span(blank, min(x, blank.template.blade.length - 1e-3))
    start = np.array((high, grind.swedge_spine / 2))
    stop = np.array((high - grind.swedge_height, half_at(blank, State.FINISHED, x)))
    beyond = start + (stop - start) * 3
    return np.array([(high + 5, start[1]), start, beyond, (high + 5, beyond[1])])


def removed(blank, state, x):
    """Corners (y, z) of what is taken off the right face at a station; of a convex bevel, of what is left of it."""
    grind, length = blank.template.grind, blank.template.blade.length
    finished, left = edges(blank, state)
    low, high = span(blank, min(max(x, blank.template.heel.ahead + 1e-6), length - 1e-3))
    settled = min(x, length - STATION)  # beyond, the angle stays
    there = span(blank, settled + 1e-6)
    up = there[1] - there[0]  # along an upright line; a height asked for is square to the edge
    up = up if grind.height is None else min(grind.height / rise(blank, settled), up)
    single = len(ground_faces(blank)) == 1
    bottom = finished - half_at(blank, State.FINISHED, settled) if single else finished / 2
    top = half_at(blank, State.FINISHED, settled)
    moved = (left - half_at(blank, state, x) if single else left / 2) - bottom
    start, stop = np.array((low, bottom + moved)), np.array((low + up, top + moved))
    if grind.bevel in (Bevel.FLAT, Bevel.SINGLE):
        beyond = start + (stop - start) * 3
        return np.array([start - (5, 0), start, beyond, (low - 5, beyond[1])])
    upright = rise(blank, x)  # an arc lies square to the edge: the section across the blade is that one stretched
    squared = [(at - (low, 0)) * (upright, 1) for at in (start, stop)]
    if grind.bevel is Bevel.HOLLOW:
        arc = disc(*squared, grind.wheel / 2)
    else:
        arc = bulging(*squared, radius(blank), (high - low) * upright)
    return arc / (upright, 1) + (low, 0)


def rise(blank, x):
    """Cosine of the edge's rise about a station, over half a millimetre."""
    points = np.array(flatten(Path(blank.curves.edge, closed=False), 0.0002))
    a, b = np.clip((x - 0.25, x + 0.25), points[0, 0], points[-1, 0])
    y = np.interp((a, b), points[:, 0], points[:, 1])
    return float((b - a) / np.hypot(b - a, y[1] - y[0]))


def disc(start, stop, wheel, count=241):
    """A wheel through two places, from outside, as a polygon."""
    chord = stop - start
    reach = (wheel**2 - chord @ chord / 4) ** 0.5
    middle = (start + stop) / 2 + reach * np.array((-chord[1], chord[0])) / np.linalg.norm(chord)
    turns = np.arctan2(*(start - middle)[::-1]) + np.linspace(-0.3, 0.3, count)
    return middle + wheel * np.column_stack((np.cos(turns), np.sin(turns)))


def radius(blank):
    """Of a convex bevel: the arc that stands out of its chord by the bulge at the heel."""
    grind = blank.template.grind
    low, high = span(blank, blank.template.heel.ahead + 1e-6)
    up = (high - low) * rise(blank, blank.template.heel.ahead) if grind.height is None else grind.height
    half = half_at(blank, State.FINISHED, blank.template.heel.ahead) - grind.edge_before_sharpening / 2
    chord = float(np.hypot(up, half))
    return ConstructionArc.from_3p(Vec2(0, 0), Vec2(chord, 0), Vec2(chord / 2, grind.bulge)).radius


def bulging(start, stop, bulge_radius, high):
    """What a convex bevel leaves of the right half of a section, run on straight beyond its grind line."""
    chord = stop - start
    reach = (bulge_radius**2 - chord @ chord / 4) ** 0.5
    middle = (start + stop) / 2 - reach * np.array((-chord[1], chord[0])) / np.linalg.norm(chord)
    first, last = (np.arctan2(*(p - middle)[::-1]) for p in (start, stop))
    turns = np.linspace(first, last, 60)
    rim = middle + bulge_radius * np.column_stack((np.cos(turns), np.sin(turns)))
    falls = np.array((np.sin(last), -np.cos(last)))
    on = stop + falls * (high + 5 - stop[0]) / falls[0]
    return np.vstack(((start[0], -FAR), rim, on, (on[0], -FAR)))


def section_area(pieces, x):
    """Area of the section at a station: the mesh laid on its side and sliced."""
    piece = next(p for p in reversed(pieces) if p.begin <= x)
    return piece.solid.rotate((0, -90, 0)).slice(x).area()


def edge_length(blank):
    """Length of the edge from heel to point."""
    return shapely.LineString(edge_points(blank)).length
