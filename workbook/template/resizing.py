"""A template made larger or smaller, in part as its family or another has it, and what differs between two of them."""

from enum import StrEnum
from functools import lru_cache
from math import inf
from typing import Any

from workbook.structs import replace
from workbook.template.free_edits import scaled_free
from workbook.template.model import HolePattern, Template
from workbook.template.parameters import PARAMETERS, Kind, Parameter, changed
from workbook.texts import _
from workbook.units import INCH


class ScaledPart(StrEnum):
    """What is scaled."""

    WHOLE = "whole knife"
    BLADE = "blade"
    HANDLE = "handle"


_ALONG = {"blade.length", "heel.ahead", "heel.ricasso", "handle.length", "tang.length"}
_ACROSS_BLADE = {"blade.height", "heel.radius", "heel.choil", "grind.height"}
_ACROSS_HANDLE = {f"handle.{key}" for key in ("front", "waist", "palm", "neck", "butt", "drop", "crown")}
_ACROSS_HANDLE |= {"tang.width", "tang.end_width"}
_SOLD = tuple(INCH * n / 64 for n in (4, 5, 6, 8, 10, 12, 16))  # flat bars: 1/16 to 1/4 in (common practice, no source)
_OF_HANDLE = {"handle", "tang"}


def length_of(template: Template, part: ScaledPart) -> float:
    """How long a part is, mm."""
    blade, handle = template.blade.length, template.handle.length
    return {ScaledPart.WHOLE: blade + handle, ScaledPart.BLADE: blade, ScaledPart.HANDLE: handle}[part]


def scaled(template: Template, part: ScaledPart, length: float, *, heights: bool = True) -> Template:
    """The template with a part made so long, its heights in proportion if wished. Raises ValueError with what goes out of range.

    What a tool or the steel decides stays: thicknesses, edges, files, the plunge's radius, drills, webs.
    """
    factor = length / length_of(template, part)
    made = template
    for parameter in PARAMETERS:
        value = parameter.value(template)
        if value is not None and _follows(parameter, part, heights):
            seen = parameter.applies(template)  # else nobody sees how far it goes
            low, high = (-inf, inf) if seen else parameter.limits(template)
            made = changed(made, parameter.path, min(max(value * factor, low), high))
    across = factor if heights else 1.0
    if part is not ScaledPart.HANDLE:
        made = replace(made, blade=replace(made.blade, free=scaled_free(template.blade.free, factor, across)))
    if part is not ScaledPart.BLADE:
        made = replace(made, handle=replace(made.handle, free=scaled_free(template.handle.free, factor, across)))
        made = _with_holes(made, factor, heights)
    wrong = out_of_range(made) - out_of_range(template)
    if wrong:
        raise ValueError(_("{wrong} would go out of its range", wrong=min(wrong)))
    return made


def _follows(parameter: Parameter, part: ScaledPart, heights: bool) -> bool:
    """Whether a parameter is scaled with a part."""
    of_handle = parameter.group in _OF_HANDLE
    if (part is ScaledPart.BLADE and of_handle) or (part is ScaledPart.HANDLE and not of_handle):
        return False
    return parameter.path in _ALONG or (heights and parameter.path in _ACROSS_BLADE | _ACROSS_HANDLE)


def _with_holes(template: Template, factor: float, heights: bool) -> Template:
    across = factor if heights else 1.0
    patterns = tuple(_pattern(pattern, factor) for pattern in template.patterns)
    holes = template.holes and tuple(replace(hole, x=hole.x * factor, y=hole.y * across) for hole in template.holes)
    return replace(template, patterns=patterns, holes=holes)


def _pattern(pattern: HolePattern, factor: float) -> HolePattern:
    return replace(pattern, first=pattern.first * factor, last=pattern.last * factor)


def in_inches(template: Template) -> Template:
    """The template with its three main sizes to the sixteenth of an inch, of a bar thickness that is sold in inches."""
    sold = min(_SOLD, key=lambda thickness: abs(thickness - template.blade.thickness))
    blade, handle = template.blade, template.handle
    made = replace(blade, thickness=sold, length=_sixteenth(blade.length), height=_sixteenth(blade.height))
    made = replace(made, edge_straight=max(made.edge_straight, template.heel.ahead / made.length))
    level: dict[str, Any] = {
        key: made.height for key in ("front", "waist", "palm", "neck", "butt") if getattr(handle, key) == blade.height
    }
    return replace(template, blade=made, handle=replace(handle, length=_sixteenth(handle.length), **level))


def _sixteenth(mm: float) -> float:
    return round(mm / INCH * 16) / 16 * INCH


@lru_cache(maxsize=16)  # of what a drag began with at each of its moves
def out_of_range(template: Template) -> frozenset[str]:
    """Labels of the parameters that are outside their ranges."""
    found = set[str]()
    for parameter in PARAMETERS:
        value = parameter.value(template)
        if parameter.kind in (Kind.CHOICE, Kind.TEXT) or value is None or not parameter.applies(template):
            continue
        low, high = parameter.limits(template)
        if not low - 1e-6 <= value <= high + 1e-6:
            found.add(parameter.label)
    return frozenset(found)


def reset(template: Template, family: Template, group: str = "") -> Template:
    """The template as its family has it: all of it, or one group ("holes" is one too). Its name stays."""
    if group == "holes":
        return replace(template, patterns=family.patterns, holes=family.holes)
    if group:
        return replace(template, **{group: getattr(family, group)})
    return replace(family, name=template.name, rolling=template.rolling, revision=template.revision)


class Taken(StrEnum):
    """What a template takes over from another."""

    HANDLE = "handle"  # with tang and holes
    BLADE = "blade"  # with point and heel; the bar's thickness stays
    GRIND = "grind"


def with_part(template: Template, other: Template, part: Taken) -> Template:
    """The template with a part as another has it. Raises ValueError with what does not go with the rest of it."""
    if part is Taken.HANDLE:
        made = replace(template, handle=other.handle, tang=other.tang, patterns=other.patterns, holes=other.holes)
    elif part is Taken.BLADE:
        blade = replace(other.blade, thickness=template.blade.thickness)
        made = replace(template, blade=blade, point=other.point, heel=other.heel)
    else:
        made = replace(template, grind=other.grind)
    wrong = out_of_range(made) - out_of_range(template)
    if wrong:
        raise ValueError(_("{wrong} would go out of its range", wrong=min(wrong)))
    return made


def differences(before: Template, after: Template) -> list[tuple[Parameter, Any, Any]]:
    """The parameters that differ, with both values."""
    both = ((p, p.value(before), p.value(after)) for p in PARAMETERS)
    return [(p, was, now) for p, was, now in both if was != now]
