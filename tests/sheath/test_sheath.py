"""Sheaths put together: holes meet with the leather's own thickness, the knife goes in and slides out touching nothing."""

from itertools import pairwise
from math import pi, sqrt

import numpy as np
import pytest
import shapely
from shapely import affinity

from tests.counts import some
from tests.grind.test_stations import blank_of
from tests.sheath.folding import Wrapped, corners_at, silhouette, swept
from workbook.geometry.path import Arc, Line, flatten, path_length
from workbook.sheath.fields import RULES
from workbook.sheath.pattern import NoSheath, sheath_pattern
from workbook.sheath.room import bent
from workbook.sheath.rules import SheathForm, SheathHand, SheathOf, SheathRules
from workbook.structs import replace
from workbook.units import INCH

SIX = ["drop-point-hunter", "camp-bowie", "chefs", "puukko-type", "skinner", "guarded"]
BOTH = list(SheathForm)
BAR = 4.0
MEET = 0.2  # mm: holes may miss each other by this


def knife(name):
    """A family's knife; `guarded`: with a guard wider and higher than its handle."""
    if name != "guarded":
        return blank_of(name)
    return blank_of(
        "camp-bowie", fittings__guard=6.0, fittings__guard_height=52.0, fittings__guard_drop=3.0, fittings__guard_width=24.0
    )


def pattern_of(name, **rules):
    return sheath_pattern(knife(name), BAR, SheathRules(**rules))


def piece(pattern, key):
    return next(piece for piece in pattern.pieces if piece.key == key)


def area(path):
    return shapely.Polygon(flatten(path, 0.002))


def edge_at(line, x):
    """The y of an edge of the room at x."""
    points = flatten(line)
    return float(np.interp(x, points[:, 0], points[:, 1]))


def passing(blank, x, end):
    """All corners of the knife that pass a place."""
    return [corner for at in np.arange(x, end + 0.5, 0.5) for corner in corners_at(blank, BAR, at)]


def line_of(pattern, of):
    """The holes along the edge of a piece, without drain hole and belt loop."""
    return np.array([hole.at for hole in piece(pattern, of).holes[: len(pattern.line)]])


@pytest.mark.parametrize("name", some(SIX, 2))
def test_the_holes_of_both_sides_meet_when_it_is_folded_round_the_knife(name):
    """The holes of each side are walked to round the knife from the fold; then both, and the welt's, lie at one height."""
    blank, pattern = knife(name), pattern_of(name)
    room, rules, body = pattern.room, pattern.rules, piece(pattern, "body")
    holes = np.array([hole.at for hole in body.holes if hole.size == rules.hole][: 2 * len(pattern.line)])
    left, right = holes[: len(pattern.line)], holes[len(pattern.line) :]
    toe = float(room.x[-1])
    fold = flatten(body.fold)
    assert np.ptp(fold[:, 1]) == 0
    welt = [hole.at for hole in piece(pattern, "welt").holes]
    met, ahead = 0, 0
    for n, ((x, over), (also, under)) in enumerate(zip(left, right, strict=True)):
        assert x == also
        if x <= toe and n % 3:
            continue
        edge = float(room.low[np.argmin(np.abs(room.x - x))]) if x <= toe else room.top - 0.1
        corners = passing(blank, x, blank.curves.point[0]) if x <= toe else []
        if x <= toe and not corners:
            continue  # between the point and the room's end there is only the drain hole
        leather = Wrapped(corners, room.top, (edge, room.top), room.gap, rules.leather)
        high, low = (leather.walked(abs(hole - fold[0, 1]), side) for hole, side in ((over, 1), (under, -1)))
        assert high[0] == pytest.approx(low[0], abs=MEET)
        assert high[1] == pytest.approx(-low[1], abs=MEET)
        assert high[1] == pytest.approx((room.gap + rules.leather) / 2, abs=0.05)  # flat on the welt
        if n >= len(welt):
            break  # in the bend
        assert welt[n][0] == pytest.approx(x)
        slack = welt[n][1] - high[0]  # where girth goes over into girth there is more leather than is needed
        assert slack > -0.05
        met += 1
        if 50 < x < toe - 25 or x < -15:
            assert slack < 0.75  # and elsewhere hardly more
        if x > toe:
            assert slack < 0.1
            ahead += 1
    assert met > 5
    assert ahead > 2


@pytest.mark.parametrize("form", BOTH)
@pytest.mark.parametrize("name", some(SIX, 2))
def test_the_handle_fits_the_throat_and_the_blade_what_is_behind_it(name, form):
    """The leather from seam to seam is nowhere shorter than the way round all that passes there."""
    blank, pattern = knife(name), pattern_of(name, form=form)
    room, rules = pattern.room, pattern.rules
    for x in np.linspace(room.throat, blank.curves.point[0], 12):
        n = int(np.argmin(np.abs(room.x - x)))
        low, high = room.low[n], room.high[n]
        fold = room.top if form is SheathForm.FOLDED else None
        leather = Wrapped(passing(blank, room.x[n], blank.curves.point[0]), fold, (low, high), room.gap, rules.leather)
        edges = piece(pattern, "body" if fold is not None else "front").edges
        if fold is not None:
            there = abs(edge_at(edges[0], room.x[n]))
            assert there >= leather.down_to(low) - 0.05
            continue
        points = flatten(edges[0])
        turn = int(np.argmax(points[:, 0]))
        lower, upper = (np.interp(room.x[n], *np.transpose(part)) for part in (points[: turn + 1], points[turn:][::-1]))
        assert upper - lower >= leather.down_to(low) - leather.down_to(high) - 0.05


@pytest.mark.parametrize("form", BOTH)
@pytest.mark.parametrize("name", some(SIX, 4))
def test_the_knife_slides_out_touching_neither_welt_nor_stitches(name, form):
    blank, pattern = knife(name), pattern_of(name, form=form)
    rules, welt = pattern.rules, piece(pattern, "welt")
    seen = silhouette(blank, pattern.room.throat)
    way = swept(seen, blank.curves.point[0] - pattern.room.throat + 5, 0.5)
    assert way.intersection(area(welt.outline)).area == 0
    assert way.distance(area(welt.outline)) == pytest.approx(rules.clearance, abs=0.4)  # and it is not a sack either
    stitches = shapely.MultiPoint([hole.at for hole in welt.holes])
    assert way.distance(stitches) > rules.clearance + rules.welt - rules.inset - 0.3
    assert seen.bounds[2] + rules.drain <= pattern.room.side.bounds[2]


@pytest.mark.parametrize("name", SIX)
def test_two_pieces_lie_on_each_other_and_on_their_welt(name):
    """The back is the front in a mirror; every hole of the welt is as far from the room as the back's there."""
    pattern = pattern_of(name, form=SheathForm.FLAT)
    back, front, welt = (line_of(pattern, key) for key in ("back", "front", "welt"))
    assert front * (1, -1) == pytest.approx(back)
    assert area(piece(pattern, "front").outline).area == pytest.approx(area(piece(pattern, "back").outline).area)
    assert welt[:, 0] == pytest.approx(front[:, 0])
    edge, inner = shapely.LineString(flatten(piece(pattern, "front").edges[0])), area(piece(pattern, "welt").outline).exterior
    off = [edge.distance(shapely.Point(at)) for at in front]
    assert off == pytest.approx([pattern.rules.line] * len(off), abs=0.05)
    there = np.array([inner.distance(shapely.Point(at)) for at in welt])
    assert (there > pattern.rules.stitch_hole).all()


@pytest.mark.parametrize("form", BOTH)
@pytest.mark.parametrize("name", SIX)
def test_holes_are_even_and_whole(name, form):
    pattern = pattern_of(name, form=form)
    rules = pattern.rules
    apart = [np.hypot(*np.subtract(b, a)) for a, b in pairwise(pattern.line)]
    assert max(apart) - min(apart) < 0.25  # chords of a curve
    assert INCH / max(apart) == pytest.approx(5.5, abs=0.6)  # trade.md's practice: 5 to 6 stitches an inch
    for each in pattern.pieces:
        inside = area(each.outline)
        assert inside.is_valid
        for hole in each.holes:
            assert inside.contains(shapely.Point(hole.at).buffer(hole.size / 2 + 0.9))
        for a, b in pairwise(sorted(hole.at for hole in each.holes)):
            assert a != b
    assert pattern.apart == pytest.approx(rules.stitch, rel=0.06)


def test_a_blade_as_thick_everywhere_gains_what_the_trade_says():
    """Half the blade's thickness and a quarter turn of the leather's middle, T/2 + pi t/4, on each side of a fold.

    Common practice, no source; and the little way from the blade's face to the welt's, by Pythagoras.
    """
    blank, rules = knife("camp-bowie"), SheathRules(drain=0.0, clearance=2.0)
    pattern = sheath_pattern(blank, BAR, rules)
    room = pattern.room
    at = int(np.argmin(np.abs(room.x - 70.0)))  # behind the spine's drop, ahead of the handle's girth
    blade = room.spine
    step = sqrt(rules.clearance**2 + (blade / 2 - room.gap / 2) ** 2) - rules.clearance
    assert room.extra[at] == pytest.approx(blade / 2 + pi * rules.leather / 4 + step, abs=0.1)
    assert bent(rules) == pytest.approx(pi * rules.leather / 4)


@pytest.mark.parametrize("name", some(SIX, 3))
def test_rivets_stand_off_the_blade_and_pieces_of_thermoplastic_have_no_welt(name):
    pattern = pattern_of(name, of=SheathOf.THERMOPLASTIC)
    rules = pattern.rules
    assert [each.key for each in pattern.pieces] == ["body"]
    assert pattern.loop is None
    edge = shapely.LineString(flatten(piece(pattern, "body").edges[1]))
    for at in line_of(pattern, "body"):
        rim = edge.distance(shapely.Point(at)) - rules.rivet_hole / 2
        assert rim >= INCH / 4 - 0.05  # at least a quarter inch from the blade's edge: common practice, no source


@pytest.mark.parametrize("form", BOTH)
def test_the_belt_goes_through_and_the_strips_seams_are_the_backs(form):
    pattern = pattern_of("drop-point-hunter", form=form, belt=40.0)
    loop, strip = pattern.loop, piece(pattern, "loop")
    on_back, on_strip = (sorted({round(hole.at[0], 6) for hole in holes}) for holes in (loop.on_back, strip.holes))
    assert on_back[2] - on_back[1] == pytest.approx(40.0 + INCH / 4)  # common practice: the belt and a quarter inch
    assert on_strip[2] - on_strip[1] == pytest.approx(40.0 + INCH / 4 + 8.0)  # up and down a belt of 4 mm
    assert len(loop.on_back) == len(strip.holes)
    body = piece(pattern, "body" if form is SheathForm.FOLDED else "back")
    side = 1 if form is SheathForm.FOLDED else -1  # the back of two pieces is seen from its good side
    assert {(hole.at[0], side * hole.at[1]) for hole in loop.on_back} <= {hole.at for hole in body.holes}
    if form is SheathForm.FOLDED:
        assert min(hole.at[1] for hole in loop.on_back) > pattern.room.gap / 2  # on the back, clear of the fold


def test_a_loop_that_has_no_room_is_left_out_and_said():
    pattern = pattern_of("drop-point-hunter", belt=110.0)
    assert pattern.loop is None
    assert any("belt loop" in note for note in pattern.notes)
    assert pattern_of("drop-point-hunter", belt=0.0).notes == ()


@pytest.mark.parametrize(
    ("name", "rules", "said"),
    [
        ("paring", {}, "strip is narrower than you set it"),
        ("paring", {"reach": 140.0}, "nearer to the handle front than you set it"),
        ("guarded", {}, "at the top of the guard"),
    ],
)
def test_what_is_not_as_asked_is_said(name, rules, said):
    assert any(said in note for note in pattern_of(name, **rules).notes)
    assert pattern_of("chefs").notes == ()


def test_a_thin_welt_is_said():
    assert pattern_of("chefs").notes == ()
    thin = sheath_pattern(knife("drop-point-hunter"), 6.5, SheathRules(layers=1))
    assert any("welt is thinner" in note for note in thin.notes)
    assert piece(sheath_pattern(knife("drop-point-hunter"), 6.5, SheathRules()), "welt").count == 2


@pytest.mark.parametrize("form", BOTH)
@pytest.mark.parametrize("name", SIX)
def test_the_material_is_that_of_all_rectangles(name, form):
    pattern = pattern_of(name, form=form)
    rectangles = sum(each.count * each.size[0] * each.size[1] for each in pattern.pieces)
    assert pattern.area == pytest.approx(rectangles, rel=0.02)


@pytest.mark.parametrize("name", some(SIX, 3))
def test_outlines_are_lines_and_arcs_and_few(name):
    for form in BOTH:
        for each in pattern_of(name, form=form).pieces:
            assert all(isinstance(segment, Line | Arc) for segment in each.outline.segments)
            assert len(each.outline.segments) < 130
            assert path_length(each.outline) / len(each.outline.segments) > 3


def test_the_drain_hole_lies_ahead_of_the_point():
    pattern = pattern_of("drop-point-hunter", form=SheathForm.FLAT)
    blank = knife("drop-point-hunter")
    drain = next(hole for hole in piece(pattern, "back").holes if hole.size == pattern.rules.drain)
    assert drain.at[0] - drain.size / 2 == pytest.approx(blank.curves.point[0])
    assert all(hole.size != pattern.rules.drain for hole in piece(pattern, "front").holes)


def test_a_thicker_bar_asks_for_more_leather():
    blank = knife("skinner")
    sides = [piece(sheath_pattern(blank, bar, SheathRules(layers=1)), "body").size[1] for bar in (3.0, 6.0)]
    assert sides[1] > sides[0]


def test_a_guard_left_outside_makes_a_narrower_sheath():
    inside, outside = (pattern_of("guarded", reach=reach) for reach in (INCH, 0.0))
    assert piece(outside, "body").size[1] < piece(inside, "body").size[1]
    assert replace(outside.rules, reach=INCH) == inside.rules


@pytest.mark.parametrize("hand", list(SheathHand))
def test_both_forms_are_worn_on_the_same_side(hand):
    """Seen from its good side, throat up, the front has the blade's edge on the left: to the rear on a right hip.

    Throat to the left, as it is drawn, the edge is then below; the fold-over's back, beyond its fold, has it above.
    """
    sign = 1 if hand is SheathHand.RIGHT else -1
    folded, flat = (pattern_of("drop-point-hunter", form=form, hand=hand) for form in BOTH)
    room = folded.room
    strip = flatten(piece(folded, "body").strip)
    assert (sign * strip[:, 1] > 0).all()
    front = flatten(piece(flat, "front").edges[0])
    at = np.argmax(np.abs(room.low))
    edge, spine = room.low[at], room.top
    outermost = front[:, 1].min() if sign > 0 else -front[:, 1].max()
    assert outermost < edge
    assert outermost == pytest.approx(edge, abs=0.5 * (spine - edge))
    assert area(piece(flat, "back").outline).equals_exact(mirror(area(piece(flat, "front").outline)), 1.0)


def mirror(shape):
    return affinity.scale(shape, yfact=-1, origin=(0, 0))


@pytest.mark.parametrize(("form", "name"), [(form, name) for form in BOTH for name in some(SIX, 3)])
def test_rivets_keep_the_spacing_of_a_clip_but_for_one(form, name):
    pattern = pattern_of(name, form=form, of=SheathOf.THERMOPLASTIC, rivet=25.0)
    along = shapely.LineString(flatten(piece(pattern, "body" if form is SheathForm.FOLDED else "front").edges[-1]))
    assert along.length > 100
    apart = [np.hypot(*np.subtract(b, a)) for a, b in pairwise(pattern.line)]
    assert sum(24.5 < span <= 25.0 + 1e-6 for span in apart) >= 0.6 * len(apart), apart  # others go round a bend
    assert all(12.0 < span < 37.6 for span in apart)
    odd = max(apart, key=lambda span: abs(span - apart[0]))
    assert pattern.odd == pytest.approx(odd if abs(odd - apart[0]) > 0.05 * apart[0] else 0.0)


@pytest.mark.parametrize("rivet", [70.0, 120.0])
def test_holes_that_have_no_room_are_refused(rivet):
    rules = SheathRules(of=SheathOf.THERMOPLASTIC, rivet=rivet, flange=12.0, rivet_hole=2.0, reach=0.0, drain=0.0)
    with pytest.raises(NoSheath, match="no room for two holes"):
        sheath_pattern(knife("kiridashi"), BAR, rules)


@pytest.mark.parametrize(
    ("rules", "wrong"),
    [
        (
            {"inset": 2.0, "stitch_hole": 4.0, "stitch": 6.0},
            ["inset leaves no leather beside the holes. Allowed: 3.0 mm (0.118 in) to 6.5 mm (0.257 in)."],
        ),
        (
            {"welt": 5.0, "stitch_hole": 4.0, "stitch": 6.0},
            ["welt is too narrow for its holes. Allowed: at least 6.0 mm (0.236 in)."],
        ),
        ({"stitch": 2.0}, ["stitch leaves no leather between two holes. Allowed: at least 2.6 mm (0.102 in)."]),
        ({"drain": 0.3}, ["drain lets no water out. Allowed: at least 0.5 mm (0.020 in), or 0 for none."]),
        ({"flange": 13.0}, []),  # leather has none
        (
            {"flange": 13.0, "of": SheathOf.THERMOPLASTIC},
            ["flange is too narrow for the rivet holes. Allowed: at least 14.7 mm (0.579 in)."],
        ),
        ({"stitch": 2.0, "of": SheathOf.THERMOPLASTIC}, []),
    ],
)
def test_rules_that_cannot_be_are_refused_with_what_could(rules, wrong):
    assert [f"{key} {what}" for key, what in RULES[SheathRules](SheathRules(**rules))] == wrong
