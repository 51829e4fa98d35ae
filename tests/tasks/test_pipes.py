"""What a file's name leads to is no file: it is said, and neither opened nor waited for."""

import os
import sys
from threading import Timer

import pytest

from tests.formats.jobs import LEAST
from workbook.document.document import Document
from workbook.formats.dxf_in import read_loops
from workbook.formats.layout_in import read_layout
from workbook.formats.picture import read_picture
from workbook.formats.svg_in import read_svg
from workbook.problems import JobError
from workbook.tasks.load import load_job
from workbook.tasks.stock_csv import stock_file

READERS = {
    "job.toml": load_job,
    "stock.csv": lambda path: stock_file(Document(), path, "2026-11-28", lambda: "new"),
    "layout.json": read_layout,
    "knife.dxf": lambda path: read_loops(path, None),
    "knife.svg": lambda path: read_svg(path, None),
    "photo.png": read_picture,
}
pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such names")


@pytest.mark.parametrize("name", READERS)
def test_a_pipe_is_not_waited_for(tmp_path, name):
    path = tmp_path / name
    os.mkfifo(path)
    waited = []

    def rescue():  # whoever reads gets something, and the test fails instead of standing still
        waited.append(name)
        os.close(os.open(path, os.O_WRONLY | os.O_NONBLOCK))

    timer = Timer(5, rescue)
    timer.start()
    with pytest.raises(JobError, match="a pipe has this name"):
        READERS[name](path)
    timer.cancel()
    assert not waited


@pytest.mark.parametrize("name", READERS)
def test_a_device_is_not_read(tmp_path, name):
    (tmp_path / name).symlink_to("/dev/null")
    with pytest.raises(JobError, match="a device has this name"):
        READERS[name](tmp_path / name)


def test_an_outline_that_is_a_pipe_is_said_with_its_place(tmp_path):
    os.mkfifo(tmp_path / "old.dxf")
    (tmp_path / "job.toml").write_text(LEAST.replace('family = "petty"', 'outline = "old.dxf"\nblade.thickness = "2 mm"'))
    with pytest.raises(JobError, match=r"template\[1\].outline: old.dxf, .*a pipe has this name"):
        load_job(tmp_path / "job.toml")
