"""A workbook of an older program: which numbers are other ones is told once, when it is opened."""

import shutil
from pathlib import Path

import pytest
from PySide6.QtWidgets import QMessageBox

from tests.named import named
from workbook.document.queries import job_of
from workbook.formats.family import family
from workbook.model.updates import changed_since
from workbook.shop.job import Bar, Measured
from workbook.storage.file import read
from workbook.storage.migrations import VERSION
from workbook.structs import replace
from workbook.tasks.demo import demo_document
from workbook.tasks.load import shaped
from workbook.template.model import Bevel, Held, Taper
from workbook.template.parameters import changed
from workbook.template.tools import Owned

SAMPLES = Path(__file__).parents[1] / "samples"


def told(window):
    return [box for box in window.findChildren(QMessageBox) if box.objectName() == "update-told" and box.isVisible()]


def test_it_is_told_once(qtbot, window, tmp_path):
    file = tmp_path / "shop.shopbook"
    shutil.copy(SAMPLES / "version-5.shopbook", file)
    window.filing.open_file(file)
    qtbot.waitUntil(lambda: bool(told(window)))
    (box,) = told(window)
    words = box.informativeText()
    assert "share a set-up" not in words, "its order is quoted already"
    assert "Quotes and prints you made stay as they were" in words
    assert "Petty" in words
    box.close()
    assert window.workspace.session.updated_from == 0
    window.filing.open_file(tmp_path / "shop.shopbook")
    window.filing.new()
    qtbot.waitUntil(lambda: window.workspace.session.path is None)
    assert not told(window)


def test_a_book_of_today_is_told_nothing():
    model = shaped(job_of(demo_document()))
    assert changed_since(VERSION, demo_document(), model) == []


CHANGES = [
    ("grind.bevel", Bevel.HOLLOW, "hollow is square to the edge"),
    ("grind.taper", Taper.AFTER, "as the bevel leaves it"),
    ("handle.material", "black walnut", "12% moisture"),
    ("handle.material", "something new", "12% moisture"),
]


@pytest.mark.parametrize(("path", "value", "words"), CHANGES)
def test_what_is_told_is_of_the_templates_it_is_about(path, value, words):
    document = demo_document()
    job = job_of(document)
    plain = replace(changed(named(job, "Petty"), "handle.material", "canvas phenolic"), name="Petty")
    bar = Bar(name="b", steel="52100", thickness=plain.blade.thickness, width=60.0, length=900.0, have=1, measured=Measured())
    own = replace(job, templates=(plain,), ids=(), chosen=(), cut=(), bars=(bar,), make=(), tools=Owned())
    assert not any("Petty" in each for each in changed_since(7, document, shaped(own)))
    other = replace(own, templates=(changed(plain, path, value),))
    assert any(words in each and "Petty" in each for each in changed_since(7, document, shaped(other)))


def test_a_slanting_edge_a_bar_of_another_thickness_and_a_jig_are_told():
    document = demo_document()
    job = job_of(document)
    slanting = replace(family("kiridashi"), name="Slant")
    bar = Bar(name="b", steel="O1", thickness=slanting.blade.thickness + 0.4, width=60.0, length=900.0, have=1)
    made = replace(job, templates=(slanting,), ids=(), bars=(bar,), make=(), tools=Owned(stone=200.0, jig_offset=12.0))
    words = " ".join(changed_since(7, document, shaped(made)))
    for part in ("Slant: cards and sheets are for the bar in hand", "square to the slanting edge", "wrong side of the blade"):
        assert part in words


def test_an_angle_held_round_a_belly_is_told_and_along_a_straight_edge_is_not():
    """A kiridashi's edge is straight; a kitchen knife with a height is ground to that, and to no angle."""
    document = demo_document()
    templates = tuple(
        replace(family(id_), name=name) for id_, name in (("bushcraft", "Belly"), ("kiridashi", "Straight"), ("petty", "Height"))
    )
    corner = replace(changed(family("tanto-type"), "grind.held", Held.ANGLE), name="Corner")
    made = replace(job_of(document), templates=(*templates, corner), ids=(), make=(), tools=Owned())
    (words,) = (each for each in changed_since(7, document, shaped(made)) if "round the belly" in each)
    assert words.startswith("Belly, Corner: the bevel keeps its angle")


def test_every_sample_of_an_older_version_can_be_told():
    for version in range(1, 8):
        body = read(SAMPLES / f"version-{version}.shopbook").body
        assert all(each.endswith(".") for each in changed_since(version, body.document, shaped(job_of(body.document))))
