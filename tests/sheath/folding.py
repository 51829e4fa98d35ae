"""A knife and its sheath put together by another way than the program's: the leather is walked round the knife with shapely."""

import numpy as np
import shapely
from shapely import affinity

from workbook.geometry.path import flatten
from workbook.grind.stations import finished_spine
from workbook.template.contour import section, thickness
from workbook.template.fittings import guard_of, guard_outline, lean, scale_outline
from workbook.template.handle import handle_outline, middle
from workbook.template.model import Template

FAR = 500.0


def silhouette(blank, throat):
    """The knife from the side, ahead of the throat."""
    template = blank.template
    outlines = [blank.outline, handle_outline(template.handle), scale_outline(template)]
    outlines += [guard_outline(template)] if guard_of(template) > 0 else []
    whole = shapely.union_all([shapely.Polygon(flatten(path)).buffer(0) for path in outlines])
    return whole.intersection(shapely.box(throat, -FAR, FAR, FAR))


def swept(shape, by, step):
    """What a shape passes over on its way out to the throat's side."""
    return shapely.union_all([affinity.translate(shape, xoff=-step * n) for n in range(int(by / step) + 1)])


def corners_at(blank, bar, x):
    """The corners of a knife's section, (n, 2) as y and z; its blade as thick at the edge as at the spine."""
    template: Template = blank.template
    line = shapely.LineString([(x, -FAR), (x, FAR)])
    corners = []
    cut = shapely.Polygon(flatten(blank.outline)).intersection(line)
    if not cut.is_empty:
        _x0, low, _x1, high = cut.bounds
        thick = float(finished_spine(template, np.array([x]), bar)[0])
        corners += [(y, side * thick / 2) for y in (low, high) for side in (-1, 1)]
    front = 0.0 if guard_of(template) > 0 else lean(template.handle)
    if x <= front:
        at = min(x, 0.0)
        points = flatten(section(template.handle, at), 0.005)
        corners += [(middle(template.handle, at) + y, z) for z, y in points]
        assert np.ptp(points[:, 0]) <= thickness(template.handle, at) + 1e-6
    own = template.fittings
    if -guard_of(template) <= x <= 0 < guard_of(template):
        high, wide = own.guard_height / 2, own.guard_width / 2
        corners += [(side * high - own.guard_drop, across * wide) for side in (-1, 1) for across in (-1, 1)]
    return corners


class Wrapped:
    """The middle of the leather round all of a knife that passes one place, and round the welt."""

    def __init__(self, passing, fold, edge, gap, thick):
        """`passing`: corners (n, 2), none ahead of the room; `fold`: y of its inside, None where both sides are joined there;
        `edge`: y of the lower and of the upper edge of the room."""
        low, high = edge
        ends = [(low, gap / 2), (low, -gap / 2)]
        ends += [(fold, 0.0)] if fold is not None else [(high, gap / 2), (high, -gap / 2)]
        ends += [] if passing else [(high, gap / 2), (high, -gap / 2)]  # there the welt reaches up to the fold
        hull = shapely.MultiPoint([*passing, *ends]).convex_hull
        flat = [shapely.box(low - FAR, -gap / 2 - 1e-9, low + 1e-6, gap / 2 + 1e-9)]
        flat += [] if fold is not None else [shapely.box(high - 1e-6, -gap / 2 - 1e-9, high + FAR, gap / 2 + 1e-9)]
        body = shapely.union_all([hull, *flat])
        ring = shapely.LineString(body.buffer(thick / 2, quad_segs=90).exterior.coords)
        top = shapely.Point(body.bounds[2] + thick / 2, 0.0)
        assert ring.distance(top) < 1e-3  # chords of the leather's bend
        along = np.array(ring.coords)[:-1]
        begin = ring.project(top)
        order = np.argsort([(ring.project(shapely.Point(at)) - begin) % ring.length for at in along], kind="stable")
        way = np.array([top.coords[0], *along[order], top.coords[0]])
        self.ring = way if way[2, 1] > 0 else way[::-1]

    def walked(self, distance, side):
        """Where the leather is at a distance from its highest place, on one side (1 or -1): y and z."""
        way = self.ring if side > 0 else self.ring[::-1]
        return shapely.LineString(way).interpolate(distance).coords[0]

    def down_to(self, y):
        """How far the leather is from its highest place down to a height, on one side."""
        below = int(np.argmax(self.ring[:, 0] <= y))
        (y0, z0), (y1, z1) = self.ring[below - 1 : below + 1]
        share = (y0 - y) / (y0 - y1)
        return float(shapely.LineString([*self.ring[:below], (y, z0 + share * (z1 - z0))]).length)
