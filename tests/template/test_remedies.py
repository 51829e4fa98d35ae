"""Fix it: what is offered mends the problem, and brings none that is worse."""

import re

import pytest
from hypothesis import given

from tests.sentences import remedy_words
from tests.strategies import changes, made
from workbook.formats.family import family
from workbook.formats.tables import facts
from workbook.problems import Problem
from workbook.structs import replace
from workbook.template.checks import check
from workbook.template.hole_edits import with_changed
from workbook.template.model import HoleWish, Purpose
from workbook.template.parameters import changed
from workbook.template.remedies import _weight, remedy
from workbook.template.shape import shape
from workbook.template.tools import Tools, drills_for

TOOLS = Tools(drills=drills_for(facts().drills, "in"))
TUBE = HoleWish(purpose=Purpose.LANYARD, size=6.35, x=-60, y=-1)

CASES = {
    "middle line": (lambda b: with_changed(b, "P1", y=-9.0), "P1", "P1 to the center line"),
    "between": (lambda b: with_changed(b, "P1", x=b.holes[1].centre[0] + 4.0), "close|web|run into", "halfway|removed"),
    "scale front": (lambda b: with_changed(b, "B1", x=1.0), "past the scale front", "B1 behind the scale front"),
    "tube": (
        lambda b: replace(b.template, holes=(HoleWish(purpose=Purpose.LANYARD, size=6.35, x=-60, y=-1),)),
        "traps",
        "as a pin",
    ),
    "heel": (lambda b: changed(b.template, "heel.radius", 0.5), "tighter", "as your tools can follow"),
    "hand": (lambda b: changed(b.template, "handle.length", 75.0), "short for a hand", "long enough"),
    "slope": (lambda b: changed(b.template, "point.edge_slope", 1.0), "belly slope", "as drawn"),
}


@pytest.mark.parametrize("case", CASES)
def test_a_plain_problem_is_mended(case, tools):
    spoil, what, words = CASES[case]
    blank = shape(spoil(shape(family("petty"), tools)), tools)
    problem = next(p for p in check(blank, tools) if re.search(what, p.what))
    offered = remedy(blank, problem, tools)
    assert offered is not None
    assert re.search(words, remedy_words(offered)), remedy_words(offered)
    after = check(shape(offered.template, tools), tools)
    assert problem.what not in [p.what for p in after]


def test_a_hidden_tang_gets_its_shoulder(tools):
    sharp = changed(family("puukko-type"), "tang.shoulder_radius", 0.5)
    blank = shape(sharp, tools)
    problem = next(p for p in check(blank, tools) if "needs a radius" in p.what)
    assert shape(remedy(blank, problem, tools).template, tools).template.tang.shoulder_radius > 0.8


@given(changes().map(made))
def test_no_remedy_makes_it_worse(template):
    blank = shape(template, TOOLS)
    before = check(blank, TOOLS)
    for problem in before[:4]:
        offered = remedy(blank, problem, TOOLS)
        if offered is not None:
            assert _weight(check(shape(offered.template, TOOLS), TOOLS)) < _weight(before)


@pytest.mark.parametrize("cause", ["drill", "close", "head", "tube"])
def test_a_problem_of_a_blank_that_is_another_by_now_has_no_remedy(cause, tools):
    """What a strip of checks still shows for a moment."""
    blank = shape(family("petty"), tools)
    gone = Problem(what=f"X9 {cause}", at=(0.0, 0.0), is_=1.0, wanted=2.0, cause=f"{'place' if cause == 'close' else cause} X9")
    assert remedy(blank, gone, tools) is None
