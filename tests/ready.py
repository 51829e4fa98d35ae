"""What a nesting worker or a reader takes a second to bring: imported once by the server that the suite copies them from."""

import ezdxf  # noqa: F401

import workbook.formats.dxf_in
import workbook.tasks.guarded  # noqa: F401
from tests.at_ease import AT_ONCE
from workbook.model.laying import start
from workbook.tasks import compiling
from workbook.tasks.demo import demo_job
from workbook.tasks.searching import search

if compiling.possible() and compiling.ready():
    compiling.load()
    for _ in search(start(demo_job()), 0, lambda step: step >= AT_ONCE):  # what comes with the first steps only
        pass
