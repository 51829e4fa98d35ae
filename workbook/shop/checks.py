"""Problems between blanks and bars: no bar of the steel and thickness, none wide or long enough, one measured too thin,
or hot-rolled with too little sound steel below the skin of its faces.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence

from workbook.problems import Problem, Severity, WantedKind
from workbook.shop.job import AnyTemplate, Bar, Job, Make, suits, thickness_of
from workbook.shop.lying import sizes
from workbook.structs import replace
from workbook.template.model import Template
from workbook.template.shape import Shape
from workbook.texts import _

Skin = Callable[[float, float], float | None]  # mm off each face of a hot-rolled bar, by thickness and width


def check_bars(job: Job, shapes: Mapping[str, Shape], skin: Skin) -> tuple[Problem, ...]:
    """The problems of every blank to be made with the bars listed. The size needed is that of a blank lying along its bar."""
    return tuple(problem for wish in job.make for problem in _of_wish(job, wish, shapes[wish.template], skin))


def _of_wish(job: Job, wish: Make, blank: Shape, skin: Skin) -> Iterator[Problem]:
    template = job.template(wish.template)
    bars = [bar for bar in job.bars if suits(job, template, wish.steel, bar)]
    if not bars:
        none = _stop(
            blank, _("no bar of {steel} has its thickness", steel=wish.steel), _nearest(job, wish, blank), blank.thickness
        )
        yield replace(none, wanted_is=WantedKind.EXACT)
        return
    problems = [_too_small(job, blank, bars, *size) for size in sizes(template, blank)]
    if problems[0] is not None and None not in problems:  # it fits in no direction: report the first
        yield problems[0]
    for check in (_thin, _below_skin, _bowed):  # all of one kind before the next
        for bar in bars:
            yield from check(job, blank, template, bar, skin)


def check_bar(job: Job, template: AnyTemplate, blank: Shape, bar: Bar, skin: Skin) -> tuple[Problem, ...]:
    """The problems of a template's blank with the bar it is made from."""
    return tuple(problem for check in (_thin, _below_skin, _bowed) for problem in check(job, blank, template, bar, skin))


def _too_small(job: Job, blank: Shape, bars: Sequence[Bar], along: float, across: float) -> Problem | None:
    """The problem when no bar takes a blank of this length and width; None when one does, or when a lean may help."""
    widths, length = [across + margins(job, bar) for bar in bars], along + 2 * job.saw.bar_end
    there = [(own, width) for bar, width in zip(bars, widths, strict=True) for own in _sizes_of(bar)]
    wide = [own for own, width in there if own[0] >= width - 1e-6]
    if not wide and not job.saw.tilt:
        return _stop(blank, _("every bar that suits it is too narrow"), max(own[0] for own, _width in there), min(widths))
    if wide and all(own[1] < length - 1e-6 for own in wide):
        return _stop(blank, _("every bar wide enough is too short"), max(own[1] for own in wide), length)
    return None


def margins(job: Job, bar: Bar) -> float:
    """The width that a bar's two long edges take, mm; the spine's side takes none where it may be the edge."""
    return job.saw.margin_of(bar.edges) * (1 if job.saw.spine_on_edge else 2)


def _sizes_of(bar: Bar) -> list[tuple[float, float]]:
    """Width and length of the bar on the rack, and of the one that can be bought, mm; (0, 0) where there is neither."""
    beyond, tongue = bar.beyond
    tail = [(tongue or bar.true_width, bar.true_length + beyond)] if beyond else []
    on_rack = [(bar.true_width, bar.true_length), *tail] if bar.have else []
    bought = [(bar.width, bar.length)] if bar.buy else []
    return [*on_rack, *bought] or [(0.0, 0.0)]


def _thin(job: Job, blank: Shape, template: AnyTemplate, bar: Bar, skin: Skin) -> Iterator[Problem]:
    """Report a bar on the rack that measures thinner than the template needs."""
    if bar.have and bar.true_thickness < blank.thickness - job.settings.under - 1e-6:
        text = _("the bar “{name}” measures thinner than the template's thickness", name=bar.name)
        yield Problem(template=blank.name, what=text, is_=bar.true_thickness, wanted=blank.thickness, source=_("your calipers"))


def _below_skin(job: Job, blank: Shape, template: AnyTemplate, bar: Bar, skin: Skin) -> Iterator[Problem]:
    """Report a hot-rolled bar whose faces have lost carbon deeper than the blank's faces are ground."""
    face = skin(bar.thickness, bar.width) if bar.hot_rolled else None
    finished = finished_thickness(template, bar)
    if face is not None and bar.true_thickness - 2 * face < finished - 1e-6:
        text = _("the bar “{name}” is hot-rolled: too little sound steel is left below the skin of its faces", name=bar.name)
        source = _("smallest machining allowance of hot-rolled tool steel flats, a supplier's table")
        core = bar.true_thickness - 2 * face
        yield Problem(template=blank.name, what=text, is_=core, wanted=finished, source=source)


def _bowed(job: Job, blank: Shape, template: AnyTemplate, bar: Bar, skin: Skin) -> Iterator[Problem]:
    """Report a bar so bowed that a blank from it, ground flat and not straightened, comes out too thin."""
    if not bar.have or not bar.measured.bow:
        return
    x0, _unused, x1, _unused = blank.extent()
    remaining, finished = bar.true_thickness - bar.bow_over(x1 - x0), finished_thickness(template, bar)
    if remaining < finished - 1e-6:
        text = _("the bar “{name}” is bowed: ground flat instead of straightened, a blank comes out too thin", name=bar.name)
        yield Problem(template=blank.name, what=text, is_=remaining, wanted=finished, source=_("your calipers, geometry"))


def finished_thickness(template: AnyTemplate, bar: Bar) -> float:
    """The thickness between the finished faces, mm, from this bar or from a thicker one ground down to the template's nominal.

    A template drawn as an outline is not ground any further.
    """
    if not isinstance(template, Template):
        return thickness_of(template)
    return min(thickness_of(template), bar.true_thickness) - 2 * template.grind.face_allowance


def _nearest(job: Job, wish: Make, blank: Shape) -> float | None:
    """The listed thickness of its steel that is nearest to the one needed; None where none is listed."""
    listed = [bar.thickness for bar in job.bars if bar.steel.casefold() == wish.steel.casefold()]
    return min(listed, key=lambda t: abs(t - blank.thickness)) if listed else None


def _stop(blank: Shape, text: str, is_: float | None, needed: float) -> Problem:
    return Problem(severity=Severity.STOP, template=blank.name, what=text, is_=is_, wanted=needed, source=_("the bars listed"))
