"""The model: a job with the shapes of its templates, the facts it is judged by, and the problems that checks find."""

from functools import cached_property, lru_cache
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

from msgspec import Struct

from workbook.later import modules
from workbook.problems import Mistake, Problem, Severity, worst_first
from workbook.shop.facts import Facts
from workbook.shop.in_hand import InHand, bars_for, in_hand, nominal_bar
from workbook.shop.job import AnyTemplate, Job, Quench
from workbook.shop.wording import sentence
from workbook.structs import replace
from workbook.template.drawn import shape_of_drawn
from workbook.template.model import Template
from workbook.template.shape import Shape, shape
from workbook.template.tools import Tools, drills_for
from workbook.texts import _
from workbook.units import Unit

if TYPE_CHECKING:
    from workbook.grind import checks as grind_checks
    from workbook.shop import checks as shop_checks
    from workbook.template import checks as template_checks
else:
    grind_checks, shop_checks, template_checks = modules("grind.checks", "shop.checks", "template.checks")

_FOUND: WeakKeyDictionary[Shape, dict[tuple[Tools, float, str, tuple[float, ...]], tuple[Problem, ...]]] = WeakKeyDictionary()
_QUENCHES = (("brine", "water"), ("water", "water"), ("plate", "air"), ("air", "air"), ("oil", "oil"))


class Model(Struct, frozen=True, kw_only=True, dict=True):
    """A job with the shapes of its templates, by their keys. Results of checks are computed when first needed, and cached."""

    job: Job
    facts: Facts
    tools: Tools
    shapes: dict[str, Shape]

    def checked(self, key: str) -> tuple[Problem, ...]:
        """The problems of one template and its grind, worst first."""
        return self.judged(key, self.shapes[key])

    def judged_with_bars(self, key: str) -> tuple[Problem, ...]:
        """The same with those between its blanks and the bars."""
        return tuple(worst_first((*self.checked(key), *(p for p in self.of_bars if p.template == self.shapes[key].name))))

    def judged(self, key: str, blank: Shape) -> tuple[Problem, ...]:
        """The same for a blank that is, or was, that of a template."""
        bar = self.in_hand(key) if key in self.shapes else nominal_bar(blank.thickness)
        return _checked(blank, self.tools, bar.thickness, quench_for(self, bar.steel), self.job.tools.wheels)

    @cached_property
    def _bars(self) -> dict[str, tuple[InHand, ...]]:
        return {}  # filled by `bars_for`

    def bars_for(self, key: str) -> tuple[InHand, ...]:
        """The bars that suit a template; nominal last."""
        if key not in self._bars:
            self._bars[key] = bars_for(self.job, key)
        return self._bars[key]

    def in_hand(self, key: str) -> InHand:
        """The bar that blades of a template are made of."""
        return in_hand(self.job, key, self.bars_for(key))

    def steel_of(self, key: str) -> str:
        """The steel that blades of a template are made of: of the bar in hand, else of one that suits; "" if none does."""
        return next((bar.steel for bar in (self.in_hand(key), *self.bars_for(key)) if bar.steel), "")

    def judged_on(self, key: str, bar: InHand) -> tuple[Problem, ...]:
        """The problems of one template made of a bar, and of its blanks with that bar, worst first."""
        blank, template, quench = self.shapes[key], self.job.template(key), quench_for(self, bar.steel)
        problems = _checked(blank, self.tools, bar.thickness, quench, self.job.tools.wheels)
        skin = self.facts.hot_rolled_skin
        bars = [each for each in self.job.bars if bar.rack and each.name in bar.names]
        return tuple(
            worst_first((*problems, *(p for each in bars for p in shop_checks.check_bar(self.job, template, blank, each, skin))))
        )

    def stops(self, key: str, bar: InHand | None = None) -> list[Mistake]:
        """Why a template may be neither printed nor cut, if a check stops it. `bar`: the blade's, by default the one in hand."""
        problems = self.checked(key) if bar is None else self.judged_on(key, bar)
        return [stop_told(problem, self.job.unit) for problem in problems if problem.severity is Severity.STOP]

    @property
    def problems(self) -> tuple[Problem, ...]:
        """All problems: the templates' in their order, then those between blanks and bars."""
        return (*(p for key in self.shapes for p in self.checked(key)), *self.of_bars)

    @cached_property
    def of_bars(self) -> tuple[Problem, ...]:
        """The problems between the blanks to be made and the bars."""
        return shop_checks.check_bars(self.job, self.shapes, self.facts.hot_rolled_skin)


def stop_told(problem: Problem, unit: Unit) -> Mistake:
    """A stop, as the mistake reported when something is refused for it."""
    return Mistake(
        place=_("template “{template}”", template=problem.template),
        what=_("{finding}.", finding=sentence(problem, unit)),
        right=_("Source: {source}.", source=problem.source) if problem.source else "",
    )


def _checked(blank: Shape, tools: Tools, bar: float, quench: str, wheels: tuple[float, ...]) -> tuple[Problem, ...]:
    """The problems of a blank and its grind, worst first; cached, since the same are asked for again and again."""
    cache = _FOUND.setdefault(blank, {})
    key = (tools, bar, quench, wheels)
    if key not in cache:
        cache[key] = _checked_anew(blank, *key)
    return cache[key]


def _checked_anew(blank: Shape, tools: Tools, bar: float, quench: str, wheels: tuple[float, ...]) -> tuple[Problem, ...]:
    problems = template_checks.check(blank, tools)
    if any(p.severity is Severity.STOP for p in problems):
        return tuple(problems)  # what cannot be made needs no bevel
    return tuple(
        worst_first((*problems, *grind_checks.check_grind(blank, grind_checks.GroundFrom(bar=bar, quench=quench, wheels=wheels))))
    )


def quench_for(model: Model, steel: str) -> str:
    """What a steel is quenched in: as the maker says, else what the table of heat treatment names first; oil if unknown."""
    if model.job.settings.quench is not Quench.BY_STEEL:
        return model.job.settings.quench.value
    words = model.facts.quench_words(steel)
    places = {name: words.find(word) for word, name in _QUENCHES if word in words}
    return min(places, key=lambda name: places[name], default="oil")


def model_of(job: Job, facts: Facts, before: Model | None = None) -> Model:
    """The model of a job. Shapes unchanged since `before` are reused, so that what is cached for them stays valid."""
    return _model(job, facts, tools_for(job, facts), before)


def _model(job: Job, facts: Facts, tools: Tools, before: Model | None) -> Model:
    previous = before if before is not None and before.tools == tools else None
    earlier = dict(zip(previous.job.keys, previous.job.templates, strict=True)) if previous is not None else {}

    def shape_of(key: str, template: AnyTemplate) -> Shape:
        old = earlier.get(key)
        return (
            previous.shapes[key] if previous is not None and (old is template or old == template) else shape_for(template, tools)
        )

    shapes = {key: shape_of(key, template) for key, template in zip(job.keys, job.templates, strict=True)}
    return Model(job=job, facts=facts, tools=tools, shapes=shapes)


def with_template(model: Model, key: str, template: AnyTemplate) -> Model:
    """The model with one template of its job replaced; only what depends on it is computed again."""
    job = model.job
    templates = tuple(template if k == key else t for k, t in zip(job.keys, job.templates, strict=True))
    return _model(replace(job, ids=job.keys, templates=templates), model.facts, model.tools, model)


def tools_for(job: Job, facts: Facts) -> Tools:
    """The maker's tools as the job's settings have them."""
    s = job.settings
    return Tools(
        drills=drills_for(facts.drills, job.unit, job.tools.drills),
        tang_clearance=s.tang_clearance,
        smallest_radius=job.tools.smallest_radius or s.smallest_radius,
        web=s.web,
        hand_breadth=s.hand_breadth,
    )


@lru_cache(maxsize=64)
def shape_for(template: AnyTemplate, tools: Tools) -> Shape:
    """The shape of a template of either kind. The latest are cached: a drag asks for each twice, an undo for the previous one."""
    return shape(template, tools) if isinstance(template, Template) else shape_of_drawn(template, tools)
