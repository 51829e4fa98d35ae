"""Menu, button, dialog and command write the same bytes under the same name, and refuse in the same words what cannot be made."""

import json
from itertools import combinations

import ezdxf
import pytest
from ezdxf.path import make_path
from PySide6.QtWidgets import QFileDialog
from shapely import Polygon

from tests.app.test_outline import drawing
from tests.app.waiting import at_rest
from tests.counts import some
from workbook.app.dialogs.export import ExportDialog
from workbook.cli.main import main
from workbook.document.records import Revision
from workbook.model.results import layout_json
from workbook.nesting.model import written as outline
from workbook.structs import replace
from workbook.tasks.exports import EXPORTS
from workbook.tasks.job_files import job_files
from workbook.template.model import TangForm
from workbook.template.service import DxfVersion, Service

OF_TEMPLATES = [key for key, export in EXPORTS.items() if export.of == "templates"]
OF_BARS = [key for key, export in EXPORTS.items() if export.of == "bars"]
MENUS = {
    "sheets": "Print template sheet", "cutting": "Export cutting file (DXF)",
    "bars": "Print bar sheets", "bars-cut": "Export cutting file of the bars (DXF)",
    "bars-drawing": "Export drawing with all lines (DXF)",
}  # fmt: skip
PRINTED = ("sheets", "bars")  # these open the preview
NO_LAYOUT = "layout: there is none. Lay the blanks out first."
EMPTY = "layout: it is empty. Lay the blanks out first."


class Ways:
    """All ways of one window out of it, and those of the commands on the same job in a folder."""

    def __init__(self, qtbot, window, folder, capsys, monkeypatch):
        self.qtbot, self.window, self.folder, self.capsys = qtbot, window, folder, capsys
        self.asked = []  # names proposed
        self.chosen = ""  # the file that is named; "": none is
        self.said = []
        monkeypatch.setattr(QFileDialog, "getSaveFileName", self._ask)
        monkeypatch.setattr(window, "say_trouble", lambda title, trouble: self.said.append(trouble.lines()))

    def _ask(self, parent, title, proposed, kinds):
        self.asked.append(proposed)
        return str(self.folder / "menu" / proposed), kinds

    def by_menu(self, key):
        """What is said, or the file as it is written, by its name."""
        (self.folder / "menu").mkdir(exist_ok=True)
        tops = [top.menu() for top in self.window.menuBar().actions()]
        found = [act for menu in tops for act in menu.actions() if act.text().replace("&", "") == f"{MENUS[key]}…"]
        (action,) = found
        self.said.clear()
        action.trigger()
        if key in PRINTED and not self.said:
            return self.shown()
        at_rest(self.window)
        written = {path.name: path.read_bytes() for path in (self.folder / "menu").iterdir()}
        for path in (self.folder / "menu").iterdir():
            path.unlink()
        return self.said[-1] if self.said else written

    def shown(self):
        """The files of the preview that is open."""
        (dialog,) = (each for each in self.window.findChildren(ExportDialog) if each.isVisible())
        self.qtbot.waitUntil(lambda: bool(dialog.files), timeout=20_000)
        files = dict(dialog.files)
        dialog.close()
        return files

    def by_dialog(self, key):
        """What is said, or the files."""
        dialog = ExportDialog(self.window, key)
        dialog.show()
        self.qtbot.waitUntil(lambda: bool(dialog.files) or bool(dialog.trouble.text()), timeout=20_000)
        found = dialog.trouble.text().splitlines() or dict(dialog.files)
        if not dialog.files:
            assert not dialog.save.isEnabled()
            assert not dialog.print_button.isEnabled()
        dialog.close()
        return found

    def job(self):
        """The job of the window as a file."""
        for name, content in job_files(self.window.workspace.model, "job.toml").items():
            (self.folder / name).write_bytes(content)
        return self.folder / "job.toml"

    def by_command(self, *words):
        """What is said, or the files, of a command on the job."""
        out = self.folder / "out"
        code = main([words[0], str(self.job()), "--out", str(out), "--quiet", *words[1:]])
        said = self.capsys.readouterr().err.splitlines()
        assert (code, out.exists()) in ((0, True), (1, False))
        if code:
            return said
        written = {path.relative_to(out).as_posix(): path.read_bytes() for path in out.rglob("*.*") if path.is_file()}
        for path in sorted(out.rglob("*"), reverse=True):
            path.rmdir() if path.is_dir() else path.unlink()
        out.rmdir()
        return {name: content for name, content in written.items() if not name.startswith(".")}


@pytest.fixture
def ways(qtbot, window, tmp_path, capsys, monkeypatch):
    return Ways(qtbot, window, tmp_path, capsys, monkeypatch)


@pytest.fixture
def opened(ways, window):
    """The window on the job of a file: its lengths are the very numbers that a command reads."""
    window.filing.open_file(ways.job())
    at_rest(window)
    return window


def written(folder, laid):
    """A layout as a file, whatever it is like: no guard stands before it."""
    file = folder / "layout.json"
    file.write_text(json.dumps(layout_json(laid)))
    return str(file)


def clashing(laid):
    """The second blank lies on the first, a millimetre further on."""
    first, *others = laid.layout.bars
    second = replace(first.pieces[1], x=first.pieces[0].x + 1.0, y=first.pieces[0].y)
    on = replace(first, pieces=(first.pieces[0], second, *first.pieces[2:]))
    return replace(laid, layout=replace(laid.layout, bars=(on, *others)))


def test_a_template_that_is_stopped(ways, window):
    space = window.workspace
    space.edit("tang.form", TangForm.HIDDEN)
    space.edit("tang.length", 200.0)
    steps = len(space.session.steps)
    wanted = ways.by_dialog("sheets")
    assert any("The tang is longer" in line for line in wanted)
    for key in OF_TEMPLATES:
        assert ways.by_dialog(key) == wanted, key
        assert ways.by_command("sheets", "--what", key) == wanted, key
    for key in ("sheets", "cutting"):
        assert ways.by_menu(key) == wanted, key
    assert ways.by_command("templates") == wanted
    assert ways.by_command("grind") == wanted
    window.show_page("grind")
    for button in (window.draw.print_button, window.draw.cut_button, window.grind_page().print_button):
        assert not button.isEnabled()
        assert button.toolTip() == "\n".join(wanted)
    assert ways.asked == []
    assert len(space.session.steps) == steps


def test_a_template_that_is_stopped_on_a_layout(ways, window, page):
    """As it would be if the layout outlived a change of its template."""
    laid, space = page.laid, window.workspace
    layout = written(ways.folder, laid)
    window.show_page("draw")
    space.edit("tang.form", TangForm.HIDDEN)
    space.edit("tang.length", 200.0)
    wanted = ways.by_dialog("sheets")
    assert any("The tang is longer" in line for line in wanted)
    page.shown.laid = replace(laid, model=space.model)
    for key in OF_BARS:
        assert ways.by_dialog(key) == wanted, key
        assert ways.by_command("sheets", "--what", key, "--layout", layout) == wanted, key
    for key in ("bars", "bars-cut", "bars-drawing"):
        assert ways.by_menu(key) == wanted, key
    assert ways.by_command("lay-out", "--steps", "1") == wanted
    assert ways.asked == []


def test_blanks_that_clash(ways, window, page):
    laid = clashing(page.laid)
    page.shown.take(laid)
    page._show_state()
    shapes = [Polygon(outline(laid.nesting, piece)) for piece in laid.layout.bars[0].pieces]
    least = laid.nesting.separation - 0.01
    pairs = [(a, b) for a, b in combinations(range(len(shapes)), 2) if shapes[a].distance(shapes[b]) < least]
    assert (0, 1) in pairs
    names = [page.shown.names[0][n] for n in sorted({n for pair in pairs for n in pair})]
    wanted = [f"layout: {', '.join(names)} on bar 1 are too close. Move them apart first."]
    layout, steps = written(ways.folder, laid), len(window.workspace.session.steps)
    for key in OF_BARS:
        assert ways.by_dialog(key) == wanted, key
        assert ways.by_command("sheets", "--what", key, "--layout", layout) == wanted, key
    for key in ("bars", "bars-cut", "bars-drawing"):
        assert ways.by_menu(key) == wanted, key
    assert not page.side.print_button.isEnabled()
    assert not page.side.cut_button.isEnabled()
    assert wanted[0].partition(": ")[2].rstrip(".") in page.side.words.text()
    assert ways.asked == []
    assert len(window.workspace.session.steps) == steps


def test_a_drawing_has_no_bench_card(ways, window, tmp_path):
    window.filing.open_file(drawing(tmp_path / "old pattern.dxf", 4))
    at_rest(window)
    what = "it is an imported outline without a grind, so it has no bench card."
    wanted = [f"template “old pattern”: {what} Choose a template made from a family."]
    assert ways.by_dialog("cards") == wanted
    assert ways.by_command("sheets", "--what", "cards", "--templates", "old pattern") == wanted
    assert ways.by_command("grind", "--template", "old pattern") == wanted
    assert ways.asked == []
    assert set(ways.by_command("sheets", "--what", "cards")) == {
        f"{name}-bench-card.pdf" for name in ("petty", "santoku-type", "paring")
    }


def test_no_layout(ways, window):
    for key in OF_BARS:
        assert ways.by_dialog(key) == [NO_LAYOUT], key
        assert ways.by_command("sheets", "--what", key) == [NO_LAYOUT], key
    for key in ("bars", "bars-cut", "bars-drawing"):
        window.bars_page().search.close()
        window.bars_page().shown.laid = None
        assert ways.by_menu(key) == [NO_LAYOUT], key
        assert window.page_name() == "layout"
    window.bars_page().search.close()
    assert ways.asked == []
    assert not list(window.workspace.session.document.all(Revision))


def test_an_empty_layout(ways, page):
    laid = replace(page.laid, layout=replace(page.laid.layout, bars=()))
    page.shown.laid = laid
    page._show_state()
    assert not page.side.print_button.isEnabled()
    assert not page.side.cut_button.isEnabled()
    layout = written(ways.folder, replace(laid, costs=replace(laid.costs, each=())))
    for key in OF_BARS:
        assert ways.by_dialog(key) == [EMPTY], key
        assert ways.by_command("sheets", "--what", key, "--layout", layout) == [EMPTY], key
    for key in ("bars", "bars-cut", "bars-drawing"):
        assert ways.by_menu(key) == [EMPTY], key
    assert ways.asked == []


def test_what_is_of_a_template_is_the_same_bytes_whichever_way(ways, opened):
    for key in ("sheets", "cutting"):
        by_menu = ways.by_menu(key)
        by_dialog, by_command = ways.by_dialog(key), ways.by_command("sheets", "--what", key, "--templates", "Petty")
        assert by_dialog == by_command, key
        assert by_menu.items() <= by_dialog.items(), key
        assert list(by_menu)[:1] == list(by_dialog)[:1] == ([ways.asked.pop()] if key not in PRINTED else list(by_menu)), key
        assert not ways.asked, key
        if key != "cutting":
            assert by_menu == by_dialog, key
    assert ways.by_command("templates")["cut/petty.dxf"] == by_menu["petty.dxf"]
    assert set(by_dialog) == {"petty.dxf", "notes.pdf"}


def test_what_is_of_bars_is_the_same_bytes_whichever_way(ways, opened, page):
    (made,) = ways.by_dialog("layout").values()
    (ways.folder / "layout.json").write_bytes(made)
    for key in some(["bars", "bars-cut", "bars-drawing"], 2):
        by_menu, by_dialog = ways.by_menu(key), ways.by_dialog(key)
        by_command = ways.by_command("sheets", "--what", key, "--layout", str(ways.folder / "layout.json"))
        assert by_menu == by_dialog == by_command, key
        assert EXPORTS[key].file == next(iter(by_menu)) == (next(iter(by_menu)) if key in PRINTED else ways.asked.pop()), key
        assert not ways.asked


@pytest.mark.parametrize("version", some([DxfVersion.R12, DxfVersion.R2000], 1))
def test_a_cut_file_of_the_bars_is_what_the_service_can_cut(ways, window, page, version):
    """Its layers, its version and its kerf; the button writes what the menu writes."""
    window.workspace.change_settings("service", "jet", service=Service(name="jet", kerf=0.4, version=version))
    ways.qtbot.waitUntil(lambda: page.laid is not None, timeout=60_000)
    page.search.stop()
    at_rest(window)
    by_menu = ways.by_menu("bars-cut")
    page.side.cut_button.click()
    at_rest(window)
    file = ways.folder / "menu" / "bars-to-cut.dxf"
    assert by_menu == {file.name: file.read_bytes()}
    read = ezdxf.readfile(file)
    blanks = [piece for use in page.laid.layout.bars for piece in use.pieces]
    found = [(entity.dxftype(), entity.dxf.layer) for entity in read.modelspace()]
    assert read.dxfversion == {DxfVersion.R12: "AC1009", DxfVersion.R2000: "AC1015"}[version]
    assert {layer for _, layer in found} == {"OUTLINE", "HOLES"}
    assert sum(layer == "OUTLINE" for _, layer in found) == len(blanks)
    assert {kind for kind, layer in found if layer == "HOLES"} == {"CIRCLE"}
    first = next(path for path in map(make_path, read.modelspace().query("*[layer=='OUTLINE']")))
    grown = Polygon([(v.x, v.y) for v in first.flattening(0.01)]).area
    own = Polygon(outline(page.laid.nesting, blanks[0])).buffer(0.2, 64).area  # by half the kerf
    assert grown == pytest.approx(own, rel=1e-3)


def test_lay_out_writes_what_the_others_write_of_its_layout(ways):
    whole = ways.by_command("lay-out", "--steps", "2")
    (ways.folder / "layout.json").write_bytes(whole["layout.json"])
    asked = ["--what", "bars,bars-drawing,costs,buy", "--layout", str(ways.folder / "layout.json")]
    assert {name: content for name, content in whole.items() if name != "layout.json"} == ways.by_command("sheets", *asked)


def test_all_cards_in_one_file_are_the_cards_one_by_one(ways):
    """Of `grind`: as many pages as the cards have together."""
    import pypdfium2

    def pages(files):
        return sum(len(pypdfium2.PdfDocument(content)) for content in files.values())

    whole, single = ways.by_command("grind"), ways.by_command("sheets", "--what", "cards")
    assert set(whole) == {"bench-cards.pdf"}
    assert len(single) == 3
    assert pages(whole) == pages(single) == 3


def test_the_shelf_and_the_printers_page_are_made_whatever_is_stopped(ways, window):
    window.workspace.edit("tang.form", TangForm.HIDDEN)
    window.workspace.edit("tang.length", 200.0)
    for key in ("shelf", "printer"):
        by_dialog = ways.by_dialog(key)
        assert list(by_dialog) == [EXPORTS[key].file]
        assert by_dialog == ways.by_command("sheets", "--what", key)
