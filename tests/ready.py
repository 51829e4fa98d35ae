"""What a nesting worker or a reader takes a second to bring: imported once by the server that the suite copies them from."""

import ezdxf  # noqa: F401

import workbook.formats.dxf_in
import workbook.tasks.guarded
import workbook.tasks.worker  # noqa: F401
from workbook.tasks import compiling

if compiling.possible() and compiling.ready():
    compiling.load()
