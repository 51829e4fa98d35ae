"""Makes the packed program, which needs no Python: `python3 packaging/build.py`, on Linux, Windows or macOS.

This file holds only what any Python can read, however old; the work is in `building.py` beside it.
"""

import sys

if sys.version_info < (3, 11):  # noqa: UP036 - here for the Pythons that the project does not support
    sys.exit("Building Maker's Workbook needs Python 3.11 or newer, and this is Python " + sys.version.split()[0] + ".")

from building import main

if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
