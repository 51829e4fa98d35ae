"""Parts laid over each other by their joining lines give the template and the bar again."""

import dataclasses

import numpy as np
import pytest
import shapely
from shapely.affinity import translate
from shapely.geometry import LinearRing, LineString

from tests.counts import some
from tests.external.reading import pages
from workbook.formats import pdf
from workbook.formats.family import family
from workbook.geometry.path import flatten
from workbook.sheets.bar_sheet import all_pages
from workbook.sheets.paper import PAPERS, PrintRun
from workbook.sheets.template_sheet import template_pages
from workbook.shop.in_hand import nominal_bar
from workbook.tasks.sheets import bar_plans
from workbook.template.shape import shape


@pytest.fixture(scope="module", params=["letter", "tabloid", "a4"])
def run(request):
    return PrintRun(paper=PAPERS[request.param], unit="in", measure=pdf.measure, job="job")


def parts(read):
    """The parts of a drawing, from its left end to its right: the window of each, and the paths on it.

    What a window leaves whole is read without it. An end joins others on one side only; a window with no join is within a part.
    """
    found = []
    for size, paths, _ in read:
        windows = list(dict.fromkeys(path.window for path in paths if path.window is not None)) or [(0.0, 0.0, *size)]
        for window in windows:
            found.append(
                (window, [path for path in paths if path.window == window or (path.window is None and within(path, window))])
            )
    if len(found) == 1:
        return found
    sides = [[x < (window[0] + window[2]) / 2 for x in joins(window, paths)] for window, paths in found]
    ranks = {(False,): 0, (True, False): 1, (True,): 2}
    joined_ = [(ranks[tuple(side)], n) for n, side in enumerate(sides) if side]
    return [found[n] for _, n in sorted(joined_)]


def within(path, window):
    low, high = path.points.min(axis=0), path.points.max(axis=0)
    return (low > np.subtract(window[:2], 0.1)).all() and (high < np.add(window[2:], 0.1)).all()


def joins(window, paths):
    """x of the joining lines of a part: upright dashed lines on it with a level cross of 6 mm near either end."""
    lines = [p.points for p in paths if len(p.points) == 2]
    crosses = [line.mean(axis=0) for line in lines if abs(abs(line[1, 0] - line[0, 0]) - 6) < 0.01 and line[0, 1] == line[1, 1]]
    found = []
    for path in (p for p in paths if p.dashed and len(p.points) == 2):
        x, ends = path.points[0, 0], path.points[:, 1]
        at = [c[1] for c in crosses if abs(c[0] - x) < 0.01 and ends.min() < c[1] < ends.max()]
        here = window[0] < x < window[2] and window[1] - 0.1 < ends.min() < ends.max() < window[3] + 0.1
        if np.ptp(path.points[:, 0]) == 0 and len(at) == 2 and here:
            found.append(float(x))
    return sorted(found)


def joined(read, wanted):
    """The paths wanted of all parts, each laid so that its first joining line is on the last of the part before."""
    shift, before, laid = 0.0, None, []
    every = parts(read)
    for number, (window, paths) in enumerate(every):
        found = joins(window, paths)
        assert len(found) == (number > 0) + (number < len(every) - 1)
        shift += before - found[0] if before is not None else 0.0
        before = found[-1] if found else None
        up = every[0][0][3] - window[3]
        laid += [translate(seen(path, window), shift, up) for path in paths if wanted(path)]
    return shapely.unary_union(laid)


def seen(path, window):
    """The part of a path that its window leaves."""
    return shapely.intersection(LineString(path.points), shapely.box(*(path.window or window)))


def spans(path, width, height, slack=0.05):
    """Whether a path is as wide and as high as this."""
    return np.abs(np.ptp(path.points, axis=0) - (width, height)).max() < slack


def face(run, blank, part):
    """The pages of one view of a template, read back."""
    return pages(pdf.pdf(template_pages(run, blank, nominal_bar(blank.thickness), (part,)), ""))


def laid_straight(page, source):
    """A page with its longest curve turned back: by the angle between its ends furthest apart and the source's."""
    size, paths, words = page
    curve = max((p.points for p in paths if len(p.points) > 400), key=lambda points: np.ptp(points, axis=0).sum())

    ring = np.array(source.coords)
    best = min(np.linspace(0.0, 0.9, 9001), key=lambda angle: abs(np.ptp(turned(curve, -angle)[:, 0]) - np.ptp(ring[:, 0]))
               + abs(np.ptp(turned(curve, -angle)[:, 1]) - np.ptp(ring[:, 1])))  # fmt: skip
    far = np.array((500.0, 500.0))  # so that nothing is left of where pages begin
    size = (9e3, 9e3)
    back = [dataclasses.replace(p, points=turned(p.points, -best) + far, window=None) for p in paths]
    return size, back, words


def turned(points, angle):
    c, s = np.cos(angle), np.sin(angle)
    return points @ np.array(((c, s), (-s, c)))


@pytest.mark.own_working("pypdfium2 reads it, but what it must find is the program's own shape")
@pytest.mark.parametrize("name", some(["petty", "camp-bowie", "santoku-type", "slicer"], 2))
@pytest.mark.parametrize(("part", "way"), [("right", 1), ("left", -1), ("master", 1)])
def test_a_template_joined_from_its_parts_is_the_template(run, tools, name, part, way):
    blank = shape(family(name), tools)
    source = LinearRing(flatten(blank.outline, 0.0005) * (way, 1))
    width, height = source.bounds[2] - source.bounds[0], source.bounds[3] - source.bounds[1]
    read = face(run, blank, part)
    if not any(spans(path, width, height) or path.window for _, paths, _ in read for path in paths):
        read = [laid_straight(read[-1], source)]  # it lies along a diagonal
    whole = joined(read, lambda path: spans(path, width, height))
    laid = translate(whole, source.bounds[0] - whole.bounds[0], source.bounds[1] - whole.bounds[1])
    assert laid.hausdorff_distance(source) < 0.01


@pytest.mark.own_working("pypdfium2 reads it, but what it must find is the program's own shape")
def test_parts_of_a_template_too_long_for_the_paper_are_numbered(run, tools):
    read = face(run, shape(family("slicer"), tools), "right")
    words = " ".join(page[2] for page in read)
    if run.paper.name in ("tabloid", "a3"):
        assert len(parts(read)) == 1
        assert "part 1" not in words
        return
    count = len(parts(read))
    assert count > 1
    assert all(f"Right face, true size, part {n} of {count}" in words for n in range(1, count + 1))


@pytest.mark.own_working("pypdfium2 reads it, but what it must find is the program's own shape")
def test_holes_stand_where_they_are_drilled(run, tools):
    blank = shape(family("petty"), tools)
    (page,) = face(run, blank, "right")
    circles = [p.points for p in page[1] if len(p.points) > 400]
    for hole in blank.holes:
        wide = [c for c in circles if np.abs(np.ptp(c, axis=0) - hole.diameter).max() < 0.01]
        assert wide, hole.mark
    middles = np.array(sorted(c.mean(axis=0)[0] for c in circles if np.ptp(c[:, 0]) < 10))
    wanted = np.array(sorted(h.centre[0] for h in blank.holes))
    assert np.diff(middles) == pytest.approx(np.diff(wanted), abs=0.01)


@pytest.mark.own_working("pypdfium2 reads it, but what it must find is the program's own shape")
def test_a_bar_joined_from_its_pages_is_the_bar_with_its_blanks(run, laid_demo):
    plan = bar_plans(laid_demo)[0]
    read = pages(pdf.pdf(all_pages(run, [plan], ("true",)), ""))
    assert len(parts(read)) > 1
    _, width, length = plan.size
    edge = joined(read, lambda path: spans(path, length, width))
    shown = min(length, plan.used + 10.0 + 3.5)  # where more of the offcut would take another part
    assert edge.bounds[2] - edge.bounds[0] in (pytest.approx(length, abs=0.01), pytest.approx(shown, abs=0.01))
    x0, y0, _, _ = edge.bounds
    blanks = joined(read, lambda path: len(path.points) > 100 and np.ptp(path.points[:, 0]) > 50)
    for blank in plan.blanks:
        source = translate(LinearRing(flatten(blank.placement.path(blank.shape.outline), 0.0005)), x0, y0)
        whole = shapely.intersection(blanks, source.buffer(0.02))
        assert whole.hausdorff_distance(source) < 0.01


@pytest.mark.own_working("pypdfium2 reads it, but what it must find is the program's own shape")
def test_the_joined_bar_has_no_line_that_is_no_blanks(run, laid_demo):
    plan = bar_plans(laid_demo)[0]
    read = pages(pdf.pdf(all_pages(run, [plan], ("true",)), ""))
    _, width, length = plan.size
    x0, y0, _, _ = joined(read, lambda path: spans(path, length, width)).bounds
    blanks = joined(read, lambda path: len(path.points) > 100 and np.ptp(path.points[:, 0]) > 50)
    rings = [LinearRing(flatten(b.placement.path(b.shape.outline), 0.0005)) for b in plan.blanks]
    near = translate(shapely.unary_union([ring.buffer(0.01) for ring in rings]), x0, y0)
    assert shapely.difference(blanks, near).length < 1e-6
