"""Files that are none, damaged, or made to do harm: refused with a word, never opened as something else."""

import hashlib
import json
import random
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.counts import tries
from tests.mutation import mutated
from tests.storage.conftest import line
from workbook.document.actions.whole import bring_in
from workbook.document.document import Document
from workbook.formats.family import family
from workbook.shop.job import Bar, Job, Make
from workbook.storage.body import BookBody
from workbook.storage.file import parsed, written
from workbook.storage.migrations import VERSION
from workbook.storage.step import step_of
from workbook.storage.trouble import NotAWorkbook

COUNT = tries(600, 10_000)


def a_body():
    """A workbook with a template, a bar, an order and a history."""
    job = Job(
        name="Shop",
        templates=(family("petty"),),
        bars=(Bar(name="bar", steel="O1", thickness=2.0, width=50.0, length=900.0),),
        make=(Make(template=family("petty").name, steel="O1", quantity=2),),
    )
    ids = iter(f"id{n}" for n in range(99))
    edit = bring_in(Document(), job, lambda: next(ids))
    return BookBody(Document().applied(edit), (step_of(edit, "2026-01-02", {}),), 1)


DATA = written(a_body())


def signed(content: bytes, version: int = VERSION) -> bytes:
    """Content under a head with the right digest, as a stranger may make it."""
    head = {"application": "makers-workbook", "version": version, "sha256": hashlib.sha256(content).hexdigest()}
    return json.dumps(head).encode() + b"\n" + content + b"\n"


PIECES = [b"[", b"{", b'"', b"\\u0000", b"1e999", b"null", b"NaN", b"-", b"9" * 50]


def test_what_is_written_is_read():
    assert parsed(DATA, "shop") == a_body()


def test_no_damage_passes_unseen():
    """Whatever changes a file, it is refused, or it is the same workbook still."""
    chance = random.Random(3)
    for _ in range(COUNT):
        data = mutated(DATA, chance, PIECES)
        try:
            assert parsed(data, "shop") == a_body() if data != DATA else True
        except NotAWorkbook as trouble:
            assert "shop" in str(trouble)


def test_no_forged_content_does_harm():
    """Mutations under a right digest: a sound workbook or a refusal, and quickly."""
    chance = random.Random(4)
    content = DATA.split(b"\n", 1)[1][:-1]
    for _ in range(COUNT):
        began = time.monotonic()
        try:
            assert isinstance(parsed(signed(mutated(content, chance, PIECES)), "shop"), BookBody)
        except NotAWorkbook as trouble:
            assert "shop" in str(trouble)
        assert time.monotonic() - began < 5


@pytest.mark.parametrize(
    "content",
    [
        b"[" * 200_000,
        b'{"a":' * 100_000,
        b"9" * 100_000,
        b'{"records":[],"history":[],"done":' + b"9" * 5000 + b"}",
        b'{"records":[],"history":[],"done":NaN}',
        b'{"records":{},"history":[],"done":0}',
        b'{"records":[null],"history":[],"done":0}',
        b'{"records":[],"history":[["a","b",[["x",null,{"kind":"bar","record":{}}]]]],"done":1}',
        b'{"records":[{"kind":["bar"],"record":{}}],"history":[],"done":0}',
        b'{"records":[{"kind":"__class__","record":{}}],"history":[],"done":0}',
        '{"records":[],"history":[],"done":0,"ü":1}'.encode("latin-1"),
        b'{"records":[' + b"[]," * 4_000_000 + b'[]],"history":[],"done":0}',
        b'{"records":[{' + b'"":0,' * 4_000_000 + b'"":0}],"history":[],"done":0}',
    ],
)
@pytest.mark.parametrize("version", [6, VERSION])
def test_content_made_to_do_harm_is_refused(content, version):
    began = time.monotonic()
    with pytest.raises(NotAWorkbook):
        parsed(signed(today(content) if version == VERSION else content, version), "shop")
    assert time.monotonic() - began < 5


def today(content: bytes) -> bytes:
    """Content with what has come since version 6."""
    return content.replace(b'"done":', b'"gone":0,"book":"","attachments":[],"done":')


EMPTY = {"records": [], "history": [], "done": 0, "gone": 0, "book": "", "attachments": []}
PICTURE = [hashlib.sha256(b"picture").hexdigest(), "image/png", 7]


@pytest.mark.parametrize(
    ("changed", "place"),
    [
        ({"book": "../../elsewhere"}, "content"),
        ({"book": 1}, "content"),
        ({"gone": -1}, "history"),
        ({"done": 1}, "history"),
        ({"history": [[["id", {}, 1], "now", []]]}, "history"),
        ({"history": [[["id", {}], "now", [["x", [[["a"], 1]]]]]]}, "history"),
        ({"history": [[["id", {}], "now", [["x", [[[1.5], 1, 2]]]]]]}, "history"),
        ({"history": [[["id", {}], "now", [["x", [[["a"], -1, [], []]]]]]]}, "history"),
        ({"attachments": {}}, "attachments"),
        ({"attachments": [PICTURE, PICTURE]}, "attachments"),
        ({"attachments": [[PICTURE[0], "text/html", 7]]}, "attachments"),
        ({"attachments": [[PICTURE[0], "image/png", 6]]}, "attachments"),
        ({"attachments": [[PICTURE[0], "image/png", 10**12]]}, "attachments"),
        ({"attachments": []}, "attachments"),
    ],
)
def test_what_has_not_the_form_of_a_workbook_is_refused_with_its_place(changed, place):
    data = signed(json.dumps(EMPTY | {"attachments": [PICTURE]}).encode()) + b"picture"
    assert parsed(data, "shop").attachments.keys() == {PICTURE[0]}
    forged = signed(json.dumps(EMPTY | {"attachments": [PICTURE]} | changed).encode()) + b"picture"
    with pytest.raises(NotAWorkbook, match=place):
        parsed(forged, "shop")


@given(st.binary(max_size=300))
def test_any_bytes_are_refused(data):
    with pytest.raises(NotAWorkbook):
        parsed(data, "shop")


def test_a_record_that_is_there_twice_is_refused():
    assert parsed(signed(json.dumps(EMPTY).encode()), "shop") == BookBody(Document())
    row = json.loads(written(BookBody(Document({"line1": line(1, 1)}))).split(b"\n")[1])["records"][0]
    with pytest.raises(NotAWorkbook, match="appears twice"):
        parsed(signed(json.dumps(EMPTY | {"records": [row, row]}).encode()), "shop")
