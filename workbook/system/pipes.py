"""An end of a pipe between two processes, as this system has it."""

import sys

if sys.platform == "win32":
    from multiprocessing.connection import PipeConnection as Connection
else:
    from multiprocessing.connection import Connection

__all__ = ["Connection"]
