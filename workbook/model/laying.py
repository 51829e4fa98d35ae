"""Laying out a job: its shapes and bars as a nesting job, the search, and the result with its costs."""

from collections.abc import Iterable, Iterator
from functools import cached_property
from math import inf, radians

from msgspec import Struct

from workbook.geometry.path import flatten
from workbook.model.model import Model, stop_told
from workbook.nesting.by_hand import clashing
from workbook.nesting.fits import unfit
from workbook.nesting.model import By, Layout, NestingJob, Part, Progress, Stock, bought_for, laid_out
from workbook.nesting.offcuts import Least
from workbook.nesting.section_bound import Bound, price_bound
from workbook.problems import JobError, Mistake, Severity
from workbook.shop.checks import margins
from workbook.shop.costing import Costs, costs
from workbook.shop.in_hand import InHand, bar_laid_on, with_more
from workbook.shop.job import LEAST_LENGTH, LEAST_WIDTH, Bar, Cutting, Edges, Job, Saw, suits
from workbook.shop.lying import directions, sizes
from workbook.shop.serials import serials
from workbook.shop.steel import full_price, material_price
from workbook.structs import replace
from workbook.template.model import Template
from workbook.texts import _
from workbook.units import show


class Laid(Struct, frozen=True, kw_only=True, dict=True):
    """A job laid out: the verified layout, what it costs, and how the search went."""

    model: Model
    nesting: NestingJob
    layout: Layout
    costs: Costs
    bound_by: str  # "area", "sections" or "chains": how the bound in the costs was found
    seed: int
    steps: int
    by: By = "compiled"
    seconds: float | None = None  # that it took; None if the number of steps was given

    @cached_property
    def clash(self) -> Mistake | None:
        """Blanks that lie too near to something, if any do."""
        return clash_in(self.nesting, self.layout)


def nesting_job(model: Model) -> NestingJob:
    """Parts and bars for the search. A kind of bar that is on the rack and for sale becomes two items of stock."""
    job = model.job
    parts = tuple(_part(model, i) for i in range(len(job.make)))
    stock = [(bar, item) for bar in job.bars for item in _stock(bar, model.facts.density(bar.steel), job.saw)]
    together = frozenset(
        (p, s)
        for p, wish in enumerate(job.make)
        for s, (bar, _) in enumerate(stock)
        if suits(job, job.template(wish.template), wish.steel, bar)
    )
    saw = job.saw
    return NestingJob(
        parts=parts,
        stock=tuple(item for _, item in stock),
        suits=together,
        separation=saw.separation,
        bar_end=saw.bar_end,
        bar_edge=saw.edge_margin,
        lost_at_end=saw.clean_up + saw.kerf,
        tilt=radians(saw.tilt),
        hulls=saw.cutting is Cutting.STRAIGHT,
        offcuts_first=job.settings.offcuts_first,
        used=job.serials,
    )


def _part(model: Model, index: int) -> Part:
    wish = model.job.make[index]
    outline = flatten(model.shapes[wish.template].outline)
    template = model.job.template(wish.template)
    lying = directions(template, model.shapes[wish.template])
    on_edge = model.job.saw.spine_on_edge and isinstance(template, Template) and lying == (0.0,)
    open_to = model.shapes[wish.template].openings if model.job.settings.use_openings else ()
    return Part(
        name=template.name,
        key=wish.template,
        steel=wish.steel,
        outline=outline,
        quantity=wish.quantity,
        directions=lying,
        openings=tuple(flatten(path) for path in open_to),
        on_edge=on_edge,
    )


def _stock(bar: Bar, density: float, saw: Saw) -> Iterator[Stock]:
    edge = saw.margin_of(bar.edges) if bar.edges is not Edges.MILL else None
    if bar.have:
        source = "offcut" if bar.offcut else "rack"
        rack_price = material_price(bar, density)  # carriage and cut charge were paid when it came
        beyond, tongue = bar.beyond
        yield Stock(
            name=bar.name,
            width=bar.true_width,
            length=bar.true_length,
            price=rack_price,
            count=bar.have,
            source=source,
            edge=edge,
            beyond=beyond,
            tongue=tongue,
        )
    if bar.buy:
        price = full_price(bar, density)
        yield Stock(name=bar.name, width=bar.width, length=bar.length, price=price, count=None, source="buy", edge=edge)


def bar_of(job: Job, stock: Stock) -> Bar:
    """The job's bar that a stock item stands for."""
    return next(bar for bar in job.bars if bar.name == stock.name)


def bars_laid_on(laid: Laid) -> dict[str, tuple[InHand, ...]]:
    """The bars that the blanks of each template lie on, one for each steel and thickness, with the serials of those blanks."""
    job, by_template = laid.model.job, dict[str, dict[InHand, InHand]]()
    for use, names in zip(laid.layout.bars, serials(laid.nesting, laid.layout), strict=True):
        stock = laid.nesting.stock[use.stock]
        for piece, serial in zip(use.pieces, names, strict=True):
            key = laid.nesting.parts[piece.part].key
            hand = bar_laid_on(job.template(key), bar_of(job, stock), (serial,), bought=stock.source == "buy")
            alike = by_template.setdefault(key, {})
            of_kind = replace(hand, bar="", serials=(), width=None, rack=False)
            alike[of_kind] = with_more(alike[of_kind], hand) if of_kind in alike else hand
    return {key: tuple(alike.values()) for key, alike in by_template.items()}


def stops(model: Model) -> list[Mistake]:
    """The problems of templates and bars that stop the job from being made."""
    names = {model.shapes[wish.template].name for wish in model.job.make}
    problems = (p for p in model.problems if p.severity is Severity.STOP and p.template in names)
    return [stop_told(problem, model.job.unit) for problem in problems]


def refuse_stopped(model: Model, blades: Iterable[tuple[str, InHand]]) -> None:
    """Raise JobError for templates, each with a bar, that a check stops: a sheet or cutting file of one would only ruin steel."""
    mistakes = dict.fromkeys(mistake for key, bar in blades for mistake in model.stops(key, bar))
    if mistakes:
        raise JobError([*mistakes])


def ground_template(model: Model, key: str) -> Template:
    """The parameters of a template. Raises JobError for a drawing, which has no grind and so no bench card."""
    blank = model.shapes[key]
    if blank.template is None:
        message = _("it is an imported outline without a grind, so it has no bench card.")
        raise JobError(
            [
                Mistake(
                    place=_("template “{name}”", name=blank.name), what=message, right=_("Choose a template made from a family.")
                )
            ]
        )
    return blank.template


def clash_in(nesting: NestingJob, layout: Layout) -> Mistake | None:
    """Blanks of a layout edited by hand that lie too near to something, on the first bar that has any; None if none do."""
    for number, use in enumerate(layout.bars, 1):
        clashes = clashing(nesting, use)
        if clashes:
            row = serials(nesting, layout)[number - 1]
            message = _("{names} on bar {number} are too close.", names=", ".join(row[i] for i in sorted(clashes)), number=number)
            return Mistake(place=_("layout"), what=message, right=_("Move them apart first."))
    return None


def refuse_clash(clash: Mistake | None) -> None:
    """Raise JobError if blanks of a layout lie too near to something: no such bar is cut, and nothing is written for it."""
    if clash is not None:
        raise JobError([clash])


def start(model: Model) -> NestingJob:
    """The nesting job. Raises JobError naming each blank that cannot be made and why."""
    mistakes = stops(model)
    if mistakes:
        raise JobError(mistakes)
    nesting = nesting_job(model)
    misfits = unfit(nesting)
    if misfits:
        raise JobError([_no_bar(model, nesting, part) for part in misfits])
    return nesting


def start_what_can(model: Model) -> tuple[Model, NestingJob | None, list[Mistake]]:
    """The job without the blanks that cannot be made, its nesting job (None when nothing is left), and why each was left out."""
    good, mistakes = [], []
    for wish in model.job.make:
        try:
            start(replace(model, job=replace(model.job, make=(wish,))))
            good.append(wish)
        except JobError as trouble:
            mistakes += trouble.mistakes
    reduced = replace(model, job=replace(model.job, make=tuple(good)))
    return reduced, nesting_job(reduced) if good else None, mistakes


def _no_bar(model: Model, nesting: NestingJob, part: int) -> Mistake:
    """Why no listed bar takes a blank, with the least size that would."""
    wish = model.job.make[part]
    place = _("make[{part}], “{template}”", part=part + 1, template=model.shapes[wish.template].name)
    if not any(p == part for p, _unused in nesting.suits):
        of_steel = sorted({str(round(b.thickness, 2)) for b in model.job.bars if b.steel.casefold() == wish.steel.casefold()})
        thick, steel, listed = f"{model.shapes[wish.template].thickness:.2f}", wish.steel, ", ".join(of_steel)
        advice = (
            _("It needs {thickness} mm of {steel}. Listed: {listed} mm.", thickness=thick, steel=steel, listed=listed)
            if listed
            else _("It needs {thickness} mm of {steel}. None is listed.", thickness=thick, steel=steel)
        )
        return Mistake(place=place, what=_("no bar has its steel and thickness."), right=advice)
    along, across = sizes(model.job.template(wish.template), model.shapes[wish.template])[0]
    bars = [bar for bar in model.job.bars if suits(model.job, model.job.template(wish.template), wish.steel, bar)]
    length, width = along + 2 * nesting.bar_end, across + min(margins(model.job, bar) for bar in bars)
    unit = model.job.unit
    least = _("It needs one of {length} × {width} {unit} or more.", length=show(length, unit), width=show(width, unit), unit=unit)
    return Mistake(place=place, what=_("fits on none of its bars."), right=least)


def least_offcut(job: Job) -> Least:
    """The least offcut that goes back to the rack. Beside blanks none does where a service cuts: it saws nothing free."""
    rules, service = job.settings, job.saw.cutting is Cutting.SERVICE
    return Least(max(rules.keep_offcut, LEAST_LENGTH), inf if service else max(rules.keep_width, LEAST_WIDTH))


def bound_of(nesting: NestingJob, layout: Layout) -> Bound:
    """The bound on the price of all layouts of these blanks that buy no more, and how it was found; takes tenths of a second."""
    return price_bound(nesting, laid_out(layout, len(nesting.parts)), bought_for(nesting, layout))


def finish(
    model: Model,
    nesting: NestingJob,
    progress: Progress,
    seed: int,
    bound: Bound | None = None,
    seconds: float | None = None,
) -> Laid:
    """The layout with its costs and its bound, which is computed if not given. `seconds`: that the search took."""
    price, by = bound_of(nesting, progress.best) if bound is None else bound
    settings = model.job.settings
    money = costs(nesting, progress.best, price, least_offcut(model.job), model.job.saw.kerf, credited=settings.credit_offcuts)
    return Laid(
        model=model,
        nesting=nesting,
        layout=progress.best,
        costs=money,
        bound_by=by,
        seed=seed,
        steps=progress.step,
        by=progress.by,
        seconds=seconds,
    )
