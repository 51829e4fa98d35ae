"""Sockets left behind by killed windows. Windows has none: its pipes end with the process."""

import os
import socket
import stat
import sys
from contextlib import suppress
from pathlib import Path


def remove_dead(folder: Path, beginning: str) -> int:
    """Remove this user's sockets with names that begin so and on which nobody listens; returns how many."""
    removed = 0
    if sys.platform != "win32":
        with suppress(OSError):  # a folder that may not be listed
            for path in folder.glob(f"{beginning}*"):
                with suppress(OSError):
                    status = path.lstat()
                    if stat.S_ISSOCK(status.st_mode) and status.st_uid == os.geteuid() and _is_dead(path):
                        path.unlink()
                        removed += 1
    return removed


def _is_dead(path: Path) -> bool:
    """Whether nobody listens on a socket; a busy one is not dead."""
    if sys.platform != "win32":
        with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as client:
            client.setblocking(False)
            try:
                client.connect(str(path))
            except ConnectionRefusedError:
                return True
            except OSError:
                return False
    return False
