"""Outlines from DXF files: the drawing becomes one closed outline with its holes, in mm, with a report of repairs.

Lines, arcs, circles and polylines with bulges keep their arcs; ellipses and splines are flattened within 0.005 mm.
"""

from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from math import cos, isfinite, pi, radians, sin, tan
from pathlib import Path as FilePath
from typing import Any

from workbook.geometry.loops import LayerCurve, Loops, join
from workbook.geometry.path import Arc, Line, Path, Placement, Point, Segment, circle, polyline
from workbook.libraries import dxf_path, ezdxf
from workbook.problems import NO_UNIT, JobError, Mistake
from workbook.system.files import require_file
from workbook.texts import _

TO_MM = {1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0, 8: 0.0000254, 9: 0.0254, 13: 0.001, 14: 100.0}  # $INSUNITS
ASKED = {"in": 25.4, "ft": 304.8, "mm": 1.0, "cm": 10.0, "m": 1000.0}
_FLAT = 0.005  # mm
_FARTHEST = 1e9  # drawing units
_MOST_BYTES, _MOST_ENTITIES, _DEEPEST = 30_000_000, 20_000, 4
ASIDE = (
    "DEFPOINTS",
    "DIM",
    "TEXT",
    "NOTE",
    "TITLE",
    "BORDER",
    "FRAME",
    "CONSTR",
    "CENTER",
    "CENTRE",
    "SCRIBE",
    "HIDDEN",
)
SILENT = {
    "POINT",
    "TEXT",
    "MTEXT",
    "DIMENSION",
    "HATCH",
    "LEADER",
    "MLEADER",
    "ATTDEF",
    "ATTRIB",
    "VIEWPORT",
    "IMAGE",
    "TOLERANCE",
}


def read_loops(file: FilePath, unit: str | None) -> tuple[Loops, list[str]]:
    """Read loops in mm and remarks on what was left out. `unit`: for a file that gives none.

    Raises JobError, also where `unit` contradicts the file's."""
    with sound():
        return _loops(document_of(file), unit)


@contextmanager
def sound() -> Iterator[None]:
    """Turn any error that a damaged drawing causes into a JobError."""
    try:
        yield
    except JobError:
        raise
    except Exception as trouble:  # noqa: BLE001  # the library raises almost any type
        reason = str(trouble)[:120].encode("ascii", "replace").decode()
        what = (
            _("is not a valid DXF file ({reason}).", reason=reason)
            if reason
            else _("is not a valid DXF file: it ends too early.")
        )
        raise _refused(what, _("Save it again as DXF R2000 or R12.")) from None


def _loops(document: Any, unit: str | None) -> tuple[Loops, list[str]]:
    scale, remarks = _scale(document, unit)
    pieces, left_out = [], Counter[str]()
    layers_off = {layer.dxf.name for layer in document.layers if layer.is_off() or layer.is_frozen()}
    for number, entity in enumerate(entities(document.modelspace(), 0)):
        if number > 2 * _MOST_ENTITIES:
            raise _refused(_("has too many entities, or blocks in blocks, for one blade."), _("Save only the outline."))
        layer = str(entity.dxf.layer)
        called = _("{kind} on layer {layer}", kind=entity.dxftype(), layer=layer)
        if layer in layers_off or layer.upper().startswith(ASIDE) or entity.dxftype() in SILENT:
            left_out[called] += 1
            continue
        curves = list(pieces_of(entity, scale))
        pieces += curves
        if not curves:
            left_out[called] += 1
        if len(pieces) > _MOST_ENTITIES:
            raise _refused(
                _("has too many pieces for one blade."),
                _("Save only the outline. Up to {most_entities} entities are read.", most_entities=_MOST_ENTITIES),
            )
    remarks += [_("left out: {count} {what}", count=count, what=kind) for kind, count in sorted(left_out.items())]
    return join(pieces), remarks


def _refused(text: str, right: str = "") -> JobError:
    return JobError([Mistake(place="DXF", what=text, right=right)])


def document_of(file: FilePath) -> Any:
    """Open the file as a document of the DXF library. Raises JobError."""
    try:
        if file.stat().st_size > _MOST_BYTES:
            raise _refused(
                _("is too large."),
                _("Save only the outline. Up to {most_bytes} MB are read.", most_bytes=_MOST_BYTES // 1000000),
            )
        require_file(file.stat(), file)
        return ezdxf.readfile(file)
    except FileNotFoundError:
        raise _refused(
            _("there is no such file."), _("Give its path. In a job file, the path starts at the job file's folder.")
        ) from None
    except OSError as trouble:
        reason = trouble.strerror or _("it does not look like a DXF file")
        raise _refused(_("cannot be read: {why}.", why=reason), _("Save it again as DXF R2000 or R12.")) from None


def _scale(document: Any, unit: str | None) -> tuple[float, list[str]]:
    code = int(document.header.get("$INSUNITS", 0))
    if unit is not None and code in TO_MM and TO_MM[code] != ASKED[unit]:
        words = _("says that 1 unit is {to_mm:g} mm, but the job says {unit}.", to_mm=TO_MM[code], unit=unit)
        raise _refused(words, _("Leave units out of the job, or save the file without a unit."))
    if unit is not None:
        return ASKED[unit], [_("read as {unit}, as the job says", unit=unit)]
    if code not in TO_MM:
        raise _refused(NO_UNIT, _('In a job file, write units = "mm" or units = "in".'))
    return TO_MM[code], [_("unit from the file: 1 = {to_mm:g} mm", to_mm=TO_MM[code])]


def entities(layout: Any, depth: int) -> Iterator[Any]:
    """The entities of a layout, with blocks taken apart to a sensible depth."""
    for entity in layout:
        if entity.dxftype() == "INSERT" and depth < _DEEPEST:
            yield from entities(entity.virtual_entities(), depth + 1)
        else:
            yield entity


def pieces_of(entity: Any, scale: float) -> Iterator[LayerCurve]:
    """The curves of an entity in mm; nothing for one that is not a curve."""
    layer, kind = str(entity.dxf.layer), entity.dxftype()
    if kind in ("ELLIPSE", "SPLINE") or (hasattr(entity, "ocs") and entity.ocs().transform):
        yield from _flattened(entity, scale, layer)
        return
    paths: list[Path] = []
    match kind:
        case "LINE":
            paths = [Path((Line(_xy(entity.dxf.start), _xy(entity.dxf.end)),), closed=False)]
        case "ARC":
            paths = _arc(entity)
        case "CIRCLE":
            paths = [circle(_xy(entity.dxf.center), float(entity.dxf.radius))] if entity.dxf.radius > 0 else []
        case "LWPOLYLINE":
            paths = [_polyline([(x, y, bulge) for x, y, _, _, bulge in entity.lwpoints.values.tolist()], bool(entity.closed))]
        case "POLYLINE" if entity.is_2d_polyline:
            rows = [(*_xy(v.dxf.location), float(v.dxf.get("bulge", 0.0))) for v in entity.vertices]
            paths = [_polyline(rows, bool(entity.is_closed))]
    for path in paths:
        if path.segments and _finite(path):
            yield LayerCurve(_in_mm(path, scale), layer)


def _in_mm(path: Path, scale: float) -> Path:
    return path if scale == 1.0 else Placement(scale=scale).path(path)


def _flattened(entity: Any, scale: float, layer: str) -> Iterator[LayerCurve]:
    """Flatten a curve that is not lines and arcs in the plane."""
    try:
        points = [_xy(v) for v in dxf_path.make_path(entity).flattening(_FLAT / scale)]
    except (TypeError, ValueError):
        return
    closed = len(points) > 3 and abs(points[0][0] - points[-1][0]) + abs(points[0][1] - points[-1][1]) < 1e-6 / scale
    path = polyline(points[:-1], closed=True) if closed else polyline(points)
    if path.segments and _finite(path):
        yield LayerCurve(_in_mm(path, scale), layer)


def _finite(path: Path) -> bool:
    """Whether every point of a path is finite and within reach: a damaged file may hold infinities."""
    places = [*(segment.start for segment in path.segments), path.segments[-1].end]
    return all(isfinite(x) and isfinite(y) and abs(x) < _FARTHEST and abs(y) < _FARTHEST for x, y in places)


def _xy(v: Any) -> Point:
    return float(v[0]), float(v[1])


def _arc(entity: Any) -> list[Path]:
    """An ARC by its bulge, tan of a quarter of its sweep (DXF reference); a full turn is a circle."""
    (cx, cy), r = _xy(entity.dxf.center), float(entity.dxf.radius)
    a, b = radians(entity.dxf.start_angle), radians(entity.dxf.end_angle)
    sweep = (b - a) % (2 * pi)
    if r <= 0:
        return []
    if sweep < 1e-6 or sweep > 2 * pi - 1e-6:
        return [circle((cx, cy), r)]
    start, end = (cx + r * cos(a), cy + r * sin(a)), (cx + r * cos(a + sweep), cy + r * sin(a + sweep))
    return [Path((Arc(start, end, tan(sweep / 4)),), closed=False)]


def _polyline(rows: list[tuple[float, float, float]], closed: bool) -> Path:
    """Vertices with bulges as lines and arcs; repeated vertices are dropped."""
    ends = rows[1:] + rows[:1] if closed else rows[1:]
    segments: list[Segment] = []
    for (x0, y0, bulge), (x1, y1, _unused) in zip(rows, ends, strict=False):
        if (x0, y0) != (x1, y1):
            segments.append(Arc((x0, y0), (x1, y1), bulge) if abs(bulge) > 1e-9 else Line((x0, y0), (x1, y1)))
    return Path(tuple(segments), closed and len(segments) > 1)
