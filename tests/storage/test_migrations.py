"""A file of every version ever released opens as it was meant; there is a step from each to the next."""

from pathlib import Path

import pytest

from workbook.document.queries import job_of
from workbook.document.records import Revision
from workbook.storage.file import read, written
from workbook.storage.migrations import STEPS, VERSION

SAMPLES = Path(__file__).parents[1] / "samples"


def test_there_is_a_sample_of_every_version_and_a_step_from_each_to_the_next():
    assert [(SAMPLES / f"version-{n}.shopbook").is_file() for n in range(1, VERSION + 1)] == [True] * VERSION
    assert set(STEPS) == set(range(1, VERSION))


@pytest.mark.parametrize("version", range(1, VERSION + 1))
def test_the_sample_of_a_version_opens_with_all_it_holds(version):
    body, _ = read(SAMPLES / f"version-{version}.shopbook")
    job = job_of(body.document)
    assert [t.name for t in job.templates] == ["Petty", "Santoku type", "Paring", "Fillet"]
    assert job.template("Petty").blade.length == 141.0
    assert len(job.bars) == 5
    assert sum(wish.quantity for wish in job.make) == 14
    assert job.saw.band == 6.35
    assert len(list(body.document.all(Revision))) == 1
    assert [step.edit.words for step in body.steps][-1] == "Fillet: blade length 7 1/4 in"
    assert (body.done, len(body.steps)) == (4, 5)


def test_todays_sample_is_written_as_it_is():
    """A change of the format that is not a new version would show here."""
    sample = SAMPLES / f"version-{VERSION}.shopbook"
    assert written(read(sample)[0]) == sample.read_bytes()
