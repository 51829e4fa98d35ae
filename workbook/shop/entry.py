"""Parse the line a maker types to put a bar or a material on the rack: "52100 3/32 x 2 x 36, 31.00, 2"."""

import re
from collections.abc import Callable
from decimal import Decimal
from typing import Any, TypeVar

from workbook.fields import NAME
from workbook.length_in import LengthError, parse_length
from workbook.number_in import NumberError, parse_amount
from workbook.shop.fields import FIELDS, MOST_COUNTED
from workbook.shop.job import Bar, Edges, PricePer
from workbook.shop.materials import Material, MaterialKind
from workbook.shop.money import NOTHING
from workbook.texts import _
from workbook.units import HABITS, Unit, size

MATERIAL_EXAMPLE = _("curly maple, handle, pair, 14.00, 3")
_ROWS = {row.key: row for row in FIELDS[Bar]}
_LIMITS = {key: (_ROWS[key].low, _ROWS[key].high) for key in ("thickness", "width", "length")}  # mm
_TIMES = re.compile(r"\s*[×xX*]\s*(?=[\d.½¼¾⅛⅜⅝⅞])")
_PARTS = re.compile(r"(?<!\d),|,(?!\d)|;")  # a comma between two digits is a decimal mark
_EVERY = re.compile(r"[,;]")  # the same, as if it separated them
_PRICE = re.compile(r"([$€£¥]?\s*[\d.,]*\d)\s*(?:/\s*(\w+))?")
_WORD = re.compile(r"\s+(offcut|buy|hot[- ]rolled|sawn|sheared|mill)$", re.IGNORECASE)
_OR = re.compile(r"\s+or\s+", re.IGNORECASE)
_LAST = re.compile(r"\s*[×xX*]\s*[^×xX*]*$")  # the last of several sizes
_LONGEST = NAME - 40  # letters of a steel, to which the bar's name adds its sizes, and of other names
_MOST_WORDS = 3  # in a thickness such as "1 1/4 in"
_Made = TypeVar("_Made")


class EntryError(ValueError):
    """A line that cannot be read; says what is wrong and what would be right."""


def bar_entries(text: str, unit: Unit) -> list[Bar]:
    """Parse the bars of a line that may name several lengths: "1084 1/8 x 1 1/2 x 24 or 36 or 48, 4.20/ft".

    Raises EntryError, also where several lengths share the price of one bar, since it cannot be the same for all.
    """
    head, separator, tail = text.partition(HABITS[unit].parting)
    head, words = _without_words(head, [])
    after = "".join(f", {part}" for part in words) + separator + tail
    lengths = _OR.split(head)
    bars = [bar_entry(f"{_LAST.sub('', lengths[0])} x {length}{after}", unit) for length in lengths[1:]]
    bars = [bar_entry(f"{lengths[0]}{after}", unit), *bars]
    if len(bars) > 1 and any(bar.per is PricePer.BAR and bar.price for bar in bars):
        raise EntryError(_("Several lengths need a price per foot, meter or kilogram, e.g. 4.20/ft"))
    return bars


def bar_entry(text: str, unit: Unit) -> Bar:
    """Parse the bar of a line: steel, thickness x width x length, then price (for one, or "/ft", "/m", "/kg"), count, and
    words: offcut, sawn, sheared, hot-rolled, buy.

    With none on the rack, or with "buy", more can be bought. Raises EntryError.
    """
    return _in_one_way(text, lambda parts: _bar(parts, unit))


def _in_one_way(text: str, read: Callable[[list[str]], _Made]) -> _Made:
    """The value of a line with a comma between digits as a decimal mark; EntryError where it may also separate two numbers."""
    value, alternative = read(_parted(_PARTS, text)), None
    try:
        alternative = read(_parted(_EVERY, text))
    except EntryError:
        return value
    if alternative != value:
        raise EntryError(
            _("A comma between digits may be a decimal mark, or separate two numbers. Type a point, or a space after the comma")
        )
    return value


def _parted(by: re.Pattern[str], text: str) -> list[str]:
    return [part.strip() for part in by.split(text.strip()) if part.strip()] or [""]


def _bar(parts: list[str], unit: Unit) -> Bar:
    head, *details = parts
    head, details = _without_words(head, details)
    sizes = _TIMES.split(head)
    if len(sizes) != 3:
        raise EntryError(_("Type the steel and three sizes, e.g. {bar}", bar=HABITS[unit].bar))
    if HABITS[unit].parting in head or "," in sizes[2]:
        raise EntryError(_("Type a space after each comma, e.g. {bar}", bar=HABITS[unit].bar))
    steel, thickness = _steel_and_thickness(sizes[0], unit)
    width, length = _width(sizes[1], unit), _length(sizes[2], unit)
    values = _after(details)
    have = values.pop("have", 1 if values.get("offcut") else 0)
    if not have and "price" not in values:
        raise EntryError(_("Add its price, or the number on the rack. A bar to buy is not free"))
    _short(steel)
    dimensions = (size(v, unit) for v in (thickness, width, length))
    return Bar(
        name=f"{steel} {' x '.join(dimensions)}", steel=steel, thickness=thickness, width=width, length=length, have=have,
        buy=values.pop("buy", have == 0), **values,
    )  # fmt: skip


def _without_words(head: str, details: list[str]) -> tuple[str, list[str]]:
    """Take words such as "offcut" from behind the sizes, where no comma parts them, to the details."""
    while (match := _WORD.search(head)) is not None:
        head, details = head[: match.start()], [match[1], *details]
    return head, details


def _short(*texts: str) -> None:
    """Raise EntryError for a text longer than a record may hold."""
    for text in texts:
        if len(text) > _LONGEST:
            raise EntryError(_("“{text}…” is too long. Allowed: at most {most} letters", text=text[:20], most=_LONGEST))


def _steel_and_thickness(text: str, unit: Unit) -> tuple[str, float]:
    """Split a text into steel and thickness, mm: the last words, as many as make a sensible thickness, are the thickness."""
    words = text.split()
    low, high = _LIMITS["thickness"]
    for count in range(min(_MOST_WORDS, len(words) - 1), 0, -1):
        try:
            thickness = parse_length(" ".join(words[-count:]), unit, (low, high))
        except LengthError:
            continue
        if low <= thickness <= high:
            return " ".join(words[:-count]), thickness
    if len(words) == 1:
        raise EntryError(_("The steel or the thickness is missing, e.g. {bar}", bar=HABITS[unit].bar))
    last = words[-1] if words else ""
    raise EntryError(
        _(
            "“{last}” is not the thickness of a bar in {names}, e.g. {bar}",
            last=last,
            names=HABITS[unit].names,
            bar=HABITS[unit].bar,
        )
    )


def _width(text: str, unit: Unit) -> float:
    low, high = _LIMITS["width"]
    try:
        value = parse_length(text, unit, (low, high))
    except LengthError as trouble:
        raise EntryError(_("“{text}” is not a width: {what}.", text=text, what=trouble.what)) from None
    if not low <= value <= high:
        raise EntryError(_("“{text}” is not the width of a bar. Is the unit right?", text=text))
    return value


def _length(text: str, unit: Unit) -> float:
    low, high = _LIMITS["length"]
    try:
        value = parse_length(text, unit, (low, high))
    except LengthError as trouble:
        raise EntryError(_("“{text}” is not a length: {what}.", text=text, what=trouble.what)) from None
    if not low <= value <= high:
        raise EntryError(_("“{text}” is not the length of a bar. Is the unit right?", text=text))
    return value


def _after(parts: list[str]) -> dict[str, Any]:
    """The values after the sizes: the first amount is the price, the next whole number the count; for an offcut with one whole
    number only, that is the count.
    """
    values: dict[str, Any] = {}
    numbers = [part for part in parts if _PRICE.fullmatch(part)]
    if any(part.casefold() == "offcut" for part in parts) and len(numbers) == 1 and numbers[0].isdecimal():
        values["price"], values["per"] = NOTHING, PricePer.BAR
    for part in parts:
        word = part.casefold()
        if word in ("offcut", "buy"):
            values[word] = True
        elif word in ("hot-rolled", "hot rolled"):
            values["hot_rolled"] = True
        elif word in (Edges.SAWN, Edges.SHEARED, Edges.MILL):
            values["edges"] = Edges(word)
        elif "price" not in values:
            values["price"], values["per"] = _price(part)
        elif "have" not in values and part.isdecimal() and len(part) < 9 and int(part) <= MOST_COUNTED:
            values["have"] = int(part)
        else:
            raise EntryError(
                _("“{part}” is not understood. After the sizes type price, count, and words, e.g. offcut", part=part)
            )
    return values


def _price(text: str) -> tuple[Decimal, PricePer]:
    match = _PRICE.fullmatch(text.strip())
    if not match:
        raise EntryError(_("“{text}” is not a price, e.g. 31.00 or 4.20/ft", text=text))
    per = (match[2] or "bar").casefold()
    if per not in tuple(PricePer):
        raise EntryError(_("A price is for one bar, or per ft, m or kg (/ft, /m, /kg), not /{match}", match=match[2]))
    return _amount(match[1]), PricePer(per)


def _amount(text: str) -> Decimal:
    try:
        return parse_amount(text)
    except NumberError as trouble:
        words = _("“{text}”: {trouble}", text=text, trouble=trouble)
        if {",", "."} <= set(text):
            words = _("“{text}”: {trouble}. Type a space after each comma between two values", text=text, trouble=trouble)
        raise EntryError(words) from None


def material_entry(text: str) -> Material:
    """Parse the material of a line: its name, then in any order its kind, its unit, its price, and the count.

    The first number is the price, the second the count. Raises EntryError.
    """
    return _in_one_way(text, _material)


def _material(parts: list[str]) -> Material:
    name, *details = parts
    if not name:
        raise EntryError(_("Type a name first, e.g. {material_example}", material_example=MATERIAL_EXAMPLE))
    kind, per, numbers = MaterialKind.OTHER, "", []
    for part in details:
        if part.casefold() in tuple(MaterialKind):
            kind = MaterialKind(part.casefold())
        elif _PRICE.fullmatch(part) and "/" not in part:
            numbers.append(_amount(part))
        elif not per:
            per = part
        else:
            raise EntryError(
                _(
                    "“{part}” is not understood. Type a space after each comma, e.g. {material_example}",
                    part=part,
                    material_example=MATERIAL_EXAMPLE,
                )
            )
    if len(numbers) > 2:
        raise EntryError(_("Type two numbers: the price, and the number on hand"))
    _short(name, per)
    price = numbers[0] if numbers else NOTHING
    have = float(numbers[1]) if len(numbers) > 1 else 0.0
    return Material(name=name, kind=kind, per=per or "piece", price=price, have=have)
