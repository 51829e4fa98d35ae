"""A workbook with a right digest and absurd content is refused with its place and its limits, before any shape is made of it."""

import sqlite3
import time

import pytest
from msgspec.json import decode, encode

from tests.at_limits import DRAWN_RECORD, EXAMPLES, TEMPLATE, at, put, right_values, rows_in, too_many, wrong_values
from tests.storage.test_hostile import signed
from workbook.document.action import said
from workbook.document.document import Document, NotTaken, replacing
from workbook.document.limits import judged
from workbook.document.records import KINDS, TemplateRecord, kind_of
from workbook.fields import Kind
from workbook.geometry.path import Line, Path
from workbook.storage.body import BookBody, content_of, content_value
from workbook.storage.file import parsed
from workbook.storage.step import record_value
from workbook.storage.trouble import NotAWorkbook
from workbook.structs import replace
from workbook.tasks.demo import demo_document
from workbook.tasks.starting import start_usual
from workbook.tasks.work import gone_on_with, seen_at, work_at, work_in, work_on_copy
from workbook.template.model import HolePattern, Purpose


def body_value(body):
    """What a file of a body without attachments holds."""
    return decode(encode(content_value(content_of(body), ())))


RECORDS = [*EXAMPLES.values(), DRAWN_RECORD]


def opened(*records):
    """What a file of these records holds."""
    return parsed(signed(encode(body_value(BookBody(Document({record.id: record for record in records}))))), "x").document


def refused(record):
    """What is said of a file with a record."""
    with pytest.raises(NotAWorkbook) as trouble:
        opened(record)
    return str(trouble.value)


def called(path):
    """A path as it is told: counted from 1."""
    return "".join(f"[{part + 1}]" if isinstance(part, int) else f".{part}" for part in path)[1:]


def test_there_is_an_example_of_every_kind_of_record_and_it_opens():
    assert set(EXAMPLES) == set(KINDS.values())
    for record in RECORDS:
        assert opened(record).records == {record.id: record}


@pytest.mark.parametrize("record", RECORDS, ids=kind_of)
def test_what_lies_at_its_limits_opens(record):
    for path, row in rows_in(record):
        for value in right_values(row):
            wrong = [str(mistake) for mistake in judged([put(record, path, value)]) if "Allowed" in mistake.right]
            assert not [told for told in wrong if f", {called(path)}" in told], (called(path), value)


@pytest.mark.parametrize("record", RECORDS, ids=kind_of)
def test_what_lies_over_its_limits_or_far_over_is_refused_with_place_and_limit(record):
    for path, row in rows_in(record):
        for value in (*wrong_values(row), *too_many(row, at(record, path))):
            told = refused(put(record, path, value))
            assert f", {called(path)}" in told, (called(path), str(value)[:40], told)
            assert (
                "Allowed: " in told
                or "Allowed for each: " in told
                or "is not a date" in told
                or "diameter must be more than 0" in told
                or "is empty. Type some text" in told
            ), told
            assert len(told) < 400


@pytest.mark.parametrize("record", RECORDS, ids=kind_of)
def test_what_is_missing_where_there_is_always_a_value_is_refused(record):
    for path, row in rows_in(record):
        if row.none or isinstance(path[-1], int):
            continue
        value = body_value(BookBody(Document({record.id: record})))
        inner = value["records"][0]["record"]
        for part in path[:-1]:
            inner = inner[part]
        inner[path[-1]] = None
        with pytest.raises(NotAWorkbook):
            parsed(signed(encode(value)), "x")


ABSURD = {
    "blade length": replace(TEMPLATE, blade=replace(TEMPLATE.blade, length=1e308)),
    "handle length": replace(TEMPLATE, handle=replace(TEMPLATE.handle, length=0.0)),
    "waist behind palm": replace(TEMPLATE, handle=replace(TEMPLATE.handle, waist_at=0.5, palm_at=0.5)),
    "a pattern of 300,000": replace(TEMPLATE, holes=None, patterns=(HolePattern(purpose=Purpose.PIN, size=5.0, count=300_000),)),
    "many patterns of many": replace(
        TEMPLATE,
        holes=None,
        patterns=tuple(HolePattern(purpose=Purpose.EPOXY, size=0.3, count=100, fill=n > 0, web=0.0) for n in range(20)),
    ),
    "a name of a million letters": replace(TEMPLATE, name="x" * 1_000_000),
    "no name": replace(TEMPLATE, name=""),
}


@pytest.mark.parametrize("what", ABSURD)
def test_an_absurd_template_is_refused_at_once(what):
    began = time.monotonic()
    told = refused(replace(EXAMPLES[TemplateRecord], family=ABSURD[what]))
    assert "x cannot be opened: template" in told and "family" in told
    assert time.monotonic() - began < 5


def test_neither_a_family_nor_an_outline_is_refused_and_so_are_both():
    assert "family: is missing, and so is an outline" in refused(replace(DRAWN_RECORD, drawn=None))
    assert "family: is given beside an outline" in refused(replace(DRAWN_RECORD, family=TEMPLATE))


A, B = (0.0, 0.0), (100.0, 0.0)
OUTLINES = {
    "none": (),
    "there and back": (Line(A, B), Line(B, A)),
    "apart": (Line(A, B), Line((50.0, 50.0), (0.0, 50.0)), Line((0.0, 50.0), A)),
    "a kilometre long": (Line(A, (1e6, 0.0)), Line((1e6, 0.0), (0.0, 30.0)), Line((0.0, 30.0), A)),
    "a speck": (Line(A, (0.1, 0.0)), Line((0.1, 0.0), (0.0, 0.1)), Line((0.0, 0.1), A)),
}


@pytest.mark.parametrize("what", OUTLINES)
def test_an_outline_that_is_none_is_refused(what):
    drawn = replace(DRAWN_RECORD.drawn, outline=Path(OUTLINES[what]))
    assert "drawn.outline" in refused(replace(DRAWN_RECORD, drawn=drawn))


def test_not_a_number_and_numbers_no_float_holds_are_refused():
    data = encode(body_value(BookBody(Document({"a": EXAMPLES[TemplateRecord]}))))
    assert data.count(b'"thick_palm":20.0') == 1
    for number in (b"NaN", b"Infinity", b"1e999", b"-1e999", b'"20"', b"null", b"[]"):
        with pytest.raises(NotAWorkbook):
            parsed(signed(data.replace(b'"thick_palm":20.0', b'"thick_palm":' + number)), "x")


@pytest.fixture
def data_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    return tmp_path


def test_a_workbook_without_a_template_is_refused_in_words_however_it_is_opened(data_folder):
    document = demo_document()
    records = {id_: record for id_, record in document.records.items() if not isinstance(record, TemplateRecord)}
    path = data_folder / "shop.shopbook"
    path.write_bytes(signed(encode(body_value(BookBody(Document(records))))))
    for way in (work_at, seen_at, work_on_copy):
        with pytest.raises(NotAWorkbook, match=r"shop\.shopbook cannot be opened: templates: there are 0"):
            way(path)
    assert path.is_file()


def test_two_templates_of_one_name_are_refused(data_folder):
    document = demo_document()
    first = next(document.all(TemplateRecord))
    path = data_folder / "shop.shopbook"
    path.write_bytes(signed(encode(body_value(BookBody(Document({**document.records, "x": replace(first, id="x")}))))))
    with pytest.raises(NotAWorkbook, match="appears 2 times"):
        work_at(path)


def test_every_kind_of_value_is_tried():
    tried = {row.kind for record in RECORDS for _, row in rows_in(record) if [*wrong_values(row)]}
    assert tried == set(Kind) - {Kind.SWITCH, Kind.PART}


def left_session(tamper):
    """A session of the demo that was left, with something put into it by hand."""
    document = demo_document()
    session = work_in(document)
    settings = replace(document.settings, name="New name")
    session.edit(replacing(document, said("changed"), [settings]), "2026-11-27T10:00")
    file = session.file
    session.close()
    at = sqlite3.connect(file)
    with at:
        tamper(at)
    at.close()
    return file


def put_by_hand(record):
    text = encode(record_value(record)).decode()
    return lambda at: at.execute("INSERT OR REPLACE INTO record VALUES(?,?,?)", (record.id, 10_000, text))


@pytest.mark.parametrize("what", ABSURD)
def test_a_session_with_an_absurd_template_is_refused_kept_and_not_opened_at_a_start(data_folder, what):
    record = replace(EXAMPLES[TemplateRecord], family=ABSURD[what])
    file = left_session(put_by_hand(record))
    with pytest.raises(NotAWorkbook, match=r"cannot be read: template .*family"):
        gone_on_with(file)
    start = start_usual()
    assert "family" in start.not_opened.why
    assert len(list(start.session.document.all(TemplateRecord))) == 1
    start.session.let_go()
    assert file.is_file()


def test_a_session_without_a_template_is_refused_kept_and_not_opened_at_a_start(data_folder):
    file = left_session(lambda at: at.execute('DELETE FROM record WHERE value LIKE \'%"kind":"template"%\''))
    with pytest.raises(NotAWorkbook, match="templates: there are 0"):
        gone_on_with(file)
    start = start_usual()
    assert "templates: there are 0" in start.not_opened.why
    start.session.let_go()
    assert file.is_file()


def test_an_absurd_value_is_in_no_session_after_an_edit_with_it(data_folder):
    session = work_in(demo_document())
    first = next(session.document.all(TemplateRecord))
    before = session.document
    for template in ABSURD.values():
        with pytest.raises(NotTaken, match="family"):
            session.edit(replacing(before, said("changed"), [replace(first, family=template)]), "2026-11-27T10:00")
    assert session.document is before and not session.steps
    session.let_go()
