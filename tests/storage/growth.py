"""Workbooks that grow: thousands of edits of large records, sixty pictures, a sync program that copies the folder meanwhile.

Run it for all: `python tests/storage/growth.py`. It tells sizes, times and memory, and fails when a copy or the file does not
open, when what is opened is not what was worked on, or when the history outgrows what it may take.
"""

import argparse
import os
import random
import resource
import shutil
import sys
import tempfile
import time
from decimal import Decimal
from pathlib import Path
from threading import Event, Thread

sys.path.insert(0, str(Path(__file__).parents[2]))

from workbook.document.action import said
from workbook.document.document import Document, replacing
from workbook.document.records import KeptBar, KeptPiece, LayoutRecord, SettingsRecord, TemplateRecord
from workbook.document.shop_records import PictureRecord
from workbook.geometry.path import polyline
from workbook.storage.attachment import Attachment
from workbook.storage.body import BookBody
from workbook.storage.file import read
from workbook.storage.opening import begin, open_path
from workbook.storage.session import Session
from workbook.storage.trouble import NotAWorkbook
from workbook.storage.weight import KEPT_STEPS
from workbook.structs import replace
from workbook.template.drawn import DrawnTemplate

AT = "2026-01-02T03:04:05"


def large(points: int, blanks: int) -> Document:
    """A workbook with an outline of many points and a layout of many blanks."""
    top = [(i * 0.1, 20.0 + (i % 7) * 0.125) for i in range(points)]
    outline = polyline([*top, (points * 0.1, 0.0), (0.0, 0.0)], closed=True)
    drawn = DrawnTemplate(name="Traced", source="traced.dxf", outline=outline, thickness=2.5)
    pieces = tuple(
        KeptPiece(of="t", revision=1, serial=f"A{n}", x=float(n), y=5.0, angle=0.0, mirrored=False) for n in range(blanks)
    )
    bars = (KeptBar(bar="b", pieces=pieces),)
    layout = LayoutRecord(id="l", place=1.0, name="Layout", made=AT, steel=Decimal(0), lost=0.1, bars=bars)
    records = (SettingsRecord(), TemplateRecord(id="t", place=1.0, drawn=drawn), layout)
    return Document({record.id: record for record in records})


def edit(session: Session, chance: random.Random) -> None:
    """Another thickness of the outline, or a blank of the layout moved by hand."""
    if chance.random() < 0.5:
        record = session.document.get("t", TemplateRecord)
        assert record.drawn is not None
        changed = replace(record, drawn=replace(record.drawn, thickness=round(chance.uniform(1.5, 6.0), 4)))
        session.edit(replacing(session.document, said("thickness"), [changed]), AT)
        return
    layout = session.document.get("l", LayoutRecord)
    (bar,) = layout.bars
    n = chance.randrange(len(bar.pieces))
    moved = replace(bar.pieces[n], x=round(chance.uniform(0.0, 900.0), 4))
    bars = (replace(bar, pieces=(*bar.pieces[:n], moved, *bar.pieces[n + 1 :])),)
    session.edit(replacing(session.document, said("moved"), [replace(layout, bars=bars)]), AT)


def attach(session: Session, number: int, size: int) -> None:
    """One more picture of so many bytes, which cannot be made smaller."""
    named = session.attach(Attachment("image/jpeg", random.Random(number).randbytes(size)))
    record = PictureRecord(id=f"p{number}", place=float(number), of="t", picture=named, words=f"picture {number}", at=AT)
    session.edit(replacing(session.document, said("picture"), [record]), AT)


class Copying:
    """A sync program: copies the folder again and again, as fast as it can."""

    def __init__(self, folder: Path, into: Path) -> None:
        self.copies, self.torn = 0, list[str]()
        self._folder, self._into, self._end = folder, into, Event()
        self._thread = Thread(target=self._run)

    def __enter__(self) -> "Copying":
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._end.set()
        self._thread.join()

    def _run(self) -> None:
        while not self._end.wait(0.01):
            for file in self._folder.glob("*.shopbook"):
                copy = self._into / f"copy {self.copies}.shopbook"
                shutil.copyfile(file, copy)
                self.copies += 1
                try:
                    read(copy)
                except NotAWorkbook as trouble:
                    self.torn.append(str(trouble))
                copy.unlink()


def timed(what: str, figures: dict[str, float], work):
    """What some work gives; its seconds are among the figures."""
    began = time.perf_counter()
    made = work()
    figures[what] = time.perf_counter() - began
    return made


def grown(folder: Path, *, edits: int, points: int, blanks: int, pictures: int, size: int) -> tuple[list[str], dict[str, float]]:
    """A workbook grown so far; what is wrong with it, and its figures (bytes, seconds)."""
    chance, file, figures = random.Random(5), folder / "shop.shopbook", dict[str, float]()
    (folder / "copies").mkdir()
    session = begin(folder / "sessions", BookBody(large(points, blanks)))
    session.save_as(file)
    with Copying(folder, folder / "copies") as copying:
        for n in range(pictures):
            attach(session, n, size)
            if n % 10 == 0:
                session.publish()
        for n in range(edits):
            edit(session, chance)
            if n % max(edits // 20, 1) == 0:
                session.publish()
    timed("publish, s", figures, session.publish)
    document, steps, gone = session.document, len(session.steps), session.gone
    session.close()
    figures |= {"file, bytes": file.stat().st_size, "steps kept": steps, "steps gone": gone, "copies": copying.copies}
    found = [f"a copy is torn: {torn}" for torn in copying.torn]
    again = timed("open as a stranger's, s", figures, lambda: open_path(folder / "elsewhere", file))
    found += [] if again.document == document else ["what is opened is not what was worked on"]
    found += [] if len(again.body.attachments) == pictures else [f"{len(again.body.attachments)} pictures"]
    undone = 0
    while again.undo():
        undone += 1
    kept = min(steps, KEPT_STEPS)  # a session may hold a few more, so that it is not thinned at every edit
    found += [] if undone == kept else [f"{undone} steps of {kept} could be undone"]
    again.close()
    figures["memory at most, MB"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000
    return found, figures


def main() -> None:
    """Grows one of each kind and tells."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--edits", type=int, default=5000)
    given = options.parse_args()
    wrong = 0
    for words, pictures in (("no pictures", 0), ("60 pictures of 2 MB", 60)):
        with tempfile.TemporaryDirectory(dir=os.environ.get("GROWTH_IN")) as folder:
            edits = given.edits if not pictures else min(given.edits, 300)
            found, figures = grown(Path(folder), edits=edits, points=4000, blanks=200, pictures=pictures, size=2_000_000)
        print(f"{edits} edits of an outline of 4000 points and a layout of 200 blanks, {words}")
        print("\n".join(f"  {name}: {figure:,.2f}" for name, figure in figures.items()))
        print("\n".join(f"  {fault}" for fault in found))
        wrong += len(found)
    print(f"{wrong} faults")
    sys.exit(bool(wrong))


if __name__ == "__main__":
    main()
