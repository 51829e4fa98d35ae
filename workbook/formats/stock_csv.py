"""The stock as a table for a spreadsheet: a row for each kind of bar and each material, written and read. RFC 4180, UTF-8.

Lengths are in mm, or with their unit ("3/32 in"). `what` is "bar" or the kind of a material. A number is written with a point and
without anything between its thousands; it is read as one that was typed.
"""

import csv
import io
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from enum import StrEnum
from typing import Any

from msgspec.structs import fields

from workbook.length_in import LengthError, parse_length
from workbook.number_in import parse_amount, parse_number, parse_whole, written
from workbook.problems import JobError, Mistake
from workbook.shop.job import Bar, Edges, Measured, PricePer, cannot_be
from workbook.shop.materials import Material, MaterialKind
from workbook.structs import replace

_MOST_ROWS = 20_000
_BAR, _MEASURED = "bar", "measured_"
HEADS = (
    "what", "name", "steel", "thickness", "width", "length", "size", "price", "per", "shipping", "cut_charge", "have", "low",
    "knife", "buy", "offcut", "edges", "heat", "origin", "kept_at", "hot_rolled", "slant",
    *(f"measured_{field.name}" for field in fields(Measured)),
)  # fmt: skip
Read = Callable[[str], Any]


def stock_rows(items: Iterable[Bar | Material]) -> list[list[str]]:
    """The table, its heads first."""
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
        return written(Decimal(repr(value)).normalize())  # read again it is the same number
    return written(value) if isinstance(value, Decimal) else str(value)


def _place(item: Bar | Material, head: str) -> tuple[Any, str]:
    """What holds the value under a head, and its name there: what was measured on a bar is a part of its own."""
    name = head.removeprefix(_MEASURED)
    return (item.measured, name) if isinstance(item, Bar) and name != head else (item, head)


def read_stock(text: str, there: Iterable[Bar | Material] = ()) -> list[Bar | Material]:
    """The bars and materials of a table, parted by commas or semicolons; a cell that is empty or missing leaves what is there.

    `there`: the stock as it is. JobError with every row that cannot be read; then nothing of it counts.
    """
    text = text.removeprefix("\ufeff")
    first = text.partition("\n")[0]
    parted = ";" if first.count(";") > first.count(",") else ","
    reader = csv.DictReader(io.StringIO(text), restkey="", strict=True, delimiter=parted)
    known = {(isinstance(item, Bar), item.name): item for item in there}
    found: list[Bar | Material] = []
    mistakes: list[Mistake] = []
    try:
        heads = [head.strip().casefold() for head in reader.fieldnames or ()]
        if "what" not in heads or "name" not in heads:
            right = f"Its first line is: {', '.join(HEADS)}."
            raise JobError([Mistake(place="line 1", what="has no columns “what” and “name”.", right=right)])
        for row in reader:
            if reader.line_num > _MOST_ROWS:
                raise JobError([Mistake(place="file", what=f"has more than {_MOST_ROWS} rows.")])
            cells = {str(head).strip().casefold(): str(cell or "").strip().removeprefix("'") for head, cell in row.items()}
            if any(cells.values()):
                found += _item(cells, f"line {reader.line_num}", mistakes, known)
    except csv.Error as trouble:
        raise JobError([Mistake(place=f"line {reader.line_num}", what=f"cannot be read as CSV: {trouble}.")]) from None
    mistakes += _twice(found)
    if mistakes:
        raise JobError(mistakes)
    return found


def _twice(items: list[Bar | Material]) -> list[Mistake]:
    seen: set[tuple[type, str]] = set()
    found = []
    for item in items:
        if (type(item), item.name) in seen:
            found.append(
                Mistake(place=f"“{item.name}”", what="stands there twice.", right="One row for each; have says how many.")
            )
        seen.add((type(item), item.name))
    return found


def _item(
    cells: Mapping[str, str], place: str, mistakes: list[Mistake], known: Mapping[tuple[bool, str], Bar | Material]
) -> list[Bar | Material]:
    """The item of a row, or what is wrong with it."""
    what = cells.get("what", "").casefold()
    if what != _BAR and what not in tuple(MaterialKind):
        right = f"It is “{_BAR}” or one of {', '.join(MaterialKind)}."
        mistakes.append(Mistake(place=f"{place}, what", what=f"“{what[:40]}” is nothing known.", right=right))
        return []
    before, values = len(mistakes), dict[str, Any]()
    for head, read in (_OF_BAR if what == _BAR else _OF_MATERIAL).items():
        if cells.get(head):
            try:
                values[head] = read(cells[head])
            except ValueError as trouble:
                words = trouble.what if isinstance(trouble, LengthError) else str(trouble)
                mistakes.append(Mistake(place=f"{place}, {head}", what=f"“{cells[head][:40]}” is not what it takes: {words}."))
    needed = ("name", "steel", "thickness", "width", "length") if what == _BAR else ("name",)
    same = known.get((what == _BAR, values.get("name", "")))
    missing = [] if same is not None else [head for head in needed if not cells.get(head)]
    if missing:
        mistakes.append(Mistake(place=place, what=f"{', '.join(missing)}: is missing."))
    if len(mistakes) > before:
        return []
    return _bar(values, same, place, mistakes) if what == _BAR else [_material(values | {"kind": MaterialKind(what)}, same)]


def _bar(values: dict[str, Any], same: Bar | Material | None, place: str, mistakes: list[Mistake]) -> list[Bar | Material]:
    """The bar of a row; none where it is said what of it cannot be."""
    read = {head.removeprefix(_MEASURED): values.pop(head) for head in tuple(values) if head.startswith(_MEASURED)}
    bar = replace(same, **values) if isinstance(same, Bar) else Bar(**values)
    bar = replace(bar, measured=replace(bar.measured, **read))
    wrong = [] if bar == same else list(cannot_be(bar))
    mistakes += [Mistake(place=f"{place}, {key.replace('.', '_')}", what=why) for key, why in wrong]
    return [] if wrong else [bar]


def _material(values: dict[str, Any], same: Bar | Material | None) -> Material:
    return replace(same, **values) if isinstance(same, Material) else Material(**values)


def _length(low: float, high: float) -> Read:
    def read(text: str) -> float:
        value = parse_length(text, "mm", (low, high))
        if not low <= value <= high:
            raise ValueError(f"from {low:g} to {high:g} mm")
        return value

    return read


def _number(text: str) -> float:
    return float(parse_number(text))


def _whole(text: str) -> int:
    return parse_whole(text, 0, 1000)


def _yes(text: str) -> bool:
    if text.casefold() not in ("yes", "no", "1", "0", "true", "false"):
        raise ValueError("yes or no")
    return text.casefold() in ("yes", "1", "true")


def _one_of(kind: type[StrEnum]) -> Read:
    def read(text: str) -> StrEnum:
        if text.casefold() not in tuple(kind):
            raise ValueError(f"one of {', '.join(kind)}")
        return kind(text.casefold())

    return read


def _words(most: int) -> Read:
    return lambda text: text[:most]


_SHARED: dict[str, Read] = {"name": _words(60), "price": parse_amount, "kept_at": _words(60)}
_OF_BAR: dict[str, Read] = {
    **_SHARED, "steel": _words(30), "thickness": _length(0.2, 60), "width": _length(3, 1500), "length": _length(10, 10_000),
    "per": _one_of(PricePer), "shipping": parse_amount, "cut_charge": parse_amount, "have": _whole, "buy": _yes, "offcut": _yes,
    "edges": _one_of(Edges), "hot_rolled": _yes, "slant": _length(0, 1000), "measured_bow": _length(0, 100),
    **{f"measured_{name}": _length(0.1, 10_000) for name in ("thickness", "middle", "far", "width", "length")},
    "heat": _words(60), "origin": _words(120),
}  # fmt: skip
_OF_MATERIAL: dict[str, Read] = {
    **_SHARED, "per": _words(20), "have": _number, "low": _number, "knife": _number, "size": _length(0, 200),
    "width": _length(0, 3000), "length": _length(0, 10_000),
}  # fmt: skip
