"""What every page of the window is and does. Which pages there are stands in `table.py`."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget


class Page(QWidget):
    """A page. It knows its workspace and no other page; what it wants of the window it says by signals."""

    hint = Signal(str)  # something to know about what it shows

    stale = False  # something changed that it does not show yet

    def entered(self) -> None:
        """It is shown: it catches up with what was done elsewhere."""
        if self.stale:
            self.refresh()

    def out_of_date(self) -> None:
        """Something changed that it shows: it catches up at once, or when it is shown."""
        self.stale = True
        if self.isVisible():
            self.refresh()

    def refresh(self) -> None:
        """Everything as it is now; it is not stale any more."""

    def fill(self) -> None:
        """All that it shows, while nobody looks at it."""

    def make_room(self, width: int, height: int) -> None:
        """Gives its parts their widths in a window of so many pixels; a narrow page leaves out what is said elsewhere."""

    def showing(self) -> object:
        """What it shows besides the workbook itself, as a frozen value; None: nothing to go on with."""
        return None

    def show_again(self, showing: object) -> None:
        """Shows what a page of its kind in another look did: the value is one that `showing` gave."""

    def end(self) -> None:
        """Ends what it runs beside the window."""
