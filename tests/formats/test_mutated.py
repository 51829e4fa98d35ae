"""Jobs and drawings changed at random: read, or refused with a word, and quickly."""

import random
import time

import ezdxf
import pytest

from tests.counts import tries
from tests.formats.dxf_drawings import pentagon, stadium
from tests.formats.jobs import no_outline
from tests.mutation import mutated
from workbook.formats.dxf_in import read_loops
from workbook.formats.job import read_job
from workbook.paths import resource
from workbook.problems import JobError
from workbook.template.drawn import assemble

COUNT = tries(120, 10_000)


def test_a_job_changed_at_random_is_read_or_refused():
    chance, data = random.Random(5), resource("demo", "harbour-kitchen-run.toml").read_bytes()
    pieces = [b"[", b"]]", b'"', b"= nan", b"1e999", b"\n[[bar]]\n", b"\x00", b"9" * 40, b"-", "é".encode()]
    for _ in range(COUNT):
        began = time.monotonic()
        try:
            read_job(mutated(data, chance, pieces).decode("utf-8", "replace"), no_outline)
        except JobError as trouble:
            assert trouble.lines()
        assert time.monotonic() - began < 5


@pytest.fixture
def drawing(tmp_path):
    made = ezdxf.new(units=4)
    pentagon(made.modelspace())
    stadium(made.modelspace(), layer="other")
    made.modelspace().add_circle((60, 15), 3)
    made.saveas(tmp_path / "plate.dxf")
    return (tmp_path / "plate.dxf").read_bytes()


def test_a_drawing_changed_at_random_is_read_or_refused(drawing, tmp_path):
    chance, file = random.Random(6), tmp_path / "mutated.dxf"
    entities = drawing.index(b"ENTITIES")
    pieces = [b"\n0\nLINE\n", b"\n10\nnan\n", b"\n42\n1e300\n", b"\n0\nINSERT\n2\nX\n", b"\n90\n-5\n", b"1e999", b"\x00", b"\n"]
    for n in range(COUNT):
        body = mutated(drawing[entities:], chance, pieces) if n % 3 else mutated(drawing, chance, pieces)
        file.write_bytes((drawing[:entities] if n % 3 else b"") + body)
        began = time.monotonic()
        try:
            loops, remarks = read_loops(file, None)
            assemble(loops, file.name, remarks)
        except JobError as trouble:
            assert trouble.lines()
        assert time.monotonic() - began < 5
