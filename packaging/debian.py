"""The system libraries that Qt and the tests need on Debian and Ubuntu; elsewhere there is nothing to do.

Names are Debian 12's. Later releases renamed some (libglib2.0-0 is now libglib2.0-0t64) but still provide the old
names, so a package counts as installed when any installed one provides it.
"""

import importlib.util
import os
import shlex
import shutil
import subprocess
import sys
from collections.abc import Sequence

from stages import attempt, clean_environment, stage

TO_RUN = [
    "libgl1",
    "libegl1",
    "libxkbcommon0",
    "libglib2.0-0",
    "libfontconfig1",
    "libdbus-1-3",
    "fonts-dejavu-core",
    "libxcb-cursor0",
    "libxcb-icccm4",
    "libxcb-keysyms1",
    "libxcb-image0",
    "libxcb-render-util0",
    "libxcb-randr0",
    "libxcb-shape0",
    "libxcb-xkb1",
    "libxkbcommon-x11-0",
    "libxcb-sync1",
    "libxcb-xfixes0",
    "libx11-xcb1",
    "libwayland-cursor0",
    "libwayland-egl1",
]
TO_TEST = ["xvfb", "xauth", "xdotool", "desktop-file-utils", "appstream"]

INSTALL = ["apt-get", "install", "-y", "--no-install-recommends"]


def require(packages: Sequence[str]) -> None:
    """Sees to it that `packages` and the venv module are there: installs them as root, else says how and ends."""
    has_venv = importlib.util.find_spec("ensurepip") is not None  # Debian's Python has `venv` but not its pip
    if not (shutil.which("apt-get") and shutil.which("dpkg-query")):
        if not has_venv:
            raise SystemExit("This Python cannot make a virtual environment: its ensurepip module is missing.")
        return
    present = installed()
    missing = [name for name in packages if name not in present]
    if not has_venv:
        missing.insert(0, f"python{sys.version_info.major}.{sys.version_info.minor}-venv")
    if missing and os.geteuid() != 0:
        command = f"sudo apt-get update && {shlex.join(['sudo', *INSTALL, *missing])}"
        raise SystemExit(f"Some system packages are missing. Install them with this, then start again:\n  {command}")
    if missing:
        install(missing)


def installed() -> set[str]:
    """Names of the installed packages and of all that they provide."""
    shown = "--showformat=${db:Status-Abbrev}|${Package}|${Provides}\n"
    listing = subprocess.run(["dpkg-query", "--show", shown], capture_output=True, text=True, check=True).stdout
    names: set[str] = set()
    for line in listing.splitlines():
        status, package, provides = line.split("|", 2)
        if status.startswith("ii"):
            names.add(package)
            names.update(entry.split()[0] for entry in provides.split(",") if entry.strip())
    return names


def install(packages: Sequence[str]) -> None:
    """Installs `packages` with apt-get, as root."""
    surroundings = clean_environment(DEBIAN_FRONTEND="noninteractive")
    # The lists may be absent or name files long gone. A source that has nothing to do with these packages may be out
    # of reach, so it is the installing that tells whether all is well.
    attempt("lists of system packages", ["apt-get", "update"], surroundings=surroundings)
    command = [*INSTALL, "-o", "DPkg::Lock::Timeout=600", *packages]
    advice = "Check the network and the sources in /etc/apt, then start again."
    stage(f"system packages ({len(packages)})", command, surroundings=surroundings, advice=advice)
