"""The stock as a table: out and in again it is the same; what cannot be read is said row by row and nothing counts."""

import csv
import io
import random
import time
from decimal import Decimal
from itertools import count

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import fields

from tests.counts import tries
from tests.filled import filled, leaves
from tests.mutation import mutated
from tests.written import stock_table
from workbook.document.document import Document
from workbook.document.orders import ledger_of
from workbook.document.records import BarRecord, MaterialRecord
from workbook.formats.csv_out import csv_text
from workbook.formats.stock_csv import read_stock, stock_rows
from workbook.problems import JobError
from workbook.shop.job import Bar, Edges, Measured, PricePer
from workbook.shop.ledger import Reason
from workbook.shop.materials import Material, MaterialKind
from workbook.structs import replace
from workbook.tasks.demo import demo_document
from workbook.tasks.stock_csv import stock_file, stock_in

NUMBERS = count(1)
words = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=20).filter(
    lambda text: text == text.strip() and text[0] not in "'=+-@"
)
money = st.decimals(0, 9999, places=2)
lengths = st.integers(100, 9000).map(lambda n: n / 8)
bars = st.builds(
    Bar, name=words, steel=words, thickness=st.sampled_from([1.5, 2.0, 3.175]), width=st.sampled_from([25.4, 50.0]),
    length=lengths,
    price=money, per=st.sampled_from(PricePer), shipping=money, cut_charge=money, have=st.integers(0, 40), buy=st.booleans(),
    offcut=st.booleans(), edges=st.sampled_from(Edges), heat=words, origin=words, kept_at=words,
)  # fmt: skip
materials = st.builds(
    Material, name=words, kind=st.sampled_from(MaterialKind), per=words, price=money, have=st.sampled_from([0.0, 1.5, 30.0]),
    low=st.sampled_from([0.0, 2.0]), knife=st.sampled_from([0.0, 0.25]), size=st.sampled_from([0.0, 4.75]), kept_at=words,
)  # fmt: skip


@given(st.lists(bars | materials, max_size=6, unique_by=lambda item: (type(item), item.name)))
def test_out_and_in_again_it_is_the_same(items):
    assert read_stock(csv_text(stock_rows(items))) == items


def test_a_bar_and_a_material_with_everything_other_go_out_and_in_again():
    bar = Bar(name="bar", steel="O1", thickness=2.0, width=50.8, length=914.4)
    measured = Measured(thickness=2.03, middle=2.02, far=2.01, bow=0.4, width=50.9, length=915.0)
    assert None not in [value for _, value in leaves(measured)]
    own = filled(Bar, bar, measured=measured)
    rod = Material(name="rod", kind=MaterialKind.PIN)
    items = [own, filled(Material, rod)]
    assert not {path for path, value in leaves(own) if value == dict(leaves(bar)).get(path)}
    assert read_stock(csv_text(stock_rows(items))) == items
    for field in fields(Bar):
        one = replace(bar, **{field.name: getattr(own, field.name)})
        assert read_stock(csv_text(stock_rows([one]))) == [one], field.name
    for field in fields(Material):
        other = replace(rod, **{field.name: getattr(items[1], field.name)})
        assert read_stock(csv_text(stock_rows([other]))) == [other], field.name


@pytest.mark.parametrize(
    ("cells", "says"),
    [
        ("slant,600", "line 2, slant: An end is out of square"),
        ("measured_middle,20", "line 2, measured_middle: That reading is not possible"),
    ],
)
def test_what_cannot_be_of_a_bar_is_told(cells, says):
    head, value = cells.split(",")
    text = f"what,name,steel,thickness,width,length,{head}\r\nbar,x,O1,2,50,900,{value}\r\n"
    with pytest.raises(JobError, match=says):
        read_stock(text)


def as_csv(rows):
    """Rows by their heads as a table; what a row does not say is an empty cell."""
    file = io.StringIO()
    table = csv.DictWriter(file, rows[0])
    table.writeheader()
    table.writerows(rows)
    return file.getvalue()


def new():
    return f"new{next(NUMBERS)}"


def test_a_table_changes_what_has_its_name_adds_the_rest_and_books_the_counts():
    document = demo_document()
    rows = list(csv.DictReader(io.StringIO(stock_table(document).decode())))
    next(row for row in rows if row["price"] == "16.50" and row["per"] == "pair").update(price="17.00", have="9")
    sizes = {"thickness": "3", "width": "1 1/2 in", "length": "1000", "have": "2"}
    more = {"price": "12.00", "per": "m", "buy": "yes", "offcut": "no", "edges": "sawn", "kept_at": "top arm"}
    text = as_csv([*rows, {"what": "bar", "name": "1095 3 x 40 x 1000", "steel": "1095", **sizes, **more}])
    edit = stock_in(document, text, "2026-11-26T10:00", new)
    after = document.applied(edit)
    maple = after.get("maple", MaterialRecord).material
    assert (maple.price, maple.have) == (Decimal("17.00"), 9.0)
    assert [(e.why, e.by) for e in ledger_of(after, "maple")][-1] == (Reason.ADJUSTED, 4)
    added = next(r for r in after.all(BarRecord) if r.bar.steel == "1095")
    assert (added.bar.width, added.bar.per, added.bar.edges, added.bar.have) == (
        pytest.approx(38.1),
        PricePer.METRE,
        Edges.SAWN,
        2,
    )
    measured = next(r.bar.measured for r in document.all(BarRecord) if r.bar.measured.anything)
    assert any(r.bar.measured == measured for r in after.all(BarRecord)), "what was measured stays"
    assert after.applied(edit.inverse) == document


def test_what_a_table_does_not_say_stays_as_it_is():
    document = demo_document()
    before = document.get("maple", MaterialRecord).material
    bar = next(r for r in document.all(BarRecord) if r.bar.measured.anything)
    text = f"what;name;price;per\r\nhandle;{before.name};99,50;\r\nbar;{bar.bar.name};35;\r\n"
    after = document.applied(stock_in(document, text, "2026-11-27T10:00", new))
    assert after.get("maple", MaterialRecord).material == replace(before, price=Decimal("99.50"))
    assert after.get(bar.id, BarRecord).bar == replace(bar.bar, price=Decimal(35))


def test_the_same_table_brought_in_again_changes_nothing():
    document = demo_document()
    assert not stock_in(document, stock_table(document).decode(), "2026-11-27T10:00", new).changes


BAD = (
    ("", "no columns"),
    ("a,b\r\n1,2\r\n", "no columns"),
    ("what,name\r\nbar,x\r\n", "steel, thickness, width, length: is missing"),
    ("what,name\r\nsword,x\r\n", "line 2, what: “sword” is unknown"),
    ("what,name,price\r\npin,x,dear\r\n", "line 2, price"),
    ("what,name,price\r\npin,x,NaN\r\n", "line 2, price"),
    ("what,name,per\r\nbar,52100 5/64 x 2 1/2 x 36,furlong\r\n", "one of bar, ft, m, kg"),
    ("what,name,have\r\npin,x,-3\r\n", "line 2, have"),
    ("what,name,steel,thickness,width,length\r\nbar,x,O1,9 ft,50,900\r\n", "line 2, thickness"),
    ("what,name\r\npin,x\r\npin,x\r\n", "“x”: appears twice"),
)


NUMBERS_READ = (
    ("price", "1,250", None), ("price", "1,000", None), ("price", "1.250", None), ("price", "1,250.00", 1250),
    ("price", "1.250,00", 1250),
    ("price", "1 250", 1250), ("price", "$12,50", 12.5), ("price", "1e3", None), ("have", "1,5", 1.5), ("have", "1.5", 1.5),
    ("have", "1.125", None), ("have", "1.1250", 1.125), ("knife", "0,25", 0.25), ("size", "3,175", 3.175),
    ("length", "1,250", None),
    ("length", "1 250", None), ("length", "914,4", 914.4), ("have", "١", 1),
)  # fmt: skip


@pytest.mark.parametrize(("head", "text", "number"), NUMBERS_READ)
def test_a_number_is_read_one_way_or_refused_in_plain_words(head, text, number):
    table = f'what,name,{head}\r\npin,rod,"{text}"\r\n'
    if number is not None:
        (item,) = read_stock(table)
        assert float(getattr(item, head)) == pytest.approx(number)
        return
    with pytest.raises(JobError, match=f"line 2, {head}") as trouble:
        read_stock(table)
    assert "class" not in str(trouble.value)
    assert text in str(trouble.value)


@pytest.mark.parametrize("text", ["1,5", "1.5", "1.000", "1,000"])
def test_a_count_of_bars_in_a_table_is_whole(text):
    with pytest.raises(JobError, match="line 2, have"):
        read_stock(f'what,name,steel,thickness,width,length,have\r\nbar,x,O1,3,40,900,"{text}"\r\n')


@given(st.just(0.0) | st.floats(1e-6, 90_000), st.just(0.0) | st.floats(1e-6, 200))
def test_any_number_goes_out_and_in_again_as_it_is(have, size):
    item = Material(name="rod", kind=MaterialKind.PIN, have=have, size=size)
    assert read_stock(csv_text(stock_rows([item]))) == [item]


@pytest.mark.parametrize(("text", "says"), BAD)
def test_what_cannot_be_read_is_said_and_nothing_counts(text, says):
    with pytest.raises(JobError, match=says):
        stock_in(Document(), text, "2026-11-27T10:00", new)


def test_every_bad_row_is_told_at_once():
    with pytest.raises(JobError) as trouble:
        read_stock("what,name,price\r\npin,a,x\r\npin,b,y\r\n")
    assert [mistake.place for mistake in trouble.value.mistakes] == ["line 2, price", "line 3, price"]


@pytest.mark.parametrize(
    ("data", "says"), [(b"\xff\xfe\x00", "not UTF-8"), (b"x" * 5_000_001, "too large"), (None, "cannot be read")]
)
def test_a_file_that_is_no_table_is_refused_in_words(tmp_path, data, says):
    path = tmp_path / "stock.csv"
    if data is not None:
        path.write_bytes(data)
    with pytest.raises(JobError, match=says):
        stock_file(Document(), path, "2026-11-27T10:00", new)


@given(st.text(max_size=200))
def test_no_text_brings_anything_but_stock_or_words(text):
    try:
        items = read_stock(f"what,name,price\r\n{text}")
    except JobError as trouble:
        assert trouble.mistakes
    else:
        assert all(item.name for item in items)


def test_a_table_changed_at_random_is_read_or_refused():
    chance, document, read = random.Random(8), demo_document(), 0
    data = stock_table(document)
    pieces = [b'"', b",", b"\n", b"1e999", b"nan", b"-", b"1,250", b"\x00", b"=1+1", b"9" * 50, "ü".encode(), b";"]
    for _ in range(tries(150, 10_000)):
        began = time.monotonic()
        try:
            stock_in(
                document, mutated(data, chance, pieces).decode("utf-8", "replace"), "2026-11-27", lambda: f"n{next(NUMBERS)}"
            )
            read += 1
        except JobError as trouble:
            assert trouble.lines()
        assert time.monotonic() - began < 5
    assert read


def test_a_table_of_many_rows_copies_the_document_once(monkeypatch):
    """Twice the rows are twice the work, not four times."""
    document, made = demo_document(), []
    real = Document.__init__
    monkeypatch.setattr(Document, "__init__", lambda self, *given: (made.append(self), real(self, *given))[1])
    rows = "".join(f"handle,wood {n},{n % 7},pair\n" for n in range(2000))
    edit = stock_in(document, f"what,name,have,per\n{rows}", "2026-11-28", lambda: f"n{next(NUMBERS)}")
    assert len(made) < 5
    there = document.applied(edit)
    assert sum(record.material.name.startswith("wood") for record in there.all(MaterialRecord)) == 2000
    entries = [entry for entry in edit.changes if entry.after.id.startswith("n") and hasattr(entry.after, "by")]
    assert len(entries) == sum(n % 7 > 0 for n in range(2000))
    assert len({entry.after.place for entry in entries}) == len(entries)
