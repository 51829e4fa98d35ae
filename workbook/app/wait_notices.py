"""Says once, quietly, when a wait is over: also one that ended while the program was closed."""

from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer

from workbook.app.workspace import Workspace
from workbook.document.document import Document
from workbook.model.waits import Wait, too_cold, wait_words, waits
from workbook.tasks.evening import PlanClock
from workbook.tasks.work import now
from workbook.texts import _

_OFTEN = 30_000  # ms
_TOLD = "waits-told"  # until when they were told
_LONG = 7 * 1440.0  # minutes after which nobody wants to hear of it


class WaitNotices(QObject):
    """Looks at the clock for one window. `workspace`: returns the one at hand, which changes with the look."""

    def __init__(self, parent: QObject, workspace: Callable[[], Workspace]) -> None:
        super().__init__(parent)
        self._at_hand = workspace
        self._timer = QTimer(self)
        self._timer.setInterval(_OFTEN)
        self._timer.timeout.connect(self.tell)
        self._timer.start()

    def tell(self) -> None:
        """Say which waits ended since this was asked last."""
        space, moment = self._at_hand(), now()
        typed, document = space.typed, space.session.document
        told, typed[_TOLD] = typed.get(_TOLD, ""), moment
        if not told:
            return
        clock = PlanClock(moment)
        since = max(clock.ahead(told), -_LONG)
        ended = [
            each for each in waits(document) if since < clock.ahead(each.since) + each.minutes <= 0 and _counts(document, each)
        ]
        if ended:
            what = ", ".join(wait_words(document, each) for each in ended)
            space.said.emit(_("The wait is over: {what}.", what=what))


def _counts(document: Document, wait: Wait) -> bool:
    return not wait.away and not too_cold(document, wait.stage)
