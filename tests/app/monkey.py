"""A monkey at the window: `python tests/app/monkey.py --seeds 20 --minutes 5`. Random keys and clicks, the same for a seed.

It plays on all pages, menus and dialogs of the real window, offscreen, with files of its own and no printer. Whatever it does,
there is no traceback, no report of a fault and no warning of Qt. At the end all is undone to the oldest step, which is the
workbook it began with, and done again to the last; it is saved, the window closes, and a new process reads the same records. Work
it left on the way is read again too. What was done last before a fault is told, all of it is in the seed's folder.
"""

import argparse
import faulthandler
import hashlib
import json
import os
import random
import subprocess
import sys
import tempfile
import time
import traceback
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

HANGS = 60  # s that one deed may take
IGNORED = ("does not support propagateSizeHints", "does not support raise", "does not support grabbing")  # the offscreen platform
HIDDEN = ("could not be made (", "Error: ")  # how a fault shows that was caught beside the window


def digest_of(document) -> str:
    """The digest of all records, whatever they stand in."""
    from workbook.storage.step import record_value

    values = {id_: record_value(record) for id_, record in document.records.items()}
    return hashlib.sha256(json.dumps(values, sort_keys=True, default=str).encode()).hexdigest()


class Play:
    """One monkey at one window."""

    def __init__(self, seed: int, folder: Path, until: float, steps: int) -> None:
        from PySide6.QtCore import qInstallMessageHandler
        from PySide6.QtWidgets import QApplication

        from tests.app.monkey_hands import Hands
        from workbook.app.look import Look
        from workbook.app.window import Window
        from workbook.app.workspace import Workspace
        from workbook.document.document import EditError
        from workbook.tasks.demo import demo_document
        from workbook.tasks.work import work_in

        self.faults: list[str] = []
        sys.excepthook = self._fault
        EditError.__init__ = self._refused_edit
        qInstallMessageHandler(self._message)
        self.application = QApplication(["monkey", "-style", "fusion"])
        self.window = Window(Workspace(work_in(demo_document()), Look("light")))
        self.window.resize(1440, 900)
        self.window.show()
        self.log = (folder / "deeds.txt").open("w", encoding="utf-8", buffering=1)
        self.until, self.steps, self.done, self.over, self.undone = until, steps, 0, False, 0
        self.folder = folder
        self._stub()
        (folder / "files").mkdir()
        self.hands = Hands(self.window, random.Random(seed), folder / "files")
        self.left: dict[str, str] = {}  # digests of work that was left, by where it lies
        self.passed: dict[int, str] = {}  # digests after each step of the work that is open, by its number from the first
        self._follow_work()
        self._pass()

    def _stub(self) -> None:
        """Nothing is printed, shown by other programs or dragged out of the window."""
        from PySide6.QtCore import Qt
        from PySide6.QtGui import QDesktopServices, QDrag
        from PySide6.QtPrintSupport import QPrintDialog, QPrintPreviewDialog

        from workbook.app import menus

        menus._close = lambda window: None  # Quit would end the play
        QDesktopServices.openUrl = staticmethod(lambda url: True)
        QDrag.exec = lambda drag, *kinds: Qt.DropAction.CopyAction
        QPrintPreviewDialog.open = lambda dialog, *rest: dialog.close()
        QPrintDialog.exec = lambda dialog: 0

    def _follow_work(self) -> None:
        """What each step of the work came to, and what work that is left came to."""
        show, kind = self.window.work_on, type(self.window.workspace.session)
        session_close = kind.close

        def work_on(session, *model) -> None:
            for place in (session.path, session.file):  # it goes on: what it was left with counts no more
                self.left.pop(str(place), None)
            self.passed.clear()
            show(session, *model)
            self._pass()

        def close(session) -> None:
            if not session.read_only and (session.path is not None or session._changed):  # an untouched copy goes
                self.left[str(session.path or session.file)] = digest_of(session.document)
            session_close(session)

        self.window.work_on = work_on
        kind.close = close
        kind.edit, kind._move = self._passing(kind.edit), self._passing(kind._move)

    def _passing(self, move):
        """What moves the work, and notes what it came to."""

        def moved(session, *given, **named):
            result = move(session, *given, **named)
            if session is self.window.workspace.session:
                self._pass()
            return result

        return moved

    def _pass(self) -> None:
        session = self.window.workspace.session
        self.passed[session.gone + session.done] = digest_of(session.document)

    def _fault(self, kind, trouble, trace) -> None:
        session = self.window.workspace.session
        here = f"(in {session.path or session.file}, {len(session.document.records)} records, read-only: {session.read_only})"
        self.faults.append("".join(traceback.format_exception(kind, trouble, trace)) + here)

    def _refused_edit(self, *words) -> None:
        """An edit that does not fit is a fault, whoever catches it."""
        self.faults.append(f"EditError {words}")

    def _message(self, kind, context, words: str) -> None:
        if not any(ignored in words for ignored in IGNORED):
            where = "".join(traceback.format_stack(limit=8)[:-1])
            self.faults.append(f"Qt: {words}\n{where}")

    def play(self) -> None:
        """From the first deed to the last look."""
        from PySide6.QtCore import QTimer

        QTimer.singleShot(600, self.next)
        self.application.exec()

    def next(self) -> None:
        """One deed; the next is asked for before, since a deed may wait for what follows it: a menu, a question."""
        from PySide6.QtCore import QTimer

        faulthandler.dump_traceback_later(HANGS, exit=True)
        if self.faults or self.over or self.done >= self.steps or time.monotonic() > self.until:
            self._end()
            return
        pause = self.hands.chance.choices((0, 30, 150), (30, 4, 1))[0]
        QTimer.singleShot(pause, self.next)
        self.done += 1
        self.log.write(f"{self.done} ...")
        self.log.write(f" {self.hands.one()}\n")
        self._look_round()

    def _look_round(self) -> None:
        """A fault that was caught shows in words; the window may not go."""
        from PySide6.QtWidgets import QLabel

        from workbook.app.dialogs.export import ExportDialog

        for dialog in self.window.findChildren(ExportDialog):
            if HIDDEN[0] in dialog.trouble.text():
                self.faults.append(dialog.trouble.text())
        page = self.window.early.made["layout"].page
        said = [label.text() for label in page.side.findChildren(QLabel)] if page is not None else []
        self.faults += [words for words in said if HIDDEN[1] in words]
        reports = self.folder / "data" / "reports"
        self.faults += [file.read_text(encoding="utf-8") for file in reports.glob("*.txt")]
        if not self.window.isVisible():
            self.faults.append("the window has gone")
        self.faults += [file.read_text(encoding="utf-8") for file in (self.folder / "data" / "reports").glob("*")]

    def _end(self) -> None:
        """Menus, questions and dialogs are left first, as long as there are any: a deed may still wait for one."""
        from PySide6.QtCore import QTimer
        from PySide6.QtWidgets import QApplication, QDialog

        open_ = [dialog for dialog in self.window.findChildren(QDialog) if dialog.isVisible()]
        waiting = QApplication.activePopupWidget() or QApplication.activeModalWidget() or next(iter(open_), None)
        if waiting is not None and not self.over:
            waiting.close()
            QTimer.singleShot(0, self._end)
        elif not self.over:
            self.over = True
            QTimer.singleShot(0, self._judge)

    def _judge(self) -> None:
        """Undone to the oldest step, done again, saved, closed; then it is over, whatever went wrong."""
        try:
            last = "" if self.faults else self._wound_up()
            self.window.close()
            if not self.faults:
                self.left[str(self._file)] = last
        finally:
            self.application.quit()

    @property
    def _file(self) -> Path:
        return self.folder / "end.shopbook"

    def _wound_up(self) -> str:
        """Goes through all steps and saves the work; what it comes to."""
        from PySide6.QtWidgets import QFileDialog

        from tests.app.waiting import at_rest
        from workbook.app.elements.text_field import end_entries

        space, file = self.window.workspace, self._file
        end_entries(self.window)
        last = digest_of(space.session.document)
        if not space.session.read_only:
            self._undone_and_done(last)
        QFileDialog.getSaveFileName = staticmethod(lambda *asked: (str(file), ""))
        self.left.pop(str(space.session.path), None)
        self.window.filing.save_as()
        at_rest(self.window)
        if space.session.path != file or not space.session.saved:
            self.faults.append("the work was not saved")
        return last

    def _undone_and_done(self, last: str) -> None:
        """Step by step back to the oldest, on to the last and back to where it stood; each comes to what it came to before."""
        space, known = self.window.workspace, dict(self.passed)
        session, done = space.session, space.session.done
        self.undone = len(session.steps)
        for goal in (*range(done - 1, -1, -1), *range(1, len(session.steps) + 1), done):
            space.go_to(goal)
            number, now = session.gone + session.done, digest_of(session.document)
            if session.done != goal:
                self.faults.append(f"step {goal} of {len(session.steps)} is not reached, but {session.done}")
                return
            if number <= session.gone + done and known.setdefault(number, now) != now:
                self.faults.append(f"step {goal} of {len(session.steps)}: not the workbook it was then")
                return
        if digest_of(session.document) != last:
            self.faults.append("done again: not the workbook it was")


def one(seed: int, folder: Path, minutes: float, steps: int) -> int:
    """Plays once, here; the exit code. What is to be read again is written to the folder."""
    faulthandler.enable()
    os.urandom = random.Random(seed).randbytes  # ids and names are the same for a seed
    play = Play(seed, folder, time.monotonic() + minutes * 60, steps)
    play.play()
    faulthandler.cancel_dump_traceback_later()
    (folder / "left.json").write_text(json.dumps(play.left))
    print(
        f"seed {seed}: {play.done} deeds, {play.undone} steps undone and done again, {len(play.left)} pieces of work left",
        flush=True,
    )
    for fault in play.faults:
        print(fault, file=sys.stderr, flush=True)
    return 1 if play.faults else 0


def read_again(folder: Path) -> int:
    """Whether all work that was left has the records it was left with."""
    from workbook.storage.opening import recover
    from workbook.tasks.work import is_workbook, work_at

    wrong = 0
    for place, digest in json.loads((folder / "left.json").read_text()).items():
        path = Path(place)
        session = work_at(path) if is_workbook(path) else recover(path)
        if digest_of(session.document) != digest:
            wrong += 1
            print(f"{path.name} has other records than it was left with", file=sys.stderr)
        session.close()
    return wrong


def environment(folder: Path) -> dict[str, str]:
    """For a process with a data folder of its own."""
    there = {"MAKERS_WORKBOOK_DATA": str(folder / "data"), "PYTHONPATH": str(Path(__file__).parents[2]), "PYTHONHASHSEED": "0"}
    return {**os.environ, "QT_QPA_PLATFORM": "offscreen", **there}


def child(folder: Path, *asked: str, limit: float) -> list[str]:
    """Runs this file again in a process of its own; what was wrong with it."""
    command = [sys.executable, "-X", "faulthandler", __file__, "--folder", str(folder), *asked]
    try:
        done = subprocess.run(command, env=environment(folder), capture_output=True, text=True, timeout=limit)
    except subprocess.TimeoutExpired:
        return [f"it did not end within {limit:.0f} s"]
    print(done.stdout, end="", flush=True)
    lines = [line for line in done.stderr.splitlines() if line and not any(ignored in line for ignored in IGNORED)]
    return ["\n".join(lines[-60:]) or f"it ended with {done.returncode}"] if done.returncode or lines else []


def play(seed: int, folder: Path, minutes: float, steps: int) -> list[str]:
    """What was wrong with one monkey's play, in its folder: nothing where it is empty."""
    folder.mkdir(parents=True)
    asked = ("--seed", str(seed), "--minutes", str(minutes), "--steps", str(steps))
    wrong = child(folder, *asked, limit=minutes * 60 + 240) or child(folder, "--read-again", limit=120)
    deeds = (folder / "deeds.txt").read_text(encoding="utf-8").splitlines()[-12:] if (folder / "deeds.txt").exists() else []
    return [f"seed {seed}, last of all:", *deeds, *wrong] if wrong else []


def main() -> int:
    """The exit code: 0 where nothing was wrong with any seed."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--seeds", type=int, default=3, help="how many, from the first")
    asked.add_argument("--first", type=int, default=1)
    asked.add_argument("--minutes", type=float, default=1.0, help="of each")
    asked.add_argument("--steps", type=int, default=10**9, help="deeds at most")
    asked.add_argument("--folder", type=Path, help="what is left behind goes there")
    asked.add_argument("--seed", type=int, help=argparse.SUPPRESS)
    asked.add_argument("--read-again", action="store_true", help=argparse.SUPPRESS)
    given = asked.parse_args()
    if given.read_again:
        return read_again(given.folder)
    if given.seed is not None:
        return one(given.seed, given.folder, given.minutes, given.steps)
    folder, faults = given.folder or Path(tempfile.mkdtemp(prefix="monkey-")), 0
    for seed in range(given.first, given.first + given.seeds):
        wrong = play(seed, folder / f"seed {seed}", given.minutes, given.steps)
        print("\n".join(wrong), flush=True)
        faults += bool(wrong)
    print(f"{given.seeds} seeds, {faults} with faults; {folder}")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
