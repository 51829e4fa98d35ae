"""How long the shop's pages take with 10,000 records, an entry on Make, a drag with 100 blanks: `python tests/bench/shop.py`.

A page switch is timed from the key to the painted page, with everything changed since it was last shown; a frame from the
mouse's move to the painted picture. Offscreen, or on the screen DISPLAY names with QT_QPA_PLATFORM=xcb.
"""

import os
import statistics
import sys
import tempfile
import time
from decimal import Decimal
from itertools import count, islice
from pathlib import Path

from workbook.structs import replace

sys.path.insert(0, str(Path(__file__).parents[2]))

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from workbook.app.look import Look
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.action import said
from workbook.document.actions.rack import order
from workbook.document.document import replacing
from workbook.document.queries import template_named
from workbook.document.records import BarRecord
from workbook.document.shop_records import CustomerRecord, Movement, OrderLine, OrderRecord, PieceRecord
from workbook.shop import ledger
from workbook.shop.orders import Status
from workbook.tasks.demo import demo_document
from workbook.tasks.work import work_in

EACH = 1000
USED = (getattr(ledger, "Reason", None) or ledger.Why).USED  # also in a program before it was called so
MOVES, EDITS = 60, 12
BATCHES, BEGUN, BLADES, ENTRIES = 40, 28, 300, 5000
FREE = 4  # stages that can be entered before a hold point


def full_shop():
    """The demo with a thousand each of used-up offcuts, movements, orders, lines and pieces besides."""
    document = demo_document()
    bar = next(document.all(BarRecord))
    petty = template_named(document, "Petty").id
    records = []
    for n in range(EACH):
        gone = replace(bar.bar, name=f"offcut {n}", have=0, buy=False, offcut=True)
        status = Status.DELIVERED if n % 50 else Status.AGREED
        wanted = f"2027-{1 + n % 12:02d}-01"
        records += [
            BarRecord(id=f"b{n}", place=1000.0 + n, bar=gone),
            Movement(id=f"m{n}", place=float(n), of=f"b{n}", at="2026-01-01", why=USED, by=Decimal(-1)),
            CustomerRecord(id=f"c{n}", place=1000.0 + n, name=f"Customer {n}"),
            OrderRecord(id=f"o{n}", place=1000.0 + n, number=100 + n, customer=f"c{n}", status=status, wanted=wanted),
            OrderLine(id=f"l{n}", place=1000.0 + n, of=petty, steel="52100", quantity=1 + n % 5, order=f"o{n}", handle="maple"),
            PieceRecord(
                id=f"p{n}", place=float(n), serial=f"Z{n}", of=petty, name="Petty", revision=1, steel="52100", bar="x",
                line=f"l{n}",
            ),
        ]  # fmt: skip
    return document.applied(replacing(document, said("a shop"), records))


def with_batches(document):
    """The same with 40 batches of 300 blades, and 5,000 entries about the first of them."""
    from workbook.document.making import apart  # here, since the gate also measures programs from before batches
    from workbook.document.making_records import BatchRecord, EntryRecord
    from workbook.making.entry import EntryKind, Logged

    blades = [replace(piece, batch=f"batch{n % BATCHES}") for n, piece in enumerate(a_thousand(document)[:BLADES])]
    stages = apart(document.settings.charges.stages)
    records = [BatchRecord(id=f"batch{n}", place=1000.0 + n, number=10 + n, stages=stages) for n in range(BATCHES)]
    for n in range(ENTRIES):
        batch, turn = n % BEGUN, n // BEGUN
        own = [piece.id for piece in blades if piece.batch == f"batch{batch}"]
        done = Logged(
            kind=EntryKind.DONE, date="2026-11-02", stage=stages[turn // len(own) % len(stages)].name,
            pieces=(own[turn % len(own)],), minutes=5.0,
        )  # fmt: skip
        records.append(EntryRecord(id=f"e{n}", place=1000.0 + n, batch=f"batch{batch}", at="2026-11-02T20:00:00", entry=done))
    return document.applied(replacing(document, said("batches"), [*blades, *records]))


def a_thousand(document):
    """The pieces that were put there."""
    return [piece for piece in document.all(PieceRecord) if piece.id.startswith("p")]


def shown(document):
    _ = QApplication.instance() or QApplication([])
    window = Window(Workspace(work_in(document), Look("light")))
    window.resize(1440, 900)
    window.show()
    settle()
    return window


def settle():
    for _ in range(3):
        QApplication.processEvents()


def quiet(window, seconds=1.5):
    """Waits until the workers, which take both cores, have nothing to do."""
    end = time.monotonic() + seconds
    while time.monotonic() < end or (window.page_name() == "quote" and window.quote_page().steel.busy):
        QApplication.processEvents()
        time.sleep(0.01)


def switch(window, page):
    """Shows a page and paints it."""
    window.show_page(page)
    QApplication.processEvents()


PAGES = ("stock", "quote", "layout", "make", "draw")


def switches(window):
    """ms of every page switch, each after a change."""
    taken = {}
    for page in (*PAGES, *PAGES):
        window.workspace.change_settings("name", f"Shop {page}", name=f"Shop {page}")
        quiet(window)
        began = time.perf_counter()
        switch(window, page)
        taken.setdefault(page, []).append((time.perf_counter() - began) * 1000)
        if page == "layout":
            window.bars_page().search.stop()
    return {page: times[-1] for page, times in taken.items()}, {page: times[0] for page, times in taken.items()}


def entries(window):
    """Deeds that enter a stage of a batch on Make, kept and painted, each with the page quiet before it."""
    page = window.make_page()
    for turn in range(FREE):
        for number in range(BEGUN, BATCHES):
            window.show_page("make")
            page.choose(f"batch{number}")
            page.traveller.choose_stage(page.entering.batch.stages[turn].name)
            page.side.minutes.setText("30")
            quiet(window, 0.2)
            yield lambda: entered(window)


def entered(window):
    """Enters what is chosen."""
    before = len(window.workspace.session.steps)
    painted(window.make_page().entering.enter)
    assert len(window.workspace.session.steps) == before + 1


def parameters(window):
    """Deeds that edit a parameter on Draw, the same way."""
    for n in count():
        window.show_page("draw")
        quiet(window, 0.2)
        yield lambda n=n: painted(lambda: window.workspace.edit("blade.length", 130.0 + n % 30))


def painted(deed):
    """Does something, to the painted picture."""
    deed()
    settle()


def timed(deed):
    """ms of a deed."""
    began = time.perf_counter()
    deed()
    return (time.perf_counter() - began) * 1000


def drag_frames():
    """ms of every frame of a drag with a hundred blanks on their bars."""
    document = demo_document()
    document = document.applied(order(document, template_named(document, "Petty").id, "52100", 92, "x"))
    window = shown(document)
    window.show_page("layout")
    page = window.bars_page()
    end = time.monotonic() + 30
    while page.laid is None and time.monotonic() < end:
        QApplication.processEvents()
    page.search.stop()
    settle()
    view = page.bars
    blanks = sum(len(use.pieces) for use in page.laid.layout.bars)
    places = (QPoint(x, y) for y in range(40, 200, 4) for x in range(60, 400, 6))
    at = next(place for place in places if (view.at(place.toPointF()) or (0, -1))[1] >= 0)
    QTest.mousePress(view, Qt.MouseButton.LeftButton, pos=at)
    taken = []
    for n in range(MOVES):
        began = time.perf_counter()
        QTest.mouseMove(view, at + QPoint(6 + 3 * n, n % 17))
        QApplication.processEvents()
        taken.append((time.perf_counter() - began) * 1000)
    began = time.perf_counter()
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, pos=at + QPoint(200, 5))
    QApplication.processEvents()
    dropped = (time.perf_counter() - began) * 1000
    page.search.close()
    window.close()
    return blanks, sorted(taken[2:]), dropped


def planning(document):
    """ms of the parts of an evening's plan: own numbers, what is ahead, the first plan, its lines with their reasons."""
    from workbook.document.queries import job_of  # here: the gate also measures programs that had no plans yet
    from workbook.model.lots import lots_of
    from workbook.model.own_numbers import OwnNumbers
    from workbook.model.tonight import Evening
    from workbook.tasks.evening import PlanClock
    from workbook.tasks.load import shaped

    model, clock = shaped(job_of(document)), PlanClock("2026-11-30T18:40:00")
    took = dict[str, list[float]]()

    def part(name, deed):
        began = time.perf_counter()
        made = deed()
        took.setdefault(name, []).append((time.perf_counter() - began) * 1000)
        return made

    for _turn in range(EDITS):
        own = part("own numbers", lambda: OwnNumbers(document, model))
        ahead = part("what is ahead", lambda own=own: lots_of(document, own, clock.ahead))
        stints = clock.stints(document.settings.hours, 90)
        evening = part("first plan", lambda ahead=ahead, stints=stints: Evening(ahead, stints))
        part("its lines", lambda evening=evening: evening.lines(document, clock.at))
    return {name: statistics.median(times) for name, times in took.items()}


def main():
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    os.environ["MAKERS_WORKBOOK_DATA"] = tempfile.mkdtemp()
    document = with_batches(full_shop())
    window = shown(document)
    again, first = switches(window)
    print(f"{len(document.records)} records; ms to switch to a page after a change:")
    for page, ms in again.items():
        print(f"  {page:8s} {ms:6.1f}   (first time, with the making of the page: {first[page]:.1f})")
    entry, edit = (statistics.median(map(timed, islice(deeds(window), EDITS))) for deeds in (entries, parameters))
    print(f"an entry {entry:.1f} ms, an edit of a parameter {edit:.1f} ms: {entry / edit:.2f}")
    print("an evening's plan:", ", ".join(f"{name} {ms:.1f} ms" for name, ms in planning(document).items()))
    print(f"Make {again['make']:.1f} ms, Quote {again['quote']:.1f} ms: {again['make'] / again['quote']:.2f}")
    window.bars_page().search.close()
    window.quote_page().steel.close()
    window.close()
    blanks, taken, dropped = drag_frames()
    print(f"drag with {blanks} blanks: median {statistics.median(taken):.1f} ms, 95 % under {taken[int(len(taken) * 0.95)]:.1f}; "
          f"let go {dropped:.1f} ms")  # fmt: skip


if __name__ == "__main__":
    main()
