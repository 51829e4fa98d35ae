"""Curves, arcs, hulls and layouts worked out by other libraries.

What is slow to load is imported where it is used: every worker collects all tests.
"""

from math import radians

import numpy as np
import pytest
from ezdxf import units
from ezdxf.math import BoundingBox2d, ConstructionArc, bulge_to_arc
from fontTools.misc.bezierTools import calcCubicArcLength, calcCubicBounds, cubicPointAtT
from reportlab.lib import pagesizes
from shapely import Polygon

from tests.external.blanks import blank_of
from workbook.formats.dxf_in import TO_MM
from workbook.formats.family import family, family_ids
from workbook.geometry.path import Arc, Bezier, Path, arc_circle, bezier_at, bounds, curvature, flatten, path_length
from workbook.geometry.polygon import edge_distance, hull, lower_hull
from workbook.geometry.polygon import polygon as filled
from workbook.geometry.spline import spline
from workbook.nesting import sections
from workbook.nesting.bounds import Offer, least_price
from workbook.nesting.model import written
from workbook.sheets.paper import PAPERS
from workbook.tasks.exports.cutting import cut_dxf
from workbook.template.shape import shape
from workbook.units import INCH

CURVES = [
    Bezier((0.0, 0.0), (30.0, 40.0), (60.0, -35.0), (90.0, 10.0)),
    Bezier((5.0, 1.0), (5.0, 21.0), (25.0, 30.0), (60.0, 30.0)),
    Bezier((0.0, 0.0), (80.0, 25.0), (-20.0, 25.0), (60.0, 0.0)),
]
ARCS = [Arc((0.0, 0.0), (10.0, 2.0), 0.3), Arc((3.0, 4.0), (-7.0, 1.0), -0.9), Arc((0.0, 0.0), (0.0, 6.0), 1.7)]


def outlines():
    """Outlines of some families, as corners."""
    return [np.asarray(flatten(blank_of(name).outline, 0.05)) for name in family_ids()[::4]]


@pytest.mark.outside("fontTools: length, bounds and points of cubic Beziers")
@pytest.mark.parametrize("curve", CURVES)
def test_a_bezier_is_as_long_and_reaches_as_far_as_another_library_says(curve):
    points = (curve.start, curve.c1, curve.c2, curve.end)
    path = Path((curve,), closed=False)
    assert path_length(path) == pytest.approx(calcCubicArcLength(*points, tolerance=1e-6), abs=2e-3)
    assert bounds(path) == pytest.approx(calcCubicBounds(*points), abs=1e-9)
    places = [0.0, 0.13, 0.5, 0.77, 1.0]
    for found, t in zip(bezier_at(curve, places), places, strict=True):
        assert found == pytest.approx(cubicPointAtT(*points, t), abs=1e-9)


@pytest.mark.outside("scipy.interpolate: first and second derivative of the same curve in Bernstein form")
@pytest.mark.parametrize("curve", CURVES[:2])
def test_a_bezier_bends_as_its_derivatives_say(curve):
    from scipy.interpolate import BPoly

    whole = BPoly(np.array([curve.start, curve.c1, curve.c2, curve.end])[:, None, :], [0, 1])
    t = np.linspace(0.05, 0.95, 19)
    (x1, y1), (x2, y2) = whole(t, nu=1).T, whole(t, nu=2).T
    assert curvature(curve, t) == pytest.approx((x1 * y2 - y1 * x2) / np.hypot(x1, y1) ** 3, abs=1e-9)


@pytest.mark.outside("scipy.interpolate.CubicSpline with both end slopes given")
def test_a_spline_is_the_clamped_cubic_spline():
    from scipy.interpolate import CubicSpline

    points = [(0.0, 1.0), (12.0, 3.5), (20.0, 3.0), (45.0, -2.0), (60.0, 0.0)]
    other = CubicSpline(*zip(*points, strict=True), bc_type=((1, 0.2), (1, -0.1)))
    for piece in spline(points, 0.2, -0.1):
        x, y = np.array(bezier_at(piece, np.linspace(0, 1, 21).tolist())).T
        assert y == pytest.approx(other(x), abs=1e-9)


@pytest.mark.outside("ezdxf: centre, radius and extent of the arc of a bulge")
@pytest.mark.parametrize("arc", ARCS)
def test_an_arc_of_a_bulge_is_the_one_another_library_makes(arc):
    centre, first, last, radius = bulge_to_arc(arc.start, arc.end, arc.bulge)
    assert arc_circle(arc) == (pytest.approx((centre.x, centre.y)), pytest.approx(radius))
    other = ConstructionArc(centre, radius, np.degrees(first), np.degrees(last))
    box = BoundingBox2d(other.vertices(other.angles(20_000)))
    assert bounds(Path((arc,), closed=False)) == pytest.approx((*box.extmin, *box.extmax), abs=1e-5)
    swept = (last - first) % (2 * np.pi)
    assert path_length(Path((arc,), closed=False)) == pytest.approx(swept * radius)


@pytest.mark.outside("scipy.spatial.ConvexHull (Qhull)")
def test_hulls_are_those_of_another_library():
    from scipy.spatial import ConvexHull

    for corners in outlines():
        other = ConvexHull(corners)
        assert hull(Polygon(corners)).area == pytest.approx(other.volume, rel=1e-9)
        chain = lower_hull(corners)
        lowest = {tuple(corners[i]) for i in other.vertices}
        assert {tuple(p) for p in chain} <= lowest
        below = np.interp(corners[:, 0], chain[:, 0], chain[:, 1])
        assert (corners[:, 1] >= below - 1e-9).all()


@pytest.mark.outside("manifold3d (Clipper2): area of the outline with an opening cut out")
def test_sections_across_a_blank_have_the_area_of_another_library():
    from manifold3d import CrossSection, FillRule

    for corners in outlines():
        opening = corners.mean(axis=0) + np.array([(0, 0), (3, 0), (3, 2), (0, 2)])
        whole = CrossSection([corners], FillRule.EvenOdd) - CrossSection([opening], FillRule.EvenOdd)
        inside = CrossSection([opening], FillRule.EvenOdd) - CrossSection([corners], FillRule.EvenOdd)
        if inside.area() == 0:  # it lies within
            assert sections.area(*sections.sections(corners, opening)) == pytest.approx(whole.area(), rel=1e-6)
        assert sections.area(*sections.sections(corners)) == pytest.approx(
            CrossSection([corners], FillRule.EvenOdd).area(), rel=1e-6
        )


@pytest.mark.outside("scipy.spatial.cKDTree: the nearest of places every hundredth of a mm along the outline")
def test_a_holes_distance_from_the_edge_is_that_of_its_nearest_place():
    from scipy.spatial import cKDTree

    path = blank_of("petty").outline
    ring = filled(path).exterior
    tree = cKDTree([ring.interpolate(s).coords[0] for s in np.arange(0, ring.length, 0.01)])
    for at in ((-60.0, -8.0), (-20.0, -10.0), (30.0, -9.0)):
        assert abs(edge_distance(path, at)) == pytest.approx(tree.query(at)[0], abs=1e-4)


@pytest.mark.outside("manifold3d (Clipper2): blanks grown by half the separation, and what they have in common")
def test_no_two_blanks_of_a_layout_come_nearer_than_the_separation(laid_demo):
    from manifold3d import CrossSection, FillRule, JoinType

    job = laid_demo.nesting
    for use in laid_demo.layout.bars:
        stock = job.stock[use.stock]
        drawn = [CrossSection([np.asarray(written(job, piece))], FillRule.NonZero) for piece in use.pieces]
        grown = [one.offset(job.separation / 2 - 1e-3, JoinType.Round, 2.0, 512) for one in drawn]
        for i, one in enumerate(grown):
            assert sum((one ^ other).area() for other in grown[i + 1 :]) == 0
        x0, y0, x1, y1 = np.array([one.bounds() for one in drawn]).T
        edge = job.bar_edge if stock.edge is None else stock.edge
        assert x0.min() >= job.bar_end - 1e-4
        assert x1.max() <= stock.length - job.bar_end + 1e-4
        assert y0.min() >= edge - 1e-4
        assert y1.max() <= stock.width - edge + 1e-4


@pytest.mark.outside("scipy.optimize.milp: whole bars of enough room for the least price")
@pytest.mark.parametrize("area", [900.0, 4000.0, 7100.0])
def test_the_least_price_of_enough_room_is_that_of_a_whole_number_programme(area):
    from scipy.optimize import Bounds, LinearConstraint, milp

    offers = [Offer(31.0, 1450.0, 2), Offer(17.5, 800.0, 3), Offer(12.0, 500.0, None), Offer(0.0, 350.0, 1)]
    room, price = [o.room for o in offers], [o.price for o in offers]
    most = [np.inf if o.count is None else o.count for o in offers]
    best = milp(price, constraints=LinearConstraint([room], lb=area), integrality=1, bounds=Bounds(0, most))
    assert least_price(offers, area) == pytest.approx(best.fun)


@pytest.mark.outside("ezdxf.enums: the unit of each $INSUNITS; scipy.constants: what it is in metres")
def test_drawing_units_are_those_of_another_library():
    from scipy import constants  # it takes a moment, and every worker collects all tests

    metric = {"Millimeters": constants.milli, "Centimeters": constants.centi, "Decimeters": constants.deci, "Meters": 1.0}
    inches = {"Inches": constants.inch, "Feet": constants.foot, "Mils": constants.mil, "Microinches": 1e-6 * constants.inch}
    metres = {**metric, **inches, "Microns": constants.micron}
    for code, mm in TO_MM.items():
        assert mm == pytest.approx(1000 * metres[units.InsertUnits(code).name], rel=1e-12)


@pytest.mark.outside("DXF reference, $INSUNITS: 4 is millimetres, 1 inches; read by ezdxf")
def test_a_cutting_file_says_that_it_is_in_millimetres(tools):
    import io

    import ezdxf

    read = ezdxf.read(io.StringIO(cut_dxf(shape(family("petty"), tools))))
    assert (read.header["$INSUNITS"], read.header["$MEASUREMENT"]) == (4, 1)
    assert units.decode(read.header["$INSUNITS"]) == "mm"
    assert units.decode(1) == "in"


@pytest.mark.outside("reportlab.lib.pagesizes: ISO and ANSI papers in points")
def test_papers_have_the_sizes_another_library_has():
    others = {
        "a4": pagesizes.A4,
        "a3": pagesizes.A3,
        "letter": pagesizes.LETTER,
        "legal": pagesizes.LEGAL,
        "tabloid": pagesizes.TABLOID,
    }
    for name, paper in PAPERS.items():
        if name in others:
            assert sorted((paper.width, paper.height)) == pytest.approx(sorted(p / 72 * INCH for p in others[name]), abs=0.01)
    assert {"a4", "letter"} <= set(PAPERS)


@pytest.mark.outside("shapely (GEOS): a turned and mirrored outline, by its affine transformations")
def test_a_placed_blank_is_the_outline_turned_by_another_library():
    from shapely.affinity import rotate, scale, translate

    from workbook.geometry.path import Placement

    corners = outlines()[0]
    for mirrored in (False, True):
        where = Placement(120.0, 17.0, radians(11.0), mirrored)
        other = scale(Polygon(corners), yfact=-1.0 if mirrored else 1.0, origin=(0, 0))
        other = translate(rotate(other, 11.0, origin=(0, 0)), 120.0, 17.0)
        assert Polygon(where.points(corners)).symmetric_difference(other).area < 1e-6
