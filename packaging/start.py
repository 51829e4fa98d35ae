"""Sets the project up and opens it or tests it: `python3 packaging/start.py run`, or `test`.

This file holds only what any Python can read, however old, so that an old one gets a sentence and no traceback;
the work is in `commands.py` beside it.
"""

import sys

if sys.version_info < (3, 11):  # noqa: UP036 - here for the Pythons that the project does not support
    sys.exit("Maker's Workbook needs Python 3.11 or newer, and this is Python " + sys.version.split()[0] + ".")

from commands import main

if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
