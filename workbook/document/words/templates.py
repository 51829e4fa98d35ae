"""The words of actions on templates: their parameters, pegs, holes and revisions, and the remedies for their problems."""

from __future__ import annotations

from typing import Any

from workbook.document.words.telling import UNTOLD, Fields, ToldField, Words, text_of
from workbook.template.hole_presets import PRESET_WORDS
from workbook.template.model import Template
from workbook.template.parameters import PARAMETERS, Kind
from workbook.template.pegs import free_of
from workbook.template.resizing import differences
from workbook.template.words import GROUP_WORDS, choice_words
from workbook.texts import _, labelled, listing, ngettext
from workbook.units import Unit

_PARAMETERS = {p.path: p for p in PARAMETERS}
_MOST_TOLD = 4  # changes listed one by one
_AS_TOLD = {Kind.LENGTH: "length", Kind.FINE: "fine", Kind.SHARE: "share", Kind.ANGLE: "angle"}
_PLACES = {
    "butt": _("{along:length} from the butt"),
    "front": _("{along:length} from the handle front"),
    "point": _("{along:length} from the tip"),
    "spine": _("{across:length} from the spine"),
    "center": _("{across:length} above center"),
    "underside": _("{across:length} from the underside"),
}


def described(path: str, value: Any, unit: Unit) -> str:
    """A parameter and its value in words: "Blade length 5 1/2 in", with its group where the label does not name it."""
    parameter = _PARAMETERS.get(path)
    if parameter is None:
        return text_of(path)
    label, group, shown = parameter.label, GROUP_WORDS[parameter.group], _shown(parameter.kind, value, unit)
    if group.casefold() in label.casefold():
        return _("{parameter} {value}", parameter=label, value=shown)
    return _("{group} – {parameter} {value}", group=group, parameter=label, value=shown)


def _owned(fields: Fields, words: str) -> str:
    """Words with the name of the template before them, where it is given."""
    return words if fields.value("template") is None else labelled(fields.tell("{template}"), words)


def _shown(kind: Kind, value: Any, unit: Unit) -> str:
    if value is None or value == "":
        return _("family default")
    if kind is Kind.CHOICE and isinstance(value, str):
        return choice_words(value)
    return format(ToldField(value, unit), "" if isinstance(value, str) else _AS_TOLD.get(kind, "number"))


def differences_in_words(before: Template, after: Template, unit: Unit) -> str:
    """The differences of two templates in words: "Since then: blade length 5 1/2 in (was 5 1/4)"."""
    changes = differences(before, after)
    texts = [
        _("{described} (was {shown})", described=described(p.path, now, unit), shown=_shown(p.kind, was, unit))
        for p, was, now in changes[:_MOST_TOLD]
    ]
    holes = [] if (before.patterns, before.holes) == (after.patterns, after.holes) else [_("other holes")]
    holes += [] if free_of(before) == free_of(after) else [_("other control points")]
    told, more = ", ".join((*texts, *holes)), len(changes) - _MOST_TOLD
    if not told:
        return _("Since then: nothing.")
    if more <= 0:
        return _("Since then: {changes}.", changes=told)
    return ngettext("Since then: {changes}, and {count} more.", "Since then: {changes}, and {count} more.", more, changes=told)


def _parameter(fields: Fields) -> str:
    path = fields.value("parameter")
    return _owned(fields, described(path, fields.value("value"), fields.unit) if isinstance(path, str) else UNTOLD)


def _as_family(fields: Fields) -> str:
    """The words for resetting some parameters to the family's values."""
    paths = fields.value("parameters")
    labels = [format(ToldField(path, fields.unit), "parameter") for path in paths] if isinstance(paths, list) else []
    return _owned(fields, _("{parameters} reset to family default", parameters=listing(labels) or UNTOLD))


def _reset(fields: Fields) -> str:
    if fields.value("group"):
        return fields.tell(_("{template:of}{group:group} reset to family default"))
    return fields.tell(_("{template:of}reset to family default"))


def _removed(fields: Fields) -> str:
    orders = fields.value("orders")
    numbers = [format(ToldField(number, fields.unit), "n") for number in orders] if isinstance(orders, list) else []
    if not numbers:
        return fields.tell(_("{template} deleted"))
    return ngettext(
        "{template} deleted, also from order {orders}",
        "{template} deleted, also from orders {orders}",
        len(numbers),
        template=fields.tell("{template}"),
        orders=", ".join(numbers),
    )


def _peg(fields: Fields) -> str:
    """The words for the parameters a peg has set, as lengths (stored in mm) or shares; the unit is given once, at the end."""
    texts, any_length = list[str](), False
    every = fields.value("set")
    if not isinstance(every, list) or not every:
        return fields.tell(_("{template:of}{peg} moved"))
    for each in every:
        path, value, kind = each if isinstance(each, list) and len(each) == 3 else (None, None, None)
        any_length = any_length or kind == "length"
        text = format(ToldField(value, fields.unit), "bare" if kind == "length" else "share")
        texts.append(_("{parameter} {value}", parameter=format(ToldField(path, fields.unit), "parameter"), value=text))
    told = ", ".join(texts)
    return _owned(fields, _("{changes} {unit}", changes=told, unit=fields.unit) if any_length else told)


_MADE_OF = {
    "bar": _("{template:of}made from the bar {bar}"),
    "cut": _("{template:of}made from the bar {bar}, as cut"),
    "nominal": _("{template:of}made from a bar of its nominal thickness"),
}


def _bar(fields: Fields) -> str:
    return fields.tell(_MADE_OF.get(str(fields.value("of")), _("{template:of}made from the most likely bar")))


def _minutes(fields: Fields) -> str:
    """The words for the minutes one knife takes, or for an estimate from its sizes."""
    if fields.value("minutes"):
        return fields.tell(_("{template:of}{minutes:number} minutes each"))
    return fields.tell(_("{template:of}minutes by its sizes"))


def _hole_placed(fields: Fields) -> str:
    """Where a hole is now: along the knife, across it, or both."""
    ends = (("along", "end"), ("across", "edge"))
    told = [fields.tell(_PLACES.get(str(fields.value(end)), UNTOLD)) for key, end in ends if fields.value(key) is not None]
    return _owned(fields, _("hole {hole}: {places}", hole=fields.tell("{hole}"), places=", ".join(told) or UNTOLD))


def _preset(fields: Fields) -> str:
    preset = next((words for key, words in PRESET_WORDS.items() if key.value == fields.value("preset")), UNTOLD)
    return _owned(fields, _("holes: {preset}", preset=preset))


TEMPLATES: dict[str, Words] = {
    "template.parameter": _parameter,
    "template.thickness": _("{template:of}bar thickness {thickness:length}"),
    "template.bar": _bar,
    "template.minutes": _minutes,
    "family.saved": _("{template} saved as the family {family}"),
    "family.removed": _("family {family} deleted"),
    "template.added": _("new template {template}"),
    "template.copied": _("copy of {template}"),
    "template.renamed": _("{template} is now {name}"),
    "template.next_time": _("{template:of}next time: {note}"),
    "template.tags": _("{template:of}tags {tags:names}"),
    "template.removed": _removed,
    "template.sizes": _("{count:n size|sizes} of {template}"),
    "template.taken_back": _("{template:of}restored from revision {revision:n}"),
    "template.turned": _("{template:of}flipped end for end"),
    "template.reset": _reset,
    "template.part": _("{template:of}{part:taken} copied from {other}"),
    "template.hand": _("{template:of}mirrored for the {face:face} hand"),
    "template.scaled": _("{template:of}{part:scaled} scaled to {length:length}"),
    "parameters.reset": _as_family,
    "peg.moved": _peg,
    "free_point.added": _("{template:of}control point on the {run:run}"),
    "free_point.pulled": _("{template:of}control point {number:n}, {run} pulled along {along:bare}, up {up:length}"),
    "free_point.removed": _("{template:of}control point {number:n}, {run} removed"),
    "hole.added": _("{template:of}{purpose:purpose} added"),
    "hole.purpose": _("{template:of}hole {hole}: {value:purpose}"),
    "hole.size": _("{template:of}hole {hole}: pin or bolt {value:length}"),
    "hole.placed": _hole_placed,
    "hole.copied": _("{template:of}hole {hole} copied"),
    "hole.mirrored": _("{template:of}hole {hole} mirrored"),
    "holes.preset": _preset,
    "holes.spread": _("{template:of}holes spaced evenly: {purpose:purpose}"),
    "hole.behind": _("{template:of}hole {hole}: behind the front {value:length}"),
    "hole.above": _("{template:of}hole {hole}: above the axis {value:length}"),
    "hole.moved": _("{template:of}hole {hole} from handle front {behind:bare}, from axis {above:length}"),
    "hole.removed": _("{template:of}hole {hole} removed"),
    "holes.lightened": _("{template:of}lightening holes"),
    "holes.balanced": _("{template:of}{count:n} lightening holes of {size:length}"),
    "grind.angle": _("{template:of}bevel of {angle:tenths}"),
    "revision.kept": _("revision {revision:n} of {template}"),
    "revision.noted": _("revision {revision:n} of {template}: {note}"),
    "revisions.kept": _("revisions of {templates:few}"),
    "remedy.drill": _("{template:of}{hole} to the drill's size"),
    "remedy.pin": _("{template:of}{hole} as a pin"),
    "remedy.middle": _("{template:of}{hole} to the center line"),
    "remedy.between": _("{template:of}{hole} halfway between its neighbors"),
    "remedy.behind_front": _("{template:of}{hole} behind the scale front"),
    "remedy.family_holes": _("{template:of}holes reset to the family default"),
    "remedy.edges_less": _("{template:of}edges less rounded"),
    "remedy.edges_hardly": _("{template:of}edges hardly rounded"),
    "remedy.no_free_points": _("{template:of}spine and edge without control points"),
    "remedy.limit": _("{template:of}{parameter:parameter} to its limit"),
    "remedy.lower_head": _("{template:of}lower bolt head"),
    "remedy.long_handle": _("{template:of}handle long enough for the hand"),
    "remedy.high_handle": _("{template:of}higher handle"),
    "remedy.thick_scales": _("{template:of}scales as thick as the contour needs"),
    "remedy.thin_handle": _("{template:of}thinner handle"),
    "remedy.thick_handle": _("{template:of}thicker handle"),
    "remedy.slope": _("{template:of}{curve:curve} slope as drawn"),
    "remedy.tools": _("{template:of}{parameter:parameter} as your tools can follow"),
    "remedy.heel_and_notch": _("{template:of}heel and notch as your tools can follow"),
    "remedy.short_tang": _("{template:of}tang within its handle"),
    "remedy.shoulder": _("{template:of}radius in the shoulder"),
    "remedy.shoulder_room": _("{template:of}shoulder radius as there is room"),
    "remedy.narrow_tang": _("{template:of}narrower tang"),
}
