"""The frame: pages, looks, opening jobs, names for the screen reader, contrast."""

import subprocess
import sys

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLineEdit, QListView, QTableView

from tests.app.waiting import at_rest
from tests.named import key_of, template_of
from workbook.app.contrast import Contrast
from workbook.app.look import Look, tokens
from workbook.app.pages.table import NAMES
from workbook.paths import resource


def test_the_rail_and_its_keys_change_the_page(qtbot, window):
    qtbot.mouseClick(window.rail.button(NAMES.index("stock")), Qt.MouseButton.LeftButton)
    assert window.page_name() == "stock"
    qtbot.mouseClick(window.rail.button(NAMES.index("layout")), Qt.MouseButton.LeftButton)
    assert window.page_name() == "layout"
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    qtbot.keyClick(window.rail.button(1), Qt.Key.Key_1, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: window.page_name() == "draw")
    window.bars_page().search.close()


@pytest.mark.parametrize(("theme", "text"), [("dark", 1.0), ("light", 1.5), ("dark", 2.0)])
def test_another_look_keeps_the_work(window, theme, text):
    window.workspace.edit("blade.length", 150.0)
    window.workspace.choose(key_of(window.workspace, "Paring"))
    window.use_look(Look(theme, text))
    assert window.workspace.name == "Paring"
    assert template_of(window.workspace, "Petty").blade.length == 150.0
    assert window.draw.board._look == Look(theme, text)
    window.grab()


def test_a_job_file_opens(window):
    window.filing.open_file(resource("demo", "harbour-kitchen-run.toml"))
    at_rest(window)
    assert window.workspace.name == "Petty"


def test_a_broken_job_file_is_said_and_the_work_stays(window, tmp_path, monkeypatch):
    (tmp_path / "bad.toml").write_text('[[template]]\nname = "A"\nfamily = "pety"\n')
    said = []
    monkeypatch.setattr(window, "say_trouble", lambda title, trouble: said.append(trouble.lines()))
    window.filing.open_file(tmp_path / "bad.toml")
    at_rest(window)
    assert any("petty" in line for line in said[0])
    assert window.workspace.name == "Petty"


def test_every_control_has_a_name_for_the_screen_reader(window, field):
    for group in ("point", "heel", "handle", "tang", "grind"):
        window.draw.panel.findChild(object, f"group-{group}").set_open(True)
    window.bars_page()
    nameless = []
    for kind in (QAbstractButton, QLineEdit, QComboBox, QListView, QTableView):
        for widget in window.findChildren(kind):
            read = QAccessible.queryAccessibleInterface(widget)
            inner = widget.objectName().startswith("qt_") or isinstance(widget.parentWidget(), (QTableView, QComboBox))
            if read and widget.objectName() and not inner and not read.text(QAccessible.Text.Name):
                nameless.append(f"{kind.__name__} {widget.objectName()}")
    window.bars_page().search.close()
    assert nameless == []


def luminance(colour):
    """WCAG 2.1 relative luminance."""
    parts = [
        v / 12.92 if v <= 0.03928 else ((v + 0.055) / 1.055) ** 2.4 for v in (colour.redF(), colour.greenF(), colour.blueF())
    ]
    return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_every_text_keeps_a_contrast_of_4_5(theme):
    """WCAG 2.1, success criterion 1.4.3."""
    look = Look(theme)
    texts = [("ink", "board"), ("ink", "panel"), ("soft", "panel"), ("soft", "desk"), ("soft", "board"), ("on_dye", "dye")]
    texts += [("stop", "panel"), ("warn", "panel"), ("good", "panel"), ("steel_ink", "blank"), ("blue", "blue_wash")]
    for above, below in texts:
        a, b = sorted((luminance(look.colour(above)), luminance(look.colour(below))))
        assert (b + 0.05) / (a + 0.05) >= 4.5, f"{above} on {below} in {theme}"


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_where_the_system_asks_for_more_every_text_keeps_a_contrast_of_7(theme):
    """WCAG 2.1, success criterion 1.4.6; and of lines 3, as 1.4.11 asks."""
    look = Look(theme, strong=True)
    grounds = ("board", "panel", "desk", "field")
    least = {(above, below): 7 for above in ("ink", "soft", "blue", "stop", "warn", "good") for below in grounds}
    least |= {(line, below): 3 for line in ("rim", "hair") for below in grounds}
    for (above, below), ratio in least.items():
        a, b = sorted((luminance(look.colour(above)), luminance(look.colour(below))))
        assert (b + 0.05) / (a + 0.05) >= ratio, f"{above} on {below} in {theme}"
    assert look.pen("outline", "soft").color() == look.colour("soft") != Look(theme).colour("soft")


def test_the_window_is_shown_with_more_contrast_when_the_system_asks(window):
    asked = Contrast()
    assert not asked.strong
    asked.follow(window)
    asked.use(Qt.ContrastPreference.HighContrast)
    assert (window.workspace.look.strong, window.workspace.look.theme) == (True, "light")
    asked.use(Qt.ContrastPreference.NoPreference)
    assert not window.workspace.look.strong


def test_both_themes_have_the_same_roles():
    assert set(tokens()["colour"]["light"]) == set(tokens()["colour"]["dark"])


def test_the_window_brings_no_writer_at_start():
    code = "import sys, workbook.app.main; print([m for m in ('ezdxf', 'reportlab', 'pypdfium2') if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
