"""The start of the packed program. What a running program starts again by `-m` is answered here: there is no Python beside it."""

import sys
from multiprocessing import freeze_support

COMPILING = ["-m", "workbook.tasks.compiling"]

if __name__ == "__main__":
    freeze_support()  # a process of our own, to lay out or to read a stranger's file, ends in here
    if sys.argv[1:3] == COMPILING:
        from workbook.tasks.compiling import main as compile_missing

        sys.exit(compile_missing(sys.argv[3:]))
    if sys.argv[1:3] == ["-m", "self_test"]:
        from self_test import main as try_parts

        sys.exit(try_parts(sys.argv[3:]))
    from workbook.__main__ import main

    sys.exit(main())
