"""Every card, sheet, drawing and number speaks of the bar a blank lies on, or was cut from.

Jobs by chance, whose bars are thicker and thinner than their templates, on the rack and to buy, read and not. What is wanted is
worked out here from the bars: the least reading of a bar on the rack, else its nominal; the scribe is half of what is left of it
beside the edge.
"""

import io
import random
from itertools import count

import ezdxf
import numpy as np
import pytest

from tests.counts import tries
from tests.written import bars_dxf
from workbook.document.actions.whole import bring_in
from workbook.document.document import Document
from workbook.document.queries import job_of
from workbook.formats.family import family
from workbook.geometry.drawing import Text
from workbook.geometry.path import flatten
from workbook.grind.lines import grind_lines
from workbook.model.grinding import ground_json
from workbook.model.laying import Laid, finish, start
from workbook.model.model import Model
from workbook.shop.in_hand import Source
from workbook.shop.job import Bar, Job, Make, Measured
from workbook.structs import replace
from workbook.tasks.load import shaped
from workbook.tasks.marking import as_cut
from workbook.tasks.searching import search
from workbook.tasks.sheets import bar_plans, bars_of, card_pages, run_of, sheet_pages
from workbook.template.model import Bevel
from workbook.template.tools import Owned
from workbook.units import reading

FAMILIES = ("petty", "paring", "santoku-type", "kiridashi", "drop-point-hunter")
NAMES = ("One", "Two")


def template(chance, name):
    made = family(chance.choice(FAMILIES))
    return replace(made, name=name, blade=replace(made.blade, thickness=round(chance.uniform(1.8, 3.2), 2)))


def bars(chance, thick, tag):
    """Some that suit a template of a thickness: not under it by more than 0.1, nor over it by more than 0.5."""
    for n in range(chance.randint(1, 3)):
        nominal = round(thick + chance.uniform(-0.09, 0.49), 3)
        read = {
            place: round(nominal + chance.uniform(-0.2, 0.1), 3)
            for place in ("thickness", "middle", "far")
            if chance.random() < 0.4
        }
        have = chance.choice((0, 1, 2))
        yield Bar(
            name=f"{tag} {n}", steel="O1", thickness=nominal, width=chance.choice((60.0, 80.0)),
            length=chance.choice((450.0, 900.0)),
            have=have, buy=not have or chance.random() < 0.5, measured=Measured(**read),
        )  # fmt: skip


def a_job(chance):
    templates = [template(chance, name) for name in NAMES[: chance.randint(1, 2)]]
    rack = [bar for t in templates for bar in bars(chance, t.blade.thickness, t.name)]
    make = tuple(Make(template=t.name, steel="O1", quantity=chance.randint(1, 3)) for t in templates)
    tools = Owned(gauge_step=chance.choice((0.0, 0.0, 0.1)))
    return Job(
        name="chance", unit=chance.choice(("in", "mm")), templates=tuple(templates), bars=tuple(rack), make=make, tools=tools
    )


def thickness(bar, source):
    """By hand: what calipers read least on the rack; what is bought was not read."""
    read = [r for r in (bar.measured.thickness, bar.measured.middle, bar.measured.far) if r is not None]
    return min(read) if read and source != "buy" else bar.thickness


def scribe(model, key, thick):
    """From each face to the edge's side, or from the back of a single bevel; to the gauge's step. The text of it."""
    grind, step = model.job.template(key).grind, model.job.tools.gauge_step
    height = grind.edge_before_hardening if grind.bevel is Bevel.SINGLE else (thick - grind.edge_before_hardening) / 2
    height = max(round(height / step), 1) * step if step else height
    return reading(height, model.job.unit)


def words(pages):
    return [
        mark.text.replace("\u2009", " ").replace("\u2044", "/") for page in pages for mark in page.marks if isinstance(mark, Text)
    ]


def agree(model: Model, laid: Laid | None, key: str, wanted: dict[str, float]):
    """Card, sheet and JSON of each bar in hand name the serials and tell their thickness and scribe."""
    run = run_of(model.job, "a4", "1 June 2026")
    hands = bars_of(model, laid, key)
    assert sorted(serial for hand in hands for serial in hand.serials) == sorted(wanted)
    assert len({(hand.thickness, hand.read, hand.steel) for hand in hands}) == len(hands)
    for hand in hands:
        thick = {wanted[serial] for serial in hand.serials}
        assert thick == {hand.thickness}
        told, marked = reading(hand.thickness, model.job.unit), scribe(model, key, hand.thickness)
        card, sheet = words(card_pages(model, run, key, (hand,))), words(sheet_pages(model, run, key, (hand,), ("right", "left")))
        for said in (card, sheet):
            (head,) = {text for text in said if f"“{hand.bar}”, {told}" in text}
            assert f"{told} {model.job.unit} {'measured' if hand.read else 'nominal'}" in head
            assert ", ".join(hand.serials) in head
        if model.job.template(key).grind.bevel is not Bevel.SINGLE:
            assert f"Surface gauge {marked}, flip, repeat: gap" in sheet
        assert f"{marked} {model.job.unit}" in card
        made = ground_json(model, key, hand)
        assert (made["bar"]["thickness"], made["bar"]["serials"]) == (round(hand.thickness, 5), list(hand.serials))


def scribed(laid):
    """Places on the drawing's SCRIBE layer."""
    document = ezdxf.read(io.StringIO(bars_dxf(laid)))
    return np.array([p[:2] for line in document.modelspace().query("LWPOLYLINE[layer=='SCRIBE']") for p in line.get_points("xy")])


def drawn(laid, plans):
    """On every blank where it lies, both grind lines end where those of its bar do."""
    places, rise = scribed(laid), 0.0
    for plan in plans:
        for blank in plan.blanks:
            lines = grind_lines(blank.shape, thickness(laid_bar(laid, plan), plan.source))
            for line in (lines.finished, lines.before):
                if line is None:
                    continue
                ends = blank.placement.points(flatten(line)[[0, -1]]) + np.array([0.0, rise])
                assert np.hypot(*(places[:, None] - ends[None]).transpose(2, 0, 1)).min(axis=0).max() < 0.02
        rise += plan.size[1] + 30.0


def laid_bar(laid, plan):
    return next(bar for bar in laid.model.job.bars if bar.name == plan.name)


@pytest.mark.parametrize("seed", range(tries(4, 300)))
def test_all_speak_of_the_bar_that_a_blank_is_made_of(seed):
    chance, numbers = random.Random(seed), count(1)
    document = Document().applied(bring_in(Document(), a_job(chance), lambda: f"id{next(numbers)}"))
    model = shaped(job_of(document))
    nesting = start(model)
    *_, last = search(nesting, 0, lambda step: step >= 1, repeatable=True)
    laid = finish(model, nesting, last, 0)
    plans = bar_plans(laid)
    assert plans
    drawn(laid, plans)
    wanted, keys = {}, {blank.name: key for key, blank in model.shapes.items()}
    for plan in plans:
        for blank in plan.blanks:
            wanted.setdefault(keys[blank.shape.name], {})[blank.serial] = thickness(laid_bar(laid, plan), plan.source)
    for key, serials in wanted.items():
        agree(model, laid, key, serials)
    after = document.applied(as_cut(document, laid, 0.3, "2026-06-01T10:00:00", lambda: f"id{next(numbers)}"))
    now = shaped(job_of(after))
    for key, serials in wanted.items():
        hands = [hand for hand in now.bars_for(key) if hand.source is Source.CUT]
        assert {serial: hand.thickness for hand in hands for serial in hand.serials} == serials
        if key in {wish.template for wish in now.job.make}:
            continue  # one that is still to be made comes before those that are cut
        assert now.in_hand(key) == hands[0]
        agree(now, None, key, {serial: serials[serial] for serial in hands[0].serials})
