"""Where a file is to go, asked the same way by all that write one: nothing is replaced that was not named in full."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog

from workbook.system.names import shown

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

_NAMED = 12  # files named in the question


def ask_where(parent: QWidget, title: str, proposed: str, kinds: str, suffix: str) -> Path | None:
    """A name for a file, with its suffix; None when there is to be none.

    The system's dialog asks before it names a file that is there, but knows nothing of a suffix that is added afterwards.
    """
    chosen, _ = QFileDialog.getSaveFileName(parent, title, proposed, kinds)
    if not chosen:
        return None
    path = Path(chosen)
    if path.suffix.lower() == suffix:
        return path
    full = path.with_name(f"{path.name}{suffix}")
    return full if may_replace(parent, full.parent, [full.name] if full.exists() else []) else None


def may_replace(parent: QWidget, folder: Path, names: Sequence[str]) -> bool:
    """Whether files of a folder may be replaced: asked with every name, and not at all where there are none."""
    if not names:
        return True
    from PySide6.QtWidgets import QMessageBox

    from workbook.app.plain import message_box

    title = f"Replace {shown(names[0])}?" if len(names) == 1 else f"Replace {len(names)} files?"
    lines = [f"There already in {shown(folder)}:", *(shown(name) for name in names[:_NAMED])]
    lines += [f"and {len(names) - _NAMED} more"] if len(names) > _NAMED else []
    box = message_box(parent, title, title, "\n".join(lines))
    box.setStandardButtons(QMessageBox.StandardButton.Cancel)
    replace = box.addButton("Replace", QMessageBox.ButtonRole.AcceptRole)
    box.setDefaultButton(QMessageBox.StandardButton.Cancel)
    box.exec()
    return box.clickedButton() is replace
