"""Records come back from JSON as they were; what is none is refused with its place, whatever it is."""

import json
from decimal import Decimal
from typing import get_args, get_type_hints

import msgspec
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import Struct

from tests.strategies import changes, made, segments
from workbook.document.codec import CodecError, _hints, decoded, encoded
from workbook.document.records import KINDS, BarRecord, SettingsRecord, TemplateRecord
from workbook.document.shop_records import OrderLine
from workbook.formats.family import family, family_ids
from workbook.geometry.path import Path
from workbook.shop.job import Bar, Edges, Measured, PricePer, Saw
from workbook.structs import replace
from workbook.template.drawn import DrawnTemplate
from workbook.template.model import HoleWish, Purpose

BAR = Bar(
    name="rack",
    steel="O1",
    thickness=2.4,
    width=50.8,
    length=914.4,
    price=Decimal("31.00"),
    per=PricePer.FOOT,
    have=2,
    edges=Edges.SAWN,
    measured=Measured(width=50.9),
)


def through(record):
    """As it comes back from a file; from a session it comes back the same."""
    value = encoded(record)
    found = decoded(type(record), json.loads(json.dumps(value, allow_nan=False)))
    assert decoded(type(record), msgspec.json.decode(msgspec.json.encode(value).decode())) == found
    return found


@pytest.mark.parametrize("number", [float("nan"), float("inf"), float("-inf")])
def test_what_is_no_number_is_not_kept(number):
    with pytest.raises(CodecError, match="cannot be saved as a number"):
        encoded(replace(BAR, measured=Measured(width=number)))


def test_a_number_from_an_array_is_kept_as_a_number():
    value = encoded(replace(BAR, measured=Measured(width=np.float64(50.5))))
    assert type(value["measured"]["width"]) is float
    assert msgspec.json.decode(msgspec.json.encode(value))["measured"]["width"] == 50.5


@pytest.mark.parametrize("name", family_ids())
def test_every_family_comes_back_as_it_was(name):
    record = TemplateRecord(id="t", place=1.0, family=family(name))
    assert through(record) == record


def test_holes_given_one_by_one_come_back():
    wish = HoleWish(purpose=Purpose.PIN, size=3.2, x=-20.0, y=0.5)
    record = TemplateRecord(id="t", place=1.0, family=replace(family("petty"), holes=(wish,)))
    assert through(record) == record
    assert through(replace(record, family=replace(record.family, holes=()))).family.holes == ()


@given(changes().map(made))
def test_any_template_comes_back_as_it_was(template):
    record = TemplateRecord(id="t", place=1.5, family=template)
    assert through(record) == record


@given(st.lists(segments(), min_size=1, max_size=5))
def test_an_outline_of_lines_arcs_and_curves_comes_back_as_it_was(parts):
    path = Path(tuple(parts))
    drawn = DrawnTemplate(name="old", source="old.dxf", thickness=3.2, outline=path, circles=(((1.0, 2.0), 6.35),))
    record = TemplateRecord(id="t", place=0.0, drawn=drawn)
    assert through(record) == record


def test_bars_settings_and_money_come_back_as_they_were():
    settings = SettingsRecord(name="Shop", unit="mm", saw=Saw(bar_edge=1.25, band=6.35))
    for record in (BarRecord(id="b", place=0.0, bar=BAR), settings, OrderLine(id="o", place=1, of="t", steel="O1", quantity=3)):
        assert through(record) == record
    assert through(BarRecord(id="b", place=0.0, bar=BAR)).bar.price == Decimal("31.00")


def test_a_field_that_came_later_takes_its_default():
    old = encoded(SettingsRecord(name="Shop"))
    del old["saw"]["band"]
    assert decoded(SettingsRecord, old) == SettingsRecord(name="Shop")


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        (("bar", "width"), "wide", ".bar.width: 'wide' is not allowed here"),
        (("bar", "width"), True, ".bar.width: 'True'"),
        (("bar", "width"), float("inf"), ".bar.width: 'inf'"),
        (("bar", "width"), 10**400, ".bar.width: "),
        (("bar", "per"), "yard", ".bar.per: 'yard'"),
        (("bar", "price"), "NaN", ".bar.price: 'NaN'"),
        (("bar", "have"), 1.0, ".bar.have: '1.0'"),
        (("bar", "have"), 2**60, ".bar.have"),
        (("bar", "colour"), "red", ".bar: 'colour' is unknown"),
        (("bar", "measured"), [], ".bar.measured: '\\[\\]'"),
        (("place",), None, ".place: 'None'"),
    ],
)
def test_a_value_that_is_wrong_is_refused_with_its_place(path, value, said):
    data = encoded(BarRecord(id="b", place=0.0, bar=BAR))
    within = data
    for key in path[:-1]:
        within = within[key]
    within[path[-1]] = value
    with pytest.raises(CodecError, match=said):
        decoded(BarRecord, data)


def test_what_is_missing_is_named():
    data = encoded(OrderLine(id="o", place=1, of="t", steel="O1", quantity=3))
    del data["steel"]
    with pytest.raises(CodecError, match="steel is missing"):
        decoded(OrderLine, data)


class Hen(Struct, frozen=True):
    eggs: int


class Duck(Struct, frozen=True):
    eggs: int


class Yard(Struct, frozen=True):
    birds: tuple[Hen | Duck, ...]
    first: tuple[int, str]


def test_where_several_classes_may_stand_each_says_which_it_is():
    yard = Yard((Hen(1), Duck(1)), (3, "x"))
    assert [bird["is"] for bird in encoded(yard)["birds"]] == ["Hen", "Duck"]
    assert through(yard) == yard
    wrong = encoded(yard)
    wrong["birds"][1]["is"] = "Goose"
    with pytest.raises(CodecError, match=r"\.birds\[2\]: 'Goose'"):
        decoded(Yard, wrong)
    with pytest.raises(CodecError, match=r"\.first"):
        decoded(Yard, {**encoded(yard), "first": [1, "x", 2]})


anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.sampled_from(["id", "place", "bar", "family", "is", "of"]), inner)
    ),
    max_leaves=12,
)


@given(st.sampled_from(sorted(KINDS)), anything)
def test_whatever_stands_there_is_a_record_or_a_refusal(kind, value):
    try:
        assert isinstance(decoded(KINDS[kind], value), KINDS[kind])
    except CodecError as trouble:
        assert str(trouble)


def test_a_changed_record_is_told_apart():
    record = BarRecord(id="b", place=0.0, bar=BAR)
    assert encoded(record) != encoded(replace(record, bar=replace(BAR, have=3)))


def test_the_types_of_fields_are_those_that_python_finds():
    """Only what is written as text is looked up; nothing else may be."""
    waiting, seen = list(KINDS.values()), set()
    while waiting:
        kind = waiting.pop()
        if isinstance(kind, type) and issubclass(kind, Struct) and kind not in seen:
            seen.add(kind)
            assert _hints(kind) == get_type_hints(kind)
            waiting += get_type_hints(kind).values()
        waiting += get_args(kind)
    assert Path in seen
