"""Drawings with one fault each, made for pre-flight: a plate of 200 x 40 mm with round ends and two holes, spoiled."""

from math import cos, pi, sin

import ezdxf
from ezdxf import units

PLATE = [(20, 0, 0), (180, 0, 1), (180, 40, 0), (20, 40, 1)]  # x, y, bulge


def fresh(version="R2000"):
    """A good file: one closed loop, two circles, in mm."""
    document = ezdxf.new(version, units=units.MM)
    document.header["$MEASUREMENT"] = 1
    space = document.modelspace()
    space.add_lwpolyline(PLATE, format="xyb", close=True, dxfattribs={"layer": "OUTLINE"})
    for x in (30, 60):
        space.add_circle((x, 20), 3.0, dxfattribs={"layer": "HOLES"})
    return document


def plate(space):
    """The plate's polyline."""
    return space.query("LWPOLYLINE").first


def loose(document, start=(0.0, 0.0), end=(0.0, 0.0)):
    """The plate as two lines and two arcs instead; a line's start and end moved."""
    space = document.modelspace()
    space.delete_entity(plate(space))
    space.add_line((20 + start[0], start[1]), (180 + end[0], end[1]))
    space.add_arc((180, 20), 20, -90, 90)
    space.add_line((180, 40), (20, 40))
    space.add_arc((20, 20), 20, 90, 270)
    return space


def no_unit(document):
    document.header["$INSUNITS"] = 0


def unit_contradicted(document):
    document.header["$MEASUREMENT"] = 0


def far_too_small(document):
    for entity in list(document.modelspace()):
        entity.scale(1 / 25.4, 1 / 25.4, 1 / 25.4)


def far_too_large(document):
    for entity in list(document.modelspace()):
        entity.scale(25.4, 25.4, 25.4)


def open_end(document):
    loose(document, end=(-3.0, 0.0))


def small_gap(document):
    loose(document, end=(-0.04, 0.0))


def wider_gap(document):
    loose(document, end=(-0.3, 0.0))


def not_flagged_closed(document):
    """It ends short of where it began, and nothing says that it closes."""
    space = document.modelspace()
    space.delete_entity(plate(space))
    space.add_lwpolyline([*PLATE, (20, 0.06, 0)], format="xyb")


def crosses_itself(document):
    space = document.modelspace()
    space.delete_entity(plate(space))
    space.add_lwpolyline([(0, 0), (200, 40), (200, 0), (0, 40)], close=True)


def hole_over_the_edge(document):
    document.modelspace().add_circle((100, 1.0), 4.0)


def drawn_twice(document):
    space = document.modelspace()
    space.add_entity(plate(space).copy())


def hole_drawn_twice(document):
    document.modelspace().add_circle((30, 20), 3.0)


def drawn_twice_backwards(document):
    document.modelspace().add_line((20, 40), (180, 40))
    loose(document)


def line_on_a_part_of_another(document):
    document.modelspace().add_line((50, 0), (90, 0))


def arc_on_a_part_of_another(document):
    document.modelspace().add_arc((180, 20), 20, -40, 30)


def line_of_no_length(document):
    document.modelspace().add_line((50, 10), (50, 10))


def hair_fine_piece(document):
    space = document.modelspace()
    space.delete_entity(plate(space))
    space.add_lwpolyline([(20, 0, 0), (179.99, 0, 0), (180, 0, 1), (180, 40, 0), (20, 40, 1)], format="xyb", close=True)


def speck(document):
    document.modelspace().add_circle((100, 20), 0.1)


def spike(document):
    space = document.modelspace()
    space.delete_entity(plate(space))
    rows = [(20, 0, 0), (100, 0, 0), (100, 9, 0), (100, 0, 0), (180, 0, 1), (180, 40, 0), (20, 40, 1)]
    space.add_lwpolyline(rows, format="xyb", close=True)


def many_facets(document):
    space = document.modelspace()
    space.delete_entity(plate(space))
    right = [(180 + 20 * cos(a), 20 + 20 * sin(a)) for a in (-pi / 2 + pi * n / 40 for n in range(41))]
    space.add_lwpolyline([*right, (0, 40), (0, 0)], close=True)


def not_smooth(document):
    space = document.modelspace()
    space.delete_entity(plate(space))
    space.add_lwpolyline([(20, 0, 0), (180, 0, 0.38), (200, 20, 0.42), (180, 40, 0), (20, 40, 1)], format="xyb", close=True)


def two_parts(document):
    document.modelspace().add_lwpolyline([(0, 100), (50, 100), (50, 120), (0, 120)], close=True)


def island(document):
    space = document.modelspace()
    space.add_circle((120, 20), 10)
    space.add_circle((120, 20), 5)


def small_hole(document):
    document.modelspace().add_circle((100, 20), 0.6)


def sharp_inside_corner(document):
    space = document.modelspace()
    space.delete_entity(plate(space))
    space.add_lwpolyline([(0, 0), (200, 0), (200, 40), (120, 40), (120, 25), (80, 25), (80, 40), (0, 40)], close=True)


def tight_inside_arc(document):
    space = document.modelspace()
    space.delete_entity(plate(space))
    rows = [(0, 0, 0), (200, 0, 0), (200, 40, 0), (100.6, 40, 0), (100.6, 25, -1), (99.4, 25, 0), (99.4, 40, 0), (0, 40, 0)]
    space.add_lwpolyline(rows, format="xyb", close=True)


def thin_web(document):
    document.modelspace().add_circle((36.9, 20), 3.0)


def words_on_it(document):
    document.modelspace().add_text("PETTY", height=4).set_placement((80, 18))


def dimensioned(document):
    document.modelspace().add_linear_dim(base=(0, -15), p1=(0, 0), p2=(200, 0)).render()


def hatched(document):
    hatch = document.modelspace().add_hatch()
    hatch.paths.add_polyline_path([(0, 0), (10, 0), (10, 10)], is_closed=True)


def points(document):
    document.modelspace().add_point((50, 20))


def spline(document):
    document.modelspace().add_spline([(100, 10), (110, 15), (120, 10), (110, 5), (100, 10)])


def ellipse(document):
    document.modelspace().add_ellipse((120, 20), major_axis=(8, 0), ratio=0.5)


def block(document):
    made = document.blocks.new("HOLE")
    made.add_circle((0, 0), 3)
    document.modelspace().add_blockref("HOLE", (120, 20))


def off_the_plane(document):
    document.modelspace().add_circle((120, 20, 5), 3)


def turned_over(document):
    document.modelspace().add_circle((-120, 20), 3, dxfattribs={"extrusion": (0, 0, -1)})


def hidden_layer(document):
    document.layers.add("OLD").off()
    document.modelspace().add_circle((120, 20), 3, dxfattribs={"layer": "OLD"})


def scribed_layer(document):
    document.modelspace().add_line((40, 10), (60, 10), dxfattribs={"layer": "SCRIBE"})


def many_layers(document):
    for n, x in enumerate((100, 120)):
        document.modelspace().add_circle((x, 20), 3, dxfattribs={"layer": f"PART{n}"})


def paper_space(document):
    document.layout("Layout1").add_circle((10, 10), 3)


def far_away(document):
    for entity in list(document.modelspace()):
        entity.translate(250_000, 0, 0)


def empty(document):
    space = document.modelspace()
    for entity in list(space):
        space.delete_entity(entity)


def stray_line(document):
    document.modelspace().add_line((90, 60), (110, 60))


FAULTS = {  # what is done to a good file: how it is called, and whether mending it leaves a good file of the plate
    no_unit: ("unit", True), unit_contradicted: ("unit", True), far_too_small: ("scale", False), far_too_large: ("scale", False),
    open_end: ("open", False), small_gap: ("gap", True), wider_gap: ("open", True), not_flagged_closed: ("gap", True),
    crosses_itself: ("crossing", False), hole_over_the_edge: ("crossing", False), drawn_twice: ("double", True),
    hole_drawn_twice: ("double", True), drawn_twice_backwards: ("double", True), line_on_a_part_of_another: ("overlap", True),
    arc_on_a_part_of_another: ("overlap", True), line_of_no_length: ("no length", True), hair_fine_piece: ("tiny", True),
    speck: ("speck", True), spike: ("spike", True), many_facets: ("facets", False), not_smooth: ("kink", False),
    two_parts: ("parts", False), island: ("island", False), small_hole: ("hole", False), sharp_inside_corner: ("corner", False),
    tight_inside_arc: ("corner", False), thin_web: ("web", False), words_on_it: ("words", True), dimensioned: ("words", True),
    hatched: ("fill", True), points: ("point", True), spline: ("spline", False), ellipse: ("spline", False),
    block: ("block", False), off_the_plane: ("height", False), turned_over: ("height", False), hidden_layer: ("hidden", True),
    scribed_layer: ("layer", True), many_layers: ("layers", False), paper_space: ("paper", True), far_away: ("far", False),
    empty: ("nothing", False),
    stray_line: ("open", True),
}  # fmt: skip
