"""Preview of an export, drawn from the very file to be written, which is then saved, printed or dragged out of the window."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QMimeData, QObject, QPointF, Qt, QTemporaryDir, QTimer, QUrl, Signal
from PySide6.QtGui import QDrag, QImage, QMouseEvent
from PySide6.QtWidgets import QDialog, QFileDialog, QHBoxLayout, QVBoxLayout, QWidget

from workbook.app.as_it_is import as_it_is
from workbook.app.asking import ask_where, kind_words, may_replace
from workbook.app.changed import Changed
from workbook.app.dialogs.export_items import DEFAULTS, ITEMS, SETS
from workbook.app.dialogs.page_view import PageView
from workbook.app.elements.basics import Lettered, button, label, named, row, scrolled, tool
from workbook.app.elements.form import Form
from workbook.app.export import run_for
from workbook.app.kept import export_choices, keep_export_choices
from workbook.app.look import Look
from workbook.app.paper import preview_and_print
from workbook.app.proof import proofs
from workbook.document.shop_records import OrderRecord
from workbook.model.quoting import OrderWork, worked_out
from workbook.problems import JobError, Mistake
from workbook.sheets.bar_sheet import BAR_PARTS
from workbook.sheets.template_sheet import PART_WORDS
from workbook.structs import replace
from workbook.system.names import shown
from workbook.tasks.exports import EXPORTS, Files, Wanted, exported
from workbook.tasks.exports.book import said_in
from workbook.tasks.exports.knives import TELL_WORDS
from workbook.tasks.work import now
from workbook.tasks.write import in_the_way, write_all
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.beside import Found
    from workbook.app.frame import Frame
    from workbook.app.proof import Proof

_SETTLED = 180  # ms from the last choice until the file is made


class _Signals(QObject):
    made = Signal(int, object, object)  # number of the request, files or JobError, proofs


def _make_and_prove(number: int, request: Wanted, key: str, signals: _Signals) -> None:
    """Make the files and draw them back, in another thread; emit the result through `signals`."""
    outcome: Files | JobError
    pages: list[Proof] = []
    try:
        outcome = exported(request, [key])
        pages = list(proofs(outcome))
    except JobError as trouble:
        outcome = trouble
    except Exception as trouble:  # noqa: BLE001  # any failure: the dialog must report it instead of waiting for ever
        outcome = JobError(
            [
                Mistake(
                    place=_("the file"),
                    what=_("could not be made ({name}: {trouble}).", name=type(trouble).__name__, trouble=trouble),
                )
            ]
        )
    signals.made.emit(number, outcome, pages)


class DragOut(Lettered):
    """A line of text, dragged out as the files it names. `noted`: records the export and returns whether it may proceed."""

    def __init__(self, look: Look, noted: Callable[[], bool]) -> None:
        super().__init__(look, "", 9.0, tone="soft")
        self.files: Files = {}
        self._noted = noted
        self._from = QPointF()
        self._folder: QTemporaryDir | None = None
        self.setCursor(Qt.CursorShape.OpenHandCursor)
        self.setToolTip(_("Drag this into a folder or a message"))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Remember where a drag may begin."""
        self._from = event.position()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Start a drag of the files once the pointer has moved far enough."""
        far = (event.position() - self._from).manhattanLength() > self._look.px(8)
        if self.files and far and self._noted():
            drag = QDrag(self)
            drag.setMimeData(self.as_files())
            drag.exec(Qt.DropAction.CopyAction)

    def as_files(self) -> QMimeData:
        """Write the files to a temporary folder and return their URLs as MIME data."""
        self._folder = QTemporaryDir()
        folder = Path(self._folder.path())
        write_all(folder, self.files)
        data = QMimeData()
        data.setUrls([QUrl.fromLocalFile(str(folder / name)) for name in self.files])
        return data


def _choices(export_key: str) -> dict[str, Any]:
    """The choices as they were last, for one kind of export or that of the last time."""
    values = {**DEFAULTS, **{k: v for k, v in export_choices().items() if type(DEFAULTS.get(k)) is type(v)}}
    if export_key:  # a print button means what it says, whatever was printed last
        values |= {key: DEFAULTS[key] for key in ("which", "paper", "mirrored", "cut_line")} | {"what": export_key}
    return values if values["what"] in EXPORTS else values | {"what": "sheets"}


class ExportDialog(QDialog):
    """The dialog, with the choices on the left and the file on the right."""

    def __init__(
        self, window: Frame, export_key: str = "", task: str = "", *, order: str = "", blades: Sequence[str] = ()
    ) -> None:
        """`task`: one of `SETS`, whose parts are ticked, or those that were ticked for it the last time. `order`, `blades`: the
        ids of what the papers are about, where that is not what a page shows.
        """
        super().__init__(window)
        self.setWindowTitle(_("Export or print"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._window, look = window, window.workspace.look
        self._task, self._order, self._blades = task, order, tuple(blades)
        self._values = _choices(export_key)
        kept = [part for part in self._values.get(f"ticked.{task}", "").split(",") if part in PART_WORDS]
        self._tick((kept or SETS[task]) if task else self._ticked())
        self.files: Files = {}
        self._drawn: list[Proof] = []
        self._page, self.number, self._heeding = 0, 0, False
        self._request = self.wanted()  # of which the files are, once they are made
        self._signals = _Signals()
        self._beside = ThreadPoolExecutor(1)  # not Qt's, which at exit waits for its threads, and they for Python
        self.form = Form(look, ITEMS, window.workspace.unit)
        self.view = PageView(look)
        self._words = Lettered(look, "", 9.0, tone="soft", anchor="middle")
        self.back, self.on = tool(look, "page-back", "‹"), tool(look, "page-on", "›")
        self.drag = DragOut(look, self._revised)
        self.trouble = named(label(look, "", "small", bold=True), "stop")
        self.trouble.setWordWrap(True)
        self.save, self.print_button = button(look, "save", _("&Save…"), main=True), button(look, "print", _("&Print…"), "print")
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._build(look)
        self._connect()
        self._fill()
        self._hold()
        self._later.start(0)

    def _build(self, look: Look) -> None:
        inner = named(QWidget(), "inner")
        column = QVBoxLayout(inner)
        column.setContentsMargins(4, 8, 4, 8)
        column.addWidget(self.form)
        column.addStretch(1)
        left = QVBoxLayout()
        left.setSpacing(8)
        left.addWidget(scrolled(inner), 1)
        left.addWidget(self.trouble)
        left.addLayout(row(self.drag, margins=(12, 0, 12, 0)))
        left.addLayout(row(self.print_button, self.save, margins=(12, 0, 12, 0)))
        holder = QWidget()
        holder.setLayout(left)
        holder.setFixedWidth(look.px(350))
        right = QVBoxLayout()
        right.addWidget(self.view, 1)
        right.addLayout(row(self.back, self._words, self.on))
        columns = QHBoxLayout(self)
        columns.addWidget(holder)
        columns.addLayout(right, 1)
        parent = self._window
        self.resize(min(look.px(1080), parent.width()), min(look.px(720), parent.height()))
        for widget in (self.save, self.print_button):
            widget.setAutoDefault(False)

    def _connect(self) -> None:
        self.form.entered.connect(self._entered)
        self._later.timeout.connect(self._make)
        self._signals.made.connect(self._made)
        self.back.clicked.connect(lambda: self._turn(-1))
        self.on.clicked.connect(lambda: self._turn(1))
        self.save.clicked.connect(self._save)
        self.print_button.clicked.connect(self._print)
        self._window.workspace.changed.connect(self._work_changed)
        self._heed_order()

    def _work_changed(self, change: Changed) -> None:
        if change.shapes or change.chosen or change.unit or (change.records and self._of_records):
            self._changed()
        elif change.records:
            QTimer.singleShot(0, self, self._look_at_order)  # the page has caught up then

    def _look_at_order(self) -> None:
        """Make the quote anew where it would say something else."""
        if self._of_order and said_in(self.wanted()) != said_in(self._request):
            self._changed()

    def _heed_order(self) -> None:
        """Make the quote anew when the layout of its steel is found."""
        if self._of_order and not self._heeding:
            self._heeding = True
            self._window.quote_page().steel.found.connect(self._look_at_order)

    @property
    def _of_order(self) -> bool:
        """Whether it is the quote of the order on the page, whose steel may still be laid out."""
        return self._values["what"] == "quote"

    @property
    def _of_records(self) -> bool:
        """Whether it shows what is in the shop's records."""
        return EXPORTS[self._values["what"]].of in ("order", "batch", "knives") and not self._of_order

    def _tick(self, parts: Sequence[str]) -> None:
        """Tick these parts of the sheets, and name the set that they are."""
        self._values |= {f"part.{part}": part in parts for part in PART_WORDS}
        self._values["set"] = next((name for name, chosen in SETS.items() if set(chosen) == set(parts)), "own")

    def _ticked(self) -> tuple[str, ...]:
        return tuple(part for part in PART_WORDS if self._values[f"part.{part}"])

    def _entered(self, key: str, value: Any) -> None:
        self._values[key] = value
        if key == "set" or key.startswith("part."):
            self._tick(SETS.get(value, self._ticked()) if key == "set" else self._ticked())
            if self._task:
                self._values[f"ticked.{self._task}"] = ",".join(self._ticked())
        keep_export_choices(self._values)
        self._heed_order()
        self._fill()
        self._changed()

    def _changed(self) -> None:
        """Schedule a new export after a short delay."""
        self._hold()
        self._later.start(_SETTLED)

    def _fill(self) -> None:
        """Show the choices and hide those that do not apply to the chosen export."""
        self.form.show_values(self._values, self._window.workspace.unit)
        export = EXPORTS[self._values["what"]]
        pages, sheets = export.kind == "pdf", export.key == "sheets"
        visible = {
            "what": True, "which": export.of == "templates", "paper": pages and export.key != "labels", "mirrored": sheets,
            "cut_line": sheets, "set": sheets, "bars": export.key == "bars", "each": export.key == "bars-cut",
            **{f"part.{part}": sheets for part in PART_WORDS},
            **{f"tell.{part}": export.key == "history" for part in TELL_WORDS},
        }  # fmt: skip
        for key, on in visible.items():
            self.form.row_of(key).setVisible(on)
        self.print_button.setVisible(pages)

    def wanted(self) -> Wanted:
        """The request that the choices describe."""
        window, values = self._window, self._values
        space = window.workspace
        export = EXPORTS[values["what"]]
        run = replace(
            run_for(as_it_is(space), values["paper"]),
            mirrored=values["mirrored"] and export.key == "sheets",
            cut_line=values["cut_line"] and export.key == "sheets",
        )
        keys = tuple(space.model.shapes) if values["which"] == "all" else (space.chosen,)
        parts = self._ticked()
        laid = window.bars_page().laid if export.of == "bars" else None
        bars = BAR_PARTS if values["bars"] == "both" else (values["bars"],)
        asked = Wanted(model=space.model, run=run, keys=keys, laid=laid, parts=parts, bar_parts=bars, each=values["each"])
        if export.of not in ("order", "batch", "knives"):
            return asked
        asked = replace(asked, document=space.session.document, date=now(), blades=self._blades, tell=self._told())
        if export.of == "order" or (export.of == "knives" and self._order):
            return replace(asked, order=self._work())
        named = export.of == "knives" and self._blades
        return replace(asked, batch="" if named else window.batch_at_hand())

    def _work(self) -> OrderWork | None:
        """The order that the papers are about: the one named, else that of the page Quote."""
        space = self._window.workspace
        page = self._window.quote_page().work
        if not self._order or (page is not None and page.order.id == self._order):
            return page
        if not isinstance(space.session.document.records.get(self._order), OrderRecord):
            return None  # it was deleted meanwhile
        return worked_out(space.session.document, space.model, self._order, {})

    def _told(self) -> tuple[str, ...]:
        """What an owner is told."""
        return tuple(part for part in TELL_WORDS if self._values[f"tell.{part}"])

    def _make(self) -> None:
        self._words.say("…", "soft")
        self._request = self.wanted()
        self._beside.submit(_make_and_prove, self.number, self._request, self._values["what"], self._signals)

    def _hold(self) -> None:
        """Discard the files made or being made, since the request has changed."""
        self.number += 1
        self.files = self.drag.files = {}
        self.save.setEnabled(False)
        self.print_button.setEnabled(False)

    def _made(self, number: int, files: Files | JobError, pages: list[Proof]) -> None:
        """Show the files made, unless the request has changed since."""
        if number != self.number:
            return
        wrong = isinstance(files, JobError)
        self.files = {} if isinstance(files, JobError) else dict(files)
        self.trouble.setText("\n".join(files.lines()) if isinstance(files, JobError) else "")
        self.trouble.setVisible(wrong)
        self._drawn = pages
        self.drag.files = self.files
        names = ", ".join(self.files)
        self.drag.say(_("Drag out: {names}", names=names) if names else "", "soft")
        self.save.setEnabled(bool(self.files))
        self.print_button.setEnabled(bool(self.files))
        self._page = min(self._page, max(len(pages) - 1, 0))
        self._turn(0)

    def _turn(self, by: int) -> None:
        """Turn `by` pages, within the pages there are."""
        count = len(self._drawn)
        self._page = min(max(self._page + by, 0), max(count - 1, 0))
        self.view.show_image(self._drawn[self._page].image if count else QImage())
        self._words.say(self._drawn[self._page].words if count else "", "soft")
        self.back.setEnabled(self._page > 0)
        self.on.setEnabled(self._page < count - 1)

    def _revised(self, request: Wanted | None = None) -> bool:
        """Record what is exported as a revision; False if that failed, in which case nothing may be exported.

        `request`: what it was asked by, where that may have changed meanwhile.
        """
        export, space, request = EXPORTS[self._values["what"]], self._window.workspace, request or self._request
        if export.of == "bars" and request.laid is not None:
            return export.kind == "csv" or space.layouts.noted(request.laid, export.words)
        if export.key == "quote" and request.order is not None:
            return space.orders.quoted(request.order)
        keys = request.keys if export.of == "templates" else ()
        return all(space.keep_revision(key, export.words) for key in keys)

    def _where(self, files: Mapping[str, bytes]) -> tuple[Path, Mapping[str, bytes], list[str]] | None:
        """Ask where to save: the folder, the files by name, and the names that may be replaced; None if cancelled."""
        if len(files) == 1:
            ((name, content),) = files.items()
            kind = name.rpartition(".")[2]
            path = ask_where(self, _("Save"), name, kind_words(kind), f".{kind}")
            return None if path is None else (path.parent, {path.name: content}, [path.name])
        folder = QFileDialog.getExistingDirectory(self, _("Save in folder"))
        existing = in_the_way(Path(folder), files) if folder else []
        return (Path(folder), dict(files), existing) if folder and may_replace(self, Path(folder), existing) else None

    def _save(self) -> None:
        """Save one file where the user chooses, or several into a folder."""
        request = self._request  # a layout may be found while the name is asked for; what is on the screen is written
        target = self._where(self.files)
        if target is None:
            return
        folder, contents, over = target
        if not self._revised(request):
            return
        words = _("Exporting {next}", next=shown(next(iter(contents))))
        self._window.beside.finish(
            words, lambda: write_all(folder, contents, over=over), lambda outcome: self._written(folder, list(contents), outcome)
        )

    def _written(self, folder: Path, names: list[str], outcome: Found[None]) -> None:
        try:
            outcome()
        except JobError as trouble:
            self.trouble.setText("\n".join(trouble.lines()))
            self.trouble.setVisible(True)
            return
        self._window.say_written(folder / names[0])
        self._words.say(_("Exported: {names}", names=", ".join(names)), "ink")

    def _print(self) -> None:
        """Print at true size, with a preview, on the system's printers."""
        documents = [content for name, content in self.files.items() if name.endswith(".pdf")]
        if self._revised():
            preview_and_print(self, documents)
