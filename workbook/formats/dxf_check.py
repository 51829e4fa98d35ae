"""Problems of a DXF as a cutting file, before its curves are checked: units, layers, blocks, words, splines."""

from collections import Counter
from collections.abc import Iterator
from itertools import islice
from pathlib import Path as FilePath
from typing import Any

from msgspec import Struct

from workbook.formats.dxf_in import ASIDE, ASKED, SILENT, TO_MM, document_of, entities, pieces_of, sound
from workbook.geometry.loops import LayerCurve
from workbook.problems import NO_UNIT, JobError, Mistake, Problem, Severity
from workbook.texts import _, ngettext

HYGIENE = _("common practice: five services' guides agree")
REFERENCE = _("DXF reference")
_IMPERIAL = {1, 2, 3, 8, 9, 10, 21, 22, 23}  # $INSUNITS that are inches, feet, miles, yards...
_NEWEST = "AC1027"  # R2013
_FLAT = {"LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE"}
_WORDS = {"TEXT", "MTEXT", "DIMENSION", "LEADER", "MULTILEADER", "ATTDEF", "TOLERANCE"}
_MOST_ENTITIES = 20_000
_UP = 1e-6
_PLACES = ("extrusion", "start", "end", "center", "elevation")


class Read(Struct, frozen=True):
    """A drawing read for checking: its curves in mm, and the problems of the file itself."""

    pieces: tuple[LayerCurve, ...]
    problems: tuple[Problem, ...]
    unit: str  # in words
    version: str


def read_to_judge(file: FilePath, unit: str | None) -> Read:
    """Read everything in a DXF that could be cut. `unit`: for a file that gives none.

    Raises JobError, with `NO_UNIT` in it where the unit must be asked for.
    """
    with sound():
        document = document_of(file)
        scale, words, problems = _unit(document, unit)
        items = list(islice(entities(document.modelspace(), 0), _MOST_ENTITIES + 1))
        if len(items) > _MOST_ENTITIES:
            raise JobError([Mistake(place="DXF", what=_("has too many entities to check."))])
        problems += _of_file(document)
        problems += _of_entities(document, items, scale)
        layers_off = {layer.dxf.name for layer in document.layers if layer.is_off() or layer.is_frozen()}
        readings = [
            list(pieces_of(entity, scale))
            for entity in items
            if entity.dxftype() not in SILENT and str(entity.dxf.layer) not in layers_off and not _aside(entity)
        ]
        pieces = [piece for curves in readings for piece in curves]
        unreadable = sum(not curves for curves in readings)
        if unreadable:
            text = _(
                "{lost} entities that could not be read as curves: blocks too deep in blocks, no size, not finite",
                lost=unreadable,
            )
            problems.append(Problem(severity=Severity.STOP, what=text, source=HYGIENE, cause="unread"))
        return Read(tuple(pieces), tuple(problems), words, str(document.acad_release))


def _aside(entity: Any) -> bool:
    return str(entity.dxf.layer).upper().startswith(ASIDE)


def _unit(document: Any, unit: str | None) -> tuple[float, str, list[Problem]]:
    """Millimetres per drawing unit, the same in words, and the problems with the unit."""
    code = int(document.header.get("$INSUNITS", 0))
    if code in TO_MM:
        return TO_MM[code], _("1 = {to_mm:g} mm, as the file says", to_mm=TO_MM[code]), []
    if unit is None:
        raise JobError(
            [Mistake(place="DXF", what=NO_UNIT, right=_("Give it: {one} or {other}.", one="--unit mm", other="--unit in"))]
        )
    is_r12 = document.acad_release == "R12"
    text = _("R12 has no unit: tell the service which") if is_r12 else _("the file has no unit")
    problem = Problem(severity=Severity.NOTE if is_r12 else Severity.WARN, what=text, source=REFERENCE, cause="unit")
    return ASKED[unit], _("1 = {asked:g} mm, as you say", asked=ASKED[unit]), [problem]


def _of_file(document: Any) -> Iterator[Problem]:
    """Check the header and the layouts."""
    code, metric = int(document.header.get("$INSUNITS", 0)), int(document.header.get("$MEASUREMENT", 1))
    if code in TO_MM and document.acad_release != "R12" and (code in _IMPERIAL) == bool(metric):
        text = _("$MEASUREMENT and $INSUNITS contradict each other. Some programs will read the wrong unit")
        yield Problem(what=text, source=REFERENCE, cause="unit")
    if document.dxfversion > _NEWEST:
        text = _("written as {acad_release}. Some services read nothing newer than R2013", acad_release=document.acad_release)
        yield Problem(severity=Severity.NOTE, what=text, source=HYGIENE, cause="version")
    in_paper = sum(len([e for e in layout if e.dxftype() != "VIEWPORT"]) for layout in document.layouts if layout.name != "Model")
    if in_paper:
        yield Problem(
            what=_("{elsewhere} entities in paper space, which is not cut", elsewhere=in_paper), source=HYGIENE, cause="paper"
        )


def _unfit(kinds: Counter[str], blocks: int, off_plane: int, hidden: int) -> Iterator[tuple[int, str, str]]:
    """How many there are of what does not belong in a cutting file, what is said of them, and the cause of the problem."""
    n = sum(kinds[kind] for kind in _WORDS)
    yield (
        n,
        ngettext("{count} text or dimension: a service may cut it", "{count} texts or dimensions: a service may cut them", n),
        "words",
    )
    n = kinds["SPLINE"]
    yield n, ngettext("{count} spline: arcs are safer", "{count} splines: arcs are safer", n), "spline"
    n = kinds["ELLIPSE"]
    yield n, ngettext("{count} ellipse: arcs are safer", "{count} ellipses: arcs are safer", n), "spline"
    n = kinds["POINT"]
    yield n, ngettext("{count} point: a machine may pierce there", "{count} points: a machine may pierce there", n), "point"
    n = kinds["HATCH"] + kinds["SOLID"] + kinds["IMAGE"]
    yield n, ngettext("{count} fill or picture: it is not cut", "{count} fills or pictures: they are not cut", n), "fill"
    n = kinds["3DFACE"] + kinds["MESH"] + kinds["3DSOLID"] + kinds["BODY"]
    yield n, ngettext("{count} solid or face: not flat", "{count} solids or faces: not flat", n), "solid"
    n = blocks
    yield n, ngettext("{count} block: a machine may ignore it", "{count} blocks: a machine may ignore them", n), "block"
    n = off_plane
    yield n, ngettext("{count} curve outside the plane Z = 0", "{count} curves outside the plane Z = 0", n), "height"
    n = hidden
    yield (
        n,
        ngettext(
            "{count} curve on a layer that is off or frozen: should it be cut?",
            "{count} curves on layers that are off or frozen: should they be cut?",
            n,
        ),
        "hidden",
    )


def _of_entities(document: Any, items: list[Any], scale: float) -> Iterator[Problem]:
    """Report what should not be in a cutting file."""
    kinds, layers, off_plane = Counter[str](), Counter[str](), 0
    layers_off = {layer.dxf.name for layer in document.layers if layer.is_off() or layer.is_frozen()}
    hidden = 0
    for entity in items:
        kinds[entity.dxftype()] += 1
        if entity.dxftype() in _FLAT | {"SPLINE", "ELLIPSE"}:
            layers[str(entity.dxf.layer)] += 1
            hidden += str(entity.dxf.layer) in layers_off
            off_plane += _lies_up(entity)
    blocks = sum(e.dxftype() == "INSERT" for e in document.modelspace())
    for count, text, cause in _unfit(kinds, blocks, off_plane, hidden):
        if count:
            yield Problem(what=text, source=HYGIENE, cause=cause)
    note_curves = sum(n for layer, n in layers.items() if layer.upper().startswith(ASIDE))
    if note_curves:
        text = ngettext(
            "{count} curve on a layer for notes or scribing: a machine may cut it",
            "{count} curves on layers for notes or scribing: a machine may cut them",
            note_curves,
        )
        yield Problem(what=text, source=HYGIENE, cause="layer")
    if len([layer for layer in layers if not layer.upper().startswith(ASIDE)]) > 2:  # outline and holes
        text = _("curves on {count} layers: which should be cut?", count=len(layers))
        yield Problem(severity=Severity.NOTE, what=text, source=HYGIENE, cause="layers")


def _lies_up(entity: Any) -> bool:
    """Whether an entity leaves the plane Z = 0, or is drawn in a plane that is turned over."""
    values = {name: entity.dxf.get(name) for name in _PLACES if entity.dxf.is_supported(name)}
    turned = values.get("extrusion")
    heights = [place if isinstance(place, float) else place.z for name, place in values.items() if name != "extrusion" and place]
    return (turned is not None and abs(turned.z - 1) > _UP) or any(abs(z) > _UP for z in heights)
