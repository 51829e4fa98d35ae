"""Tracing in the window: a photo of a known knife on a sheet, clicked, fitted, taken to the shelf."""

from io import BytesIO

import numpy as np
import pytest
import shapely
from PIL import Image, ImageDraw
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QMessageBox

from tests.app.waiting import at_rest
from tests.named import template_of
from tests.template.test_tracing import A4, CORNERS, KNIVES, camera, knife
from workbook.app.dialogs.trace import TraceDialog
from workbook.formats.picture import read_picture
from workbook.geometry.path import Placement, flatten
from workbook.problems import JobError
from workbook.template.blade import blade_curves
from workbook.template.shape import outline_of

PLACE = Placement(150.0, 100.0, 0.15)


@pytest.fixture(scope="module")
def taken():
    """A photo at an angle: a white sheet on a dark bench, a grey knife on it, noise over all."""
    true = knife("petty", KNIVES["petty"])
    outline = PLACE.points(flatten(outline_of(true, blade_curves(true)), 0.05))
    made = Image.new("RGB", (3000, 2000), (60, 56, 50))
    draw = ImageDraw.Draw(made)
    draw.polygon([tuple(p) for p in camera(CORNERS)], fill=(238, 236, 230))
    draw.polygon([tuple(p) for p in camera(outline)], fill=(120, 126, 130))
    noise = np.random.default_rng(1).normal(0, 8, (2000, 3000, 3))
    made = Image.fromarray(np.clip(np.asarray(made) + noise, 0, 255).astype(np.uint8))
    file = BytesIO()
    made.save(file, "JPEG", quality=88)
    return file.getvalue(), true, outline


@pytest.fixture
def photo(tmp_path, taken):
    """The same as a file."""
    content, *known = taken
    (tmp_path / "old knife.jpg").write_bytes(content)
    return tmp_path / "old knife.jpg", *known


@pytest.fixture
def dialog(qtbot, window, photo):
    window.bringing.trace_picture(photo[0])
    at_rest(window)
    (made,) = window.findChildren(TraceDialog)
    qtbot.waitUntil(made.isVisible)
    made.form.field("how").activated.emit(1)
    made.form.field("family").activated.emit([value for value, _ in made.form._items["family"].options].index("petty"))
    return made


def click(qtbot, dialog, place, button=Qt.MouseButton.LeftButton):
    spot = dialog.view.spot(*place)
    qtbot.mouseClick(dialog.view, button, pos=QPoint(round(spot.x()), round(spot.y())))


def test_a_photo_is_traced_and_the_template_is_the_knife(qtbot, window, photo, dialog):
    _, true, outline = photo
    ring = shapely.LinearRing(outline)
    curves = blade_curves(true)
    butt = outline[np.argmin((outline - PLACE.points(np.array([[-true.handle.length, -4.0]]))) @ [1.0, 0.2])]
    named = PLACE.points(np.array([curves.point, curves.heel]))
    rest = [ring.interpolate((n + 0.5) / 36, normalized=True).coords[0] for n in range(36)]
    assert "four corners" in dialog._next.text()
    for place in camera(CORNERS):
        click(qtbot, dialog, place)
    assert "tip of the blade" in dialog._next.text()
    front = PLACE.points(np.array([[0.0, true.handle.front / 2]]))[0]
    for place in camera(np.array([named[0], butt, named[1], front, *rest])):
        click(qtbot, dialog, place)
    assert not dialog.take_button.isEnabled()
    dialog.fit_button.click()
    assert "Fitting" in dialog._result.text()
    qtbot.waitUntil(lambda: dialog.traced is not None, timeout=30_000)
    assert "on the whole" in dialog._result.text()
    dialog.view.grab()
    found = dialog.traced.template
    # the whole picture is on the screen at a fifth of its size, so a click is good to a fifth of the screen's pixel: 0.7 mm
    assert found.blade.length + found.handle.length == pytest.approx(true.blade.length + true.handle.length, abs=1.5)
    dialog.take_button.click()
    space = window.workspace
    assert space.name == "old knife"
    assert template_of(space, "old knife").blade.length == pytest.approx(true.blade.length, abs=2.5)
    space.undo()
    assert "old knife" not in space.model.shapes


def test_places_are_moved_taken_away_and_what_is_wrong_is_said(qtbot, dialog):
    for place in ((400, 400), (2400, 420), (1400, 410), (500, 1500)):
        click(qtbot, dialog, place)
    dialog._remove(3)
    dialog._put(*(v + 3.0 for v in dialog.places[0]))  # as good as where a mark is
    assert "each corner once" in dialog.wrong.text()
    assert len(dialog.places) == 3
    click(qtbot, dialog, (500, 1500))
    for n in range(12):
        click(qtbot, dialog, (600 + 100 * n, 900))
    dialog.fit_button.click()
    assert "not the corners of a sheet" in dialog.wrong.text()
    count = len(dialog.places)
    click(qtbot, dialog, dialog.places[-1], Qt.MouseButton.RightButton)
    assert len(dialog.places) == count - 1
    before = dialog.places[-1]
    dialog.view.setFocus()
    qtbot.keyClick(dialog.view, Qt.Key.Key_Right)
    assert dialog.places[-1] == (before[0] + 1, before[1])
    qtbot.keyClick(dialog.view, Qt.Key.Key_Delete)
    dialog.back_button.click()
    assert len(dialog.places) == count - 3
    dialog.form.field("how").activated.emit(2)
    assert dialog.form.field("distance").isEnabled()
    dialog.fit_button.click()
    assert "distance between them" in dialog.wrong.text()


def test_places_that_are_no_knife_are_told_after_the_fit(qtbot, dialog):
    for place in camera(CORNERS):
        click(qtbot, dialog, place)
    for n in range(14):
        click(qtbot, dialog, (800 + 40 * n, 700 + 300 * (n % 3)))
    dialog.fit_button.click()
    qtbot.waitUntil(lambda: dialog._work is None, timeout=30_000)
    assert "Are two of them swapped?" in dialog.wrong.text()
    assert not dialog.take_button.isEnabled()
    dialog.close()


def test_what_is_no_picture_is_said(window, tmp_path, monkeypatch):
    (tmp_path / "bad.jpg").write_bytes(b"\xff\xd8 not a picture")
    window.bringing.trace_picture(tmp_path / "bad.jpg")
    at_rest(window)
    (box,) = window.findChildren(QMessageBox)
    assert "of a kind that this program cannot read" in box.informativeText()


@pytest.mark.parametrize("damage", range(20))
def test_a_damaged_picture_is_read_or_refused(photo, damage):
    data = bytearray(photo[0].read_bytes())
    chance = np.random.default_rng(damage)
    for at in chance.integers(2, len(data), 40):
        data[at] = chance.integers(0, 256)
    photo[0].write_bytes(bytes(data[: chance.integers(200, len(data))]))
    try:
        assert len(read_picture(photo[0]).pixels) > 0
    except JobError as trouble:
        assert "picture" in str(trouble)


def test_the_sheet_is_named_by_its_standard_size():
    from workbook.sheets.paper import PAPERS

    assert sorted(A4) == sorted((PAPERS["a4"].width, PAPERS["a4"].height))
