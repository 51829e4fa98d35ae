"""Care cards and histories: every word of a card lies on it, whatever the paper, the margin and the length of the contact."""

import pytest

from tests.sheets.test_traveller_sheet import run_on
from workbook.formats.family import family
from workbook.formats.tables import facts
from workbook.geometry.drawing import Text
from workbook.geometry.lettering import width
from workbook.sheets.care_sheet import CareCard, care_pages
from workbook.sheets.letter_sheet import Letter
from workbook.sheets.owner_sheet import OwnerSheet, owner_pages
from workbook.sheets.printer import Printer
from workbook.shop.care import LAW, Care, HandleKind, Rusting
from workbook.structs import replace
from workbook.template.shape import shape
from workbook.template.tools import Tools

KNIFE = shape(family("chefs"), Tools(drills=facts().drills))


def card(n, reached="hello@harbour.example"):
    return CareCard(
        shop="Harbour Blades", reached=reached, name="Petty", serial=f"26-{n:02}",
        facts="52100, 61 HRC, green linen laminate, 2026", knife=KNIFE, law=LAW,
        lines=Care(Rusting.RUSTS, HandleKind.LAMINATE).lines,
    )  # fmt: skip


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("margin", [0.0, 6.35, 10.0, 15.0])
@pytest.mark.parametrize("reached", ["a@b.example", "Harbour Blades, Quay 4, Harbour Town, +1 555 0100, hello@harbour.example"])
def test_the_words_of_each_card_lie_on_it_and_on_paper_that_can_be_printed(paper, margin, reached):
    run = replace(run_on(paper), printer=Printer(margin=margin))
    pages = care_pages(run, [card(n, reached) for n in range(5)])
    found = []
    for page in pages:
        for mark in page.marks:
            if isinstance(mark, Text):
                long = width(mark.text, mark.size, mark.bold, run.measure)
                left = mark.at[0] - (long if mark.anchor == "end" else 0.0)
                edges = (margin, page.width / 2, page.width - margin) if len(pages) == 2 else (margin, page.width - margin)
                column = max(n for n, edge in enumerate(edges) if left >= edge - 0.01)
                assert left + long <= edges[column + 1] + 0.01, mark.text
                assert margin - 0.01 <= mark.at[1] <= page.height - margin
                found.append((mark.text, mark.at[1] > page.height / 2))
    for n in range(5):
        assert sum(text == f"26-{n:02}" for text, _upper in found) == 1
    last = [upper for text, upper in found if text.endswith(("hello@harbour.example", "a@b.example"))]
    assert (len(last), sum(last)) == (5, 3)  # an upper card ends in the upper half


def test_a_history_goes_on_on_another_page_and_leaves_out_what_is_empty():
    run = run_on("a4")
    letter = Letter(
        shop="", address="", reached="", title="Petty 26-01", customer="", contact="", date="", heads=(), lines=(), notes=(LAW,)
    )
    rows = tuple((f"Stage {n}", "November 30, 2026") for n in range(90))
    pages = owner_pages(run, OwnerSheet(letter=letter, knife=KNIFE, parts=(("The knife", ()), ("How it was made", rows))))
    words = [mark.text for page in pages for mark in page.marks if isinstance(mark, Text)]
    assert len(pages) == 2 and {f"Stage {n}" for n in range(90)} <= set(words)
    assert "The knife" not in words and "For" not in words
