"""Parameters moved inside their ranges: the stated sizes, or a stop; never an exception."""

import numpy as np
import pytest
from hypothesis import example, given, settings
from shapely.geometry import LineString, Polygon

from tests.counts import tries
from tests.strategies import changes, made
from workbook.formats.family import family, family_ids
from workbook.formats.tables import facts
from workbook.geometry.path import flatten
from workbook.template.checks import check
from workbook.template.model import GROUPS, EdgeForm, FreePoint, OutlineRun, SpineForm, TangForm
from workbook.template.parameters import PARAMETERS, Kind, changed, of_group
from workbook.template.shape import shape
from workbook.template.tools import Tools, drills_for

MANY = tries(60, 20_000)
TOOLS = Tools(drills=drills_for(facts().drills, "in"))


def sound(template):
    """The shape, or None when a check says stop."""
    blank = shape(template, TOOLS)
    return None if any(p.severity == "stop" for p in check(blank, TOOLS)) else blank


@given(changes())
@example(("tanto-type", (("blade.edge_straight", 0.112),)))
@example(("bird-and-trout", (("point.spine", SpineForm.CLIP),)))
@example(("everyday-fixed-blade", (("heel.ahead", 0.0),)))
@example(("meat-cleaver", (("heel.ricasso", 0.684),)))
@example(("wharncliffe-utility", (("point.edge", EdgeForm.BELLY),)))
@example(("steak", (("blade.free", tuple(FreePoint(run=OutlineRun.SPINE, at=0.249, y=n / 100) for n in range(9))),)))
@settings(max_examples=MANY)
def test_a_template_is_sound_or_says_stop(moved):
    template = made(moved)
    blank = sound(template)
    if blank is not None:
        outline = Polygon(flatten(blank.outline))
        segments = blank.outline.segments
        assert all(a.end == b.start for a, b in zip(segments, segments[1:] + segments[:1], strict=True))
        assert outline.is_valid
        assert outline.exterior.is_ccw
        assert outline.area > 100


@given(changes())
@settings(max_examples=MANY // 2)
def test_a_sound_template_has_its_stated_lengths(moved):
    template = made(moved)
    blank = sound(template)
    if blank is not None:
        points = flatten(blank.outline, 0.001)
        stick = template.tang.form in (TangForm.HIDDEN, TangForm.STUB)
        behind = template.tang.length if stick else template.handle.length
        assert points[:, 0].max() == pytest.approx(template.blade.length, abs=0.01)
        assert points[:, 0].min() == pytest.approx(-behind, abs=0.01)


@given(changes())
@example(("drop-point-hunter", (("blade.spine_straight", 1.0),)))
@example(("camp-bowie", (("blade.spine_straight", 0.97),)))
@example(("boning", (("blade.edge_straight", 11 / 150),)))
@settings(max_examples=MANY // 2)
def test_a_sound_template_has_its_stated_height_above_the_heel(moved):
    template = made(moved)
    blank = sound(template)
    if blank is not None and template.heel.ahead > 0.1:
        x = template.heel.ahead
        ring = Polygon(flatten(blank.outline, 0.001)).exterior
        met = ring.intersection(LineString([(x, -400), (x, 400)]))
        heights = [y for part in getattr(met, "geoms", [met]) for _, y in part.coords]
        assert any(max(heights) - y == pytest.approx(template.blade.height, abs=0.01) for y in heights)


@given(changes(most=2))
def test_holes_are_marked_from_the_front_to_the_butt(moved):
    template = made(moved)
    blank = shape(template, TOOLS)
    along = [hole.centre[0] for hole in blank.holes]
    assert along == sorted(along, reverse=True)
    assert len({hole.mark for hole in blank.holes}) == len(blank.holes)


@pytest.mark.parametrize("name", family_ids())
def test_a_familys_parameters_lie_in_their_ranges(name):
    t = family(name)
    for p in PARAMETERS:
        value = p.value(t)
        if isinstance(value, (int, float)) and p.applies(t):
            low, high = p.limits(t)
            assert low <= value <= high, p.path


def test_every_parameter_says_what_it_means():
    assert all(p.label and p.meaning for p in PARAMETERS)
    assert len({p.path for p in PARAMETERS}) == len(PARAMETERS)


def test_the_list_of_parameters_is_that_of_the_template():
    t = family("petty")
    for group in GROUPS:
        names = set(getattr(t, group).__struct_fields__)
        assert {p.key for p in of_group(group)} == names - {"free"}  # places, not numbers


def test_choices_hold_a_word_and_the_rest_a_number():
    t = family("camp-bowie")
    for p in PARAMETERS:
        assert isinstance(p.value(t), str) == (p.kind in (Kind.CHOICE, Kind.TEXT)), p.path


def test_changing_one_parameter_leaves_the_others_alone():
    t = family("petty")
    longer = changed(t, "blade.length", 150.0)
    assert longer.blade.length == 150.0
    assert changed(longer, "blade.length", t.blade.length) == t


def test_an_unknown_group_is_a_key_error():
    with pytest.raises(KeyError):
        of_group("wings")


def test_a_longer_blade_keeps_its_handle():
    t = family("petty")
    before, after = shape(t, TOOLS), shape(changed(t, "blade.length", t.blade.length + 10), TOOLS)
    behind = [np.array([p for p in flatten(s.outline, 0.01) if p[0] < -0.01]) for s in (before, after)]
    assert np.allclose(*behind)
