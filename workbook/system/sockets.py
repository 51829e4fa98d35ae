"""What windows that were killed leave behind: their sockets. Windows has none, its pipes go with the process."""

import os
import socket
import stat
import sys
from contextlib import suppress
from pathlib import Path


def remove_dead(folder: Path, beginning: str) -> int:
    """Removes sockets of this user whose names begin so and behind which nobody listens; how many."""
    removed = 0
    if sys.platform != "win32":
        with suppress(OSError):  # a folder that may not be looked through
            for place in folder.glob(f"{beginning}*"):
                with suppress(OSError):
                    found = place.lstat()
                    if stat.S_ISSOCK(found.st_mode) and found.st_uid == os.geteuid() and _is_dead(place):
                        place.unlink()
                        removed += 1
    return removed


def _is_dead(place: Path) -> bool:
    """Whether nobody listens; one that is only busy is not dead."""
    if sys.platform != "win32":
        with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as call:
            call.setblocking(False)
            try:
                call.connect(str(place))
            except ConnectionRefusedError:
                return True
            except OSError:
                return False
    return False
