"""The stock as a table for a spreadsheet: a row for each kind of bar and each material, written and read. RFC 4180, UTF-8.

Lengths are in mm, or have their unit ("3/32 in"). `what` is "bar" or the kind of a material. A number is written with a point and
no thousands separators; it is read like one that is typed.
"""

import csv
import io
from collections.abc import Callable, Collection, Iterable, Mapping
from decimal import Decimal
from enum import StrEnum
from functools import lru_cache, partial
from typing import Any, get_type_hints

from workbook.fields import Field, Kind, limits_in_words
from workbook.length_in import LengthError, parse_length
from workbook.number_in import parse_amount, parse_number, parse_whole, written
from workbook.problems import JobError, Mistake
from workbook.shop.fields import FIELDS
from workbook.shop.job import Bar, Measured, cannot_be
from workbook.shop.materials import Material, MaterialKind
from workbook.structs import replace
from workbook.texts import _

_MOST_ROWS = 20_000
_BAR, _MEASURED = "bar", "measured_"
Read = Callable[[str], Any]


def stock_rows(items: Iterable[Bar | Material]) -> list[list[str]]:
    """The rows of the table, its heads first."""
    return [list(HEADS), *([_written(item, head) for head in HEADS] for item in items)]


def _written(item: Bar | Material, head: str) -> str:
    if head == "what":
        return _BAR if isinstance(item, Bar) else str(item.kind)
    owner, name = _place(item, head)
    value = getattr(owner, name, "")
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return written(Decimal(repr(value)).normalize())  # it reads back as the same number
    return written(value) if isinstance(value, Decimal) else str(value)


def _place(item: Bar | Material, head: str) -> tuple[Any, str]:
    """The object that holds the value under a head, and its name there: the readings of a bar are a part of their own."""
    name = head.removeprefix(_MEASURED)
    return (item.measured, name) if isinstance(item, Bar) and name != head else (item, head)


def read_stock(text: str, current: Iterable[Bar | Material] = ()) -> list[Bar | Material]:
    """Read the bars and materials of a table with commas or semicolons; an empty or missing cell leaves the current value.

    `current`: the present stock. Raises JobError with every row that cannot be read; then none of them counts.
    """
    text = text.removeprefix("\ufeff")
    first = text.partition("\n")[0]
    delimiter = ";" if first.count(";") > first.count(",") else ","
    reader = csv.DictReader(io.StringIO(text), restkey="", strict=True, delimiter=delimiter)
    by_name = {(isinstance(item, Bar), item.name): item for item in current}
    items: list[Bar | Material] = []
    mistakes: list[Mistake] = []
    try:
        heads = [head.strip().casefold() for head in reader.fieldnames or ()]
        if "what" not in heads or "name" not in heads:
            right = _("The first line must be: {names}.", names=", ".join(HEADS))
            raise JobError([Mistake(place=_("line {row}", row=1), what=_("has no columns “what” and “name”."), right=right)])
        for row in reader:
            if reader.line_num > _MOST_ROWS:
                raise JobError([Mistake(place=_("file"), what=_("has more than {most_rows} rows.", most_rows=_MOST_ROWS))])
            cells = {str(head).strip().casefold(): str(cell or "").strip().removeprefix("'") for head, cell in row.items()}
            if any(cells.values()):
                items += _item(cells, _("line {line_num}", line_num=reader.line_num), mistakes, by_name)
    except csv.Error as trouble:
        raise JobError(
            [
                Mistake(
                    place=_("line {line_num}", line_num=reader.line_num),
                    what=_("cannot be read as CSV: {trouble}.", trouble=trouble),
                )
            ]
        ) from None
    mistakes += _twice(items)
    if mistakes:
        raise JobError(mistakes)
    return items


def _twice(items: list[Bar | Material]) -> list[Mistake]:
    seen: set[tuple[type, str]] = set()
    mistakes = []
    for item in items:
        if (type(item), item.name) in seen:
            mistakes.append(
                Mistake(
                    place=f"“{item.name}”",
                    what=_("appears twice."),
                    right=_("Write one row for each. The column “have” holds the number."),
                )
            )
        seen.add((type(item), item.name))
    return mistakes


def _item(
    cells: Mapping[str, str], place: str, mistakes: list[Mistake], by_name: Mapping[tuple[bool, str], Bar | Material]
) -> list[Bar | Material]:
    """The item of a row; an empty list, with mistakes recorded, where it cannot be read."""
    kind = cells.get("what", "").casefold()
    if kind != _BAR and kind not in tuple(MaterialKind):
        right = _("Allowed: “{bar}” or one of {names}.", bar=_BAR, names=", ".join(MaterialKind))
        mistakes.append(
            Mistake(place=_("{place}, what", place=place), what=_("“{what}” is unknown.", what=kind[:40]), right=right)
        )
        return []
    mistake_count, values = len(mistakes), dict[str, Any]()
    for head, read in (_OF_BAR if kind == _BAR else _OF_MATERIAL).items():
        if cells.get(head):
            try:
                values[head] = read(cells[head])
            except ValueError as trouble:
                words = trouble.what if isinstance(trouble, LengthError) else str(trouble)
                mistakes.append(
                    Mistake(
                        place=f"{place}, {head}",
                        what=_("“{cells}” is not allowed.", cells=cells[head][:40]),
                        right=f"{words[:1].upper()}{words[1:]}.",
                    )
                )
    required = ("name", "steel", "thickness", "width", "length") if kind == _BAR else ("name",)
    existing = by_name.get((kind == _BAR, values.get("name", "")))
    missing = [] if existing is not None else [head for head in required if not cells.get(head)]
    if missing:
        mistakes.append(Mistake(place=place, what=_("{names}: is missing.", names=", ".join(missing))))
    if len(mistakes) > mistake_count:
        return []
    return (
        _bar(values, existing, place, mistakes) if kind == _BAR else [_material(values | {"kind": MaterialKind(kind)}, existing)]
    )


def _bar(values: dict[str, Any], existing: Bar | Material | None, place: str, mistakes: list[Mistake]) -> list[Bar | Material]:
    """The bar of a row; an empty list, with mistakes recorded, where its values contradict its sizes."""
    readings = {head.removeprefix(_MEASURED): values.pop(head) for head in tuple(values) if head.startswith(_MEASURED)}
    bar = replace(existing, **values) if isinstance(existing, Bar) else Bar(**values)
    bar = replace(bar, measured=replace(bar.measured, **readings))
    faults = [] if bar == existing else list(cannot_be(bar))
    mistakes += [Mistake(place=f"{place}, {key.replace('.', '_')}", what=reason) for key, reason in faults]
    return [] if faults else [bar]


def _material(values: dict[str, Any], existing: Bar | Material | None) -> Material:
    return replace(existing, **values) if isinstance(existing, Material) else Material(**values)


def _reader(row: Field, hint: Any) -> Read:
    """The reader of the cells of a field, within the limits of its row."""
    match row.kind:
        case Kind.LENGTH | Kind.READING:
            return partial(_length, row)
        case Kind.MONEY:
            return parse_amount
        case Kind.COUNT:
            return lambda text: parse_whole(text, round(row.low), round(row.high))
        case Kind.NUMBER:
            return lambda text: float(parse_number(text, row.low, row.high))
        case Kind.SWITCH:
            return _yes
        case Kind.CHOICE:
            return partial(_one_of, hint)
        case _:
            return partial(_words, row)


def _length(row: Field, text: str) -> float:
    value = parse_length(text, "mm", (row.low, row.high))
    if not row.low <= value <= row.high:
        raise ValueError(_("use {limits_in_words}", limits_in_words=limits_in_words(row)))
    return value


def _yes(text: str) -> bool:
    if text.casefold() not in ("yes", "no", "1", "0", "true", "false"):
        raise ValueError(_("use yes or no"))
    return text.casefold() in ("yes", "1", "true")


def _one_of(kind: type[StrEnum], text: str) -> StrEnum:
    if text.casefold() not in tuple(kind):
        raise ValueError(_("use one of {names}", names=", ".join(kind)))
    return kind(text.casefold())


def _words(row: Field, text: str) -> str:
    if len(text) > row.letters:
        raise ValueError(_("use at most {letters} characters", letters=row.letters))
    return " ".join(text.split())  # on one line


def _readers(kind: type, before: str = "", leave: Collection[str] = ()) -> dict[str, Read]:
    """The reader of the cells under each head, cached: the rows of a stock have many values in common."""
    hints, cache = get_type_hints(kind), lru_cache(256)
    return {before + row.key: cache(_reader(row, hints[row.key])) for row in FIELDS[kind] if row.key not in leave}


_OF_BAR = _readers(Bar, leave=("measured",)) | _readers(Measured, _MEASURED)
_OF_MATERIAL = _readers(Material, leave=("kind",))
HEADS = tuple(dict.fromkeys(("what", *_OF_BAR, *_OF_MATERIAL)))
