"""Templates of a workspace by their names, for tests: the program goes by their ids."""

from workbook.document.queries import template_named
from workbook.structs import replace


def key_of(space, name):
    """The id of a template."""
    return template_named(space.session.document, name).id


def names(space):
    """The names of all, in the shelf's order."""
    return [template.name for template in space.model.job.templates]


def template_of(space, name):
    """A template as it is shown."""
    return space.model.job.template(key_of(space, name))


def named(job, name):
    """A template of a job."""
    return next(template for template in job.templates if template.name == name)


def by_names(job):
    """A job of a workbook as a job file has it: its templates go by their names."""
    names = {key: template.name for key, template in zip(job.keys, job.templates, strict=True)}
    return replace(
        job,
        ids=(),
        make=tuple(replace(wish, template=names[wish.template]) for wish in job.make),
        chosen=tuple((names[key], choice) for key, choice in job.chosen),
        cut=tuple(replace(blank, template=names[blank.template]) for blank in job.cut),
    )
