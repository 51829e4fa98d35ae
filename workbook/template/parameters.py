"""Every parameter of a template: its label, unit, sensible range (which may depend on the others) and meaning.

The panel, the job file and the checks read this one list. Ranges are judgement from common practice, no source.
"""

from collections.abc import Callable
from typing import Any

from msgspec import Struct

from workbook.fields import Kind as Kind
from workbook.structs import replace
from workbook.template.model import GROUPS, LAST_BELLY, Bevel, EdgeForm, HeelForm, SpineForm, TangForm, Template
from workbook.texts import _

_FLATTEST, _FULLEST = 0.2, 0.95  # fullness at the point
Limit = float | Callable[[Template], float]


class Parameter(Struct, frozen=True, kw_only=True):
    """One named value of a template."""

    group: str
    key: str
    label: str
    kind: Kind
    meaning: str
    low: Limit = 0.0
    high: Limit = 1.0
    dimension: str = ""  # the dimension line that shows it
    applies: Callable[[Template], bool] = lambda template: True

    @property
    def path(self) -> str:
        """Group and key, `blade.length`."""
        return f"{self.group}.{self.key}"

    def limits(self, template: Template) -> tuple[float, float]:
        """Smallest and largest sensible value, given the template's other values."""
        low = self.low(template) if callable(self.low) else self.low
        high = self.high(template) if callable(self.high) else self.high
        return float(low), float(high)

    def value(self, template: Template) -> Any:
        """Its value in a template."""
        return getattr(getattr(template, self.group), self.key)


def changed(template: Template, path: str, value: Any) -> Template:
    """The template with one parameter changed, named by its path such as `blade.length`."""
    group, key = path.split(".")
    return replace(template, **{group: replace(getattr(template, group), **{key: value})})


def _dropped(t: Template) -> bool:
    return t.heel.form is HeelForm.DROPPED


def _plain(t: Template) -> bool:
    return t.heel.form is HeelForm.PLAIN


def _enclosed(t: Template) -> bool:
    return t.tang.is_enclosed


def _guarded(t: Template) -> bool:
    return t.fittings.guard > 0


def _bolstered(t: Template) -> bool:
    return t.fittings.bolster > 0 and not _enclosed(t)


def _finished_edge(t: Template) -> float:
    """Thinnest edge before hardening: no thinner than afterwards."""
    return t.grind.edge_before_sharpening


def _before_edge(t: Template) -> float:
    """Thickest edge before hardening: a little less than the bar."""
    return 0.9 * t.blade.thickness


def _thickest_edge(t: Template) -> float:
    """Thickest edge that still leaves a bevel to grind."""
    return 0.6 * _wholly(t)


def _roundest(t: Template) -> float:
    """Largest edge radius in section: half the handle's least thickness."""
    return min(t.handle.thick_front, t.handle.thick_palm, t.handle.thick_butt) / 2


def _least_lean(curve: str) -> Callable[[Template], float]:
    """Least lean: the curve is no flatter at the point than `_FLATTEST`."""
    return lambda t: min(_FLATTEST - float(getattr(t.point, f"{curve}_fullness")), 0.0)


def _most_lean(curve: str) -> Callable[[Template], float]:
    """Most lean: the curve is no fuller at the point than `_FULLEST`."""
    return lambda t: max(_FULLEST - float(getattr(t.point, f"{curve}_fullness")), 0.0)


def _heel_share(t: Template) -> float:
    """Shortest straight share: spine and edge run straight at least as far as the heel."""
    return t.heel.ahead / t.blade.length


def _straightest(t: Template) -> float:
    """Longest straight share of the spine: to the point only where that lies on its line; else it needs room to fall."""
    return 1.0 if t.point.drop == 0 else 0.97


def _longest_edge(t: Template) -> float:
    """Longest straight share of the edge: to the point itself where no belly has to rise."""
    return 1.0 if t.point.edge is EdgeForm.CORNER else LAST_BELLY


def _curved(t: Template) -> bool:
    return t.point.spine is SpineForm.CURVED


def _falling(t: Template) -> bool:
    """Whether the spine's slope at the point is a parameter of its own."""
    return t.point.spine is not SpineForm.STRAIGHT


def _bellied(t: Template) -> bool:
    return t.point.edge is EdgeForm.BELLY


def _before_heel(t: Template) -> bool:
    """Whether there is steel before the heel for a notch or a choil; an open heel has none."""
    return t.heel.form is HeelForm.PLAIN or t.heel.ricasso > 0


def _wholly(t: Template) -> float:
    """Finished thickness between the flats, mm."""
    return t.blade.thickness - 2 * t.grind.face_allowance


def _swedged(t: Template) -> bool:
    return t.grind.swedge > 0


def _p(
    group: str,
    key: str,
    label: str,
    kind: Kind,
    low: Limit,
    high: Limit,
    meaning: str,
    dimension: str = "",
    **more: Any,
) -> Parameter:
    return Parameter(
        group=group, key=key, label=label, kind=kind, low=low, high=high, meaning=meaning, dimension=dimension, **more
    )


def _choice(group: str, key: str, label: str, meaning: str) -> Parameter:
    return Parameter(group=group, key=key, label=label, kind=Kind.CHOICE, meaning=meaning)


L, F, S, A, N = Kind.LENGTH, Kind.FINE, Kind.SHARE, Kind.ANGLE, Kind.NUMBER

PARAMETERS: tuple[Parameter, ...] = (
    _p("blade", "length", _("Blade length"), L, 20, 450, _("from the handle front to the tip"), "blade"),
    _p("blade", "height", _("Height at heel"), L, 8, 150, _("from the heel up to the spine"), "height"),
    _p("blade", "thickness", _("Bar thickness"), F, 0.5, 13, _("nominal, before any grinding")),
    _p("blade", "spine_straight", _("Spine straight"), S, _heel_share, _straightest, _("before it falls"), "spine_straight"),
    _p("blade", "edge_straight", _("Edge straight"), S, lambda t: t.heel.ahead / t.blade.length, _longest_edge,
       _("where the belly begins"), "edge_straight"),
    _p("blade", "edge_rise", _("Edge rise"), S, -0.1, 0.3,
       _("how far the edge has risen where the belly begins, as a share of the height")),
    _p("blade", "taper_from", _("Taper from"), S, 0, 0.95, _("where the distal taper begins")),
    _p("blade", "point_thickness", _("Spine near tip"), F, 0, 13,
       _("finished thickness 12.7 mm (1/2 in) behind the tip, left by the distal taper. None when 0 or not " "below the bar")),
    _p("point", "drop", _("Tip drop"), S, -0.3, 1.0, _("below the spine, as a share of the height. Negative trails"), "drop"),
    _choice("point", "spine", _("Spine form"), _("one curve, a hollow clip, or a straight fall")),
    _p("point", "spine_slope", _("Spine slope at tip"), A, -60, 89, _("how steeply the spine falls at the tip"),
       applies=_falling),
    _p("point", "spine_fullness", _("Spine fullness"), S, 0.35, 0.9, _("how long the spine stays high"), applies=_curved),
    _p("point", "spine_lean", _("Spine lean"), N, _least_lean("spine"), _most_lean("spine"),
       _("fuller toward the tip, or less"),
       applies=_curved),
    _choice("point", "edge", _("Edge form"), _("a belly, or a corner and a straight front edge")),
    _p("point", "edge_slope", _("Belly slope at tip"), A, 1, 89, _("how steeply the edge rises at the tip"),
       applies=_bellied),
    _p("point", "edge_fullness", _("Belly fullness"), S, 0.35, 0.9, _("how deep the belly stays"), applies=_bellied),
    _p("point", "edge_lean", _("Belly lean"), N, _least_lean("edge"), _most_lean("edge"), _("fuller toward the tip, or less"),
       applies=_bellied),
    _choice("heel", "form", _("Heel form"), _("an open heel dropped below the handle, or a plain ricasso")),
    _p("heel", "ahead", _("Heel ahead of scales"), L, 0, lambda t: 0.5 * t.blade.length, _("from handle front to heel"), "ahead"),
    _p("heel", "ricasso", _("Ricasso length"), L, 0, lambda t: t.heel.ahead, _("level steel before a dropped heel"),
       applies=_dropped),
    _p("heel", "radius", _("Heel radius"), L, 0, 30, _("inside radius between handle and heel"), applies=_dropped),
    _p("heel", "notch", _("Sharpening notch"), L, 0, lambda t: 0.8 * t.heel.ahead,
       _("diameter of the file that cuts it. 0 means none"),
       applies=_before_heel),
    _p("heel", "choil", _("Finger choil radius"), L, 0, 25, _("radius of a finger choil before the heel. 0 means none"),
       applies=_before_heel),
    _p("heel", "plunge_radius", _("Plunge radius"), L, 0, 40, _("radius of the wheel or belt edge that cuts the plunge")),
    _p("heel", "plunge_rake", _("Plunge rake"), A, -30, 45, _("how far the plunge line leans toward the handle")),
    _p("handle", "length", _("Handle length"), L, 50, 250, _("from the handle front to the butt"), "handle"),
    _p("handle", "front", _("Height at front"), L, 6, 60, _("of the handle where the scales begin"), "front"),
    _p("handle", "waist", _("Height at waist"), L, 6, 60, _("behind the front, where the first finger lies")),
    _p("handle", "palm", _("Height at palm"), L, 6, 60, _("where the handle swells")),
    _p("handle", "neck", _("Height at neck"), L, 6, 60, _("before the butt")),
    _p("handle", "butt", _("Height at butt"), L, 6, 60, _("where the butt's rounding begins"), "butt"),
    _p("handle", "waist_at", _("Waist at"), S, 0.08, lambda t: t.handle.palm_at - 0.1,
       _("behind the front, as a share of the handle length")),
    _p("handle", "palm_at", _("Palm at"), S, lambda t: t.handle.waist_at + 0.1, lambda t: t.handle.neck_at - 0.1,
       _("as a share of the handle length")),
    _p("handle", "neck_at", _("Neck at"), S, lambda t: t.handle.palm_at + 0.1, 0.85, _("as a share of the handle length")),
    _p("handle", "drop", _("Butt drop"), L, -10, 40, _("of the back of the butt, below the line of the spine")),
    _p("handle", "crown", _("Crown"), L, -3, 6, _("rise of the back over the palm")),
    _p("handle", "squareness", _("Butt squareness"), S, 0.5, 0.95, _("55% is round, 95% nearly square")),
    _p("handle", "slant", _("Butt slant"), N, -1, 1, _("where the butt reaches furthest: below, middle, above")),
    _p("handle", "scale_thickness", _("Scale thickness"), F, 1, 25, _("of one scale")),
    _p("handle", "front_angle", _("Scale front angle"), A, 45, 135, _("of the scale front to the axis")),
    _p("handle", "thick_front", _("Thickness at front"), L, 6, 45, _("of the finished handle, tang and scales"), "contour"),
    _p("handle", "thick_palm", _("Thickness at palm"), L, 6, 45, _("of the finished handle where it swells"), "contour"),
    _p("handle", "thick_butt", _("Thickness at butt"), L, 6, 45, _("of the finished handle before the butt's rounding"),
        "contour"),
    _p("handle", "edge_radius", _("Edge radius in section"), L, 0, _roundest, _("of the scales' edges, all around"), "contour"),
    _p("handle", "bolt_head", _("Bolt head"), L, 3, 20, _("diameter of a handle bolt's head")),
    _p("handle", "head_height", _("Head height"), L, 0.5, 10, _("of a bolt's head: its counterbore in the scale")),
    _p("handle", "shoulders", _("Between bolt shoulders"), L, 0, 45,
       _("screwed home, the smallest thickness a bolt clamps. 0 if unknown")),
    Parameter(group="handle", key="fasteners", label=_("Fastener material"), kind=Kind.TEXT,
        meaning=_("of pins, bolts and tubes")),
    Parameter(group="handle", key="material", label=_("Scale material"), kind=Kind.TEXT,
        meaning=_("what the scales are made of")),
    _p("fittings", "guard", _("Guard thickness"), F, 0, 25, _("along the handle, from its front. 0 means none")),
    _p("fittings", "guard_height", _("Guard height"), L, 10, 120, _("from its lower to its upper end"), applies=_guarded),
    _p("fittings", "guard_drop", _("Guard drop"), L, -40, 40, _("of its middle below the axis"), applies=_guarded),
    _p("fittings", "guard_width", _("Guard width"), L, 6, 60, _("across both faces"), applies=_guarded),
    Parameter(group="fittings", key="guard_material", label=_("Guard material"), kind=Kind.TEXT,
        meaning=_("what the guard is made of"), applies=_guarded),
    _p("fittings", "bolster", _("Bolster length"), L, 0, lambda t: 0.5 * t.handle.length,
       _("of a pair along the handle, behind the guard. 0 means none"), applies=lambda t: not _enclosed(t)),
    _p("fittings", "bolster_thickness", _("Bolster thickness"), F, 1, 25, _("of one, before it is shaped"), applies=_bolstered),
    Parameter(group="fittings", key="bolster_material", label=_("Bolster material"), kind=Kind.TEXT,
        meaning=_("what the bolsters are made of"), applies=_bolstered),
    _p("fittings", "liner", _("Liner thickness"), F, 0, 3, _("of one, between tang and scale. 0 means none"),
       applies=lambda t: not _enclosed(t)),
    Parameter(group="fittings", key="liner_material", label=_("Liner material"), kind=Kind.TEXT,
        meaning=_("what the liners are made of"), applies=lambda t: t.fittings.liner > 0 and not _enclosed(t)),
    _choice("tang", "form", _("Tang form"), _("full, skeletonized, tapered, hidden or stub")),
    _p("tang", "width", _("Tang width"), L, 3, lambda t: t.handle.front - 2, _("at the shoulder"), applies=_enclosed),
    _p("tang", "end_width", _("Tang end width"), L, 2, lambda t: t.tang.width, _("at its end"), applies=_enclosed),
    _p("tang", "length", _("Tang length"), L, 15, 200, _("behind the shoulder"), applies=_enclosed),
    _p("tang", "shoulder_radius", _("Shoulder radius"), L, 0.5, 5, _("inside the shoulder, against cracks"), applies=_enclosed),
    _p("tang", "web", _("Web"), L, 2, 15, _("steel left beside the openings"),
       applies=lambda t: t.tang.form is TangForm.SKELETON),
    _p("tang", "butt_thickness", _("Thickness at butt"), F, 0.5, lambda t: t.blade.thickness, _("left by the tang's taper"),
       applies=lambda t: t.tang.form is TangForm.TAPERED),
    _choice("grind", "bevel", _("Bevel"), _("cross-section of the primary bevel")),
    Parameter(group="grind", key="face", label=_("Ground face"), kind=Kind.CHOICE, meaning=_("of a single bevel: right or left"),
              applies=lambda t: t.grind.bevel is Bevel.SINGLE),
    _p("grind", "height", _("Bevel height"), L, 1, lambda t: t.blade.height, _("finished, from the edge up to the grind line"),
       applies=lambda t: t.grind.bevel is not Bevel.SCANDI),
    _p("grind", "edge_before_hardening", _("Edge before hardening"), F, _finished_edge, _before_edge, _("left at the edge")),
    _p("grind", "edge_before_sharpening", _("Edge before sharpening"), F, 0, _thickest_edge, _("left at the edge")),
    _p("grind", "face_allowance", _("Face allowance"), F, 0, lambda t: 0.3 * t.blade.thickness,
       _("ground off each face after hardening")),
    _p("grind", "edge_angle", _("Edge angle"), A, 5, 45, _("per side")),
    _p("grind", "wheel", _("Contact wheel"), L, 20, 1000, _("its diameter, for a hollow grind"),
       applies=lambda t: t.grind.bevel is Bevel.HOLLOW),
    _p("grind", "bulge", _("Convex bulge"), F, 0, 5, _("of a convex bevel, out from its chord, at the heel"),
       applies=lambda t: t.grind.bevel is Bevel.CONVEX),
    _choice("grind", "held", _("Held constant"),
       _("what stays constant where the blade gets thinner: the bevel's height, or its angle")),
    _choice("grind", "taper", _("Distal taper ground"), _("before hardening, or after")),
    _p("grind", "swedge", _("Swedge length"), L, 0, lambda t: 0.9 * t.blade.length,
       _("from the tip back. 0 means none")),
    _p("grind", "swedge_height", _("Swedge height"), L, 0.5, lambda t: 0.5 * t.blade.height, _("from the spine down"),
       applies=_swedged),
    _p("grind", "swedge_spine", _("Spine at swedge"), F, 0.3, _wholly, _("what a swedge leaves at the spine"), applies=_swedged),
)  # fmt: skip


def of_group(group: str) -> tuple[Parameter, ...]:
    """The parameters of one group, in the panel's order. Raises KeyError for an unknown group."""
    if group not in GROUPS:
        raise KeyError(group)
    return tuple(p for p in PARAMETERS if p.group == group)
