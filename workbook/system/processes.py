"""Names for processes that no other process ever has: the computer, the process number and the time it was started."""

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
    """Whether the process of a name has ended; True for an invalid name, False where it cannot be known, on another computer."""
    computer, _, remainder = name.partition(" ")
    number, _, started = remainder.partition(" ")
    if not number.isascii() or not number.isdigit() or not started:
        return True
    return computer == _computer() and _started(int(number)) != started


def _computer() -> str:
    """An identifier of this computer that does not change with its name; a hash, as the machine's own number is secret."""
    try:
        machine_id = Path("/etc/machine-id").read_text().strip()
    except (OSError, ValueError):
        machine_id = ""
    return hashlib.sha256((machine_id or platform.node()).encode()).hexdigest()[:16]


def _started(number: int) -> str:
    """When a process was started, in the system's own format; "" when there is none of that number."""
    if sys.platform == "win32":
        from workbook.system import windows  # needed only there

        return windows.started(number)
    elif sys.platform == "linux":
        return _started_by_proc(number)
    else:
        return _started_by_ps(number)


def _started_by_proc(number: int) -> str:
    try:
        state, *fields = Path(f"/proc/{number}/stat").read_text(errors="replace").rpartition(")")[2].split()
        boot = Path("/proc/sys/kernel/random/boot_id").read_text().strip()
    except OSError:
        return ""
    return "" if state in ("Z", "X") else f"{boot}/{fields[18]}"  # clock ticks from boot to its start


def _started_by_ps(number: int) -> str:
    command = ["/bin/ps", "-o", "lstart=", "-p", str(number)]
    result = subprocess.run(command, env={"LC_ALL": "C", "TZ": "UTC"}, capture_output=True, text=True, check=False)
    return "-".join(result.stdout.split())


def cores() -> int:
    """The number of cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def alone() -> dict[str, Any]:
    """Arguments for `Popen` to start a process that ends neither with this one nor by a key of its terminal."""
    if sys.platform == "win32":
        return {"creationflags": subprocess.DETACHED_PROCESS | subprocess.CREATE_NEW_PROCESS_GROUP}
    else:
        return {"start_new_session": True}
