"""A process that works on a workbook and says on a pipe what is done, to be killed: `writer.py FOLDER FILE SEED`.

Every line it writes is an acknowledgement: "e N" after edit N (edits, undos and redos are counted together), "p N" after the
file held change N.
"""

import os
import random
import sys
from pathlib import Path
from typing import BinaryIO

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.storage.conftest import putting
from workbook.storage.opening import begin, open_path, recover
from workbook.storage.session import Session
from workbook.storage.trouble import StorageTrouble
from workbook.storage.unsaved import sessions


def main() -> None:
    """Works until it is killed, or for so many changes."""
    folder, file, seed, most = Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4])
    chance = random.Random(seed)
    left = [one for one in sessions(folder) if one.path in (file, None)]
    session = recover(left[0].file) if left else open_path(folder, file) if file.exists() else begin(folder)
    say: BinaryIO = os.fdopen(int(sys.argv[5]), "wb", buffering=0)  # type: ignore[assignment]
    say.write(b"r %d\n" % session._changed)
    for _ in range(most):
        try:
            one_act(session, file, chance, say)
        except StorageTrouble as trouble:
            os.write(2, f"{trouble}\n".encode())
        except OSError:
            return  # nobody is told any more: a fault put on the pipe itself


def one_act(session: Session, file: Path, chance: random.Random, say: BinaryIO) -> None:
    """An edit, an undo, a redo or a save, told when it is done."""
    act = chance.random()
    if act < 0.75 or not session.steps:
        before = session._changed
        session.edit(putting(session.document, chance.randrange(30), chance.randrange(1, 10_000)), "2026-01-02")
        done = session._changed > before
    elif act < 0.85:
        done = session.undo() is not None
    elif act < 0.9:
        done = session.redo() is not None
    else:
        session.publish() if session.path else session.save_as(file)
        say.write(b"p %d\n" % session._changed)
        return
    if done:
        say.write(b"e %d\n" % session._changed)


if __name__ == "__main__":
    main()
