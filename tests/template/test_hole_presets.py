"""Usual sets of pins and bolts, on every family."""

import pytest

from tests.counts import some
from workbook.formats.family import family, family_ids
from workbook.formats.tables import facts
from workbook.problems import Severity
from workbook.structs import replace
from workbook.template.checks import check
from workbook.template.hole_edits import with_hole
from workbook.template.hole_presets import HolePreset, with_preset
from workbook.template.model import Fittings, Purpose, TangForm
from workbook.template.parameters import changed
from workbook.template.preset_fit import presets_of
from workbook.template.shape import shape
from workbook.template.tools import Tools
from workbook.units import INCH

TOOLS = Tools(drills=facts().drills)
SIZES = {Purpose.BOLT: 3 / 16 * INCH, Purpose.PIN: INCH / 8, Purpose.LANYARD: INCH / 4, Purpose.EPOXY: INCH / 4}
STEP = INCH / 16


def stops(template):
    return {p.what for p in check(shape(template, TOOLS), TOOLS) if p.severity is Severity.STOP}


def counts(template):
    found = shape(template, TOOLS).holes
    return {purpose: n for purpose in Purpose if (n := sum(hole.purpose is purpose for hole in found))}


@pytest.mark.parametrize("name", some(family_ids(), 6))
def test_every_set_fits_every_family_and_leaves_the_steel_beside_it(name):
    template = family(name)
    offered = presets_of(shape(template, TOOLS), TOOLS, SIZES, STEP)
    assert offered or name == "kiridashi"  # which has no scales to pin
    for preset in offered:
        after = with_preset(shape(template, TOOLS), preset, SIZES, STEP)
        assert stops(after) <= stops(template), preset
        there = counts(after)
        hidden = template.tang.form in (TangForm.HIDDEN, TangForm.STUB)
        assert (preset is HolePreset.ONE_PIN) is hidden
        wanted = {
            HolePreset.TWO_PINS: (2, 0, 0), HolePreset.THREE_PINS: (3, 0, 0), HolePreset.PINS_AND_TUBE: (2, 0, 1),
            HolePreset.TWO_BOLTS: (0, 2, 0), HolePreset.THREE_BOLTS: (0, 3, 0), HolePreset.ONE_PIN: (1, 0, 0),
        }[preset]  # fmt: skip
        assert tuple(there.get(p, 0) for p in (Purpose.PIN, Purpose.BOLT, Purpose.LANYARD)) == wanted


def test_a_set_keeps_sizes_and_epoxy_holes_and_pins_the_bolsters():
    petty = family("petty")  # bolts of 3/16, a pin of 1/8, an epoxy hole
    after = with_preset(shape(petty, TOOLS), HolePreset.TWO_PINS, {**SIZES, Purpose.PIN: 6.0}, STEP)
    assert {hole.size for hole in shape(after, TOOLS).holes if hole.purpose is Purpose.PIN} == {3.175}
    assert counts(after)[Purpose.EPOXY] == 1
    listed = with_hole(shape(petty, TOOLS), Purpose.EPOXY, 6.35, 3.2)
    epoxy = [hole.centre for hole in shape(listed, TOOLS).holes if hole.purpose is Purpose.EPOXY]
    kept = shape(with_preset(shape(listed, TOOLS), HolePreset.THREE_BOLTS, SIZES, STEP), TOOLS).holes
    assert [hole.centre for hole in kept if hole.purpose is Purpose.EPOXY] == epoxy
    assert sum(hole.purpose is Purpose.BOLT for hole in kept) == 3
    bolstered = replace(family("drop-point-hunter"), fittings=Fittings(guard=4.0, bolster=12.0))
    pins = shape(with_preset(shape(bolstered, TOOLS), HolePreset.TWO_PINS, SIZES, STEP), TOOLS).holes
    assert [hole.purpose for hole in pins] == [Purpose.PIN] * 3
    assert pins[0].centre[0] == pytest.approx(-10.0)  # half-way along the bolster
    assert all(hole.centre[0] < -16.0 - 11.0 + 1e-9 for hole in pins[1:])
    behind = [-hole.centre[0] - 16.0 for hole in pins[1:]]
    assert behind[0] / STEP == pytest.approx(round(behind[0] / STEP))


def test_only_sets_that_fit_are_offered():
    """Three bolts on a handle of 60 mm behind bolsters of 30 run into each other."""
    hunter = family("drop-point-hunter")
    assert HolePreset.THREE_BOLTS in presets_of(shape(hunter, TOOLS), TOOLS, SIZES, STEP)
    short = replace(changed(hunter, "handle.length", 60.0), fittings=Fittings(bolster=30.0))
    assert HolePreset.THREE_BOLTS not in presets_of(shape(short, TOOLS), TOOLS, SIZES, STEP)
    thin = replace(hunter, fittings=Fittings(bolster=4.0))  # no pin goes through bolsters of 4 mm
    assert counts(with_preset(shape(thin, TOOLS), HolePreset.TWO_PINS, SIZES, STEP))[Purpose.PIN] == 2
