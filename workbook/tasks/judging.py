"""Pre-flight of cutting files: our own and any DXF."""

from pathlib import Path
from typing import Any

from msgspec import Struct

from workbook.formats.dxf_check import read_to_judge
from workbook.geometry.loops import LayerCurve
from workbook.geometry.path import circle
from workbook.problems import JobError, Mistake, Problem, worst_first
from workbook.system.names import shown
from workbook.tasks.guarded import guarded
from workbook.template.cut_blank import ServiceBlank
from workbook.template.preflight import DrawingFacts, Drawn, facts, preflight
from workbook.template.service import Service
from workbook.texts import _


class Judged(Struct, frozen=True, kw_only=True):
    """The result of the pre-flight of a cutting file."""

    name: str
    unit: str
    version: str
    problems: tuple[Problem, ...]
    facts: DrawingFacts | None
    drawn: Drawn


def judge(file: Path, unit: str | None = None, service: Service | None = None, thickness: float | None = None) -> Judged:
    """Check a DXF for all that a service would stumble over, worst first. `thickness`: mm. Raises JobError if unreadable."""
    if not file.is_file():
        raise JobError([Mistake(place=str(file), what=_("there is no such file."), right=_("Give the path of a DXF."))])
    try:
        read = guarded(read_to_judge, file, unit)
    except JobError as trouble:
        raise JobError(trouble.mistakes, source=file.name) from None
    rules = service or Service()
    drawing = Drawn(read.pieces, rules, thickness, tab=rules.gap if rules.tabs else 0.0)
    problems = tuple(worst_first((*read.problems, *preflight(drawing))))
    return Judged(
        name=shown(file.name), unit=read.unit, version=read.version, problems=problems, facts=facts(drawing), drawn=drawing
    )


def judge_cut(cut: ServiceBlank, service: Service, thickness: float) -> tuple[list[Problem], DrawingFacts]:
    """The problems and facts of a blank about to be written. `thickness`: mm."""
    pieces = [LayerCurve(path, "OUTLINE") for path in (*cut.outline, *cut.openings)]
    pieces += [LayerCurve(circle(centre, diameter / 2), "HOLES") for centre, diameter in cut.circles]
    drawing = Drawn(tuple(pieces), service, thickness, tab=service.gap if service.tabs else 0.0, kerf=service.kerf)
    figures = facts(drawing)
    assert figures is not None
    return preflight(drawing), figures


def judged_json(judged: Judged) -> dict[str, Any]:
    """The result as `preflight --json` prints it: mm, mm2."""
    figures = judged.facts
    return {
        "file": judged.name,
        "unit": judged.unit,
        "version": judged.version,
        "problems": [
            {"severity": p.severity.value, "what": p.what, "at": p.at, "is": p.is_, "wanted": p.wanted, "source": p.source}
            for p in judged.problems
        ],
        "facts": figures
        and {
            "width": round(figures.width, 4),
            "height": round(figures.height, 4),
            "area": round(figures.area, 3),
            "cut_length": round(figures.length, 3),
            "pierces": figures.pierces,
            "lines": figures.lines,
            "arcs": figures.arcs,
            "circles": figures.circles,
        },
    }
