"""A template scaled as a whole or in part; reset; what differs."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import fields

from workbook.formats.family import family, family_ids
from workbook.formats.tables import facts
from workbook.geometry.polygon import polygon
from workbook.grind.checks import GroundFrom, check_grind
from workbook.structs import replace
from workbook.template.checks import check
from workbook.template.model import Template
from workbook.template.parameters import changed
from workbook.template.resizing import ScaledPart, Taken, differences, in_inches, length_of, reset, scaled, with_part
from workbook.template.shape import shape
from workbook.template.tools import Tools, drills_for
from workbook.units import INCH


@pytest.mark.parametrize("name", family_ids())
def test_a_whole_knife_scaled_is_similar(name, tools):
    """Areas of similar figures are as the squares of their lengths; what tools decide (notch, guard, shoulder) stays its size."""
    base = family(name)
    large = scaled(base, ScaledPart.WHOLE, 1.06 * length_of(base, ScaledPart.WHOLE))
    assert length_of(large, ScaledPart.WHOLE) == pytest.approx(1.06 * length_of(base, ScaledPart.WHOLE))
    areas = [polygon(shape(t, tools).outline).area for t in (base, large)]
    assert areas[1] / areas[0] == pytest.approx(1.06**2, rel=0.004)
    assert large.blade.thickness == base.blade.thickness
    holes = [shape(t, tools).holes for t in (base, large)]
    assert [h.centre[0] * 1.06 for h in holes[0] if h.purpose != "epoxy"] == pytest.approx(
        [h.centre[0] for h in holes[1] if h.purpose != "epoxy"], abs=0.05
    )


@given(name=st.sampled_from(family_ids()), factor=st.floats(0.7, 1.4), part=st.sampled_from(ScaledPart), heights=st.booleans())
def test_a_part_scaled_has_the_length_asked_for_and_the_other_stays(name, factor, part, heights):
    base = family(name)
    try:
        made = scaled(base, part, factor * length_of(base, part), heights=heights)
    except ValueError as trouble:
        assert "out of its range" in str(trouble)
        return
    assert length_of(made, part) == pytest.approx(factor * length_of(base, part))
    if part is ScaledPart.BLADE:
        assert (made.handle, made.holes, made.patterns) == (base.handle, base.holes, base.patterns)
    if part is ScaledPart.HANDLE:
        assert (made.blade, made.point, made.heel) == (base.blade, base.point, base.heel)
    if not heights:
        assert (made.blade.height, made.handle.palm) == (base.blade.height, base.handle.palm)
    back = scaled(made, part, length_of(base, part), heights=heights)
    assert back.blade.length == pytest.approx(base.blade.length)
    assert back.handle.front == pytest.approx(base.handle.front)


def test_what_goes_out_of_range_is_said():
    with pytest.raises(ValueError, match="out of its range"):
        scaled(family("petty"), ScaledPart.BLADE, 900.0)


def test_reset_and_differences():
    base = family("petty")
    moved = replace(changed(changed(base, "blade.length", 150.0), "handle.palm", 30.0), name="Mine", holes=())
    assert [(p.path, was, now) for p, was, now in differences(base, moved)] == [
        ("blade.length", base.blade.length, 150.0),
        ("handle.palm", base.handle.palm, 30.0),
    ]
    assert reset(moved, base, "blade").blade == base.blade
    assert reset(moved, base, "blade").handle == moved.handle
    assert reset(moved, base, "holes").holes is None
    assert reset(moved, base) == replace(base, name="Mine")


@given(name=st.sampled_from(family_ids()), other=st.sampled_from(family_ids()), part=st.sampled_from(Taken))
def test_a_part_of_another_is_taken_whole_or_refused(name, other, part):
    base, from_ = family(name), family(other)
    try:
        made = with_part(base, from_, part)
    except ValueError as refused:
        assert "out of its range" in str(refused)
        return
    took = {"handle": {"handle", "tang", "patterns", "holes"}, "blade": {"blade", "point", "heel"}, "grind": {"grind"}}[part]
    for field in fields(Template):
        wanted = getattr(from_ if field.name in took else base, field.name)
        if field.name == "blade" and part is Taken.BLADE:
            wanted = replace(wanted, thickness=base.blade.thickness)
        assert getattr(made, field.name) == wanted


@pytest.mark.parametrize("name", family_ids())
def test_a_family_in_inches_has_sizes_of_an_inch_rule_and_nothing_to_say(name):
    made = in_inches(family(name))
    short = made.blade.length < 2 * INCH
    for mm, parts in (
        (made.blade.length, 8 if short else 4),
        (made.blade.length + made.handle.length, 8 if short else 4),
        (made.blade.height, 16),
        *((getattr(made.handle, key), 16) for key in ("front", "waist", "palm", "neck", "butt")),
    ):
        assert mm / INCH * parts == pytest.approx(round(mm / INCH * parts))
    for before, after in ((family(name).blade.length, made.blade.length), (family(name).handle.length, made.handle.length)):
        assert abs(before - after) <= INCH / 4
    assert any(made.blade.thickness == pytest.approx(n * INCH / 64) for n in (4, 5, 6, 8, 10, 12, 16))
    assert made.blade.thickness == pytest.approx(family(name).blade.thickness, rel=0.16)
    blank = shape(made, Tools(drills=drills_for(facts().drills, "in")))
    assert not check(blank, Tools(drills=drills_for(facts().drills, "in")))
    assert not check_grind(blank, GroundFrom(bar=blank.thickness))
