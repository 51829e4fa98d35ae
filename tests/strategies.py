"""What hypothesis draws: lengths, curves, templates, outlines and nesting jobs."""

from decimal import Decimal
from enum import StrEnum
from math import cos, pi, sin

import numpy as np
from hypothesis import strategies as st

from workbook.formats.family import family, family_ids
from workbook.geometry.path import Arc, Bezier, Line, Placement
from workbook.nesting.model import BarUse, NestingJob, Part, Stock
from workbook.nesting.search import plain_layouts
from workbook.structs import replace
from workbook.template.model import Bevel, EdgeForm, Face, FreePoint, HeelForm, Held, OutlineRun, SpineForm, TangForm, Taper
from workbook.template.parameters import PARAMETERS, Kind, changed

_FORMS: dict[str, type[StrEnum]] = {
    "point.spine": SpineForm,
    "point.edge": EdgeForm,
    "heel.form": HeelForm,
    "tang.form": TangForm,
    "grind.bevel": Bevel,
    "grind.face": Face,
    "grind.held": Held,
    "grind.taper": Taper,
}


def numbers(low, high):
    """Finite numbers between two limits, nothing smaller than a millionth told from nothing."""
    return st.floats(low, high, allow_nan=False, allow_infinity=False).map(lambda v: min(max(round(v, 6), low), high))


def points(reach=200.0):
    """Points within a square about the origin, on a grid so that none is a hair from another."""
    step = st.integers(-1000, 1000).map(lambda n: n / 1000 * reach)
    return st.tuples(step, step)


@st.composite
def segments(draw):
    """A line, an arc or a Bezier between two places that differ."""
    start, end = draw(points()), draw(points())
    if start == end:
        end = (end[0] + 10.0, end[1])
    match draw(st.integers(0, 2)):
        case 0:
            return Line(start, end)
        case 1:
            bulge = draw(numbers(0.01, 3.0)) * draw(st.sampled_from((-1, 1)))
            return Arc(start, end, bulge)
        case _:
            return Bezier(start, draw(points()), draw(points()), end)


def placements():
    """Where a frame may land, mirrored and scaled."""
    return st.builds(
        Placement, numbers(-500, 500), numbers(-500, 500), numbers(-pi, pi), st.booleans(), st.sampled_from((0.5, 1.0, 25.4))
    )


@st.composite
def changes(draw, most=6):
    """A family's id and a few of its parameters moved inside their ranges, one after the other: id, ((path, value), ...)."""
    name = draw(st.sampled_from(family_ids()))
    template, moved = family(name), []
    for p in draw(st.lists(st.sampled_from(PARAMETERS), max_size=most, unique_by=lambda p: p.path)):
        if p.kind is Kind.CHOICE:
            value = draw(st.sampled_from(list(_FORMS[p.path])))
        elif p.kind is Kind.TEXT or p.limits(template)[0] >= p.limits(template)[1]:
            continue
        else:
            low, high = p.limits(template)
            value = draw(st.one_of(st.sampled_from((low, high)), numbers(low, high)))
            value = min(max(round(value, 4), low), high)
        moved.append((p.path, value))
        template = changed(template, p.path, value)
    for path, runs in (
        ("blade.free", (OutlineRun.SPINE, OutlineRun.EDGE)),
        ("handle.free", (OutlineRun.BACK, OutlineRun.UNDERSIDE, OutlineRun.BUTT)),
    ):
        free = draw(st.lists(free_points(runs), max_size=2))
        moved += [(path, tuple(free))] if free else []
    return name, tuple(moved)


def free_points(runs=tuple(OutlineRun), along=8.0, up=3.0):
    """Places of the outline pulled off the family's curve."""
    share = st.integers(0, 1000).map(lambda n: n / 1000)
    x, y = (st.integers(-1000, 1000).map(lambda n, most=most: n / 1000 * most) for most in (along, up))
    return st.builds(FreePoint, run=st.sampled_from(runs), at=share, x=x, y=y)


def made(moved):
    """The template of a family's id and its moved parameters."""
    name, pairs = moved
    template = family(name)
    for path, value in pairs:
        template = changed(template, path, value)
    return template


@st.composite
def rings(draw, largest=60.0):
    """A simple polygon, convex or not: corners at growing angles about a middle."""
    corners = draw(st.integers(3, 9))
    radii = draw(st.lists(numbers(4.0, largest / 2), min_size=corners, max_size=corners))
    flat = draw(numbers(0.2, 1.0))
    angles = [2 * pi * (i + 0.1) / corners for i in range(corners)]
    return np.array([(r * cos(a), flat * r * sin(a)) for r, a in zip(radii, angles, strict=True)])


@st.composite
def nesting_jobs(draw):
    """Two or three parts and bars that can take each of them; margins of every kind, the job's or a bar's own."""
    separation, bar_end = draw(numbers(0, 8)), draw(numbers(0, 10))
    bar_edge = draw(st.one_of(st.just(0.0), st.just(separation / 2), numbers(0, 10)))
    outlines = draw(st.lists(rings(), min_size=1, max_size=3))
    on_edge = draw(st.booleans())
    parts = tuple(
        Part(name=f"part {i}", steel="s", outline=ring, quantity=draw(st.integers(1, 3)), on_edge=on_edge and draw(st.booleans()))
        for i, ring in enumerate(outlines)
    )
    own = st.one_of(st.none(), numbers(0, max(bar_end, bar_edge)))
    reach = 2 * max(float(np.hypot(*ring.T).max()) for ring in outlines) + 2 * max(bar_end, bar_edge) + 1
    stock = tuple(
        Stock(
            name=f"bar {i}",
            width=draw(numbers(reach, 2.5 * reach)),
            length=draw(numbers(reach, 6 * reach)),
            price=Decimal(draw(st.integers(0, 9999))) / 100,
            count=draw(st.sampled_from((None, 1, 2))),
            source=draw(st.sampled_from(("rack", "buy", "offcut"))),
            edge=None if on_edge else draw(own),
        )
        for i in range(draw(st.integers(1, 3)))
    )
    return NestingJob(
        parts=parts,
        stock=stock,
        suits=frozenset((p, s) for p in range(len(parts)) for s in range(len(stock))),
        separation=separation,
        bar_end=bar_end,
        bar_edge=bar_edge,
        lost_at_end=draw(numbers(0, 5)),
        tilt=draw(st.sampled_from((0.0, 0.0, 0.035))),
        hulls=draw(st.booleans()),
    )


@st.composite
def kept_jobs(draw):
    """Jobs of which some blanks are laid out already and stay where they are."""
    job = draw(nesting_jobs())
    laid = next(iter(plain_layouts(job, draw(st.integers(0, 9))))).best
    kept = []
    for use in laid.bars:
        pieces = tuple(piece for piece in use.pieces if draw(st.booleans()))
        kept += [BarUse(use.stock, pieces)] if pieces else []
    return replace(job, kept=tuple(kept))
