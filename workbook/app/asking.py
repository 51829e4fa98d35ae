"""Ask where to save a file, the same way for every writer: no file is replaced unless its full name was shown; ask before what
cannot be undone.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6 import QtWidgets
from PySide6.QtWidgets import QFileDialog

from workbook.app.plain import message_box
from workbook.system.names import shown
from workbook.texts import _

_NAMED = 12  # files named in the question


def ask_where(parent: QtWidgets.QWidget, title: str, proposed: str, kinds: str, suffix: str) -> Path | None:
    """Ask for the path of a file and give it the suffix. Return None when the maker cancels.

    The system's dialog confirms replacing the name typed, but not the name with a suffix added afterwards.
    """
    chosen, _ = QFileDialog.getSaveFileName(parent, title, proposed, kinds)
    if not chosen:
        return None
    path = Path(chosen)
    if path.suffix.lower() == suffix:
        return path
    full = path.with_name(f"{path.name}{suffix}")
    return full if may_replace(parent, full.parent, [full.name] if full.exists() else []) else None


def kind_words(kind: str) -> str:
    """A kind of file in the filter of a dialog: "PDF (*.pdf)"."""
    return f"{kind.upper()} (*.{kind})"


def may_replace(parent: QtWidgets.QWidget, folder: Path, names: Sequence[str]) -> bool:
    """Ask whether files of a folder may be replaced, listing the names. Return True without asking when there are none."""
    if not names:
        return True
    title = _("Replace {names}?", names=shown(names[0])) if len(names) == 1 else _("Replace {count} files?", count=len(names))
    lines = [_("There already in {folder}:", folder=shown(folder)), *(shown(name) for name in names[:_NAMED])]
    lines += [_("and {count} more", count=len(names) - _NAMED)] if len(names) > _NAMED else []
    box = message_box(parent, title, title, "\n".join(lines))
    box.setStandardButtons(QtWidgets.QMessageBox.StandardButton.Cancel)
    replace = box.addButton(_("Replace"), QtWidgets.QMessageBox.ButtonRole.AcceptRole)
    box.setDefaultButton(QtWidgets.QMessageBox.StandardButton.Cancel)
    box.exec()
    return box.clickedButton() is replace


def sure(parent: QtWidgets.QWidget, words: str, more: str, verb: str) -> bool:
    """Ask whether to do what cannot be undone; `verb`: what the button says."""
    box = message_box(parent, words, words, more)
    box.setStandardButtons(QtWidgets.QMessageBox.StandardButton.Cancel)
    yes = box.addButton(verb, QtWidgets.QMessageBox.ButtonRole.AcceptRole)
    box.setDefaultButton(QtWidgets.QMessageBox.StandardButton.Cancel)
    box.exec()
    return box.clickedButton() is yes
