"""The monkey's hands: one random thing that a person could do with mouse or keyboard, on whatever is there to be done it to."""

import random
from pathlib import Path

from PySide6.QtCore import QEvent, QModelIndex, QPoint, QPointF, Qt
from PySide6.QtGui import QAction, QImage, QKeyEvent, QMouseEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QDialog,
    QFileDialog,
    QLineEdit,
    QListView,
    QMenu,
    QMessageBox,
    QWidget,
)

from tests.written import stock_table
from workbook.app.as_it_is import as_it_is
from workbook.app.canvas.board import Board
from workbook.app.export import wanted_of
from workbook.app.look import Look
from workbook.app.pages.table import NAMES
from workbook.app.window import Window
from workbook.paths import resource
from workbook.tasks.demo import demo_workbook
from workbook.tasks.exports import exported

NO, CONTROL, SHIFT = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
LEFT, RIGHT = Qt.MouseButton.LeftButton, Qt.MouseButton.RightButton
TEXTS = (
    "5", "0", "-1", "7 3/16", "1,5", "0.125", "12 mm", "2'", "1e9", "99999999", "3 1/", "", " ", "10, 2 in", "95.5", "850", "O1",
    "Petty", "2027-03-01", "2027-13-41", "guard 25; sheath 10.50", "guard", "<b>x</b>&amp;", "Ä ß 刃 🙂", "x" * 300,
    "3 Petty of 52100 for A. Moreno by 2027-01-15", "2 Paring", "1084 1/8 x 1 1/2 x 24, 12.00",
    "2 O1 1/8 x 2 x 36 or 48, 4.20/ft", "brass rod 1/4 in, 3 at 4.50", "20 walnut scales", "Harbour & sons",
)  # fmt: skip
KEYS = (
    Qt.Key.Key_Return, Qt.Key.Key_Escape, Qt.Key.Key_Tab, Qt.Key.Key_Backtab, Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Left,
    Qt.Key.Key_Right, Qt.Key.Key_Home, Qt.Key.Key_End, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown, Qt.Key.Key_Delete,
    Qt.Key.Key_Backspace, Qt.Key.Key_Space, Qt.Key.Key_F2, Qt.Key.Key_Plus, Qt.Key.Key_Minus, Qt.Key.Key_1, Qt.Key.Key_7,
    Qt.Key.Key_0, Qt.Key.Key_Slash, Qt.Key.Key_Comma, Qt.Key.Key_Period, Qt.Key.Key_A, Qt.Key.Key_H, Qt.Key.Key_R, Qt.Key.Key_F,
)  # fmt: skip
SHORTCUTS = "1234560KLZZYASEA123456KLEN"  # with Control; not Q, which ends the window
SELDOM = "NZ"  # they leave the work, or go back: histories are to grow long
LEAVES = ("&Quit",)
OTHER_WORK = (
    "&New shop book",
    "&Open…",
    "Open &recent",
    "Open read-on&ly…",
    "Show the &sample",
    "Restore a &backup…",
    "&Undo",
    "&Redo",
)  # seldom
PATIENCE = 0.93  # how often what is done seldom is left
MOST_DIALOGS = 5
SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="220mm" height="30mm" viewBox="0 0 220 30">'
    '<path d="M0 0H200Q225 12 0 28Z"/></svg>'
)


class Hands:
    """They do one thing at a time, and say what. `files`: a folder of their own, from which is opened and in which is written."""

    def __init__(self, window: Window, chance: random.Random, files: Path) -> None:
        self.window, self.chance, self.files = window, chance, files
        self.written = 0
        self.ways = (
            (12, self.click), (8, self.key), (8, self.text), (5, self.menu), (4, self.shortcut), (4, self.drag), (2, self.choose),
            (1, self.turn_wheel), (1, self.page), (0.4, self.tidy), (0.2, self.resize), (0.1, self.look),
        )  # fmt: skip
        self._lay_out_files()
        QFileDialog.getSaveFileName = staticmethod(self._save_name)
        QFileDialog.getOpenFileName = staticmethod(self._open_name)
        QFileDialog.getExistingDirectory = staticmethod(lambda *asked: self._path("folder"))

    def one(self) -> str:
        """Something is done; what."""
        weights = [weight for weight, _ in self.ways]
        ((_, way),) = self.chance.choices(self.ways, weights)
        popup = QApplication.activePopupWidget()
        if popup is not None and way not in (self.key, self.tidy):
            return self._in_popup(popup)
        return f"{way.__name__}: {way()}"

    def _lay_out_files(self) -> None:
        """What may be opened: sound files of every kind, and broken ones."""
        space = self.window.workspace
        (self.files / "folder").mkdir()
        made = {
            "job.toml": resource("demo", "harbour-kitchen-run.toml").read_bytes(),
            "shop.shopbook": demo_workbook(),
            "knife.dxf": next(iter(exported(wanted_of(as_it_is(space)), ["cutting"]).values())),
            "knife.svg": SVG.encode(),
            "stock.csv": stock_table(space.session.document),
        }
        image = QImage(300, 120, QImage.Format.Format_RGB32)
        image.fill(Qt.GlobalColor.lightGray)
        image.save(str(self.files / "photo.png"))
        for name, content in made.items():
            (self.files / name).write_bytes(content)
            (self.files / f"broken-{name}").write_bytes(content[: len(content) // 2] + b"\0\xff" + content[len(content) // 2 :])

    def _path(self, name: str) -> str:
        return str(self.files / name) if self.chance.random() < 0.85 else ""

    def _save_name(self, parent, title, proposed="", kinds="", *rest) -> tuple[str, str]:
        self.written += 1
        named = self._path(f"{self.written} {Path(proposed).name[-60:] or 'file'}")
        return named, kinds

    def _open_name(self, parent, title, folder="", kinds="", *rest) -> tuple[str, str]:
        suffixes = {word.strip("*();") for word in kinds.split() if "*." in word}
        fitting = sorted(file.name for file in self.files.iterdir() if {file.suffix, f"{file.suffix})"} & suffixes)
        return self._path(self.chance.choice(fitting)) if fitting else "", kinds

    def _top(self) -> QWidget:
        """The window that is worked in: the modal one where there is one, else any that shows."""
        modal = QApplication.activeModalWidget()
        dialogs = [dialog for dialog in self.window.findChildren(QDialog) if dialog.isVisible()]
        return modal or self.chance.choice([self.window, *dialogs])

    def _widgets(self, kind: type[QWidget] = QWidget) -> list[QWidget]:
        top = self._top()
        found = [widget for widget in top.findChildren(kind) if widget.isVisible() and widget.isEnabled() and widget.width() > 2]
        return [widget for widget in found if widget.height() > 2 and widget.window() is top]

    def _spot(self, widget: QWidget) -> QPoint:
        return QPoint(self.chance.randrange(widget.width()), self.chance.randrange(widget.height()))

    def click(self) -> str:
        """On a button, a row, a field or a picture: left, right, twice."""
        kind = self.chance.choice((QWidget, QAbstractButton, QAbstractButton, QAbstractItemView, QComboBox))
        found = self._widgets(kind) or self._widgets()
        if not found:
            return "nothing"
        widget = self.chance.choice(found)
        widget = widget.viewport() if isinstance(widget, QAbstractItemView) else widget
        spot, what = self._spot(widget), self.chance.choices(("left", "right", "twice", "with Control"), (20, 2, 2, 1))[0]
        words = f"{what} on {_named(widget)} at {spot.x()}, {spot.y()}"
        widget.window().activateWindow()
        if what == "twice":
            QTest.mouseDClick(widget, LEFT, NO, spot)
        else:
            QTest.mouseClick(widget, RIGHT if what == "right" else LEFT, CONTROL if what == "with Control" else NO, spot)
        return words

    def choose(self) -> str:
        """A row of a list or table, by the keyboard's way."""
        found = [
            view for view in self._widgets(QAbstractItemView) if view.model() is not None and view.model().rowCount(QModelIndex())
        ]
        if not found:
            return "nothing"
        view = self.chance.choice(found)
        model, none = view.model(), QModelIndex()
        columns = 1 if isinstance(view, QListView) else model.columnCount(none)
        row, column = self.chance.randrange(model.rowCount(none)), self.chance.randrange(max(columns, 1))
        words = f"row {row}, {column} of {_named(view)}"
        view.setFocus()
        view.setCurrentIndex(model.index(row, column, none))
        return words

    def _focus(self) -> QWidget:
        return QApplication.focusWidget() or self._top()

    def key(self) -> str:
        """One key, where the keyboard is."""
        key, widget = self.chance.choice(KEYS), QApplication.activePopupWidget() or self._focus()
        words = f"{key.name} in {_named(widget)}"
        QTest.keyClick(widget, key, SHIFT if self.chance.random() < 0.1 else NO)
        return words

    def text(self) -> str:
        """Something typed in a field, and then Return, Tab, Escape or nothing."""
        found = self._widgets(QLineEdit)
        if not found:
            return "nothing"
        field = self.chance.choice(found)
        text = self._another(field.text()) if self.chance.random() < 0.7 else self.chance.choice(TEXTS)
        end = self.chance.choice((Qt.Key.Key_Return, Qt.Key.Key_Tab, Qt.Key.Key_Escape, None, None))
        words = f"{text[:60]!r} in {_named(field)}, then {end.name if end else 'no more'}"
        field.window().activateWindow()
        QTest.mouseClick(field, LEFT)
        if self.chance.random() < 0.7:
            QTest.keyClick(field, Qt.Key.Key_A, CONTROL)
        for letter in text:  # as it may go while it is typed in
            focus = QApplication.focusWidget()
            if focus is not None and letter.isascii():
                QTest.keyClicks(focus, letter)
            elif focus is not None:  # a keyboard of Qt's tests has no such key
                QApplication.sendEvent(focus, QKeyEvent(QEvent.Type.KeyPress, 0, NO, letter))
        focus = QApplication.focusWidget()
        if end is not None and focus is not None:
            QTest.keyClick(focus, end)
        return words

    def _another(self, text: str) -> str:
        """A text with one figure changed, which the field may well take; anything where it has none."""
        places = [n for n, letter in enumerate(text) if letter.isdecimal()]
        if not places:
            return self.chance.choice(TEXTS)
        n = self.chance.choice(places)
        return f"{text[:n]}{self.chance.randrange(10)}{text[n + 1 :]}"

    def shortcut(self) -> str:
        """A key with Control, in the window or a dialog."""
        letter, widget = self.chance.choice(SHORTCUTS), self._focus()
        if letter in SELDOM and self.chance.random() < PATIENCE:
            return f"{letter}: not now"
        QTest.keyClick(widget, getattr(Qt.Key, f"Key_{letter}"), CONTROL)
        return letter

    def menu(self) -> str:
        """An action of the menus, wherever it stands; or the menu alone, opened."""
        if QApplication.activeModalWidget() is not None:
            return "nothing: something is asked"
        if self.chance.random() < 0.2:
            bar = self.window.menuBar()
            action = self.chance.choice(bar.actions())
            words = f"{action.text()} opened"
            self.window.activateWindow()
            QTest.mouseClick(bar, LEFT, NO, bar.actionGeometry(action).center())
            return words
        actions, words = self.window.menuBar().actions(), ""
        while True:
            able = _able(actions)
            if not able:
                return f"{words}: nothing"
            action = self.chance.choice(able)
            words = f"{words} / {action.text()}"
            if action.text() in OTHER_WORK and self.chance.random() < PATIENCE:
                return f"{words}: not now"
            inner = action.menu()
            if not isinstance(inner, QMenu):
                action.trigger()
                return words
            inner.aboutToShow.emit()
            actions = inner.actions()

    def _in_popup(self, popup: QWidget) -> str:
        """An entry of a menu or list that is open, or it is left."""
        if isinstance(popup, QMenu):
            hurried = self.chance.random() > PATIENCE
            able = [action for action in _able(popup.actions()) if hurried or action.text() not in OTHER_WORK]
            if able and self.chance.random() < 0.8:
                return self._entry(popup, self.chance.choice(able))
        views = [view for view in popup.findChildren(QAbstractItemView) if view.isVisible()]
        if views and self.chance.random() < 0.8:
            spot = self._spot(views[0].viewport())
            QTest.mouseClick(views[0].viewport(), LEFT, NO, spot)
            return f"in an open list at {spot.x()}, {spot.y()}"
        name = _named(popup)
        QTest.keyClick(popup, Qt.Key.Key_Escape)
        return f"Escape in {name}"

    def _entry(self, menu: QMenu, action: QAction) -> str:
        words = f"entry {action.text()}"
        place = menu.actionGeometry(action).center()
        QTest.mouseClick(menu, LEFT, NO, place)
        return words

    def drag(self) -> str:
        """From one place of a picture or a label to another, a few moves long; a peg a little way."""
        found = self._widgets()
        if not found:
            return "nothing"
        board = self.window.draw.board
        if board in found and self.chance.random() < 0.5:
            widget, spots = board, self._with_a_peg(board)
        else:
            widget = self.chance.choice(found)
            spots = [self._spot(widget) for _ in range(self.chance.randint(2, 7))]
        words = f"in {_named(widget)} from {spots[0].x()}, {spots[0].y()} over {len(spots)} places"
        self._mouse(widget, QEvent.Type.MouseButtonPress, spots[0], LEFT)
        for spot in spots[1:]:
            self._mouse(widget, QEvent.Type.MouseMove, spot, Qt.MouseButton.NoButton)
        if self.chance.random() < 0.1:
            QTest.keyClick(widget, Qt.Key.Key_Escape)
        self._mouse(widget, QEvent.Type.MouseButtonRelease, spots[-1], LEFT)
        return words

    def _with_a_peg(self, board: Board) -> list[QPoint]:
        """Places from the first peg that is found, if any is, to others near it."""
        tried = [self._spot(board) for _ in range(400)]
        first = next((spot for spot in tried if board.peg_at(QPointF(spot))), tried[0])
        return [first] + [first + QPoint(self.chance.randint(-12, 12), self.chance.randint(-12, 12)) for _ in range(4)]

    def _mouse(self, widget: QWidget, kind: QEvent.Type, spot: QPoint, button: Qt.MouseButton) -> None:
        held = Qt.MouseButton.NoButton if kind is QEvent.Type.MouseButtonRelease else LEFT
        place = QPointF(spot)
        QApplication.sendEvent(widget, QMouseEvent(kind, place, widget.mapToGlobal(place), button, held, NO))

    def turn_wheel(self) -> str:
        """Up or down, with Control or without."""
        found = self._widgets()
        if not found:
            return "nothing"
        widget, by = self.chance.choice(found), self.chance.choice((-240, -120, 120, 240))
        place, held = QPointF(self._spot(widget)), self.chance.choice((NO, CONTROL))
        phase = Qt.ScrollPhase.NoScrollPhase
        at = widget.mapToGlobal(place)
        event = QWheelEvent(place, at, QPoint(0, 0), QPoint(0, by), Qt.MouseButton.NoButton, held, phase, False)
        QApplication.sendEvent(widget, event)
        return f"{by} over {_named(widget)}"

    def page(self) -> str:
        """Another page."""
        name = self.chance.choice(NAMES)
        self.window.show_page(name)
        return name

    def tidy(self) -> str:
        """Dialogs that stand about are closed, when there are many of them; else one."""
        open_ = [dialog for dialog in self.window.findChildren(QDialog) if dialog.isVisible()]
        gone = open_ if len(open_) > MOST_DIALOGS else open_[:1]
        for dialog in gone:
            dialog.close()
        for message in [dialog for dialog in open_ if isinstance(dialog, QMessageBox)]:
            message.close()
        return f"{len(gone)} of {len(open_)} dialogs"

    def resize(self) -> str:
        """Another size of the window."""
        self.window.resize(self.chance.randint(700, 1700), self.chance.randint(450, 1100))
        return f"{self.window.width()} x {self.window.height()}"

    def look(self) -> str:
        """Another theme or size of letters."""
        if QApplication.activeModalWidget() is not None:
            return "nothing: something is asked"
        look = Look(self.chance.choice(("light", "dark")), self.chance.choice((1.0, 1.25, 2.0)))
        self.window.use_look(look)
        return f"{look.theme}, {look.text}"


def _able(actions: list[QAction]) -> list[QAction]:
    """Those that can be done, but for what ends the window."""
    return [own for own in actions if own.isEnabled() and not own.isSeparator() and own.text() not in LEAVES]


def _named(widget: QWidget) -> str:
    return f"{type(widget).__name__} {widget.objectName()}".strip()
