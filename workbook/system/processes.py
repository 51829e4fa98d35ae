"""Processes by a name that no other ever has: the computer, the number, and when it was started."""

import hashlib
import os
import platform
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from workbook.later import library

if TYPE_CHECKING:
    import subprocess
else:
    subprocess = library("subprocess")


def this_process() -> str:
    """The name of this process."""
    return f"{_computer()} {os.getpid()} {_started(os.getpid())}"


def has_ended(name: str) -> bool:
    """Whether the process of a name has ended; True for what is no name, False where it cannot be told: another computer's."""
    computer, _, rest = name.partition(" ")
    number, _, started = rest.partition(" ")
    if not number.isascii() or not number.isdigit() or not started:
        return True
    return computer == _computer() and _started(int(number)) != started


def _computer() -> str:
    """A word for this computer that does not change when its name does; of a secret number only the hash."""
    try:
        known = Path("/etc/machine-id").read_text().strip()
    except (OSError, ValueError):
        known = ""
    return hashlib.sha256((known or platform.node()).encode()).hexdigest()[:16]


def _started(number: int) -> str:
    """When a process was started, in the system's own words; "" when there is none of that number."""
    if sys.platform == "win32":
        from workbook.system import windows  # there alone

        return windows.started(number)
    elif sys.platform == "linux":
        return _started_by_proc(number)
    else:
        return _started_by_ps(number)


def _started_by_proc(number: int) -> str:
    try:
        state, *rest = Path(f"/proc/{number}/stat").read_text(errors="replace").rpartition(")")[2].split()
        boot = Path("/proc/sys/kernel/random/boot_id").read_text().strip()
    except OSError:
        return ""
    return "" if state in ("Z", "X") else f"{boot}/{rest[18]}"  # ticks since the system began


def _started_by_ps(number: int) -> str:
    command = ["/bin/ps", "-o", "lstart=", "-p", str(number)]
    told = subprocess.run(command, env={"LC_ALL": "C", "TZ": "UTC"}, capture_output=True, text=True, check=False)
    return "-".join(told.stdout.split())


def cores() -> int:
    """Cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def alone() -> dict[str, Any]:
    """How `Popen` starts a process that neither the end of this one nor a key of its terminal ends."""
    if sys.platform == "win32":
        return {"creationflags": subprocess.DETACHED_PROCESS | subprocess.CREATE_NEW_PROCESS_GROUP}
    else:
        return {"start_new_session": True}
