"""The [[template]] tables of a job file: a family's template with its changes, or an outline from a file."""

from collections import Counter
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from workbook.formats.family import as_form, family, family_ids, form_words
from workbook.formats.fields import REQUIRED, Key, Reader, choice, text
from workbook.formats.job_keys import keys_of, length_of, named, number_of, read_of
from workbook.problems import JobError
from workbook.shop.job import AnyTemplate
from workbook.structs import replace
from workbook.template.drawn import DrawnTemplate
from workbook.template.free_edits import with_free_points
from workbook.template.model import GROUPS, MOST, OF_BLADE, Bevel, FreePoint, HoleWish, Rolling, Template
from workbook.template.parameters import Kind, Parameter, of_group
from workbook.texts import _

Wanted = tuple[str, str | None]  # an outline: the name of its file and the unit asked for
OutlineReader = Callable[[Sequence[Wanted]], Sequence[DrawnTemplate | JobError]]  # each outline, or its mistakes

_CHOSEN = Key(text, "")  # read by job.py, which knows the bars
_ROLLING = Key(choice(tuple(Rolling)), "along")
_FREE = keys_of(FreePoint)
_HOLE = keys_of(HoleWish) | {"y": Key(read_of(HoleWish, "y"), 0.0)}


def read_templates(reader: Reader, data: Any, outline: OutlineReader) -> tuple[AnyTemplate, ...]:
    """Read the templates of the array; mistakes are recorded in the reader."""
    if data is None:
        reader.wrong(
            "template",
            _("is missing."),
            _('A job needs at least one [[template]] with a name and a family, e.g. "petty".'),
        )
        return ()
    items = [_template(reader, place, item) for place, item in reader.each(data, "template")]
    pending = [each for each in items if isinstance(each, _Drawn)]
    outlines = iter(outline([each.wanted for each in pending]) if pending else ())
    results = [_with_outline(reader, each, next(outlines)) if isinstance(each, _Drawn) else each for each in items]
    templates = tuple(t for t in results if t is not None)
    for name, count in Counter(t.name for t in templates).items():
        if count > 1:
            reader.wrong(
                "template", _("the name “{name}” is on {count} templates.", name=name, count=count), _("Give each its own name.")
            )
    return templates


class _Drawn(NamedTuple):
    """A template whose outline is still to be read: its place in the file and its other values."""

    place: str
    wanted: Wanted
    name: str
    thickness: float
    rolling: Rolling


def _with_outline(reader: Reader, pending: _Drawn, outline: DrawnTemplate | JobError) -> DrawnTemplate | None:
    if isinstance(outline, JobError):
        place = _("{place}.outline: {wanted}", place=pending.place, wanted=pending.wanted[0])
        reader.mistakes += [replace(m, place=f"{place}, {m.place}") for m in outline.mistakes]
        return None
    return replace(outline, name=pending.name, thickness=pending.thickness, rolling=pending.rolling)


def _template(reader: Reader, place: str, data: Any) -> Template | _Drawn | None:
    if not isinstance(data, dict):
        reader.wrong(place, _("must be a table of keys"))
        return None
    if "outline" in data:
        return _drawn(reader, place, data)
    keys = {"name": Key(text), "family": Key(choice(family_ids())), "rolling": _ROLLING, "bar": _CHOSEN}
    parts = {group: data[group] for group in GROUPS if group in data}
    head_data = {k: v for k, v in data.items() if k not in GROUPS and k not in ("hole", "free")}
    head = reader.table(head_data, place, keys)
    groups = {group: _group(reader, f"{place}.{group}", group, part) for group, part in parts.items()}
    holes = _holes(reader, place, data["hole"]) if "hole" in data else None
    if not head["family"] or not head["name"]:
        return None
    base = family(head["family"])
    for group in GROUPS:
        _note_defaults(reader, place, base, group, groups.get(group, {}))
    changed = {group: replace(getattr(base, group), **values) for group, values in groups.items()}
    if holes is None:
        reader.used_default(f"{place}.hole", _("family default"))
    template = replace(base, name=head["name"], holes=holes, rolling=Rolling(head["rolling"] or "along"), **changed)
    template = with_free_points(template, _free(reader, place, data.get("free")))
    _scandi_height(reader, place, template, groups.get("grind", {}))
    return template


def _note_defaults(reader: Reader, place: str, base: Template, group: str, values: dict[str, Any]) -> None:
    for parameter in of_group(group):
        if parameter.key not in values and parameter.applies(base):
            value = parameter.value(base)
            if parameter.kind in (Kind.LENGTH, Kind.FINE) and value is not None:
                reader.used_length(f"{place}.{parameter.path}", value)
            else:
                reader.used_default(f"{place}.{parameter.path}", "full" if value is None else value)


def _scandi_height(reader: Reader, place: str, template: Template, values: dict[str, Any]) -> None:
    if template.grind.bevel is Bevel.SCANDI and values.get("height") is not None:
        reader.wrong(
            f"{place}.grind.height",
            _("a Scandi bevel's height follows from its angle."),
            _("Leave out height, or choose another bevel."),
        )


def _group(reader: Reader, place: str, group: str, data: Any) -> dict[str, Any]:
    """Read only the values given: those left out stay as in the family."""
    parameters = {p.key: p for p in of_group(group)}
    if not isinstance(data, dict):
        reader.wrong(place, _("must be a table of keys"))
        return {}
    for name in (name for name in data if name not in parameters):
        reader.unknown(place, name, list(parameters))
    keys = {name: Key(_kind(parameters[name]), REQUIRED) for name in data.keys() & parameters.keys()}
    full_height = {"height": None} if group == "grind" and data.get("height") == "full" else {}
    entries = {name: data[name] for name in parameters if name in keys and name not in full_height}
    values = reader.table(entries, place, {name: keys[name] for name in entries})
    return {**{name: value for name, value in values.items() if value is not None}, **full_height}


def _kind(parameter: Parameter) -> Any:
    """The reader of a parameter: lengths with units; shares and angles as plain numbers."""
    group = type(getattr(family(family_ids()[0]), parameter.group))
    match parameter.kind:
        case Kind.LENGTH | Kind.FINE:
            return length_of(parameter)
        case Kind.CHOICE:
            return choice(form_words(group, parameter.key) or (), lambda word: as_form(group, parameter.key, word))
        case Kind.TEXT:
            return read_of(group, parameter.key)
        case _:
            return number_of(parameter)


def _holes(reader: Reader, place: str, data: Any) -> tuple[HoleWish, ...]:
    rows = [reader.table(item, spot, _HOLE) for spot, item in reader.each(data, f"{place}.hole")]
    return tuple(HoleWish(**values) for values in rows if None not in values.values())


def _free(reader: Reader, place: str, data: Any) -> tuple[FreePoint, ...]:
    if data is None:
        return ()
    rows = [reader.table(item, spot, _FREE) for spot, item in reader.each(data, f"{place}.free")]
    complete = (values for values in rows if None not in values.values())
    points = tuple(FreePoint(**named(FreePoint, values)) for values in complete)
    for part, of_blade in (("blade", True), ("handle", False)):
        count = sum((point.run in OF_BLADE) is of_blade for point in points)
        if count > MOST:
            reader.wrong(
                f"{place}.free",
                _("there are {count} control points on the {part}.", count=count, part=part),
                _("Allowed: at most {most}.", most=MOST),
            )
            return ()
    return points


def _drawn(reader: Reader, place: str, data: dict[str, Any]) -> _Drawn | None:
    keys = {
        "name": Key(text),
        "outline": Key(text),
        "units": Key(choice(("in", "mm", "cm", "m", "ft")), None),
        "rolling": _ROLLING,
        "bar": _CHOSEN,
        "blade": Key(lambda value, reader: value, {}),
    }
    for group in (
        key for key in data if key in ("grind", "handle", "point", "heel", "fittings", "tang", "hole", "free", "family")
    ):
        reader.wrong(
            f"{place}.{group}", _("cannot be used with an imported outline."), _("Leave it out, or name a family instead.")
        )
    head = reader.table({k: v for k, v in data.items() if k in keys or k not in (*GROUPS, "hole", "free", "family")}, place, keys)
    blade = reader.table(head["blade"], f"{place}.blade", {"thickness": Key(read_of(DrawnTemplate, "thickness"))})
    if not head["outline"] or not head["name"] or not blade["thickness"]:
        return None
    rolling = Rolling(head["rolling"] or "along")
    return _Drawn(place, (head["outline"], head["units"]), head["name"], blade["thickness"], rolling)
