"""The button Compare: show a revision's outline with the drawing, or go back to it."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QMenu, QToolButton

from workbook.app.canvas.scene import GhostAt
from workbook.app.elements.basics import tool
from workbook.app.workspace import Workspace
from workbook.document.records import Revision
from workbook.region import Region
from workbook.texts import _


def _offered(revision: Revision, place: GhostAt, local: Region) -> str:
    """The menu entry that shows a revision at a place of the board."""
    number, made, note = revision.number, local.short_day(revision.made), revision.note or revision.why
    match place:
        case GhostAt.OVER:
            return _("Over this: Revision {number}, {made}: {note}", number=number, made=made, note=note)
        case GhostAt.BELOW:
            return _("Below this: Revision {number}, {made}: {note}", number=number, made=made, note=note)
        case GhostAt.BESIDE:
            return _("Beside this: Revision {number}, {made}: {note}", number=number, made=made, note=note)


def compared_words(number: int, place: GhostAt) -> str:
    """Which revision is shown, and where."""
    match place:
        case GhostAt.OVER:
            return _("Over revision {number}", number=number)
        case GhostAt.BELOW:
            return _("Below revision {number}", number=number)
        case GhostAt.BESIDE:
            return _("Beside revision {number}", number=number)


class Compare(QMenu):
    """The revisions kept of the chosen template, newest first, to show over, below or beside the drawing, or to restore."""

    wanted = Signal(object, object)  # a revision or None, and where to show it
    back = Signal(object)

    def __init__(self, workspace: Workspace) -> None:
        look = workspace.look
        self.button = tool(look, "compare", _("Compare"))
        super().__init__(self.button)
        self._workspace, self._any = workspace, False
        self.setFont(look.font("body"))
        self.button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.button.setMenu(self)
        self.aboutToShow.connect(self._fill)

    def say(self, words: str) -> None:
        """Show on the button what is compared; "" for nothing."""
        self._any = bool(words)
        self.button.setText(words or _("Compare"))

    def _fill(self) -> None:
        self.clear()
        revisions = self._workspace.revisions()
        if not revisions:
            self.addAction(_("No revision is saved yet (Template menu)")).setEnabled(False)
        for revision in reversed(revisions):
            for place in GhostAt:
                show = self.addAction(_offered(revision, place, self._workspace.session.document.settings.local))
                show.triggered.connect(lambda checked=False, r=revision, p=place: self.wanted.emit(r, p))
        if self._any:
            self.addAction(_("No comparison")).triggered.connect(lambda checked=False: self.wanted.emit(None, GhostAt.OVER))
        self.addSeparator()
        for revision in reversed(revisions):
            restore = self.addAction(_("Restore revision {number}", number=revision.number))
            restore.triggered.connect(lambda checked=False, r=revision: self.back.emit(r))
