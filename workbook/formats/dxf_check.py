"""What is wrong with a DXF as a file to be cut from, before its curves are looked at: units, layers, blocks, words, splines."""

from collections import Counter
from collections.abc import Iterator
from pathlib import Path as FilePath
from typing import Any

from msgspec import Struct

from workbook.formats.dxf_in import ASIDE, ASKED, SILENT, TO_MM, document_of, entities, pieces_of, sound
from workbook.geometry.loops import LayerCurve
from workbook.problems import NO_UNIT, JobError, Mistake, Problem, Severity
from workbook.texts import _

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
    """A drawing read to be judged: its curves in mm, and what the file itself has wrong."""

    pieces: tuple[LayerCurve, ...]
    problems: tuple[Problem, ...]
    unit: str  # in words
    version: str


def read_to_judge(file: FilePath, unit: str | None) -> Read:
    """Everything a DXF holds that could be cut. `unit`: where the file says none.

    Raises JobError; with `NO_UNIT` in it where the unit must be asked for.
    """
    with sound():
        document = document_of(file)
        scale, words, problems = _unit(document, unit)
        held = list(entities(document.modelspace(), 0))
        if len(held) > _MOST_ENTITIES:
            raise JobError([Mistake(place="DXF", what=_("has too many entities to be judged."))])
        problems += _of_file(document)
        problems += _of_entities(document, held, scale)
        off = {layer.dxf.name for layer in document.layers if layer.is_off() or layer.is_frozen()}
        read = [
            list(pieces_of(entity, scale))
            for entity in held
            if entity.dxftype() not in SILENT and str(entity.dxf.layer) not in off and not _aside(entity)
        ]
        pieces = [piece for found in read for piece in found]
        lost = sum(not found for found in read)
        if lost:
            what = _(
                "{lost} entities that could not be read as curves: blocks too deep in blocks, no size, not finite", lost=lost
            )
            problems.append(Problem(severity=Severity.STOP, what=what, source=HYGIENE, cause="unread"))
        return Read(tuple(pieces), tuple(problems), words, str(document.acad_release))


def _aside(entity: Any) -> bool:
    return str(entity.dxf.layer).upper().startswith(ASIDE)


def _unit(document: Any, unit: str | None) -> tuple[float, str, list[Problem]]:
    """mm to a drawing unit, that in words, and what is wrong with it."""
    code = int(document.header.get("$INSUNITS", 0))
    if code in TO_MM:
        return TO_MM[code], _("1 = {to_mm:g} mm, as the file says", to_mm=TO_MM[code]), []
    if unit is None:
        raise JobError(
            [Mistake(place="DXF", what=NO_UNIT, right=_("Say it: {one} or {other}.", one="--unit mm", other="--unit in"))]
        )
    plain = document.acad_release == "R12"
    what = _("R12 says no unit: tell the service which") if plain else _("the file does not say its unit")
    problem = Problem(severity=Severity.NOTE if plain else Severity.WARN, what=what, source=REFERENCE, cause="unit")
    return ASKED[unit], _("1 = {asked:g} mm, as you say", asked=ASKED[unit]), [problem]


def _of_file(document: Any) -> Iterator[Problem]:
    """Header and layouts."""
    code, metric = int(document.header.get("$INSUNITS", 0)), int(document.header.get("$MEASUREMENT", 1))
    if code in TO_MM and document.acad_release != "R12" and (code in _IMPERIAL) == bool(metric):
        what = _("$MEASUREMENT and $INSUNITS contradict each other: some programs will read the wrong unit")
        yield Problem(what=what, source=REFERENCE, cause="unit")
    if document.dxfversion > _NEWEST:
        what = _("written as {acad_release}: some services read nothing newer than R2013", acad_release=document.acad_release)
        yield Problem(severity=Severity.NOTE, what=what, source=HYGIENE, cause="version")
    elsewhere = sum(
        len([e for e in layout if e.dxftype() != "VIEWPORT"]) for layout in document.layouts if layout.name != "Model"
    )
    if elsewhere:
        yield Problem(
            what=_("{elsewhere} entities in paper space, which is not cut", elsewhere=elsewhere), source=HYGIENE, cause="paper"
        )


def _of_entities(document: Any, held: list[Any], scale: float) -> Iterator[Problem]:
    """What should not be in a file to be cut from."""
    kinds, layers, up = Counter[str](), Counter[str](), 0
    off = {layer.dxf.name for layer in document.layers if layer.is_off() or layer.is_frozen()}
    hidden = 0
    for entity in held:
        kinds[entity.dxftype()] += 1
        if entity.dxftype() in _FLAT | {"SPLINE", "ELLIPSE"}:
            layers[str(entity.dxf.layer)] += 1
            hidden += str(entity.dxf.layer) in off
            up += _lies_up(entity)
    inserted = sum(e.dxftype() == "INSERT" for e in document.modelspace())
    told = (
        (sum(kinds[k] for k in _WORDS), _("words or dimensions: they would be cut, or refuse the file"), "words", Severity.WARN),
        (kinds["SPLINE"], _("splines: not every machine cuts them; arcs are safe"), "spline", Severity.WARN),
        (kinds["ELLIPSE"], _("ellipses: not every machine cuts them; arcs are safe"), "spline", Severity.WARN),
        (kinds["POINT"], _("points: some machines pierce there"), "point", Severity.WARN),
        (kinds["HATCH"] + kinds["SOLID"] + kinds["IMAGE"], _("fills or pictures: they are not cut"), "fill", Severity.WARN),
        (
            kinds["3DFACE"] + kinds["MESH"] + kinds["3DSOLID"] + kinds["BODY"],
            _("solids or faces: not flat"),
            "solid",
            Severity.WARN,
        ),
        (inserted, _("blocks: some machines ignore them"), "block", Severity.WARN),
        (up, _("curves off the plane Z = 0"), "height", Severity.WARN),
        (hidden, _("curves on layers that are off or frozen: are they to be cut?"), "hidden", Severity.WARN),
    )
    for count, words, cause, severity in told:
        if count:
            yield Problem(severity=severity, what=f"{count} {words}", source=HYGIENE, cause=cause)
    aside = sum(n for layer, n in layers.items() if layer.upper().startswith(ASIDE))
    if aside:
        what = _("{aside} curves on layers for notes or scribing: a machine may cut them", aside=aside)
        yield Problem(what=what, source=HYGIENE, cause="layer")
    if len([layer for layer in layers if not layer.upper().startswith(ASIDE)]) > 2:  # outline and holes
        what = _("curves on {count} layers: which are to be cut?", count=len(layers))
        yield Problem(severity=Severity.NOTE, what=what, source=HYGIENE, cause="layers")


def _lies_up(entity: Any) -> bool:
    """Whether an entity leaves the plane, or is drawn in one that is turned over."""
    held = {name: entity.dxf.get(name) for name in _PLACES if entity.dxf.is_supported(name)}
    turned = held.get("extrusion")
    heights = [place if isinstance(place, float) else place.z for name, place in held.items() if name != "extrusion" and place]
    return (turned is not None and abs(turned.z - 1) > _UP) or any(abs(z) > _UP for z in heights)
