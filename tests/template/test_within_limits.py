"""Whatever lies within the limits of the rows can be drawn and checked."""

import random

import pytest

from tests.counts import tries
from workbook.document.fields import FIELDS
from workbook.document.limits import RULES
from workbook.fields import Kind
from workbook.formats.family import as_form, family, family_ids, form_words
from workbook.geometry.path import Arc, Bezier, Line, Path
from workbook.grind.checks import GroundFrom, check_grind
from workbook.grind.lines import grind_lines
from workbook.limits import JudgedBy
from workbook.problems import Severity
from workbook.structs import replace
from workbook.template.checks import check
from workbook.template.drawn import DrawnTemplate, shape_of_drawn
from workbook.template.fields import widest
from workbook.template.model import FreePoint, HolePattern, HoleWish, OutlineRun, Purpose
from workbook.template.parameters import PARAMETERS, changed
from workbook.template.pegs import pegs
from workbook.template.shape import shape

COUNT = tries(150, 20_000)
_sound = JudgedBy(FIELDS, RULES)


def somewhere(chance, low, high):
    """A number between two limits, often one of them."""
    return chance.choice([low, high, chance.uniform(low, high), chance.uniform(low, high)])


def some_template(chance):
    """A family with some of its parameters anywhere within their widest limits, free points and holes."""
    made, some = family(chance.choice(family_ids())), chance.random()
    for parameter in PARAMETERS:
        if parameter.kind is Kind.TEXT or chance.random() > some:
            continue
        if parameter.kind is Kind.CHOICE:
            group = type(getattr(made, parameter.group))
            value = as_form(group, parameter.key, chance.choice(form_words(group, parameter.key)))
        else:
            value = somewhere(chance, *widest(parameter))
        made = changed(made, parameter.path, value)
    if chance.random() < 0.5:
        made = replace(made, handle=replace(made.handle, waist_at=0.2, palm_at=0.5, neck_at=0.8))
    if chance.random() < 0.3:
        blade, handle = (
            [some_point(chance, runs) for _ in range(chance.choice([1, 4, 40]))]
            for runs in (list(OutlineRun)[:2], list(OutlineRun)[2:])
        )
        made = replace(made, blade=replace(made.blade, free=tuple(blade)), handle=replace(made.handle, free=tuple(handle)))
    if chance.random() < 0.3:
        made = replace(made, holes=tuple(some_hole(chance) for _ in range(chance.choice([0, 1, 30]))))
    elif chance.random() < 0.4:
        made = replace(made, patterns=tuple(some_pattern(chance) for _ in range(chance.choice([1, 3]))))
    return made


def some_point(chance, runs):
    return FreePoint(
        run=chance.choice(runs), at=somewhere(chance, 0, 1), x=somewhere(chance, -500, 500), y=somewhere(chance, -500, 500)
    )


def some_hole(chance):
    x, y = somewhere(chance, -1000, 1000), somewhere(chance, -200, 200)
    return HoleWish(purpose=chance.choice(list(Purpose)), size=somewhere(chance, 0.3, 40), x=x, y=y)


def some_pattern(chance):
    first, last = somewhere(chance, -500, 500), somewhere(chance, -500, 500)
    return HolePattern(
        purpose=chance.choice(list(Purpose)), size=somewhere(chance, 0.3, 40), count=chance.choice([1, 2, 9]),
        first=first, last=last,
        from_butt=chance.random() < 0.5, fill=chance.random() < 0.4, web=somewhere(chance, 0, 50),
    )  # fmt: skip


@pytest.mark.parametrize("seed", range(4))
def test_a_template_within_the_limits_is_drawn_and_checked(tools, seed):
    chance, tried = random.Random(seed), 0
    for _ in range(COUNT // 4):
        template = some_template(chance)
        if _sound(template):
            continue
        tried += 1
        blank = shape(template, tools)
        pegs(blank)
        stops = [problem for problem in check(blank, tools) if problem.severity is Severity.STOP]
        if not stops:
            grind_lines(blank, blank.thickness)
            check_grind(blank, GroundFrom(bar=blank.thickness, quench="oil", wheels=()))
    assert tried > COUNT // 12


def some_outline(chance):
    """Pieces joined anyhow."""

    def place():
        return somewhere(chance, -200, 200), somewhere(chance, -50, 50)

    ends = [place() for _ in range(chance.choice([1, 2, 3, 4, 12]))]
    made = {
        Line: lambda a, b: Line(a, b),
        Arc: lambda a, b: Arc(a, b, chance.choice([1.0, -1.0, 1e-6, 1e-9, 999.0, chance.uniform(-2, 2)])),
        Bezier: lambda a, b: Bezier(a, place(), place(), b),
    }
    return Path(
        tuple(made[chance.choice([Line, Line, Arc, Bezier])](a, b) for a, b in zip(ends, ends[1:] + ends[:1], strict=True))
    )


@pytest.mark.parametrize("seed", range(4))
def test_an_outline_within_the_limits_is_drawn_and_checked(tools, seed):
    chance, tried = random.Random(seed), 0
    for _ in range(COUNT):
        circles = tuple(((somewhere(chance, -200, 200), 0.0), somewhere(chance, 0.01, 300)) for _ in range(chance.choice([0, 2])))
        outline = some_outline(chance)
        openings = (outline,) if chance.random() < 0.2 else ()
        drawn = DrawnTemplate(name="d", source="s", thickness=3.0, outline=outline, circles=circles, openings=openings)
        if not _sound(drawn):
            tried += 1
            blank = shape_of_drawn(drawn, tools)
            blank.extent()
            check(blank, tools)
    assert tried > COUNT // 4
