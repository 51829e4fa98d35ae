"""The grind of a job's templates: bench settings, sections, mass and balance, for the bar each is to be ground from."""

from collections.abc import Iterator
from math import degrees
from typing import Any

from workbook.grind.balance import BalanceChange, Lightened, changes, lightenings
from workbook.grind.bench import Bench, bench
from workbook.grind.handle_mass import Densities
from workbook.grind.heat import Lost, carbon_lost
from workbook.grind.mass import Masses, masses
from workbook.grind.section import CrossSection, section
from workbook.grind.stations import State
from workbook.model.model import Model
from workbook.shop.densities import Weighed
from workbook.shop.facts import Facts
from workbook.shop.in_hand import InHand
from workbook.template.contour import is_bare
from workbook.template.fittings import bolster_of, guard_of, liner_of
from workbook.template.model import Template
from workbook.texts import _
from workbook.units import HABITS, INCH, Unit

_INCHES = tuple(part * INCH for part in (0.125, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0))
_MILLIMETRES = (3.0, 6.0, 12.0, 18.0, 25.0, 40.0, 50.0)
_UNKNOWN_SCALE, _UNKNOWN_METAL, _UNKNOWN_LINER = "canvas phenolic", "brass", "vulcanised fibre"
_NEAR_POINT = 10.0  # mm behind it, or a tenth of a short blade


def heights_for(unit: Unit) -> tuple[float, ...]:
    """The heights above the edge at which calipers are set, mm."""
    return _MILLIMETRES if HABITS[unit].metric else _INCHES


def bench_of(model: Model, key: str, bar: InHand) -> Bench:
    """The bench settings of a parametric template, on the bar it is ground from."""
    return bench(model.shapes[key], bar.thickness, model.job.tools, heights_for(model.job.unit))


def densities_for(model: Model, key: str, bar: InHand) -> tuple[Densities, tuple[str, ...]]:
    """The densities for weighing a template, g/cm³, and what had to be assumed, in words."""
    template = model.job.template(key)
    handle = template.handle if isinstance(template, Template) else None
    scales, metal = (handle.material, handle.fasteners) if handle is not None else (_UNKNOWN_SCALE, _UNKNOWN_METAL)
    assumed, densities = list[str](), list[float]()
    for material, instead in ((scales, _UNKNOWN_SCALE), (metal, _UNKNOWN_METAL)):
        row = model.facts.weighed(material)
        if handle is None or not is_bare(handle):
            assumed += _assumed(material, row, instead)
        densities.append((row or _known(model.facts, instead)).density)
    steel = model.facts.density(bar.steel)
    if model.facts.known_density(bar.steel) is None:
        assumed.append(
            _(
                "no table has the density of the steel “{name}”. Weighed as plain carbon steel, {density:g} g/cm³",
                name=bar.steel,
                density=steel,
            )
            if bar.steel
            else _("no steel is selected. Weighed as plain carbon steel, {density:g} g/cm³", density=steel)
        )
    epoxy = _known(model.facts, "cured unfilled epoxy").density
    fittings = dict(_of_fittings(model, template, assumed)) if isinstance(template, Template) else {}
    return Densities(steel=steel, scales=densities[0], fasteners=densities[1], epoxy=epoxy, **fittings), tuple(assumed)


def _of_fittings(model: Model, template: Template, assumed: list[str]) -> Iterator[tuple[str, float]]:
    """The density of each fitting the template has, by its name; what is not known joins `assumed`."""
    own = template.fittings
    for name, size, material, instead in (
        ("guard", guard_of(template), own.guard_material, _UNKNOWN_METAL),
        ("bolster", bolster_of(template), own.bolster_material, _UNKNOWN_METAL),
        ("liner", liner_of(template), own.liner_material, _UNKNOWN_LINER),
    ):
        if size > 0:
            row = model.facts.weighed(material)
            assumed += _assumed(material, row, instead)
            yield name, (row or _known(model.facts, instead)).density


def _known(facts: Facts, material: str) -> Weighed:
    row = facts.weighed(material)
    assert row is not None
    return row


def _assumed(material: str, row: Weighed | None, instead: str) -> list[str]:
    """What is not known of a material's density, in words."""
    if row is None:
        example = f"{material.strip()} 1.1 g/cm3".strip()
        return [
            _(
                "no table has the density of “{material}”. Weighed as {instead}. Type it after the name: “{own}”",
                material=material,
                instead=instead,
                own=example,
            )
        ]
    if row.others:
        return [
            _(
                "“{material}” may be {names}. Weighed as {name}",
                material=material,
                names=", ".join((row.name, *row.others)),
                name=row.name,
            )
        ]
    return []


def piece_of_bar(model: Model, key: str, bar: InHand) -> float | None:
    """The volume of a piece of bar as long as the blank, mm3; None if the bar's width is not known."""
    x0, _, x1, _ = model.shapes[key].extent()
    return bar.width and (x1 - x0) * bar.width * bar.thickness


def masses_of(model: Model, key: str, bar: InHand) -> Masses:
    """Mass in g, balance in mm and steel ground away in mm3."""
    return masses(model.shapes[key], bar.thickness, densities_for(model, key, bar)[0])


def changes_of(model: Model, key: str, bar: InHand) -> tuple[BalanceChange, ...]:
    """What each hole, taper or thinner scale would change; empty for an outline from a file."""
    template = model.job.template(key)
    if not isinstance(template, Template):
        return ()
    return tuple(changes(template, model.tools, bar.thickness, densities_for(model, key, bar)[0]))


def lightenings_of(model: Model, key: str, bar: InHand, wanted: float) -> Iterator[Lightened | None]:
    """Lightening holes that bring the balance towards `wanted`, mm; yields the best so far after each try."""
    template = model.job.template(key)
    assert isinstance(template, Template)
    return lightenings(template, model.tools, bar.thickness, densities_for(model, key, bar)[0], wanted)


def sections_of(model: Model, key: str, bar: InHand) -> list[CrossSection]:
    """Sections at the heel (as if the plunge lay further back), the three quarters and near the point, in the three states."""
    blank, clean_up = model.shapes[key], model.job.saw.clean_up
    template = blank.template
    assert template is not None
    begin, end = template.heel.ahead, template.blade.length
    places = [begin + (end - begin) * share for share in (0.0, 0.25, 0.5, 0.75)]
    places.append(end - min(_NEAR_POINT, 0.1 * (end - begin)))
    return [section(blank, bar.thickness, x, state, clean_up, plunge=x > begin) for x in places for state in State]


def advice_of(model: Model) -> Lost:
    """Carbon lost from bare faces at the maker's heat and soak."""
    return carbon_lost(model.job.settings.heat, model.job.settings.soak)


def ground_json(model: Model, key: str, bar: InHand) -> dict[str, Any]:
    """One template on a bar as `grind --json` prints it: mm, g, degrees, cm3. What an outline from a file lacks is null."""
    weights = masses_of(model, key, bar)
    ground = model.shapes[key].template is not None
    result: dict[str, Any] = {"name": model.shapes[key].name, **_bench_json(bench_of(model, key, bar) if ground else None)}
    result |= {
        "bar": {
            "name": bar.bar,
            "known_from": bar.source.value,
            "steel": bar.steel,
            "thickness": round(bar.thickness, 5),
            "measured": bar.read,
            "serials": list(bar.serials),
        },
        "blank_mass": round(weights.blank_mass, 3),
        "blade_mass": round(weights.blade_mass, 3),
        "finished_mass": round(weights.knife_mass, 3) if ground else None,
        "balance": round(weights.balance[0], 3) if ground else None,
        "ground_before_hardening_cm3": round(weights.ground_before / 1000, 4),
        "ground_after_hardening_cm3": round(weights.ground_after / 1000, 4),
        "sections": [_section_json(s) for s in sections_of(model, key, bar)] if ground else [],
    }
    return result


def _bench_json(bench: Bench | None) -> dict[str, float | None]:
    keys = (
        "thickness_before_hardening", "thickness_finished", "bevel_angle", "grind_line_before_hardening", "grind_line_finished",
        "scribe_from_face", "scribe_gap", "edge_facet",
    )  # fmt: skip
    if bench is None:
        return dict.fromkeys(keys)
    values = (
        bench.thickness_before, bench.thickness_finished, degrees(bench.angle), bench.line_before, bench.line_finished,
        bench.scribe, bench.edge_before, bench.facet.width if bench.facet else None,
    )  # fmt: skip
    return {key: None if value is None else round(value, 5) for key, value in zip(keys, values, strict=True)}


def _section_json(section: CrossSection) -> dict[str, Any]:
    polygon = [[round(y, 4), round(z, 4)] for y, z in section.polygon.tolist()]
    return {"x": round(section.x, 4), "state": section.state.value, "polygon": polygon}
