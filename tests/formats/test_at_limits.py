"""What a job file and a table of stock may say is what a record may hold: at the limits it is read, over them it is told."""

from decimal import Decimal

import pytest

from tests.at_limits import NUMBERS, right_values, wrong_values
from tests.formats.jobs import LEAST
from tests.formats.jobs import job as read_a_job
from workbook.document.fields import row_of
from workbook.fields import Kind
from workbook.formats.stock_csv import read_stock
from workbook.problems import JobError
from workbook.shop.job import Bar, Make, Measured, Rules, Saw
from workbook.shop.materials import Material
from workbook.template.fields import FIELDS as OF_TEMPLATES
from workbook.template.model import GROUPS, Template
from workbook.template.parameters import PARAMETERS
from workbook.template.service import Service
from workbook.template.tools import Owned

TABLES = {
    "saw": Saw,
    "settings": Rules,
    "tools": Owned,
    "service": Service,
    "bar": Bar,
    "bar.measured": Measured,
    "make": Make,
}
OTHERWISE = {"under": "bar_under", "over": "bar_over"}
JOB_KEYS = [
    (table, OTHERWISE.get(row.key, row.key), row)
    for table, kind in TABLES.items()
    for row in (row_of(kind, key) for key in kind.__struct_fields__)
    if row.kind not in (Kind.CHOICE, Kind.SWITCH, Kind.PART) and row.key != "template"
]
JOB_KEYS += [
    (f"template.{parameter.group}", parameter.key, next(row for row in OF_TEMPLATES[kind] if row.key == parameter.key))
    for parameter in PARAMETERS
    for kind in [next(k for k in OF_TEMPLATES if k.__name__ == Template.__annotations__[parameter.group].__name__)]
    if parameter.kind is not Kind.CHOICE
]


def in_toml(row, value):
    """A value as a job file has it."""
    if isinstance(value, tuple):
        return f"[{', '.join(in_toml(row, one) for one in value)}]"
    if row.kind in (Kind.LENGTH, Kind.FINE, Kind.READING):
        return f'"{Decimal(repr(float(value))):f} mm"'
    return str(value) if row.kind in NUMBERS or row.kind is Kind.COUNT else f'"{value}"'


def told(table, key, row, value):
    """What is told of a job with one more key."""
    line = f"{key} = {in_toml(row, value)}\n"
    kept = [own for own in LEAST.split("\n") if not (own.startswith(f"{key} =") and (table == "bar" or table == "make"))]
    text = "\n".join(kept)
    if table in ("bar", "make"):
        text = text.replace(f"[[{table}]]\n", f"[[{table}]]\n{line}")
    elif table == "bar.measured":
        text = text.replace("[[make]]", f"[bar.measured]\n{line}[[make]]")
    elif table.startswith("template."):
        text = text.replace("[[bar]]", f"[{table}]\n{line}[[bar]]")
    else:
        text = text.replace("[[make]]", f"[{table}]\n{line}[[make]]")
    try:
        read_a_job(text)
    except JobError as trouble:
        return [str(mistake) for mistake in trouble.mistakes]
    return []


def place(table, key):
    named = {"bar": "bar[1]", "make": "make[1]", "bar.measured": "bar[1].measured"}
    return f"{named.get(table, table.replace('template.', 'template[1].'))}.{key}: "


@pytest.mark.parametrize(("table", "key", "row"), JOB_KEYS, ids=[f"{table}.{key}" for table, key, _ in JOB_KEYS])
def test_a_job_file_takes_what_a_record_may_hold_and_no_more(table, key, row):
    for value in right_values(row):
        if value == "" and not row.empty:
            continue
        lines = [line for line in told(table, key, row, value) if line.startswith(place(table, key))]
        assert not [line for line in lines if "It takes" in line or "too" in line], (value, lines)
    for value in wrong_values(row):
        assert any(line.startswith(place(table, key)) for line in told(table, key, row, value)), (
            value,
            told(table, key, row, value),
        )


def test_all_parts_of_a_template_are_tried():
    assert {table.removeprefix("template.") for table, *_ in JOB_KEYS if table.startswith("template.")} == set(GROUPS)


BAR = {"what": "bar", "name": "x", "steel": "O1", "thickness": "2", "width": "50", "length": "900"}
MATERIAL = {"what": "pin", "name": "x"}
CELLS = [
    (base, before + row.key, row)
    for base, kind, before in ((BAR, Bar, ""), (BAR, Measured, "measured_"), (MATERIAL, Material, ""))
    for row in (row_of(kind, key) for key in kind.__struct_fields__)
    if row.kind not in (Kind.CHOICE, Kind.SWITCH, Kind.PART)
]


def in_cell(row, value):
    if row.kind in (Kind.MONEY, Kind.COUNT):
        return f"{value:f}" if isinstance(value, Decimal) else str(value)
    return f"{Decimal(repr(float(value))):f}" if row.kind in NUMBERS else str(value)


def told_of_row(base, head, text):
    cells = base | {head: text}
    try:
        read_stock(f"{';'.join(cells)}\r\n{';'.join(cells.values())}\r\n")
    except JobError as trouble:
        return [str(mistake) for mistake in trouble.mistakes]
    return []


@pytest.mark.parametrize(("base", "head", "row"), CELLS, ids=[f"{base['what']}.{head}" for base, head, _ in CELLS])
def test_a_table_of_stock_takes_what_a_record_may_hold_and_no_more(base, head, row):
    for value in right_values(row):
        if value != "":
            lines = told_of_row(base, head, in_cell(row, value))
            assert not [line for line in lines if line.startswith(f"line 2, {head}: “")], (value, lines)
    for value in wrong_values(row):
        if str(value).strip() and len(str(value)) < 100_000:  # the reader of tables takes no longer cells
            lines = told_of_row(base, head, in_cell(row, value))
            assert any(line.startswith(f"line 2, {head}") for line in lines), (value, lines)


def test_a_cell_of_a_million_letters_is_told():
    assert "cannot be read as CSV" in told_of_row(MATERIAL, "kept_at", "x" * 1_000_000)[0]
