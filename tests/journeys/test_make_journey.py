"""From an order to finished knives in the installed program's real window: cut, six evenings entered, one blade lost, a heat
treatment with its readings; every view agrees; undone to the oldest step and done again.
"""

import csv

import pypdfium2

from tests.journeys.by_mouse import hands  # noqa: F401
from tests.journeys.looking import looked_at
from tests.journeys.test_window_journey import display, patiently, pytestmark  # noqa: F401
from workbook.cli.main import main
from workbook.document.making import batches, blades_of, entries_of, standing_of, standings_in, untempered
from workbook.document.making_records import EntryRecord, LoadRecord
from workbook.document.queries import job_of
from workbook.document.records import BarRecord
from workbook.document.shop_records import OrderRecord, PieceRecord
from workbook.heat.load import CycleKind, FileTest
from workbook.making.entry import EntryKind
from workbook.model.blade_history import blade_history
from workbook.model.making_words import for_words
from workbook.storage.body import BookBody
from workbook.storage.file import written
from workbook.tasks.load import shaped

NAME = "Drop-point hunter"  # an own book begins with one
EVENINGS = (  # minutes of each stage
    ("30", "45"),
    ("25", "80"),
    ("100",),
    ("40", "60"),
    ("120", "60", "180"),
    ("90", "62", "40"),
)
SCRAPPED_ON, READ_ON, HEATED_ON = 3, 1, 2


def test_six_evenings_from_the_saw_to_finished_knives(hands, tmp_path):  # noqa: F811
    def document():
        return looked_at(tmp_path / "data" / "sessions")

    def of_batch():
        (batch,) = batches(document())
        return batch

    def entered(count):
        try:
            patiently(lambda: len(list(document().all(EntryRecord))) == count, 15)
        except AssertionError:
            raise AssertionError(f"entry {count}: {hands.picture()}") from None

    def evening(minutes, before):
        """The next stage is chosen already: digits, Enter."""
        hands.quiet()
        for each in minutes:
            hands.type(each, "Return")
        entered(before + len(minutes))
        return before + len(minutes)

    def readings(texts, before):
        hands.click(name="measured")
        for text in texts:
            hands.type(text, "Return")
        entered(before + len(texts))
        return before + len(texts)

    hands.click(name="own-book")
    patiently(lambda: not document().settings.sample)
    hands.quiet()
    first = document()
    hands.click(text="Stock")
    hands.click(name="bar-line")
    hands.type("O1 1/8 x 1 1/2 x 36, 21.50, 2", "Return")
    patiently(lambda: list(document().all(BarRecord)))
    hands.click(text="Quote")
    hands.click(name="order-line")
    hands.type(f"3 {NAME} of O1 for R. Okafor by 2027-03-01", "Return")
    (order,) = patiently(lambda: list(document().all(OrderRecord)))
    hands.click(text="Lay out")
    hands.click(cell="1  R. Okafor")
    patiently(lambda: document().get(order.id, OrderRecord).laying)

    hands.place(name="print-bars")  # there is a layout
    hands.click(name="stop-search")
    hands.click(text="Mark as cut")
    blades = patiently(lambda: list(document().all(PieceRecord)))
    serials = [blade.serial for blade in blades_of(document(), of_batch().id)]
    assert len(serials) == len(blades) >= 3

    whose = for_words(document(), blades_of(document(), of_batch().id)[0])

    def to_traveller():
        hands.quiet()
        hands.click(cell=whose)

    hands.click(text="Make")
    to_traveller()
    count = 0
    for n, minutes in enumerate(EVENINGS):
        if n == HEATED_ON:
            hands.click(name="heat-load")
            dialog = patiently(lambda: hands.titled("^Heat treatment$")).splitlines()[0]
            hands.xdotool("windowfocus", dialog)
            for name, text in (("minutes-1", "12"), ("read-1", "1470"), ("asked-2", "400"), ("asked-3", "400"), ("seconds", "3")):
                hands.click(name=name)
                hands.type(text)
            for name in ("done-2", "done-3"):
                hands.click(name=name)
            hands.click(name="keep-load")
            patiently(lambda: list(document().all(LoadRecord)))
            hands.xdotool("windowfocus", hands.window)
            to_traveller()
        if n == SCRAPPED_ON:
            hands.click(name="scrap")
            why = patiently(lambda: hands.titled("^Scrap ")).splitlines()[0]
            hands.xdotool("windowfocus", why)
            hands.xdotool("key", "ctrl+a")
            hands.type("cracked in the straightening", "Return")
            count += 1
            entered(count)
            hands.quiet()
            hands.xdotool("windowfocus", hands.window)
        count = evening(minutes, count)
        if n == READ_ON:
            count = readings(["0.021 0.021 0.020"] * len(serials), count)
        if n == HEATED_ON:
            count = readings(["61", "61.5", *["62"] * (len(serials) - 2)], count)

    last = document()
    agreed(last, of_batch().id, serials, order, tmp_path)

    def undone():
        hands.xdotool("key", *["ctrl+z"] * 10)
        return document() == first

    patiently(undone, 60)

    def done_again():
        hands.xdotool("key", *["ctrl+shift+z"] * 10)
        return document() == last

    patiently(done_again, 60)


def agreed(book, batch, serials, order, folder):
    """Whether what every view tells of the batch is the same."""
    standings = standings_in(book, batch)
    lost = [blade for blade in blades_of(book, batch) if standings[blade.id].scrapped]
    good = [blade for blade in blades_of(book, batch) if standings[blade.id].finished]
    assert len(lost) == 1
    assert sorted(blade.serial for blade in (*lost, *good)) == sorted(serials)
    done = [record.entry for record in entries_of(book, batch) if record.entry.kind is EntryKind.DONE]
    assert [f"{entry.minutes:.0f}" for entry in done] == [minutes for evening in EVENINGS for minutes in evening]
    assert sum(standing.minutes for standing in standings.values()) == sum(entry.minutes for entry in done)
    (load,) = book.all(LoadRecord)
    assert sorted(load.pieces) == sorted(standings)
    assert (load.load.seconds, load.load.file) == (3.0, FileTest.NOT_TRIED)
    assert load.load.done == (CycleKind.HARDEN, CycleKind.TEMPER, CycleKind.TEMPER)
    assert untempered(book) == []
    for blade in good:
        told = [row.words for row in blade_history(book, shaped(job_of(book)), blade)]
        assert any("harden 1475 °F (read 1470 °F), 12 min" in words for words in told)
        hard = {each.value for _stage, each in standing_of(book, blade).readings if each.what == "hardness"}
        assert hard <= {61.0, 61.5, 62.0}
        assert len(hard) == 1
    assert {blade.line for blade in good} - {""} <= {record.id for record in book.records.values() if hasattr(record, "order")}

    file = folder / "book.shopbook"
    file.write_bytes(written(BookBody(book)))
    assert main(["book", str(file), "--tables", str(folder / "tables")]) == 0
    with (folder / "tables" / "piece.csv").open(encoding="utf-8-sig", newline="") as table:
        assert sorted(row["serial"] for row in csv.DictReader(table)) == sorted(serials)
    assert main(["sheets", str(file), "--out", str(folder / "paper"), "--what", "traveller,heat"]) == 0
    for paper in (folder / "paper").glob("*.pdf"):
        words = " ".join(page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(paper.read_bytes()))
        assert set(serials) <= set(words.split())
    assert order.number == 1
