"""Numbers that were wrong once: what was said then, what is right, and that it is said now.

Each is worked out here from coordinates, by another way than the program's, or stands in the source named beside it. The old
value is there to show that the check would have found it.
"""

from math import atan, cos, hypot, radians, sin, sqrt, tan

import ezdxf
import numpy as np
import pytest
from shapely import LineString, Point

from workbook.formats.family import family
from workbook.formats.pdf import measure
from workbook.formats.tables import facts
from workbook.geometry.drawing import Text
from workbook.geometry.path import Path, flatten
from workbook.grind.bench import bench, heel
from workbook.grind.bevel import support_distance
from workbook.grind.checks import GroundFrom, check_grind
from workbook.grind.depth import bevel_depth
from workbook.grind.stations import State, stations
from workbook.model.grinding import densities_for
from workbook.model.laying import finish, start
from workbook.sheets.bar import profile_of
from workbook.sheets.bar_sheet import all_pages
from workbook.sheets.bar_words import sizes_words
from workbook.sheets.paper import PAPERS, PrintRun
from workbook.shop.checks import check_bar
from workbook.shop.job import Bar, Job, Make, Measured, Rules
from workbook.structs import replace
from workbook.tasks.demo import demo_job
from workbook.tasks.exports.cutting import cut_dxf, ready
from workbook.tasks.judging import judge
from workbook.tasks.load import shaped
from workbook.tasks.searching import search
from workbook.tasks.sheets import bar_plans
from workbook.template.model import Bevel, Held, Taper
from workbook.template.parameters import changed
from workbook.template.shape import shape
from workbook.template.tools import Owned, Tools

INCH = 25.4
TOOLS = Tools(drills=facts().drills)
RUN = PrintRun(paper=PAPERS["letter"], unit="in", measure=measure, job="job")


def blank_of(name, **values):
    """A family's shape with some parameters other: "grind__bevel"."""
    template = family(name)
    for path, value in values.items():
        template = changed(template, path.replace("__", "."), value)
    return shape(template, TOOLS)


def agrees(now, right, then, within):
    """Now it is right, and then it was not."""
    assert now == pytest.approx(right, abs=within)
    assert abs(then - right) > 2 * within


def rest_by_coordinates(stone, projection, degrees_per_side, offset):
    """Stone about the origin, its top at (0, R), where the edge stands and the tangent is level. The blade rises from there at
    the angle; its foot is a projection along it, and the bar lies the offset below, on the stone's side, square to the blade."""
    r, b = stone / 2, radians(degrees_per_side)
    foot = np.array([0.0, r]) + projection * np.array([cos(b), sin(b)])
    return float(np.hypot(*(foot + offset * np.array([sin(b), -cos(b)]))))


@pytest.mark.parametrize(
    ("stone", "projection", "b", "offset", "then"),
    [(200, 139, 15, 12, 197.429), (250, 150, 12, 9.5, 215.0), (200, 139, 15, 0, 0)],
)
@pytest.mark.own_working("worked out from coordinates, another way than the program's")
def test_the_rest_beside_a_round_stone_lies_on_the_stones_side(stone, projection, b, offset, then):
    """Then the bar was put on the other side of the blade: 197.429 mm, which grinds 24.9 degrees for 15."""
    right = rest_by_coordinates(stone, projection, b, offset)
    agrees(support_distance(stone, projection, radians(b), offset), right, then, 0.001)


@pytest.mark.own_working("worked out from coordinates, another way than the program's")
def test_a_rests_own_radius_counts():
    """A bar of 12 mm holds the blade 6 mm off its middle, and a jig of 9 mm so much more."""
    owned = Owned(stone=200.0, projection=139.0, rest=12.0, jig_offset=9.0)
    blank = blank_of("petty")
    angle = blank.template.grind.edge_angle
    plain, in_jig = bench(blank, 2.0, owned, ()).rests
    assert plain == pytest.approx(rest_by_coordinates(200, 139, angle, 6.0), abs=1e-9)
    assert in_jig == pytest.approx(rest_by_coordinates(200, 139, angle, 15.0), abs=1e-9)


@pytest.mark.own_working("worked out from coordinates, another way than the program's")
def test_a_taper_ground_after_hardening_still_has_the_bevel_take_its_spine():
    """Half an inch behind the point: a full-flat bevel stands out by what the edge is thicker, (e0 - e1) over both faces, so the
    spine reads t + e0 - e1, and not what is between the flats."""
    blank = blank_of("chefs", grind__taper=Taper.AFTER, grind__height=None)
    grind, blade = blank.template.grind, blank.template.blade
    made = bench(blank, blade.thickness, Owned(), ())
    right = blade.point_thickness + grind.edge_before_hardening - grind.edge_before_sharpening
    flats = blade.thickness
    agrees(made.taper.before, right, flats, 0.02)


def slanting(**grind):
    blank = blank_of("kiridashi", **grind)
    (x0, y0), (x1, y1) = blank.curves.heel, blank.curves.point
    return blank, atan((y1 - y0) / (x1 - x0))


@pytest.mark.own_working("worked out from coordinates, another way than the program's")
def test_a_height_asked_for_is_square_to_a_slanting_edge():
    """Then 12 mm were 9.22 mm square to it. The line's distance from the edge, which is straight, by coordinates."""
    blank, rise = slanting(grind__height=6.0)
    x0, y0 = blank.curves.heel
    at = stations(blank.template, blank.curves, blank.thickness, np.array([x0 + 8.0]))
    x, y = float(at.x[0]), float(at.edge_y[0] + at.finished.line[0])
    distance = (y - y0) * cos(rise) - (x - x0) * sin(rise)
    assert cos(rise) < 0.8
    agrees(distance, 6.0, 6.0 * cos(rise), 0.01)


@pytest.mark.own_working("worked out from coordinates, another way than the program's")
def test_the_line_creeps_square_to_a_slanting_edge():
    """T - e = h tan theta on the one face, h square to the edge: the line rises h / (T - e) for each mm off the edge."""
    blank, rise = slanting()
    made = bench(blank, blank.thickness, Owned(), ())
    right = made.line_finished / (made.thickness_finished - made.edge_finished)
    agrees(made.creep, right, right / cos(rise), 0.01)


def hollow_by_coordinates(deep, high, wheel, v):
    """Depth at v of the circle through (0, deep) and (high, 0) whose middle lies outside the steel, in (v, depth)."""
    chord = hypot(high, deep)
    reach = sqrt(wheel**2 / 4 - chord**2 / 4)
    middle = np.array([high / 2, deep / 2]) - reach * np.array([deep, high]) / chord
    return float(middle[1] + sqrt(wheel**2 / 4 - (v - middle[0]) ** 2))


def distance_from_edge(blank, station, up):
    """Of a place so far above the edge, by shapely."""
    edge = LineString(flatten(Path(blank.curves.edge, closed=False), 0.0005))
    return edge.distance(Point(float(station.x[0]), float(station.edge_y[0]) + up))


@pytest.mark.own_working("worked out from coordinates, another way than the program's")
def test_a_wheel_hollows_the_belly_square_to_its_edge():
    """Skinner, wheel of 254 mm, angle held: where the edge rises by 40 degrees and more. Then the arc lay upright."""
    blank = blank_of("skinner", grind__bevel=Bevel.HOLLOW, grind__wheel=254.0, grind__held=Held.ANGLE, grind__height=20.0)
    x = np.linspace(blank.template.heel.ahead, blank.curves.point[0] - 1.0, 400)
    whole = stations(blank.template, blank.curves, blank.thickness, x)
    steep = whole.some(np.array([int(np.argmin(np.abs(whole.upright - cos(radians(42)))))]))
    assert steep.upright[0] < cos(radians(38))
    start = heel(blank, blank.thickness)
    theta = atan(float(start.deep[0]) / (float(start.finished.line[0]) * float(start.upright[0])))
    deep = float(steep.deep[0])
    high = deep / tan(theta)  # the angle is held, square to the edge
    right = hollow_by_coordinates(deep, high, 254.0, high / 2)
    from scipy.optimize import brentq  # it takes a second, and every worker collects all tests

    up = brentq(lambda up: distance_from_edge(blank, steep, up) - high / 2, 0.1, 15.0)
    now = float(bevel_depth(steep, State.FINISHED, np.array([[up]]))[0, 0])
    upright = high / float(steep.upright[0])
    then = hollow_by_coordinates(deep, upright, 254.0, upright / 2)
    agrees(now, right, then, 0.005)


@pytest.mark.own_working("worked out from coordinates, another way than the program's")
def test_a_convex_line_creeps_as_its_own_lines_do():
    """Two edges a tenth of a millimetre apart: their lines differ by what it creeps. Then a capped bulge said 401 for one."""
    grind = {"grind__bevel": Bevel.CONVEX, "grind__bulge": 3.0}
    thin = blank_of("bushcraft", **grind)
    edge = thin.template.grind.edge_before_hardening
    thick = blank_of("bushcraft", **grind, grind__edge_before_hardening=edge + 0.1)
    lines = [bench(blank, blank.thickness, Owned(), ()).line_before for blank in (thin, thick)]
    right = (lines[0] - lines[1]) / 0.1
    agrees(bench(thin, thin.thickness, Owned(), ()).creep, right, 401.0, 0.01 * right)


@pytest.mark.own_working("worked out from coordinates, another way than the program's")
def test_a_bow_is_judged_by_what_the_card_finishes_at():
    """Bar read .1215 in, allowance .002 a face: the card finishes at .1175. A bow of .06 in over 48 is .06 (10/48)^2 = .0026 over
    ten: .1189 is left, enough. Then .121 was wanted, of the template's nominal."""
    template = family("drop-point-hunter")
    for path, value in (("blade.thickness", 0.125 * INCH), ("grind.face_allowance", 0.002 * INCH)):
        template = changed(template, path, value)
    blank = shape(template, TOOLS)
    x0, _, x1, _ = blank.extent()
    length = (x1 - x0) / INCH
    bar = Bar(
        name="bar", steel="O1", thickness=0.125 * INCH, width=50.0, length=48 * INCH, have=1,
        measured=Measured(thickness=0.1215 * INCH, bow=0.06 * INCH),
    )  # fmt: skip
    left = 0.1215 - 0.06 * (length / 48) ** 2
    assert 0.1175 < left < 0.121
    job = Job(name="j", templates=(template,), bars=(bar,))
    assert check_bar(job, template, blank, bar, lambda *_: None) == ()
    worse = replace(bar, measured=replace(bar.measured, bow=0.06 * INCH * (0.1215 - 0.1170) / (0.1215 - left)))
    (found,) = check_bar(job, template, blank, worse, lambda *_: None)
    assert found.is_ / INCH == pytest.approx(0.1170)
    assert found.wanted / INCH == pytest.approx(0.1175)


@pytest.mark.parametrize(("edge", "standard"), [(0.2, True), (0.5, False)])
@pytest.mark.outside("ISO 8442-9:2018: included angle at most 40 degrees")
def test_a_limit_is_not_laid_at_a_standards_door_that_has_another(edge, standard):
    """ISO 8442-9:2018 has 40 degrees included, 20 per side. Then the 25 per side of thick edges was said to be its limit."""
    blank = blank_of("chefs", grind__edge_before_sharpening=edge, grind__edge_before_hardening=1.0, grind__edge_angle=28.0)
    (found,) = [p for p in check_grind(blank, GroundFrom(bar=blank.thickness)) if "edge angle is high" in p.what]
    assert found.wanted == (20.0 if standard else 25.0)
    assert ("ISO 8442-9" in found.source) is standard


@pytest.mark.own_working("worked out from coordinates, another way than the program's")
def test_a_card_is_for_the_bar_that_its_blank_lies_on():
    """A 5/64 template on an unread 3/32 bar: (0.09375 - 0.020) / 2 = 0.036875 in from each face; 0.0288 leaves 0.036 between."""
    model = demo_job()
    thick = next(bar for bar in model.job.bars if abs(bar.thickness - 3 / 32 * INCH) < 1e-6)
    only = shaped(replace(model.job, bars=(thick,)))
    grind = only.job.template("Petty").grind
    made = bench(only.shapes["Petty"], only.in_hand("Petty").thickness, Owned(), ())
    assert grind.edge_before_hardening == pytest.approx(0.020 * INCH, abs=0.01)
    agrees(made.scribe / INCH, (0.09375 - grind.edge_before_hardening / INCH) / 2, 0.0288, 0.0001)


@pytest.mark.parametrize(
    ("material", "density", "then"),
    [
        ("walnut", 0.55 * 1.12, 0.55), ("black walnut", 0.55 * 1.12, 0.55), ("white oak", 0.68 * 1.12, 0.68),
        ("black cherry", 0.50 * 1.12, 0.50), ("white ash", 0.60 * 1.12, 0.60), ("persimmon", 0.74 * 1.12, 0.74),
        ("cocobolo", 1.10, 1.10 * 1.12), ("desert ironwood", 1.21, 1.21 * 1.12), ("African blackwood", 1.27, 1.27 * 1.12),
        ("carbon fibre", 1.5, 1.78), ("carbon fiber", 1.5, 1.35), ("G10", 1.8, 1.35), ("aluminum", 2.70, 1.35),
    ],
)  # fmt: skip
@pytest.mark.outside("Wood Handbook (FPL-GTR-190): specific gravities, and the density at a moisture content")
def test_woods_are_weighed_at_12_percent_moisture_and_materials_found_by_their_usual_names(material, density, then):
    """Specific gravities: Wood Handbook (FPL-GTR-190), tables 4-3 and 5-3: oven-dry mass on the volume at 12 %; chapter 4: the
    density at a moisture content is the specific gravity times one plus it. Air-dry 62 to 76 lb/ft3 for cocobolo: FPL sheet.
    Then specific gravity was taken for density, and names it did not know were weighed as canvas phenolic, 1.35."""
    found = facts().weighed(material)
    assert not found.others
    agrees(found.density, density, then, 0.006)


@pytest.mark.parametrize(("material", "named"), [("oak", "white oak"), ("maple", "red maple"), ("curly maple", "red maple")])
@pytest.mark.own_working("worked out from coordinates, another way than the program's")
def test_a_name_of_several_woods_is_said_to_be_so(material, named):
    found = facts().weighed(material)
    assert named in (found.name, *found.others)
    assert found.others


@pytest.mark.own_working("worked out from coordinates, another way than the program's")
def test_what_is_in_no_table_is_asked_for_and_taken_from_its_own_words():
    """Then stabilised wood was canvas phenolic without a word."""
    model = demo_job()
    name = model.job.templates[0].name

    def with_scales(material):
        made = shaped(replace(model.job, templates=(changed(model.job.template(name), "handle.material", material),), make=()))
        return densities_for(made, name, made.in_hand(name))

    _, (said,) = with_scales("stabilised maple burl")
    assert "no table has the density of" in said
    assert "g/cm3" in said
    found, nothing = with_scales("stabilised maple burl 1.08 g/cm3")
    assert (found.scales, nothing) == (1.08, ())
    assert with_scales("ebony 1,1 g/cm³")[0].scales == 1.1


@pytest.mark.own_working("worked out from coordinates, another way than the program's")
def test_a_sheet_calls_measured_only_what_was_read():
    """Then a bar whose thickness alone was read was printed "measured 0.131 x 1.750 x 48.000"."""
    plan = bar_plans(laid_on(replace(BAR, measured=Measured(thickness=0.131 * INCH))))[0]
    assert sizes_words(plan, "in").replace("\u2009", " ").replace("\u2044", "/") == (
        "measured 0.131 in thick; nominal, measure it: 1 3/4 in wide, 48 in long"
    )
    assert sizes_words(bar_plans(laid_on(BAR))[0], "mm").startswith("nominal, measure it: 3.2 × 44.5 × 1219.2 mm")


@pytest.mark.own_working("worked out from coordinates, another way than the program's")
def test_the_length_of_a_bar_that_is_out_of_square_is_told_where_it_holds():
    """Then "measured 870.00 mm long" where 874 was read, and 870 is left along the shorter edge."""
    slanting = replace(BAR, slant=4.0, measured=Measured(length=874.0), length=900.0)
    told = sizes_words(bar_plans(laid_on(slanting))[0], "mm")
    assert told.startswith("measured 870.00 mm long at the shorter edge; nominal, measure it: 3.2 mm thick")
    bought = sizes_words(bar_plans(laid_on(replace(slanting, have=0, buy=True)))[0], "mm")
    assert bought == "nominal, measure it: 3.2 × 44.5 × 900.0 mm"


BAR = Bar(name="bar", steel="O1", thickness=INCH / 8, width=1.75 * INCH, length=48 * INCH, have=1)


def laid_on(bar, count=1, **settings):
    """Blanks of a small knife on a bar."""
    template = changed(family("paring"), "blade.thickness", INCH / 8)
    made = Job(
        name="j", unit="in", templates=(template,), bars=(bar,), make=(Make(template=template.name, steel="O1", quantity=count),),
        settings=Rules(**settings),
    )  # fmt: skip
    model = shaped(made)
    *_, last = search(start(model), 0, lambda step: step >= 1, repeatable=True)
    return finish(model, start(model), last, 0)


@pytest.mark.own_working("worked out from coordinates, another way than the program's")
def test_what_is_too_short_to_keep_is_no_offcut():
    """Least worth keeping 6 in. Then 5 1/2 in were told as an offcut that no sum had."""
    whole = laid_on(BAR)
    used = whole.costs.each[0].used
    short = laid_on(replace(BAR, length=used + 5.5 * INCH))
    plan = bar_plans(short)[0]
    assert plan.offcut == pytest.approx(5.5 * INCH)
    assert not plan.keeps_offcut
    said = " ".join(m.text for page in all_pages(RUN, [plan]) for m in page.marks if isinstance(m, Text))
    assert "under the 6 in minimum" in said
    assert "Offcut for the rack" not in said


def moved_along(blank, by):
    outline = blank.outline + np.array([by, 0.0])
    where = replace(blank.placement, x=blank.placement.x + by)
    return replace(blank, outline=outline, placement=where, profile=profile_of(outline))


@pytest.mark.outside("ezdxf: the circles of the file")
def test_note_and_check_of_a_cutting_file_count_the_same_curves(tmp_path):
    """Then a circle was two arcs in the one, and a circle in the other."""
    model = demo_job()
    blank = model.shapes["Petty"]
    service = model.job.service
    cut = ready(blank, service)
    file = tmp_path / "petty.dxf"
    file.write_text(cut_dxf(blank, service), encoding="utf-8")
    found = judge(file, None, service, None).facts
    assert (found.arcs, found.lines, found.circles) == (cut.arcs, cut.lines, len(cut.circles))
    assert found.circles == sum(1 for e in ezdxf.readfile(file).modelspace() if e.dxftype() == "CIRCLE")


@pytest.mark.outside("data sheets of 1.2379: 0.278 lb/in3")
def test_a_steel_in_no_table_is_said_to_be_weighed_as_carbon_steel():
    """Then 1.2379, which weighs 7.7 (two data sheets, 0.278 lb/in3), was 7.85 without a word, as was any other."""
    model = demo_job()
    name = model.job.templates[0].name
    hand = model.in_hand(name)
    assert densities_for(model, name, replace(hand, steel="1.2379"))[0].steel == pytest.approx(0.278 * 27.679905, abs=0.01)
    assert densities_for(model, name, replace(hand, steel="1.2379"))[1] == ()
    found, (said,) = densities_for(model, name, replace(hand, steel="Nobody 1"))
    assert found.steel == 7.85
    assert "no table has the density of the steel “Nobody 1”" in said
