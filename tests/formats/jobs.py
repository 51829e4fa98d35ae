"""The least job there is, and reading it."""

import pytest

from workbook.formats.job import read_job
from workbook.problems import JobError, Mistake

LEAST = """
[[template]]
name = "Petty"
family = "petty"
[[bar]]
steel = "1095"
thickness = "2 mm"
width = "50 mm"
length = "900 mm"
[[make]]
template = "Petty"
"""


def no_outline(wanted):
    """Stands for a folder without drawings."""
    return [JobError([Mistake(place="DXF", what="there is no such file.")]) for _ in wanted]


def job(text):
    """The job in a text that names no outline file."""
    return read_job(text, no_outline)


def told(text):
    """What is told of a text that is no job."""
    with pytest.raises(JobError) as caught:
        job(text)
    return caught.value.lines()
