"""Outlines from SVG files: shapes and paths with their transforms, in mm, with a report of what was left out.

Entities and outside references are refused (defusedxml). What is only referred to (`use`) is not drawn.
"""

import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path as FilePath
from typing import Any
from xml.etree.ElementTree import ParseError

from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import fromstring

from workbook.formats.svg_curves import Affine, shape_paths, transform
from workbook.geometry.loops import LayerCurve, Loops, join
from workbook.geometry.path import Path
from workbook.problems import NO_UNIT, JobError, Mistake
from workbook.system.files import read_file
from workbook.texts import _

_ASKED = {"in": 25.4, "ft": 304.8, "mm": 1.0, "cm": 10.0, "m": 1000.0}
_SIZES = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6, "q": 0.25, "px": 25.4 / 96}  # CSS values, 6.2
_LENGTH = re.compile(r"\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*(mm|cm|in|pt|pc|q|px)?\s*", re.IGNORECASE)
_MOST_BYTES, _MOST_PIECES, _MOST_ELEMENTS, _DEEPEST = 30_000_000, 20_000, 200_000, 200
_FARTHEST = 1e9
_DRAWN = {"path", "rect", "circle", "ellipse", "line", "polyline", "polygon"}
_GROUPS = {"svg", "g", "a", "switch"}
_SILENT = {"defs", "title", "desc", "metadata", "style", "script", "symbol", "clipPath", "mask", "marker", "pattern", "namedview"}
_SILENT |= {"linearGradient", "radialGradient", "filter"}


def read_svg(file: FilePath, unit: str | None) -> tuple[Loops, list[str]]:
    """Read loops in mm and remarks on what was left out. `unit`: overrides the unit of the file. Raises JobError."""
    root = _root(file)
    try:
        to_mm, remarks = _to_mm(root, unit)
        left_out, pieces = Counter[str](), []
        for kind, attributes, where, layer in _elements(root, to_mm, left_out):
            pieces += [LayerCurve(path, layer) for path in shape_paths(kind, attributes, where) if _sound(path)]
            if len(pieces) > _MOST_PIECES:
                raise _refused(
                    _("has too many pieces for one blade."),
                    _("Save only the outline. Up to {most_pieces} pieces are read.", most_pieces=_MOST_PIECES),
                )
        remarks += [_("left out: {count} {what}", count=count, what=label) for label, count in sorted(left_out.items())]
        return join(pieces), remarks
    except (ValueError, OverflowError, ZeroDivisionError) as trouble:
        reason = str(trouble)[:120].encode("ascii", "replace").decode()
        raise _refused(_("is not a valid SVG file ({why}).", why=reason), _("Save it again as plain SVG.")) from None


def _refused(text: str, right: str = "") -> JobError:
    return JobError([Mistake(place="SVG", what=text, right=right)])


def _root(file: FilePath) -> Any:
    try:
        if file.stat().st_size > _MOST_BYTES:
            raise _refused(
                _("is too large."),
                _("Save only the outline. Up to {most_bytes} MB are read.", most_bytes=_MOST_BYTES // 1000000),
            )
        root = fromstring(read_file(file), forbid_dtd=False)
    except FileNotFoundError:
        raise _refused(
            _("there is no such file."), _("Give its path. In a job file, the path starts at the job file's folder.")
        ) from None
    except OSError as trouble:
        raise _refused(_("cannot be read: {reason}.", reason=trouble.strerror or trouble)) from None
    except DefusedXmlException:
        raise _refused(_("defines its own entities, which are not read."), _("Save it again as plain SVG.")) from None
    except (ParseError, ValueError, LookupError) as trouble:
        raise _refused(_("is not valid XML ({trouble}).", trouble=trouble), _("Save it again as plain SVG.")) from None
    if _name(root) != "svg":
        raise _refused(_("is not an SVG drawing."), _('Name a file that begins with an "svg" element.'))
    return root


def _name(element: Any) -> str:
    """An element's name without its namespace; "" for a comment."""
    return element.tag.rsplit("}", 1)[-1] if isinstance(element.tag, str) else ""


def _to_mm(root: Any, unit: str | None) -> tuple[Affine, list[str]]:
    """The transform from the file's units, y down, to mm, y up; and a remark on where the unit is from."""
    scale, remark = _scale(root, unit)
    return Affine(a=scale, d=-scale), [remark]


def _scale(root: Any, unit: str | None) -> tuple[float, str]:
    box = [float(v) for v in re.split(r"[\s,]+", root.get("viewBox", "").strip()) if v]
    sizes = [_size(root.get(name)) for name in ("width", "height")]
    if unit is not None:
        return _ASKED[unit], _("read as {unit}, as the job says", unit=unit)
    measures = [
        (mm, units, word) for (mm, word), units in zip(sizes, box[2:] if len(box) == 4 else (0.0, 0.0), strict=True) if mm
    ]
    if not measures:
        raise _refused(NO_UNIT, _('Give its unit in the job: units = "mm" or units = "in".'))
    if len(box) != 4:
        return _SIZES["px"], _("unit from the file: 1 = 1/96 in, as SVG has it without a viewBox. Check its length")
    scales = [mm / units for mm, units, _unused in measures if units > 0]
    if not scales:
        raise _refused(_("has a viewBox of no size."), _("Save it again as plain SVG."))
    if max(scales) > 1.001 * min(scales) and root.get("preserveAspectRatio", "").startswith("none"):
        raise _refused(_("is stretched: its width and height have different scales."), _("Save it with one scale."))
    scale, word = min(scales), measures[0][2]
    if not 1e-6 < scale < 1e6:
        raise _refused(
            _("says that 1 unit is {scale:g} mm.", scale=scale), _('Give its unit in the job: units = "mm" or units = "in".')
        )
    if word == "px":
        return scale, _("unit from the file: 1 = {scale:.6g} mm, with px as 1/96 in. Check its length", scale=scale)
    return scale, _("unit from the file: 1 = {scale:.6g} mm", scale=scale)


def _size(text: str | None) -> tuple[float, str]:
    """A width or height in mm and its unit; 0 where it gives no real size (none, per cent, a bare number)."""
    match = _LENGTH.fullmatch(text or "")
    if not match or not match[2]:
        return 0.0, ""
    return float(match[1]) * _SIZES[match[2].lower()], match[2].lower()


def _elements(root: Any, to_mm: Affine, left_out: Counter[str]) -> Iterator[tuple[str, Any, Affine, str]]:
    """Every drawn element with its transform and its group; those that are hidden or not drawn here are counted."""
    stack, count = [(root, to_mm, "", 0)], 0
    while stack:
        element, outer, layer, depth = stack.pop()
        kind, count = _name(element), count + 1
        if count > _MOST_ELEMENTS or depth > _DEEPEST:
            raise _refused(_("has too many or too deeply nested elements for one blade."), _("Save only the outline."))
        if kind in _SILENT or not kind:
            continue
        if _hidden(element):
            left_out[_("hidden {kind}", kind=kind)] += 1
        elif kind in _GROUPS and (kind != "svg" or depth == 0):
            where = outer.after(transform(element.get("transform", "")))
            stack += [(child, where, element.get("id", layer), depth + 1) for child in reversed(element)]
        elif kind in _DRAWN:
            yield kind, element.attrib, outer.after(transform(element.get("transform", ""))), layer
        else:
            left_out[kind] += 1


def _hidden(element: Any) -> bool:
    style = element.get("style", "").replace(" ", "")
    visible = element.get("display") != "none" and element.get("visibility") not in ("hidden", "collapse")
    return not visible or "display:none" in style or "visibility:hidden" in style


def _sound(path: Path) -> bool:
    """Whether every point of a path is finite and within reach, and the path has some length."""
    places = [p for s in path.segments for p in (s.start, s.end)]
    return all(abs(v) < _FARTHEST for p in places for v in p) and len(set(places)) > 1
