"""What every page of the window does. The pages are listed in `table.py`."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget


class Page(QWidget):
    """A page. It knows its workspace and no other page; it asks the window by signals."""

    hint = Signal(str)  # a hint on what it shows

    stale = False  # something changed that it does not show yet

    def entered(self) -> None:
        """Catch up with changes made elsewhere when the page is shown."""
        if self.stale:
            self.refresh()

    def out_of_date(self) -> None:
        """Catch up with a change, at once or when the page is shown."""
        self.stale = True
        if self.isVisible():
            self.refresh()

    def refresh(self) -> None:
        """Show everything as it is now; the page is no longer stale."""

    def fill(self) -> None:
        """Fill the page while nobody looks at it."""

    def make_room(self, width: int, height: int) -> None:
        """Set the widths of the parts for a window of this size in pixels; a narrow page leaves out what is shown elsewhere."""

    def showing(self) -> object:
        """What the page shows besides the workbook itself, as a frozen value; None if there is nothing to restore."""
        return None

    def show_again(self, showing: object) -> None:
        """Show what such a page in another look did; `showing` is the value from its method of that name."""

    def end(self) -> None:
        """End what the page runs beside the window."""
