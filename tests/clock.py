"""How long the window's thread is held: the longest time between two ticks of a timer, and where it was meanwhile.

Each scene is something a maker does that takes long: it is prepared for a window in a folder, and hands back what begins it
and what tells that it is over.
"""

import os
import sys
import threading
import time
from collections.abc import Callable

from PySide6.QtCore import QEventLoop, Qt, QTimer
from PySide6.QtWidgets import QApplication

TICK = 5  # ms
Scene = tuple[Callable[[], object], Callable[[], bool]]


class Clock:
    """Ticks on the event loop.

    `longest`: the longest gap in s, less what other programs took of it; `worked`: how much of it this program computed;
    `held`: where the thread was in it, when it was long.
    """

    def __init__(self, watched: float = 0.0) -> None:
        """`watched`: s from which on a gap is looked into; 0: none is."""
        self.longest, self.held, self.worked = 0.0, "", 0.0
        self._watched, self._seen, self._stop = watched, "", threading.Event()
        self._main = threading.get_ident()
        self._last, self._used, self._queued = time.perf_counter(), time.process_time(), _queued()
        self._timer = QTimer()
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self._tick)

    def _tick(self) -> None:
        queued = _queued()
        late, self._queued = queued - self._queued, queued
        gap, self._last = time.perf_counter() - self._last - late, time.perf_counter()
        worked, self._used = time.process_time() - self._used, time.process_time()
        if gap > self.longest:
            self.longest, self.held, self.worked = gap, self._seen, worked
        self._seen = ""

    def _watch(self) -> None:
        """Looks at the thread in a long gap: the stack it has in the middle of what the gap has been so far."""
        looks: list[str] = []
        while not self._stop.wait(0.01):
            if time.perf_counter() - self._last < self._watched / 2:
                looks = []
                continue
            looks.append(_stack(self._main))
            self._seen = max(looks, key=looks.count)

    def through(self, scene: Scene, most: float = 60.0) -> float:
        """The longest gap in s while a scene is played."""
        begin, over = scene
        if self._watched:
            threading.Thread(target=self._watch, daemon=True).start()
        self._last, self._used, self._queued = time.perf_counter(), time.process_time(), _queued()
        self._timer.start(TICK)
        QTimer.singleShot(0, begin)
        ended, loop = time.monotonic() + most, QEventLoop()
        turns = 0
        while turns < 20:  # and a few turns more: what is over is also shown
            QTimer.singleShot(TICK, loop.quit)
            loop.exec()
            turns = turns + 1 if turns or (self.longest and over()) else 0
            if time.monotonic() > ended:
                said = [box.informativeText() for box in QApplication.topLevelWidgets() if hasattr(box, "informativeText")]
                raise TimeoutError(f"the scene did not end: {said}")
        self._timer.stop()
        self._stop.set()
        return self.longest


def _queued() -> float:
    """For how many s this thread could have gone on, and other programs had the machine; 0 where the system does not tell."""
    try:
        told = os.open("/proc/thread-self/schedstat", os.O_RDONLY)
    except OSError:
        return 0.0
    try:
        return int(os.read(told, 100).split()[1]) / 1e9
    finally:
        os.close(told)


def _stack(thread: int) -> str:
    """Where a thread is. No frame is kept: what it holds, as a painter, would outlive it."""
    frame, found = sys._current_frames().get(thread), []
    while frame is not None:
        found.append((frame.f_code.co_filename, frame.f_lineno, frame.f_code.co_name))
        frame = frame.f_back
    return "".join(f"  {name}:{line} {where}\n" for name, line, where in found[:14])


def settled(seconds: float = 0.7) -> None:
    """Lets the window do what it does by itself."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        QApplication.processEvents()
        time.sleep(0.005)


def until(over: Callable[[], bool], most: float = 60.0) -> None:
    """Waits for something."""
    end = time.monotonic() + most
    while not over():
        if time.monotonic() > end:
            raise TimeoutError("it did not come")
        settled(0.02)


def boxes(window) -> list[str]:
    """What messages say."""
    from PySide6.QtWidgets import QMessageBox

    return [box.text() for box in window.findChildren(QMessageBox) if box.isVisible()]
