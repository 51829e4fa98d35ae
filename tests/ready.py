"""What a nesting worker takes a second to bring: imported once by the server that the suite's workers are copied from."""

import workbook.tasks.worker  # noqa: F401
from workbook.tasks import compiling

if compiling.possible() and compiling.ready():
    compiling.load()
