"""What is wrong between blanks and bars: no bar of the steel and thickness, none wide or long enough, one measured too thin,
or hot-rolled with too little sound steel below the skin of its faces.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence

from workbook.problems import Problem, Severity
from workbook.shop.job import AnyTemplate, Bar, Job, Make, suits, thickness_of
from workbook.shop.lying import sizes
from workbook.template.model import Template
from workbook.template.shape import Shape
from workbook.texts import _

Skin = Callable[[float, float], float | None]  # to take off each face of a hot-rolled bar of a thickness and width


def check_bars(job: Job, shapes: Mapping[str, Shape], skin: Skin) -> tuple[Problem, ...]:
    """Problems of every blank to be made with the bars listed. The size asked for is that of a blank lying along its bar."""
    return tuple(problem for wish in job.make for problem in _of_wish(job, wish, shapes[wish.template], skin))


def _of_wish(job: Job, wish: Make, blank: Shape, skin: Skin) -> Iterator[Problem]:
    template = job.template(wish.template)
    bars = [bar for bar in job.bars if suits(job, template, wish.steel, bar)]
    if not bars:
        yield _stop(
            blank, _("no bar of {steel} has its thickness", steel=wish.steel), _nearest(job, wish, blank), blank.thickness
        )
        return
    found = [_too_small(job, blank, bars, *size) for size in sizes(template, blank)]
    if found[0] is not None and None not in found:  # in the direction it lies first
        yield found[0]
    for check in (_thin, _below_skin, _bowed):  # a kind after another
        for bar in bars:
            yield from check(job, blank, template, bar, skin)


def check_bar(job: Job, template: AnyTemplate, blank: Shape, bar: Bar, skin: Skin) -> tuple[Problem, ...]:
    """Problems of a template's blank with the bar it is made of."""
    return tuple(problem for check in (_thin, _below_skin, _bowed) for problem in check(job, blank, template, bar, skin))


def _too_small(job: Job, blank: Shape, bars: Sequence[Bar], along: float, across: float) -> Problem | None:
    """Why no bar takes a blank lying so; None when one does, or when a lean may help."""
    widths, length = [across + margins(job, bar) for bar in bars], along + 2 * job.saw.bar_end
    wide = [bar for bar, width in zip(bars, widths, strict=True) if _usable(bar)[0] >= width - 1e-6]
    if not wide and not job.saw.tilt:
        return _stop(blank, _("every bar that suits it is too narrow"), max(_usable(bar)[0] for bar in bars), min(widths))
    if wide and all(_usable(bar)[1] < length - 1e-6 for bar in wide):
        return _stop(blank, _("every bar wide enough is too short"), max(_usable(bar)[1] for bar in wide), length)
    return None


def margins(job: Job, bar: Bar) -> float:
    """Width of a bar that its two long edges take; the spine's side takes none where it may be the edge."""
    return job.saw.margin_of(bar.edges) * (1 if job.saw.spine_on_edge else 2)


def _usable(bar: Bar) -> tuple[float, float]:
    """Width and length a blank may count on: the larger of what lies on the rack and what can be bought."""
    on_rack = (bar.true_width, bar.true_length) if bar.have else (0.0, 0.0)
    bought = (bar.width, bar.length) if bar.buy else (0.0, 0.0)
    return max(on_rack[0], bought[0]), max(on_rack[1], bought[1])


def _thin(job: Job, blank: Shape, template: AnyTemplate, bar: Bar, skin: Skin) -> Iterator[Problem]:
    """A bar on the rack that measures thinner than the template counts on."""
    if bar.have and bar.true_thickness < blank.thickness - job.settings.under - 1e-6:
        what = _("the bar “{name}” measures thinner than the template's thickness", name=bar.name)
        yield Problem(
            template=blank.name, what=what, is_=bar.true_thickness, wanted=blank.thickness, source=_("the maker's calipers")
        )


def _below_skin(job: Job, blank: Shape, template: AnyTemplate, bar: Bar, skin: Skin) -> Iterator[Problem]:
    """A hot-rolled bar whose faces have lost carbon deeper than the blank's are ground."""
    face = skin(bar.thickness, bar.width) if bar.hot_rolled else None
    finished = finished_thickness(template, bar)
    if face is not None and bar.true_thickness - 2 * face < finished - 1e-6:
        what = _("the bar “{name}” is hot-rolled: below the skin of its faces there is too little sound steel", name=bar.name)
        source = _("least machining allowance of hot-rolled tool steel flats, a supplier's table")
        sound = bar.true_thickness - 2 * face
        yield Problem(template=blank.name, what=what, is_=sound, wanted=finished, source=source)


def _bowed(job: Job, blank: Shape, template: AnyTemplate, bar: Bar, skin: Skin) -> Iterator[Problem]:
    """A bar so bowed that a blank of it, ground flat and not straightened, comes out too thin."""
    if not bar.have or not bar.measured.bow:
        return
    x0, _unused, x1, _unused = blank.extent()
    left, finished = bar.true_thickness - bar.bow_over(x1 - x0), finished_thickness(template, bar)
    if left < finished - 1e-6:
        what = _("the bar “{name}” is bowed: ground flat, not straightened, a blank comes out too thin", name=bar.name)
        yield Problem(template=blank.name, what=what, is_=left, wanted=finished, source=_("the maker's calipers, geometry"))


def finished_thickness(template: AnyTemplate, bar: Bar) -> float:
    """Thickness of the finished knife's faces, of this bar or of a thicker one taken down to the template's nominal.

    That of an outline is not ground any more.
    """
    if not isinstance(template, Template):
        return thickness_of(template)
    return min(thickness_of(template), bar.true_thickness) - 2 * template.grind.face_allowance


def _nearest(job: Job, wish: Make, blank: Shape) -> float | None:
    """The listed thickness of its steel nearest to the one wanted."""
    listed = [bar.thickness for bar in job.bars if bar.steel.casefold() == wish.steel.casefold()]
    return min(listed, key=lambda t: abs(t - blank.thickness)) if listed else None


def _stop(blank: Shape, what: str, is_: float | None, wanted: float) -> Problem:
    return Problem(severity=Severity.STOP, template=blank.name, what=what, is_=is_, wanted=wanted, source=_("the bars listed"))
