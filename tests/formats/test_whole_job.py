"""A job whose every field differs from its default comes back the same, from its file and from a workbook."""

from itertools import count

import pytest
from msgspec.structs import fields

from tests.filled import another, at, filled, hint_at, leaves, other_fields, put
from tests.formats.jobs import job as read
from tests.named import by_names
from workbook.document.actions.whole import bring_in
from workbook.document.document import Document
from workbook.document.queries import job_of
from workbook.formats.family import family
from workbook.formats.job_out import job_text
from workbook.sheath.rules import SheathRules
from workbook.shop.job import NOMINAL, Bar, Choice, Cutting, Job, Make, Measured, Rules, Saw
from workbook.structs import replace
from workbook.template.model import GROUPS, Bevel, FreePoint, HoleWish, OutlineRun, Purpose, Template
from workbook.template.parameters import PARAMETERS, Kind, changed
from workbook.template.service import Service
from workbook.template.tools import Owned

NOT_OF_A_JOB_FILE = {
    "serials": "on blanks that were cut: the workbook's pieces have them",
    "cut": "the same",
    "chosen": "tested with the whole job: it names templates and bars",
    "ids": "a job file knows its templates by their names",
    "defaults": "what the file left out, told after reading",
}
NOT_OF_A_TEMPLATE = {
    "use": "family default", "patterns": "the family's; `holes` stand for them once one was moved",
    "revision": "counted by the workbook", "family": "tested with every family",
}  # fmt: skip
OWN = family("petty")
BAR = Bar(name="bar", steel="O1", thickness=2.0, width=50.8, length=914.4, have=2)  # there is one: else none is laid out on
LEAST = Job(name="least", templates=(OWN,), bars=(BAR,), make=(Make(template=OWN.name, steel="O1", quantity=1),))


def other_measured():
    """Readings that may be of the bar."""
    sizes = {"thickness": 2.03, "middle": 2.02, "far": 2.01, "bow": 0.4, "width": 50.9, "length": 915.0}
    assert set(sizes) == set(dict(leaves(Measured())))
    return Measured(**sizes)


def other_template():
    """A template all of whose parameters are other ones than its family's."""
    made = OWN
    for parameter in PARAMETERS:
        low, high = parameter.limits(OWN)
        value = parameter.value(made)
        if parameter.kind in (Kind.CHOICE, Kind.TEXT):
            group = type(getattr(OWN, parameter.group))
            value = another(value, hint_at(group, parameter.key), parameter.key)
            value = Bevel.CONVEX if isinstance(value, Bevel) else value  # the height of a Scandi bevel is not its own
        else:
            value = round((low + high) / 2 + (high - low) / 7, 3) if value != (low + high) / 2 else low
        made = changed(made, parameter.path, value)
    free = {
        "blade": (FreePoint(run=OutlineRun.SPINE, at=0.5, x=0.5, y=1.25),),
        "handle": (FreePoint(run=OutlineRun.BUTT, at=0.25, x=-0.5, y=0.75),),
    }
    made = replace(made, **{group: replace(getattr(made, group), free=points) for group, points in free.items()})
    holes = (HoleWish(purpose=Purpose.LANYARD, size=6.5, x=-90.25, y=1.5),)
    return replace(made, name="Other", holes=holes, rolling=another(OWN.rolling, type(OWN.rolling)))


def whole():
    """The job. Spines on the bar's edge do not go with sawn edges, nor openings without a service."""
    own = other_template()
    bar = filled(Bar, BAR, measured=other_measured(), steel="O1")
    return Job(
        **{field: another(value, hint_at(Job, field), field) for field, value in (("name", ""), ("unit", "in"))},
        currency="NOK",
        region="nb-NO",
        saw=filled(Saw, Saw(), cutting=Cutting.SERVICE, spine_on_edge=False),
        settings=filled(Rules, Rules()),
        tools=filled(Owned, Owned(), wheels=(254.0, 50.8), files=(6.35,), drills=("metric",)),
        service=filled(Service, Service()),
        sheath=filled(SheathRules, SheathRules()),
        templates=(own, OWN),
        bars=(bar, replace(BAR, steel="1095")),
        make=(Make(template="Other", steel="O1", quantity=7), Make(template=OWN.name, steel="1095", quantity=3)),
        chosen=(("Other", Choice(bar.name)), (OWN.name, Choice(NOMINAL))),
    )


def through_a_file(job):
    return read(job_text(job, {}))


def through_a_workbook(job):
    numbers = count(1)
    return by_names(job_of(Document().applied(bring_in(Document(), job, lambda: f"id{next(numbers)}"))))


@pytest.mark.parametrize("through", [through_a_file, through_a_workbook])
def test_a_job_with_everything_other_comes_back_the_same(through):
    job, found = whole(), through(whole())
    assert not other_fields(found, job, {*NOT_OF_A_JOB_FILE, "templates"})
    assert found.chosen == job.chosen
    for one, two in zip(found.templates, job.templates, strict=True):
        assert not other_fields(one, two, NOT_OF_A_TEMPLATE if through is through_a_file else ())


def test_the_job_differs_everywhere():
    job = whole()
    for part in (Saw(), Rules(), Owned(), Service(), SheathRules()):
        own = next(
            getattr(job, name)
            for name in ("saw", "settings", "tools", "service", "sheath")
            if type(getattr(job, name)) is type(part)
        )
        same = set(dict(leaves(part)).items()) & set(dict(leaves(own)).items())
        assert not {path for path, _ in same} - {"spine_on_edge"}
    assert not {path for path, value in leaves(job.bars[0]) if value == at(BAR, path)} - {"steel"}
    assert {p.path for p in PARAMETERS if p.value(job.templates[0]) == p.value(OWN)} == set()


def test_every_part_of_a_template_is_a_parameter_or_known_to_be_none():
    own = {path for path, _ in leaves(OWN)}
    known = {p.path for p in PARAMETERS} | {"name", "holes", "rolling", *(f"{group}.free" for group in ("blade", "handle"))}
    assert own - known == set(NOT_OF_A_TEMPLATE)
    assert set(GROUPS) <= {path.split(".")[0] for path in own}
    assert isinstance(OWN, Template)


ALONE = {"tools.drills": ("metric",), "tools.wheels": (254.0,), "tools.files": (6.35,), "currency": "NOK", "region": "nb-NO"}
SWITCHED = {"settings.use_openings": ("saw.cutting", Cutting.SERVICE)}  # what else must be so
PATHS = [path for path, _ in leaves(LEAST) if path not in (*NOT_OF_A_JOB_FILE, "templates", "bars", "make")]


@pytest.mark.parametrize("path", PATHS)
def test_a_field_that_alone_is_other_comes_back_the_same(path):
    job = put(LEAST, path, ALONE.get(path) or another(at(LEAST, path), hint_at(Job, path), path))
    job = put(job, *SWITCHED[path]) if path in SWITCHED else job
    for through in (through_a_file, through_a_workbook):
        assert not other_fields(through(job), job, NOT_OF_A_JOB_FILE)
    assert job != LEAST


@pytest.mark.parametrize("name", [field.name for field in fields(Bar)])
def test_a_field_of_a_bar_that_alone_is_other_comes_back_the_same(name):
    new = other_measured() if name == "measured" else another(getattr(BAR, name), hint_at(Bar, name), name)
    bar = replace(BAR, **{name: new})
    job = replace(LEAST, bars=(bar,), make=(replace(LEAST.make[0], steel=bar.steel),))
    for through in (through_a_file, through_a_workbook):
        assert not other_fields(through(job), job, NOT_OF_A_JOB_FILE)
    assert bar != BAR


def test_what_is_empty_in_a_workbook_may_be_empty_in_a_job_file():
    own = changed(changed(OWN, "handle.material", ""), "handle.fasteners", "")
    job = replace(LEAST, templates=(own,), service=Service(kerf=0.2))
    assert not other_fields(through_a_file(job), job, NOT_OF_A_JOB_FILE)


@pytest.mark.parametrize("path", [p.path for p in PARAMETERS])
def test_a_parameter_that_alone_is_other_comes_back_the_same(path):
    made = changed(OWN, path, at(other_template(), path))
    found = through_a_file(replace(LEAST, templates=(made,))).templates[0]
    assert not other_fields(found, made)
    assert made != OWN
