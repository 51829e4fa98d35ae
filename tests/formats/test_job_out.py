"""A job that is written reads as that job."""

import ezdxf
import pytest
from hypothesis import given
from msgspec import Struct
from msgspec.structs import fields

from tests.formats.dxf_drawings import area, stadium, template
from tests.formats.jobs import LEAST, job
from tests.strategies import changes, made
from workbook.document.codec import encoded
from workbook.formats.family import family, family_ids
from workbook.formats.job_out import job_text
from workbook.shop.job import Bar, Edges, Job, Make, Measured, PricePer, Rules, Saw
from workbook.structs import replace
from workbook.tasks.job_files import job_files
from workbook.tasks.load import load_job, shaped
from workbook.template.model import HoleWish, Purpose, Rolling
from workbook.template.tools import Owned


def check(wanted):
    """What is written reads as the same job: lengths to the millionth of a mm, all else exactly; and is written so again."""
    text = job_text(wanted, {})
    read = job(text)
    assert job_text(read, {}) == text
    assert encoded(rounded(read)) == encoded(rounded(wanted))


def rounded(value):
    """A record with its numbers rounded as they are written, without the defaults noted."""
    if isinstance(value, float):
        return round(value, 5) + 0.0
    if isinstance(value, tuple):
        return tuple(rounded(item) for item in value)
    if isinstance(value, Struct):
        return replace(value, **{f.name: () if f.name == "defaults" else rounded(getattr(value, f.name)) for f in fields(value)})
    return value


def around(own):
    """A job that makes a template."""
    bar = Bar(name='a "bar" of\\steel', steel="O1", thickness=own.blade.thickness, width=90.0, length=900.0)
    return Job(name="Ünïcode ü", unit="mm", currency="EUR", templates=(own,), bars=(bar,),
               make=(Make(template=own.name, steel="O1", quantity=2),))  # fmt: skip


@pytest.mark.parametrize("name", family_ids())
def test_every_family_reads_as_it_was_written(name):
    check(around(family(name)))


@given(changes().map(made))
def test_any_parameters_read_as_they_were_written(moved):
    if moved.grind.bevel.value == "scandi" and moved.grind.height is not None:
        return  # such a height is refused: it follows from the angle
    check(around(moved))


def test_tools_read_as_they_were_written():
    check(replace(around(family("petty")), tools=Owned(wheels=(254.0, 50.8), files=(6.35,), drills=("number", "metric"))))
    check(replace(around(family("petty")), tools=Owned(drills=("fraction",))))


def test_everything_else_reads_as_it_was_written():
    own = replace(family("petty"), rolling=Rolling.ACROSS, holes=(HoleWish(purpose=Purpose.PIN, size=6.35, x=-20.125, y=0.5),))
    bar = Bar(
        name="rack", steel="O1", thickness=2.0, width=50.8, length=914.4, per=PricePer.FOOT, have=3, buy=True, offcut=True,
        edges=Edges.SAWN, hot_rolled=True, measured=Measured(width=50.9),
    )  # fmt: skip
    whole = replace(
        around(own),
        bars=(bar,),
        saw=Saw(kerf=1.1, bar_edge=0.7, sawn_edge=2.0, band=6.35, tightest_radius=12.0, tilt=1.5),
        settings=Rules(offcuts_first=True, under=0.2, web=4.0),
    )
    check(whole)


def test_the_least_job_reads_as_it_was_written():
    least = job(LEAST)
    check(least)


def test_an_outline_from_a_file_is_written_beside_the_job(tmp_path):
    drawing = ezdxf.new(units=4)
    stadium(drawing.modelspace())
    drawing.modelspace().add_circle((40, 20), 3.2)
    drawing.saveas(tmp_path / "old.dxf")
    drawn = replace(template(tmp_path / "old.dxf"), name="Old pattern", thickness=2.0)
    bar = Bar(name="bar", steel="O1", thickness=2.0, width=90.0, length=900.0)
    first = Job(name="Drawn", templates=(drawn,), bars=(bar,), make=(Make(template="Old pattern", steel="O1", quantity=1),))
    for name, data in job_files(shaped(first), "job.toml").items():
        (tmp_path / name).write_bytes(data)
    again = load_job(tmp_path / "job.toml")
    assert area(again.job.templates[0]) == pytest.approx(area(drawn), rel=1e-6)
    assert len(again.shapes["Old pattern"].holes) == 1
    assert again.job.make == first.make
