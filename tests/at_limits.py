"""Values at, over and far over the limits of every field, made from the rows themselves."""

from decimal import Decimal

from msgspec import Struct

from tests.filled import hints_of, parts_of
from workbook.document.fields import FIELDS
from workbook.document.records import SETTINGS_ID, TOOLS_ID, BarRecord, Revision, SettingsRecord, TemplateRecord, ToolsRecord
from workbook.fields import Kind
from workbook.formats.family import family
from workbook.geometry.path import Arc, Bezier, Line, Path
from workbook.making.entry import Logged
from workbook.shop.job import Bar
from workbook.structs import replace
from workbook.template.drawn import DrawnTemplate
from workbook.template.model import FreePoint, HoleWish, OutlineRun, Purpose, Template

NUMBERS = (Kind.LENGTH, Kind.FINE, Kind.READING, Kind.SHARE, Kind.ANGLE, Kind.NUMBER)
MOST_ENTRIES = 1000  # that are tried; what may have more has a test of its own
_OUTLINE = Path(
    (
        Line((0.0, 0.0), (100.0, 0.0)),
        Arc((100.0, 0.0), (100.0, 30.0), 0.5),
        Bezier((100.0, 30.0), (60.0, 35.0), (30.0, 35.0), (0.0, 0.0)),
    )
)
DRAWN = DrawnTemplate(
    name="drawn",
    source="a.dxf",
    thickness=3.0,
    outline=_OUTLINE,
    circles=(((20.0, 5.0), 5.0),),
    openings=(_OUTLINE,),
    remarks=("a",),
)
TEMPLATE = replace(
    family("petty"),
    blade=replace(family("petty").blade, free=(FreePoint(run=OutlineRun.SPINE, at=0.5),)),
    handle=replace(family("petty").handle, free=(FreePoint(run=OutlineRun.BACK, at=0.5),)),
    grind=replace(family("petty").grind, height=20.0),
    holes=(HoleWish(purpose=Purpose.PIN, size=5.0, x=-20.0, y=0.0),),
)
_MADE = {Template: TEMPLATE, DrawnTemplate: DRAWN, Path: _OUTLINE}


def example(kind, **own):
    """A struct with something in every field, in the middle of its limits."""
    if kind in _MADE:
        return _MADE[kind]
    hints, values = hints_of(kind), {}
    for row in FIELDS[kind]:
        one = _value(row, next(h for h in parts_of(hints[row.key]) if h is not type(None)), kind)
        values[row.key] = one
    made = kind(**(values | own))
    if kind is Logged:
        return replace(made, of="")
    if kind in (TemplateRecord, Revision):
        return replace(made, drawn=None)
    return replace(made, slant=1.0) if kind is Bar else made


def _value(row, hint, kind):
    if row.entries:
        inner = hint.__args__[0]
        return (_single(row, inner, kind),)
    return _single(row, hint, kind)


def _single(row, hint, kind):
    middle = (row.low + row.high) / 2
    if row.kind is Kind.PART:
        return example(next(h for h in parts_of(hint) if issubclass(h, Struct)))
    if row.kind is Kind.CHOICE:
        return hint.__args__[0] if hasattr(hint, "__args__") else row.words[-1] if row.words else next(iter(hint))
    texts = {
        Kind.ID: {SettingsRecord: SETTINGS_ID, ToolsRecord: TOOLS_ID}.get(kind, f"a {kind.__name__}"),
        Kind.REFERENCE: "gone",
        Kind.DATE: "2027-01-15",
        Kind.MOMENT: "2027-01-15T10:00",
    }
    if row.kind in texts:
        return texts[row.kind]
    return {
        Kind.TEXT: "a", Kind.SWITCH: False, Kind.COUNT: int(middle) or 1, Kind.MONEY: Decimal(int(middle)),
        Kind.CIRCLE: ((0.0, 0.0), 1.0),
    }.get(row.kind, middle)  # fmt: skip


def rows_in(value, path=()):
    """The path of every field in a struct, as names and numbers, and its row."""
    for row in FIELDS[type(value)]:
        own = getattr(value, row.key)
        yield (*path, row.key), row
        if row.kind is Kind.PART and own is not None:
            if row.entries:
                yield from (found for n, part in enumerate(own[:1]) for found in rows_in(part, (*path, row.key, n)))
            else:
                yield from rows_in(own, (*path, row.key))


def put(value, path, new):
    """The struct with something else at a path."""
    if not path:
        return new
    if isinstance(value, tuple):
        return (*value[: path[0]], put(value[path[0]], path[1:], new), *value[path[0] + 1 :])
    return replace(value, **{path[0]: put(getattr(value, path[0]), path[1:], new)})


def at(value, path):
    """What stands at a path."""
    for name in path:
        value = value[name] if isinstance(name, int) else getattr(value, name)
    return value


def right_values(row):
    """Values at the limits."""
    if row.kind in NUMBERS:
        found = [float(row.low), float(row.high)]
    elif row.kind is Kind.COUNT:
        found = [round(row.low), round(row.high)]
    elif row.kind is Kind.MONEY:
        found = [Decimal(round(row.low)), Decimal(round(row.high))]
    elif row.kind is Kind.TEXT:
        found = ["x" * row.letters, "é" * row.letters, *([""] if row.empty else [])]
    elif row.kind in (Kind.DATE, Kind.MOMENT):
        found = ["2028-02-29", "0001-01-01", "9999-12-31", ""]
    else:
        return
    yield from ((one,) for one in found) if row.entries else found
    if row.entries and row.entries <= MOST_ENTRIES:
        yield (found[0],) * row.entries


def wrong_values(row):
    """Values just over the limits, and far over."""
    over = max((row.high - row.low) / 1000, 0.001)
    if row.kind in NUMBERS:
        found = [row.low - over, row.high + over, 1e12, -1e12, 1e308, -1e308]
    elif row.kind is Kind.COUNT:
        found = [round(row.low) - 1, round(row.high) + 1, 2**53 - 1, -(2**53) + 1]
    elif row.kind is Kind.MONEY:
        found = [
            Decimal(round(row.high)) + Decimal("0.01"),
            Decimal(round(row.low)) - Decimal("0.01"),
            Decimal("1E+300"),
            Decimal("1E-900"),
        ]
    elif row.kind in (Kind.TEXT, Kind.ID, Kind.REFERENCE):
        found = ["x" * (row.letters + 1), "x" * 1_000_000, *([] if row.empty else ["", "  "])]
    elif row.kind in (Kind.DATE, Kind.MOMENT):
        found = ["2027-02-29", "2027-13-01", "0000-01-01", "tomorrow", "2027-1-5", "2027-01-15T25", "x" * 1000]
    elif row.words:
        found = ["no such word", ""]
    elif row.kind is Kind.PLACE:
        found = [(row.low - 1, 0.0), (0.0, row.high + 1), (1e308, 0.0)]
    elif row.kind is Kind.CIRCLE:
        found = [((0.0, 0.0), 0.0), ((0.0, 0.0), -5.0), ((1e308, 0.0), 5.0), ((0.0, 0.0), 1e308)]
    else:
        return
    yield from ((one,) for one in found) if row.entries else found


def too_many(row, own):
    """An entry more than a field takes; nothing where it takes one, or so many that they have a test of their own."""
    alone = row.key == "free"  # a blade that has more of these cannot even be made
    return [own[:1] * (row.entries + 1)] if row.entries and row.entries <= MOST_ENTRIES and not alone else []


EXAMPLES = {
    kind: example(kind) for kind in FIELDS if kind.__name__.endswith("Record") or "place" in {row.key for row in FIELDS[kind]}
}
EXAMPLES |= {TemplateRecord: example(TemplateRecord), Revision: example(Revision), BarRecord: example(BarRecord)}
DRAWN_RECORD = replace(EXAMPLES[TemplateRecord], family=None, drawn=DRAWN)
