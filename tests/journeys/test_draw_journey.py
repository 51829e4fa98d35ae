"""A blade drawn in the installed program's real window: a family picked, dragged, typed, drilled, a check fixed, printed.

Where things lie is asked of the same window built here, offscreen, to which the same is done.
"""

import os

from tests.named import key_of
from workbook.structs import replace

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import pytest
from PySide6.QtCore import QPoint

from tests.journeys.looking import Looked
from tests.journeys.test_window_journey import display, patiently, pytestmark, start  # noqa: F401
from workbook.app.look import Look
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.queries import template_named
from workbook.storage.unsaved import sessions
from workbook.tasks.demo import demo_job
from workbook.tasks.load import shaped
from workbook.tasks.work import work_on
from workbook.template.pegs import pegs

NAME = "Drop-point hunter"


class Twin:
    """The same window here, to ask it where things lie."""

    def __init__(self, qtbot):
        self.window = Window(Workspace(work_on(demo_job().job), Look()))
        qtbot.addWidget(self.window)
        self.window.resize(1440, 900)
        self.window.show()
        self.qtbot = qtbot
        self.window.workspace.add_family("drop-point-hunter")
        self.settle()

    def settle(self):
        self.qtbot.wait(60)  # a frame, so that all is laid out

    def at(self, widget, place=None):
        """A place of a widget in the window."""
        where = widget.mapTo(self.window, place if place is not None else widget.rect().center())
        return where.x(), where.y()

    def peg(self, name):
        board = self.window.draw.board
        own = next(p for p in pegs(self.window.workspace.blank) if p.name == name)
        origin, k = board.origin(), board.scale()
        return self.at(board, QPoint(round(origin.x() + own.at[0] * k), round(origin.y() - own.at[1] * k)))

    def drag(self, name, dx, dy):
        """The same drag, done to the twin."""
        draw, board = self.window.draw, self.window.draw.board
        own = next(p for p in pegs(self.window.workspace.blank) if p.name == name)
        board.fitted = False
        k = board.scale()
        draw._peg_chosen(name)
        draw._moving.take()
        draw._moving.move(name, own.at[0] + dx / k, own.at[1] - dy / k)
        draw._peg_released(name)
        self.settle()


@pytest.fixture
def twin(qtbot, tmp_path, monkeypatch):
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "twin"))
    return Twin(qtbot)


def test_a_blade_is_drawn_drilled_mended_and_printed(start, twin, tmp_path):  # noqa: F811
    program = start()

    def template():
        (left,) = sessions(tmp_path / "data" / "sessions")
        database = Looked(left.file)
        try:
            document = database.body().document
        finally:
            database.close()
        return template_named(document, NAME).family

    def mouse(*words):
        program.xdotool("mousemove", "--window", program.window, *(str(w) for w in words[:2]), *words[2:])

    def drag(name, dx, dy):
        program.quiet()
        x, y = twin.peg(name)
        mouse(x, y, "mousedown", "1")
        for part in (0.3, 0.6, 1.0):
            mouse(round(x + dx * part), round(y + dy * part))
        program.xdotool("mouseup", "1")
        twin.drag(name, dx, dy)

    program.xdotool("windowmove", program.window, "0", "0")
    program.xdotool("windowsize", program.window, "1440", "900")
    program.find("new drop-point")
    family = patiently(lambda: _there(template))

    drag("point", 40, 0)
    patiently(lambda: template().blade.length > family.blade.length + 3)
    field = twin.window.draw.panel.findChild(object, "blade.height")
    program.quiet()
    mouse(*twin.at(field), "click", "1")
    program.xdotool("key", "ctrl+a")
    program.xdotool("type", "--delay", "40", "1 3/16")
    program.xdotool("key", "Return")
    patiently(lambda: abs(template().blade.height - 1.1875 * 25.4) < 1e-6)
    twin.window.workspace.edit("blade.height", 1.1875 * 25.4)
    twin.settle()

    mark = next(hole.mark for hole in twin.window.workspace.blank.holes if hole.mark.startswith(("B", "P")))
    drag(mark, 0, 18)
    patiently(lambda: template().holes is not None)
    problems = twin.window.workspace.model.checked(key_of(twin.window.workspace, NAME))
    assert [p for p in problems if mark in p.what], "the hole was to come too near to the edge"
    strip = twin.window.draw.checks
    program.quiet()
    mouse(*twin.at(strip, QPoint(40, strip.height() // 2)), "click", "1")
    twin.window.draw.checks.picked.emit(problems[0])
    twin.settle()
    before = template().holes
    program.quiet()
    mouse(*twin.at(twin.window.draw.fix_button), "click", "1")
    patiently(lambda: template().holes != before)
    twin.window.draw.fix()
    assert not [p for p in shaped_problems(twin, template()) if mark in p.what and p.severity != "note"]

    count = len(template().holes)
    program.find("one more pin")
    patiently(lambda: len(template().holes) == count + 1)

    program.key("ctrl+p")
    dialog = patiently(lambda: program.titled("Save the template sheet")).splitlines()[0]
    program.xdotool("windowfocus", dialog)
    program.xdotool("key", "Return")
    sheet = patiently(lambda: next(iter(tmp_path.glob("*.pdf")), None))
    patiently(lambda: sheet.read_bytes().startswith(b"%PDF") and sheet.read_bytes().rstrip().endswith(b"%%EOF"))


def shaped_problems(twin, template):
    """What the checks say of a template."""
    job = twin.window.workspace.model.job
    return shaped(replace(job, templates=(template,), ids=(), make=())).checked(template.name)


def _there(template):
    try:
        return template()
    except KeyError:
        return None
