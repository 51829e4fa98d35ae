"""The shelf: every template with its true thumbnail, all on one scale."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import QAbstractListModel, QMimeData, QModelIndex, QPersistentModelIndex, QPointF, QRectF, QSize, Qt, QTimer
from PySide6.QtGui import QAction, QPainter, QResizeEvent
from PySide6.QtWidgets import QLineEdit, QListView, QStyledItemDelegate, QStyleOptionViewItem, QToolButton, QVBoxLayout, QWidget

from workbook.app.changed import Changed
from workbook.app.elements.basics import fitted, label, named, row, surface, tool
from workbook.app.elements.painting import ground, letter, placed_path, text_width
from workbook.app.elements.room import CLOSE, TIGHT, WIDE, roominess
from workbook.app.look import Look
from workbook.app.shelving import acts, family_menu
from workbook.app.workspace import Workspace
from workbook.document.queries import templates_found
from workbook.geometry.path import circle
from workbook.template.shape import Shape
from workbook.texts import _
from workbook.units import built, show

KEY = Qt.ItemDataRole.UserRole
TEMPLATE = "application/x-makers-workbook-template"  # what is dragged: a template of this window, by its id
_LATER = 80  # ms
Index = QModelIndex | QPersistentModelIndex


class _Names(QAbstractListModel):
    """Names of the templates, in the job's order."""

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self._workspace, self._words = workspace, ""
        self._later = QTimer(self)  # a drag changes the template many times a second: the thumbnail follows later
        self._later.setSingleShot(True)
        self._later.setInterval(_LATER)
        self._later.timeout.connect(self._touched)
        workspace.changed.connect(self._changed)

    def _changed(self, change: Changed) -> None:
        if change.job:
            self._reset()
        elif change.template:
            self._later.start()

    def _reset(self) -> None:
        self.beginResetModel()
        self.endResetModel()

    def _touched(self) -> None:
        self.dataChanged.emit(self.index(0), self.index(self.rowCount() - 1))

    def found(self) -> list[str]:
        """The keys of the templates that match the search; all without one."""
        if not self._words.strip():
            return list(self._workspace.model.job.keys)
        return templates_found(self._workspace.session.document, self._words)

    def look_for(self, words: str) -> None:
        """Show only the templates with these words in their name, family or tags."""
        self._words = words
        self._reset()

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Let a template be dragged, to Lay out, where one more of it is to be made."""
        return super().flags(index) | Qt.ItemFlag.ItemIsDragEnabled

    def mimeData(self, indexes: Sequence[QModelIndex]) -> QMimeData:
        """The template dragged."""
        data = QMimeData()
        data.setData(TEMPLATE, str(indexes[0].data(KEY)).encode())
        return data

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """The number of templates."""
        return 0 if parent.isValid() else len(self.found())

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> str | None:
        """The name, for the painter and the screen reader; and the key."""
        key = self.found()[index.row()]
        named = role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole)
        return key if role == KEY else self._workspace.model.shapes[key].name if named else None


class _Shown(QListView):
    """The list. It stores its width, since asking Qt for the viewport makes Python build classes for all widgets."""

    room = 0  # px beside the scroll bar

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Store the new width, which sets the scale."""
        self.room = event.size().width()
        super().resizeEvent(event)


class _Thumbnail(QStyledItemDelegate):
    """Paints one template: its outline and holes, its name, its blade length."""

    def __init__(self, workspace: Workspace, shelf: _Shown) -> None:
        super().__init__(shelf)
        self._workspace, self._shelf = workspace, shelf

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """The height of the blade at the shelf's one scale, and a line for its name."""
        look = self._workspace.look
        _, y0, _, y1 = self._workspace.model.shapes[index.data(KEY)].extent()
        return QSize(look.px(120), round((y1 - y0) * self._scale()) + look.px(44))

    def _scale(self) -> float:
        """Pixels per mm, so that the longest template fits the width."""
        longest = max(s.extent()[2] - s.extent()[0] for s in self._workspace.model.shapes.values())
        return max(self._shelf.room - self._workspace.look.px(28), 1) / longest

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint a template; the chosen one dyed, on a wash, with a bar of dye at its left."""
        look, blank = self._workspace.look, self._workspace.model.shapes[index.data(KEY)]
        rect, chosen = QRectF(option.rect), self._shelf.selectionModel().isSelected(index)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if chosen:
            ground(painter, rect, look.colour("blue_wash"))
            ground(painter, QRectF(rect.left(), rect.top(), 3, rect.height()), look.colour("dye"))
        self._knife(painter, look, blank, rect, chosen)
        base = rect.bottom() - look.px(10)
        words = built(show(blank.template.blade.length, self._workspace.unit)) if blank.template is not None else ""
        letter(painter, look, QPointF(rect.right() - look.px(10), base), words, 9, "end", tone="soft")
        room = rect.width() - look.px(30) - text_width(look, words, 9)
        letter(
            painter,
            look,
            QPointF(rect.left() + look.px(14), base),
            fitted(look, blank.name, 9.75, chosen, room),
            9.75,
            bold=chosen,
        )
        painter.restore()

    def _knife(self, painter: QPainter, look: Look, blank: Shape, rect: QRectF, chosen: bool) -> None:
        k = self._scale()
        x0, y0, _x1, y1 = blank.extent()
        room = rect.height() - look.px(36)
        origin = QPointF(rect.left() + look.px(14) - x0 * k, rect.top() + look.px(6) + room / 2 + (y0 + y1) / 2 * k)
        painter.setPen(look.pen("dimension", "on_dye" if chosen else "ink"))
        painter.setBrush(look.colour("dye" if chosen else "blank"))
        painter.drawPath(placed_path(blank.outline, origin, k))
        painter.setBrush(look.colour("blue_wash" if chosen else "panel"))
        for path in (*blank.openings, *(circle(h.centre, h.diameter / 2) for h in blank.holes)):
            painter.drawPath(placed_path(path, origin, k))


class Shelf(QWidget):
    """The list, with a search field and a button that adds a template from a family."""

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self.setObjectName("shelf")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._workspace = workspace
        look = workspace.look
        self.list = named(_Shown(), "templates")
        self.list.setAccessibleName(_("Templates"))
        self._model = _Names(workspace)
        self.list.setModel(self._model)
        self.list.setItemDelegate(_Thumbnail(workspace, self.list))
        self.list.setResizeMode(QListView.ResizeMode.Adjust)
        self.list.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.list.selectionModel().currentChanged.connect(lambda now, before: self._picked(now))
        self.list.setDragEnabled(True)
        self._acts()
        self.field = named(QLineEdit(), "shelf-search")
        self.field.setAccessibleName(_("Find a template by name, family or tag"))
        self.field.setPlaceholderText(_("Find"))
        self.field.setClearButtonEnabled(True)
        self.field.setFont(look.font("body"))
        self.field.setFixedHeight(look.size("row"))
        self.field.textChanged.connect(self._search)
        self._nothing = label(look, _("No template has these words."), "small", soft=True)
        self._build(look)
        workspace.changed.connect(self._changed)
        self._select()

    def _build(self, look: Look) -> None:
        workspace = self._workspace
        new = tool(look, "new-template", _("New"), "add")
        new.setToolTip(_("Add a template from a family"))
        new.setPopupMode(new.ToolButtonPopupMode.InstantPopup)
        new.setMenu(family_menu(self, workspace))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(surface("strip", row(label(look, _("Shelf"), "strong"), None, new, margins=(14, 0, 6, 0)), look.px(40)))
        holder = QWidget()
        holder.setLayout(row(self.field, margins=(10, 4, 10, 4)))
        layout.addWidget(holder)
        layout.addWidget(self.list, 1)
        self._nothing.setWordWrap(True)
        self._nothing.setContentsMargins(14, 4, 10, 4)
        self._nothing.setVisible(False)
        layout.insertWidget(2, self._nothing)

    def make_room(self, width: int, button: QToolButton) -> bool:
        """Set the width for a page of a width. Return whether the page is narrow: its button then shows and hides the shelf."""
        room = roominess(self._workspace.look, width)
        close = room < CLOSE
        self.setFixedWidth(self._workspace.look.px(196 if room >= WIDE else 148))
        style = Qt.ToolButtonStyle
        button.setToolButtonStyle(style.ToolButtonIconOnly if room < TIGHT else style.ToolButtonTextBesideIcon)
        button.setToolTip(_("Show or hide the shelf"))
        button.setVisible(close)
        self.setVisible(not close or button.isChecked())
        return close

    def _acts(self) -> None:
        """Add what can be done with the chosen template: by a right-click and by keys."""
        self.list.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        for words, key, run in acts(self, self._workspace):
            action = QAction(words, self.list)
            action.setShortcut(key)
            action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
            action.triggered.connect(lambda checked=False, run=run: self._do(run))
            self.list.addAction(action)

    def _do(self, run: Callable[[], object]) -> None:
        """Do something with the chosen template, if it is on show: not with one that the search hides."""
        if self._workspace.chosen in self._model.found():
            run()
        else:
            self._workspace.said.emit(_("Choose a template on the shelf first."))

    def _picked(self, index: QModelIndex) -> None:
        if index.isValid():
            self._workspace.choose(index.data(KEY))

    def _search(self, words: str) -> None:
        """Show the matches; the template on the board stays there."""
        self._model.look_for(words)
        self._nothing.setVisible(not self._model.found())
        self._select()

    def _changed(self, change: Changed) -> None:
        if change.chosen:
            self._show_chosen()
        elif change.job:
            self._select()

    def _show_chosen(self) -> None:
        """Show a template chosen elsewhere, such as a new one, even if it does not match the search."""
        if self._workspace.chosen not in self._model.found():
            self.field.clear()
        self._select()

    def _select(self) -> None:
        keys = self._model.found()
        if self._workspace.chosen in keys:
            self.list.setCurrentIndex(self._model.index(keys.index(self._workspace.chosen)))
