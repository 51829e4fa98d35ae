"""Guard, bolsters and liners: the scale they leave, and what is checked of them."""

from math import radians, tan

import pytest
import shapely

from workbook.formats.family import family
from workbook.formats.tables import facts
from workbook.geometry.polygon import polygon
from workbook.structs import replace
from workbook.template.checks import check
from workbook.template.contour import thickness
from workbook.template.fittings import bolster_outline, bolster_wanted, guard_outline, scale_outline, scale_wanted
from workbook.template.handle import handle_outline
from workbook.template.model import Fittings, HoleWish, Purpose, Template
from workbook.template.parameters import changed
from workbook.template.shape import shape
from workbook.template.tools import Tools

TOOLS = Tools(drills=facts().drills)
HUNTER = family("drop-point-hunter")


def fitted(**sizes: float) -> Template:
    return replace(HUNTER, fittings=Fittings(**sizes))


def told(template):
    return {problem.what for problem in check(shape(template, TOOLS), TOOLS)}


@pytest.mark.parametrize("angle", [90.0, 75.0, 110.0])
def test_scale_and_bolster_make_the_handle_behind_the_guard(angle):
    template = changed(fitted(guard=3.0, bolster=14.0), "handle.front_angle", angle)
    scale, bolster = (polygon(outline, 0.005) for outline in (scale_outline(template), bolster_outline(template)))
    whole = polygon(handle_outline(template.handle), 0.005).intersection(shapely.box(-300, -60, -3, 60))
    assert scale.intersection(bolster).area == pytest.approx(0.0, abs=0.01)
    assert scale.union(bolster).symmetric_difference(whole).area < 0.6
    upper = max(x for x, y in scale.exterior.coords if abs(y - template.handle.front / 2) < 0.5)
    assert upper == pytest.approx(-17.0 + template.handle.front / 2 / tan(radians(angle)), abs=0.2)


def test_liners_make_scales_thinner_and_each_part_is_as_thick_as_the_contour_there():
    bar = HUNTER.blade.thickness
    assert scale_wanted(fitted(liner=0.8), bar) == pytest.approx(scale_wanted(HUNTER, bar) - 0.8)
    ahead = [thickness(HUNTER.handle, -0.1 * n) for n in range(151)]
    assert bolster_wanted(fitted(bolster=15.0), bar) == pytest.approx((max(ahead) - bar) / 2, abs=0.02)
    hidden = replace(family("puukko-type"), fittings=Fittings(liner=0.8))
    assert scale_wanted(hidden, bar) == scale_wanted(family("puukko-type"), bar)  # a hidden tang has no liner


def test_a_guard_stands_at_the_handle_front():
    assert guard_outline(HUNTER) is None
    guard = guard_outline(fitted(guard=4.0, guard_height=50.0, guard_drop=6.0))
    assert polygon(guard).bounds == (-4.0, -31.0, 0.0, 19.0)


def test_what_does_not_go_together_is_told():
    assert "the bolsters are thinner than the contour needs" in told(fitted(bolster=12.0, bolster_thickness=2.0))
    assert "the handle stands above or below the guard" in told(fitted(guard=4.0, guard_height=20.0))
    assert "the handle is wider than the guard" in told(fitted(guard=4.0, guard_width=8.0))
    pin = HoleWish(purpose=Purpose.PIN, size=4.7625, x=-12.0, y=0.0)
    template = replace(fitted(bolster=12.0), holes=(pin,))
    assert "P1 lies across a joint of the handle" in told(template)
    assert "P1 lies across a joint of the handle" not in told(replace(template, fittings=Fittings()))
    in_guard = replace(fitted(guard=20.0), holes=(replace(pin, x=-10.0),))
    assert "P1 lies in the guard" in told(in_guard)
    good = fitted(guard=4.0, guard_height=45.0, guard_width=22.0, bolster=8.0, bolster_thickness=12.0, liner=0.8)
    assert told(good) - told(HUNTER) == set()


@pytest.mark.parametrize("angle", [45.0, 135.0])
@pytest.mark.parametrize(("length", "front"), [(50.0, 27.0), (80.0, 40.0), (80.0, 60.0), (114.3, 27.0)])
def test_any_fittings_within_the_limits_give_outlines_or_are_stopped(angle, length, front):
    base = changed(changed(changed(HUNTER, "handle.length", length), "handle.front", front), "handle.front_angle", angle)
    for guard in (0.0, 5.0, 25.0):
        for bolster in (0.0, 8.0, length / 2):
            template = replace(base, fittings=Fittings(guard=guard, bolster=bolster))
            scale = polygon(scale_outline(template))
            stopped = "guard and bolsters leave too little of the scales" in told(template)
            assert stopped or scale.bounds[2] <= (-guard if guard else 1e9) + 1e-6  # no scale runs through a guard
            bolster_outline(template)


def test_what_leaves_no_scale_is_stopped():
    thin = HUNTER
    for key in ("thick_front", "thick_palm", "thick_butt"):
        thin = changed(thin, f"handle.{key}", 9.0)
    assert "tang and liners leave too little of the scales' thickness" in told(replace(thin, fittings=Fittings(liner=3.0)))
    bare = replace(changed(HUNTER, "handle.material", "none"), fittings=Fittings(guard=6.0, bolster=15.0))
    assert "a handle without scales has no guard, bolsters or liners" in told(bare)
    assert (guard_outline(bare), bolster_outline(bare)) == (None, None)
    hidden = replace(family("puukko-type"), fittings=Fittings(guard=6.0, bolster=20.0))
    assert bolster_outline(hidden) is None  # a pair of bolsters is riveted to a full tang
    assert polygon(scale_outline(hidden)).bounds[2] == pytest.approx(-6.0)


def test_a_pin_on_a_leaning_joint_is_told():
    template = changed(fitted(bolster=20.0, bolster_thickness=12.0), "handle.front_angle", 45.0)
    on_it = HoleWish(purpose=Purpose.PIN, size=4.7625, x=-13.0, y=7.0)  # 45 degrees: 7 up is 7 ahead
    assert "P1 lies across a joint of the handle" in told(replace(template, holes=(on_it,)))
    assert "P1 lies across a joint of the handle" not in told(replace(template, holes=(replace(on_it, x=-40.0),)))
