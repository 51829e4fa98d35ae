"""Marks on the screen: where they land, and that fractions are built."""

import pytest
from PySide6.QtCore import QEvent, QObject, QPointF
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication, QHBoxLayout, QWidget

from workbook.app.canvas.board import Board
from workbook.app.canvas.knife_view import knife_marks
from workbook.app.canvas.scene import Scene
from workbook.app.elements.basics import Lettered
from workbook.app.elements.painting import paint, text_width
from workbook.app.look import PX_PER_MM, Look
from workbook.geometry.drawing import Disc, Text, extent, stroke
from workbook.tasks.demo import demo_job


@pytest.fixture
def look(qapp):
    return Look("light")


def painted(look, marks, size=200):
    image = QImage(size, size, QImage.Format.Format_RGB32)
    image.fill(look.colour("board"))
    painter = QPainter(image)
    paint(painter, marks, look, QPointF(size / 2, size / 2))
    painter.end()
    return image


def test_y_runs_up_and_a_millimetre_is_its_pixels(look):
    image = painted(look, (stroke(((0, 0), (0, 10)), "outline"),))
    assert image.pixelColor(100, round(100 - 5 * PX_PER_MM)) != look.colour("board")
    assert image.pixelColor(100, round(100 + 5 * PX_PER_MM)) == look.colour("board")


def test_a_filled_disc_covers_its_middle(look):
    image = painted(look, (Disc((0, 0), 5, fill="ink"),))
    assert image.pixelColor(100, 100) == look.colour("ink")


def test_a_built_fraction_takes_less_room_than_plain_figures(look):
    assert text_width(look, "10 1⁄8", 10) < text_width(look, "10 1/8", 10) + text_width(look, " ", 10)


def test_a_text_leaves_ink(look):
    image = painted(look, (Text((0, 0), "8", 30, "middle"),))
    assert any(image.pixelColor(x, y) != look.colour("board") for x in range(80, 120) for y in range(60, 101))


@pytest.mark.parametrize("name", ["Petty", "Santoku type", "Paring"])
@pytest.mark.parametrize(
    "lit", ["", "height", "blade", "drop", "spine_straight", "edge_straight", "front", "ahead", "butt", "handle"]
)
def test_the_board_draws_every_lit_dimension_at_any_zoom(look, name, lit):
    blank = demo_job().shapes[name]
    for zoom in (0.3, 1.0, 4.0):
        marks = knife_marks(Scene(blank=blank, unit="in", bar=blank.thickness, lit=lit), zoom, look.measure)
        x0, _, x1, _ = extent(marks)
        assert x1 - x0 >= (blank.extent()[2] - blank.extent()[0]) * zoom
        assert any(getattr(mark, "line", "") == "lit" for mark in marks) == bool(lit)


def test_words_as_wide_as_the_last_move_nothing_else(qtbot):
    """A drag says numbers many times a second; a new layout of all round them at each would be most of its time."""
    holder, words = QWidget(), Lettered(Look(), "1.25")
    QHBoxLayout(holder).addWidget(words)
    qtbot.addWidget(holder)
    with qtbot.waitExposed(holder):
        holder.show()
    QApplication.processEvents()
    heard = []

    class Heard(QObject):
        def eventFilter(self, watched, event):
            heard.append(event.type())
            return False

    listening = Heard()
    holder.installEventFilter(listening)
    for text, anew in (("1.25", False), ("7.38", False), ("11.25", True)):
        heard.clear()
        words.say(text)
        QApplication.processEvents()
        assert (QEvent.Type.LayoutRequest in heard) == anew, text
        assert words.text() == text
        assert words.sizeHint().width() == round(text_width(Look(), text, 9.75)) + 2


def test_the_ground_as_a_picture_is_the_ground_as_it_is_painted(qtbot, look):
    """The first time it is painted; from the second on its picture is, until the view is another."""
    board = Board(look)
    qtbot.addWidget(board)
    board.resize(400, 260)
    blank = demo_job().shapes["Petty"]
    board.show_scene(Scene(blank=blank, unit="in", bar=blank.thickness), look)
    first, second, third = (board.grab().toImage() for _ in range(3))
    assert first == second == third
    board.show_scene(Scene(blank=blank, unit="mm", bar=blank.thickness), look)
    assert board.grab().toImage() != third  # centimetres have other lines
    board.resize(420, 260)
    anew = Board(look)
    qtbot.addWidget(anew)
    anew.resize(420, 260)
    anew.show_scene(board.scene, look)
    board.grab()
    assert board.grab().toImage() == anew.grab().toImage()
