"""Clashes of two bodies against all their slabs, looked at one by one."""

import subprocess
import sys

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from workbook.nesting.engine.slabs import NEVER, clash, clash_near


def heights_at(body, x):
    """Lower and upper height of a body at a place, as seen from its left and from its right."""
    for slab in np.flatnonzero((body.x[:-1] <= x + 1e-9) & (body.x[1:] >= x - 1e-9)):
        share = (x - body.x[slab]) / (body.x[slab + 1] - body.x[slab])
        low_left, low_right, high_left, high_right = body.y[slab]
        yield low_left + share * (low_right - low_left), high_left + share * (high_right - high_left)


def one_by_one(p, q, shift):
    """The interval that clashes: heights of both differ most at a border of one of them."""
    left, end = max(p.x[0], q.x[0] + shift), min(p.x[-1], q.x[-1] + shift)
    places = [x for x in (left, end, *p.x, *(q.x + shift)) if left <= x <= end]
    pairs = [(a, b) for x in places for a in heights_at(p, x) for b in heights_at(q, x - shift)]
    return min(a[0] - b[1] for a, b in pairs), max(a[1] - b[0] for a, b in pairs)


@given(st.data())
def test_blocks_leave_nothing_out(mixed, data):
    """Whatever place is named as likely, in the body or not."""
    bodies, slabs = mixed[1].poses.shapes, mixed[1].shapes
    p, q = (data.draw(st.integers(0, len(bodies) - 1)) for _ in range(2))
    least, most = bodies[p].x[0] - bodies[q].x[-1], bodies[p].x[-1] - bodies[q].x[0]
    shift = least + data.draw(st.floats(0.01, 0.99)) * (most - least)
    wanted = one_by_one(bodies[p], bodies[q], shift)
    assert clash(slabs, p, q, shift) == approx(wanted, abs=1e-6)
    likely = [data.draw(st.floats(bodies[p].x[0] - 5, bodies[p].x[-1] + 5)) for _ in range(2)]
    assert clash_near(slabs, p, q, shift, *likely)[:2] == approx(wanted, abs=1e-6)


def test_bodies_that_do_not_meet_never_clash(mixed):
    bodies, slabs = mixed[1].poses.shapes, mixed[1].shapes
    for shift in (bodies[0].x[-1] - bodies[1].x[0] + 1e-6, bodies[0].x[0] - bodies[1].x[-1] - 1e-6):
        assert clash(slabs, 0, 1, shift) == (NEVER, -NEVER)


def test_the_kernels_do_without_linear_algebra():
    """It takes a third of a search's start to load; what is brought afterwards is whole."""
    told = "import sys; from workbook.tasks import compiling; compiling.load(); print('scipy.linalg' in sys.modules)"
    told += "; import scipy.linalg; print(scipy.linalg.det([[2.0]]))"
    done = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "2.0"]
