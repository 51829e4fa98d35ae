"""The type of one end of a pipe between two processes on this system."""

import sys

if sys.platform == "win32":
    from multiprocessing.connection import PipeConnection as Connection
else:
    from multiprocessing.connection import Connection

__all__ = ["Connection"]
