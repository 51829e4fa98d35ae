"""Resize a template, take parts over from its family or another template, and compare two templates."""

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
    """The part that is scaled."""

    WHOLE = "whole knife"
    BLADE = "blade"
    HANDLE = "handle"


_ALONG = {"blade.length", "heel.ahead", "heel.ricasso", "handle.length", "fittings.bolster", "tang.length"}
_ACROSS_BLADE = {"blade.height", "heel.radius", "heel.choil", "grind.height"}
_ACROSS_HANDLE = {f"handle.{key}" for key in ("front", "waist", "palm", "neck", "butt", "drop", "crown")}
_ACROSS_HANDLE |= {"fittings.guard_height", "fittings.guard_drop", "tang.width", "tang.end_width"}
_SOLD = tuple(INCH * n / 64 for n in (4, 5, 6, 8, 10, 12, 16))  # flat bars: 1/16 to 1/4 in (common practice, no source)
_SHORT = 2 * INCH  # a blade under this is sized in eighths
_OF_HANDLE = {"handle", "fittings", "tang"}


SCALED_WORDS = {ScaledPart.WHOLE: _("whole knife"), ScaledPart.BLADE: _("blade"), ScaledPart.HANDLE: _("handle")}


def length_of(template: Template, part: ScaledPart) -> float:
    """Length of a part, mm."""
    blade, handle = template.blade.length, template.handle.length
    return {ScaledPart.WHOLE: blade + handle, ScaledPart.BLADE: blade, ScaledPart.HANDLE: handle}[part]


def scaled(template: Template, part: ScaledPart, length: float, *, heights: bool = True) -> Template:
    """Scale a part to a length, mm, its heights in proportion if wished. Raises ValueError naming what goes out of range.

    What a tool or the steel decides stays: thicknesses, edges, files, the plunge's radius, drills, webs.
    """
    factor = length / length_of(template, part)
    resized = template
    for parameter in PARAMETERS:
        value = parameter.value(template)
        if value is not None and _follows(parameter, part, heights):
            applies = parameter.applies(template)  # else it is not shown, and is limited silently
            low, high = (-inf, inf) if applies else parameter.limits(template)
            resized = changed(resized, parameter.path, min(max(value * factor, low), high))
    across = factor if heights else 1.0
    if part is not ScaledPart.HANDLE:
        resized = replace(resized, blade=replace(resized.blade, free=scaled_free(template.blade.free, factor, across)))
    if part is not ScaledPart.BLADE:
        resized = replace(resized, handle=replace(resized.handle, free=scaled_free(template.handle.free, factor, across)))
        resized = _with_holes(resized, factor, heights)
    outside = out_of_range(resized) - out_of_range(template)
    if outside:
        raise ValueError(_("{wrong} would go out of its range", wrong=min(outside)))
    return resized


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
    """Round a template to sizes of an inch rule.

    Blade and overall length become quarters of an inch (eighths of a blade under 2 in), heights sixteenths, and the bar a
    thickness that is sold in inches.
    """
    blade, handle, heel = template.blade, template.handle, template.heel
    length = _to(blade.length, 8 if blade.length < _SHORT else 4)
    overall = _to(blade.length + handle.length, 8 if blade.length < _SHORT else 4)
    bar = min(_SOLD, key=lambda thickness: abs(thickness - blade.thickness))
    ahead = _to(heel.ahead, 16)
    straight = max(blade.edge_straight, ahead / length)
    heights: dict[str, Any] = {key: _to(getattr(handle, key), 16) for key in ("front", "waist", "palm", "neck", "butt")}
    guard: dict[str, Any] = {key: _to(getattr(template.fittings, key), 16) for key in ("guard_height", "guard_width")}
    return replace(
        template,
        blade=replace(blade, thickness=bar, length=length, height=_to(blade.height, 16), edge_straight=straight),
        handle=replace(handle, length=overall - length, **heights),
        heel=replace(heel, ahead=ahead),
        fittings=replace(template.fittings, **guard),
    )


def _to(mm: float, parts: int) -> float:
    """The nearest fraction of an inch with this denominator, mm."""
    return round(mm / INCH * parts) / parts * INCH


@lru_cache(maxsize=16)  # each move of a drag compares with the template it began with
def out_of_range(template: Template) -> frozenset[str]:
    """Labels of the parameters that are outside their ranges."""
    labels = set[str]()
    for parameter in PARAMETERS:
        value = parameter.value(template)
        if parameter.kind in (Kind.CHOICE, Kind.TEXT) or value is None or not parameter.applies(template):
            continue
        low, high = parameter.limits(template)
        if not low - 1e-6 <= value <= high + 1e-6:
            labels.add(parameter.label)
    return frozenset(labels)


def reset(template: Template, family: Template, group: str = "") -> Template:
    """Reset a template to its family: all of it, or one group ("holes" is one too). Its name stays."""
    if group == "holes":
        return replace(template, patterns=family.patterns, holes=family.holes)
    if group:
        return replace(template, **{group: getattr(family, group)})
    return replace(family, name=template.name, rolling=template.rolling, revision=template.revision)


class Taken(StrEnum):
    """What a template takes over from another."""

    HANDLE = "handle"  # with fittings, tang and holes
    BLADE = "blade"  # with point and heel; the bar's thickness stays
    GRIND = "grind"


TAKEN_WORDS = {Taken.HANDLE: _("handle"), Taken.BLADE: _("blade"), Taken.GRIND: _("grind")}


def with_part(template: Template, other: Template, part: Taken) -> Template:
    """Take a part over from another template. Raises ValueError naming what does not fit the rest."""
    if part is Taken.HANDLE:
        combined = replace(template, handle=other.handle, fittings=other.fittings, tang=other.tang)
        combined = replace(combined, patterns=other.patterns, holes=other.holes)
    elif part is Taken.BLADE:
        blade = replace(other.blade, thickness=template.blade.thickness)
        combined = replace(template, blade=blade, point=other.point, heel=other.heel)
    else:
        combined = replace(template, grind=other.grind)
    outside = out_of_range(combined) - out_of_range(template)
    if outside:
        raise ValueError(_("{wrong} would go out of its range", wrong=min(outside)))
    return combined


def differences(before: Template, after: Template) -> list[tuple[Parameter, Any, Any]]:
    """The parameters that differ, with both values."""
    values = ((p, p.value(before), p.value(after)) for p in PARAMETERS)
    return [(p, old, new) for p, old, new in values if old != new]
