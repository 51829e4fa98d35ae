"""The words of what is changed in the whole workbook: its settings, the maker's tools, how the shop counts, a job brought in."""

from __future__ import annotations

from workbook.document.action import Value
from workbook.document.words.telling import Fields, Words, choice

_CUTTING = {"line": "the saw follows the line", "straight": "straight cuts only", "service": "jet or laser"}
_PER = {"bar": "one bar", "ft": "a foot", "m": "a metre", "kg": "a kilogram"}
_QUENCHES = {"by steel": "as the steel's table has it", "oil": "oil", "water": "water or brine", "air": "air or plates"}
_PAPERS = {"": "as the unit has it", "a4": "A4", "a3": "A3", "tabloid": "tabloid, 11 × 17 in"}
_UNITS = {"in": "inches first", "mm": "millimetres first"}
_DRILLS: dict[tuple[Value, ...], str] = {
    (): "those of the unit",
    ("fraction",): "fractions of an inch",
    ("number", "letter", "fraction", "metric"): "all of them",
}


def _drills(fields: Fields) -> str:
    """The series of drills owned."""
    series = fields.value("value")
    if isinstance(series, list) and all(isinstance(each, str) for each in series) and tuple(series) in _DRILLS:
        return f"drills: {_DRILLS[tuple(series)]}"
    return fields.tell("drills: {value:names}")


_OF_WORKBOOK: dict[str, Words] = {
    "name": "name of the workbook: {value}",
    "unit": choice("{}", _UNITS),
    "currency": "currency: {value}",
    "paper": choice("paper: {}", _PAPERS),
    "shop": "the shop: {value}",
    "address": "where the shop is: {value}",
    "printer": "printer {value:or without a name}",
    "printer.name": "printer called: {value}",
    "printer.x": "a printed 100 mm across reads: {value:number} mm",
    "printer.y": "a printed 100 mm up the page reads: {value:number} mm",
    "printer.margin": "the printer cannot reach, from the paper's edges: {value:length}",
    "printer.roll": "width of the printer's paper on a roll: {value:length}",
    "steps.inch": "an arrow key changes by: {value:step}",
    "steps.mm": "an arrow key changes, in millimetres, by: {value:step}",
    "prices.per": choice("the usual price is for: {}", _PER),
    "prices.shipping": "carriage for a bar: {value}",
    "prices.cut_charge": "cut charge for a bar: {value}",
}
_OF_TOOLS: dict[str, Words] = {
    "tools.wheels": "contact wheels: {value:lengths}",
    "tools.files": "round files: {value:lengths}",
    "tools.drills": _drills,
    "tools.angle_step": "a grinding jig is set in steps of: {value:angle}",
    "tools.gauge_step": "a surface gauge is set in steps of: {value:fine}",
    "tools.stone": "round stone's diameter: {value:length}",
    "tools.projection": "the stone's rest to the knife's edge: {value:length}",
    "tools.rest": "diameter of the stone's rest: {value:length}",
    "tools.jig_offset": "a jig holds the blade off the rest by: {value:length}",
    "rules.smallest_radius": "smallest inside radius otherwise: {value:length}",
    "rules.quench": choice("quenched in: {}", _QUENCHES),
    "rules.heat": "heat before the quench: {value:number} °C",
    "rules.soak": "minutes at that heat: {value:number}",
    "saw.cutting": choice("how blanks are cut: {}", _CUTTING),
    "saw.kerf": "saw kerf: {value:length}",
    "saw.clean_up": "steel left outside the line: {value:length}",
    "saw.bar_end": "outline to the bar's ends: {value:length}",
    "saw.bar_edge": "outline to the bar's long edges: {value:length}",
    "saw.sawn_edge": "outline to a sawn edge: {value:length}",
    "saw.sheared_edge": "outline to a sheared edge: {value:length}",
    "saw.band": "width of the band: {value:length not known}",
    "saw.tightest_radius": "tightest turn: {value:length by the band}",
    "saw.spine_on_edge": "spines may lie on the bar's edge: {value:yes}",
    "saw.tilt": "blanks may lean by: {value:angle}",
    "service": "cutting service {value:or none: holes to size}",
    "service.name": "cutting service called: {value}",
    "service.version": "DXF the service reads: {value}",
    "service.hole_share": "smallest hole, times the thickness: {value:number}",
    "service.smallest_hole": "smallest hole the service cuts: {value:length}",
    "service.inside_radius": "smallest inside radius of the service: {value:length}",
    "service.drilled_under": "holes cut under size by: {value:fine}",
    "service.kerf": "the service's kerf, to be made up for: {value:fine}",
    "service.tabs": "tabs that hold a blank: {value:n}",
    "service.tab": "width of a tab: {value:fine}",
    "rules.keep_offcut": "shortest offcut worth keeping: {value:length}",
    "rules.credit_offcuts": "offcuts are worth their steel: {value:yes}",
    "rules.offcuts_first": "use up offcuts first: {value:yes}",
    "rules.use_openings": "blanks may lie in openings: {value:yes}",
    "rules.under": "a bar may be thinner than wanted by: {value:fine}",
    "rules.over": "a bar may be thicker than wanted by: {value:fine}",
    "rules.tang_clearance": "tang hole over its pin: {value:fine}",
    "rules.hand_breadth": "breadth of the hand they are for: {value:length}",
    "rules.web": "steel between holes: {value:length}",
}
_OF_RATES: dict[str, Words] = {
    "charges.hour": "rates: hour {value}",
    "charges.overhead": "rates: overhead {value:per_cent}",
    "charges.allowance": "rates: rest and interruptions {value:per_cent}",
    "charges.learning": "rates: each doubling takes {value:per_cent}",
    "charges.confidence": "rates: how sure to have enough {value:per_cent}",
    "charges.way": "rates: price made by {value}",
    "charges.share": "rates: margin or markup {value:per_cent}",
    "charges.step": "rates: rounded up to the next {value}",
    "charges.tax": "rates: tax {value:per_cent}",
    "charges.deposit": "rates: deposit {value:per_cent}",
    "charges.valid": "rates: a quote stands for {value:n day|days}",
    "charges.included": "rates: included",
    "charges.terms": "rates: terms",
    "charges.stages": "rates: stages",
    "charges.outside": "rates: work elsewhere",
}
SETTINGS: dict[str, Words] = {
    "job.brought_in": "job {job} brought in",
    **{f"settings.{key}": words for key, words in (_OF_WORKBOOK | _OF_TOOLS | _OF_RATES).items()},
}
