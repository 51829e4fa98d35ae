"""Random work beside a simple model: `python tests/storage/model.py --count 2000`. The state must never differ.

Work is edits, undos, redos, saves, saves under other names, closing and opening, and ends without closing. The model is a list of
dictionaries and a place in it.
"""

import argparse
import random
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.storage.conftest import putting, quantity_of
from workbook.storage.file import read
from workbook.storage.opening import begin, open_path, recover
from workbook.storage.session import Session
from workbook.storage.unsaved import sessions


class Work:
    """A session and what it should hold."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.folder, self.chance = folder, random.Random(seed)
        self.session: Session = begin(folder / "sessions")
        self.states: list[dict[str, int]] = [{}]
        self.at = 0
        self.cut: list[dict[str, int]] = []  # what the last edit took the place of
        self.files: dict[Path, dict[str, int]] = {}

    def act(self) -> None:
        """One random act, on both."""
        act = self.chance.choice(["edit"] * 6 + ["undo", "undo", "redo", "forget", "save", "save as", "close", "die"])
        getattr(self, act.replace(" ", "_"))()
        self.check()

    def edit(self) -> None:
        number, quantity = self.chance.randrange(6), self.chance.choice([0, 1, 2, 3])
        edit = putting(self.session.document, number, quantity)
        self.session.edit(edit, "2026-11-27T10:00")
        if edit.changes:
            state = dict(self.states[self.at])
            state.pop(f"line{number}", None)
            state |= {f"line{number}": quantity} if quantity else {}
            self.cut = self.states[self.at + 1 :]
            self.states[self.at + 1 :] = [state]
            self.at += 1

    def forget(self) -> None:
        assert (self.session.forget() is None) == (self.at == 0)
        if self.at:
            self.states[self.at :], self.cut = self.cut, []
            self.at -= 1

    def undo(self) -> None:
        assert (self.session.undo() is None) == (self.at == 0)
        self.cut = [] if self.at else self.cut
        self.at = max(0, self.at - 1)

    def redo(self) -> None:
        assert (self.session.redo() is None) == (self.at == len(self.states) - 1)
        self.cut = [] if self.at < len(self.states) - 1 else self.cut
        self.at = min(self.at + 1, len(self.states) - 1)

    def save(self) -> None:
        if self.session.path is None:
            self.save_as()
            return
        self.session.publish()
        self.files[self.session.path] = self.states[self.at]

    def save_as(self) -> None:
        file = self.folder / f"{self.chance.randrange(3)}.shopbook"
        self.session.save_as(file)
        self.files[file] = self.states[self.at]

    def close(self) -> None:
        path, untouched = self.session.path, not self.session._changed
        self.session.close()
        if path is None and untouched:  # nothing was done, nothing is left
            self.session = begin(self.folder / "sessions")
            return
        self._again(path)

    def die(self) -> None:
        path = self.session.path
        self.session._database.close()
        self.session._lock.leave()
        self._again(path)

    def _again(self, path: Path | None) -> None:
        self.cut = []
        if path is None:
            (left,) = (one for one in sessions(self.folder / "sessions") if one.path is None)
            self.session = recover(left.file)
        else:
            self.session = open_path(self.folder / "sessions", path)

    def check(self) -> None:
        """The session, its history and every file saved hold what they should."""
        assert quantities(self.session) == self.states[self.at]
        assert (self.session.done, len(self.session.steps)) == (self.at, len(self.states) - 1)
        for file, state in self.files.items():
            assert {record.id: quantity_of(record) for record in read(file).body.document.records.values()} == state


def quantities(session: Session) -> dict[str, int]:
    """What a session holds."""
    return {record.id: quantity_of(record) for record in session.document.records.values()}


def run(seed: int, acts: int = 40) -> None:
    """One random piece of work."""
    with tempfile.TemporaryDirectory() as folder:
        work = Work(Path(folder), seed)
        for _ in range(acts):
            work.act()


def main() -> None:
    """Runs so many."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--count", type=int, default=2000)
    given = options.parse_args()
    for seed in range(given.count):
        try:
            run(seed)
        except Exception:
            print(f"seed {seed}", flush=True)
            raise
    print(f"{given.count} runs of 40 acts, the state always the model's")


if __name__ == "__main__":
    main()
