"""The model of a job: what was worked out once is not worked out again."""

import pytest

from workbook.model import model as models
from workbook.model.model import shape_for, with_template
from workbook.structs import replace
from workbook.tasks.load import shaped
from workbook.template import checks as template_checks
from workbook.template.parameters import changed

MANY = 200


@pytest.fixture
def many(demo):
    """A job of many templates, and what was computed: shapes and checks, one by one."""
    own = demo.job.template("Petty")
    templates = tuple(replace(changed(own, "blade.length", 100.0 + n / 10), name=f"Petty {n}") for n in range(MANY))
    return replace(demo.job, templates=templates, make=())


@pytest.fixture
def computed(monkeypatch):
    """Names of the templates whose shapes, and whose checks, were computed."""
    shapes, checks = [], []
    shape, check = models.shape, template_checks.check
    monkeypatch.setattr(models, "shape", lambda template, tools: shapes.append(template.name) or shape(template, tools))
    monkeypatch.setattr(template_checks, "check", lambda blank, tools: checks.append(blank.name) or check(blank, tools))
    shape_for.cache_clear()
    return shapes, checks


def test_a_shape_is_computed_once_however_many_templates_there_are(many, computed):
    shapes, _ = computed
    model = shaped(many)
    assert len(shapes) == MANY
    other = shaped(replace(many, name="another name", saw=replace(many.saw, kerf=1.0), bars=many.bars[1:]), model)
    assert len(shapes) == MANY
    assert all(other.shapes[name] is blank for name, blank in model.shapes.items())
    longer = changed(many.templates[7], "blade.length", 130.0)
    one = shaped(replace(many, templates=(longer, *many.templates[:7], *many.templates[8:])), model)
    assert shapes[MANY:] == ["Petty 7"]
    assert [name for name, blank in one.shapes.items() if blank is not model.shapes[name]] == ["Petty 7"]
    for _ in range(3):
        with_template(one, longer.name, changed(longer, "blade.length", 131.0))
        with_template(one, longer.name, longer)
    assert len(shapes) == MANY + 2, "a drag and an undo ask again for the last ones"
    shaped(replace(many, settings=replace(many.settings, web=4.0)), model)
    assert len(shapes) == 2 * MANY + 2, "other tools make other shapes"


def test_checks_are_made_once_however_many_templates_there_are(many, computed):
    _, checks = computed
    model = shaped(replace(many, templates=many.templates[:80]))
    for _ in range(2):
        assert all(model.checked(name) == () for name in model.shapes)
    again = shaped(replace(model.job, name="another name"), model)
    assert all(again.checked(name) == () for name in again.shapes)
    assert len(checks) == 80
