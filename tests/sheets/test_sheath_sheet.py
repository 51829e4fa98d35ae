"""The sheet of a sheath: all of its pieces, large enough letters, and the numbers of what it is made of."""

import pytest

from tests.counts import some
from tests.sheets.test_packing import texts
from workbook.formats.family import family
from workbook.geometry.drawing import Clip, Disc
from workbook.model.sheathing import sheath_for
from workbook.sheath.rules import SheathForm, SheathOf, SheathRules
from workbook.structs import replace
from workbook.tasks.load import shaped
from workbook.tasks.sheets import bars_of, run_of, sheet_pages

MADE = {
    "folded": (SheathRules(leather=3.175, layers=3, welt=11.0, stitch_hole=1.25, reach=19.0, drain=3.0), 3),
    "flat": (SheathRules(form=SheathForm.FLAT), 4),
    "riveted": (SheathRules(of=SheathOf.THERMOPLASTIC, plastic=2.05, rivet_hole=4.85, belt=0.0), 1),
}
PAPERS = (("letter", "in"), ("a4", "mm"))


def sheath_pages(job, paper, unit, rules, name="petty"):
    model = shaped(replace(job, templates=(replace(family(name), name=name),), ids=(), make=(), sheath=rules))
    run = replace(run_of(model.job, paper, "30 November 2026"), unit=unit)
    return sheet_pages(model, run, name, bars_of(model, None, name), ("sheath",))


def discs(marks):
    for mark in marks:
        if isinstance(mark, Clip):
            yield from discs(mark.marks)
        elif isinstance(mark, Disc):
            yield mark


@pytest.mark.parametrize(("paper", "unit"), PAPERS)
@pytest.mark.parametrize("made", MADE)
@pytest.mark.parametrize("name", some(["petty", "chefs", "skinner", "puukko-type"], 2))
def test_letters_are_large_enough_and_each_piece_is_named(demo, paper, unit, made, name):
    rules, count = MADE[made]
    pages = sheath_pages(demo.job, paper, unit, rules, name)
    words = list(texts(pages))
    assert {mark.text: mark.size for mark in words if mark.size < 9} == {}
    named = {mark.text.split(", part ")[0] for mark in words if "true size, cut" in mark.text}
    assert len(named) == count, named


def told(pages):
    """All that is said on pages, in the order it is drawn."""
    return " ".join(mark.text for mark in texts(pages))


def test_the_numbers_of_leather_are_the_makers(demo):
    """An eighth of an inch of leather is 8 oz by the trade's 1/64 in for an ounce."""
    words = told(sheath_pages(demo.job, "a4", "mm", MADE["folded"][0]))
    for wanted in ("3.18 mm, 8 oz", "3 × 11.0 mm", "1.25 mm", "19.0 mm", "3.0 mm"):
        assert wanted in words, wanted
    assert "sew" in words
    assert "rivet" not in words


def test_the_numbers_of_thermoplastic_are_the_makers(demo):
    words = told(sheath_pages(demo.job, "a4", "mm", MADE["riveted"][0]))
    for wanted in ("2.05 mm", "4.9 mm", "Warm the sheet"):
        assert wanted in words, wanted
    assert "Belt loop" not in words
    assert "sew" not in words


@pytest.mark.parametrize("made", MADE)
def test_cautions_of_sheaths_are_on_the_sheet_once(demo, made):
    words = told(sheath_pages(demo.job, "letter", "in", MADE[made][0]))
    leather, plastic = "clamp the work, cut and pierce away from the hand", "heat-proof gloves"
    assert words.count(plastic if made == "riveted" else leather) == 1
    assert (leather if made == "riveted" else plastic) not in words
    assert words.count("Follow your own training, the data sheets and local rules.") == 1


@pytest.mark.parametrize("made", MADE)
def test_every_hole_is_on_the_sheet_once(demo, made):
    """Of a sheet in one part; counted over pages, against the pattern's own holes."""
    rules, _ = MADE[made]
    model = shaped(replace(demo.job, templates=(replace(family("paring"), name="paring"),), ids=(), make=(), sheath=rules))
    (bar,) = bars_of(model, None, "paring")
    pages = sheath_pages(demo.job, "a4", "mm", rules, "paring")
    wanted = sorted(hole.size for piece in sheath_for(model, "paring", bar).pieces for hole in piece.holes)
    found = sorted(2 * disc.radius for page in pages for disc in discs(page.marks))
    assert found == pytest.approx(wanted)
