"""Every page on the screens people have: each control lies in its window, and no word of it is cut."""

import itertools

import pytest

from tests.app.fitting import faults
from tests.app.waiting import at_rest
from tests.clock import settled
from tests.counts import FULL
from workbook.app.elements.group import Group
from workbook.app.look import Look
from workbook.app.pages.table import NAMES
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.actions.whole import change_settings
from workbook.structs import replace
from workbook.tasks.demo import demo_document
from workbook.tasks.work import work_in

SCREENS = ((1280, 720), (1366, 768), (1440, 900), (1920, 1080), (3840, 2160))
BESIDE = (2, 58)  # of a screen: the window's frame, its title and the system's bar
USUAL = (((1280, 720), 1.25, "light", "in"), ((1440, 900), 2.0, "dark", "mm"))
EVERY = [
    (screen, text, theme, unit)
    for screen, text, theme, unit in itertools.product(SCREENS, (1.0, 1.25, 1.5, 2.0), ("light", "dark"), ("in", "mm"))
    if screen[0] / text >= 700 and (screen[1] - BESIDE[1]) / text >= 460  # the window asks for no less, but on a screen that is
]
CUT = {  # what may be cut, and why
    "draw": {"Held constant", "Distal taper ground"},  # beside a choice, with letters of 150 %
    "grind": {  # beside two numbers, with larger letters; the bench card, which is printed, has them whole
        "Height lost, per 0.001 in off each facet", "Height lost, per 0.1 mm off each facet", "Distal taper ground",
        "Edge: before hardening / before sharpening", "Edge before hardening",
        "Edge before sharpening", "Edge facet, width / height",
        "Ground away after hardening", "Ground away before hardening", "Held constant", "Solve for",
        "Grind line climbs, per 0.001 in off the edge", "Grind line climbs, per 0.1 mm off the edge", "each scale 1 mm thinner",
    },
    "quote": {  # a material's name in its choice, which shows it whole when it is opened; what the list of orders says too
        "green linen laminate", "none", "Order 1   The Slipway galley", "Batch",
    },
    "make": {"Batch 3   3 in progress   begun Nov 20, 2026"},  # the first day, which the history of each blade says too
    "layout": {"Drag a blank. R turns, F flips, the space bar pins. Ordinates from end A."},  # the help says it too
}  # fmt: skip


@pytest.mark.parametrize(("screen", "text", "theme", "unit"), EVERY if FULL else USUAL)
def test_every_page_fits(qtbot, tmp_path, monkeypatch, screen, text, theme, unit):
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    document = demo_document()
    document = document.applied(change_settings(document, replace(document.settings, unit=unit), "unit", unit))
    window = Window(Workspace(work_in(document), Look(theme, text)))
    wide, tall = (side - beside for side, beside in zip(screen, BESIDE, strict=True))
    qtbot.addWidget(window)
    window.resize(wide, tall)
    window.show()
    found = {}
    for page in NAMES:
        window.show_page(page)
        for group in window.pages.currentWidget().findChildren(Group):
            group.head.set_open(True)
        for _look in range(12):  # words that wrap get their height with a later layout
            settled(0.05)
            found[page] = sorted(set(faults(window, window.status)) - CUT.get(page, set()))
            if not found[page]:
                break
    size = (window.width(), window.height())
    at_rest(window)
    window.close()
    assert size == (wide, tall)
    assert {page: cut for page, cut in found.items() if cut} == {}
