"""Tries the Debian package as somebody would who has never seen it: `sudo python3 packaging/stranger.py`.

For each Debian release a bare system is made in a folder, the package installed with what apt brings, used by an ordinary
user without a network, and removed again. Nothing outside `.build` is touched. It needs root, for the folders' sake.
"""

import argparse
import os
import shutil
import sys
import tempfile
import time
from pathlib import Path

import debian
from building import OUT
from stages import ROOT
from stranger_system import Screen, System, Trouble
from stranger_use import commands_of_a_job, exports, leaves_nothing, old_books, opens_by_its_type, report_of_a_crash, window

RELEASES = {"12": "bookworm", "13": "trixie"}
NEEDS = ["debootstrap", *debian.TO_TEST]
A_DESKTOP_HAS = ["shared-mime-info", "desktop-file-utils", "libglib2.0-bin", "hicolor-icon-theme"]
TRIES = (commands_of_a_job, exports, old_books, window, opens_by_its_type, report_of_a_crash)


def main() -> int:
    """The exit code: 1 when anything was not as it is to be."""
    parser = argparse.ArgumentParser(prog="python3 packaging/stranger.py", description=__doc__)
    parser.add_argument("--deb", type=Path, default=None, help="the package; the one in .build/out unless given")
    parser.add_argument("--debian", nargs="+", choices=RELEASES, default=list(RELEASES), help="releases to try it on")
    options = parser.parse_args()
    if sys.platform != "linux" or os.geteuid() != 0:
        return _refused("This needs Linux and root, for the bare systems that it makes.")
    package = options.deb or next(iter(OUT.glob("*.deb")), None)
    if package is None or not package.is_file():
        return _refused("There is no package. Make one first: python3 packaging/build.py")
    debian.require(NEEDS)
    with tempfile.TemporaryDirectory(prefix="screen-") as name, Screen(Path(name)) as screen:
        failed = [release for release in options.debian if not _tried(release, package, screen)]
    print(f"Failed on Debian {', '.join(failed)}." if failed else "All is as it is to be.")
    return 1 if failed else 0


def _refused(reason: str) -> int:
    print(reason, file=sys.stderr)
    return 2


def _tried(release: str, package: Path, screen: Screen) -> bool:
    """Whether all went well on a release; each step is told with its seconds."""
    print(f"Debian {release}", flush=True)
    system = System(ROOT / ".build" / "strangers" / release, screen)
    try:
        _step("bare system", lambda: system.make(RELEASES[release]))
        _step("what a desktop has", lambda: system.apt("install", "--no-install-recommends", *A_DESKTOP_HAS))
        before = system.files()
        shutil.copy(package, system.root / "tmp" / package.name)
        _step("install the package", lambda: system.apt("install", f"/tmp/{package.name}"))
        _step("no Python, no compiler", lambda: _bare(system))
        for deed in TRIES:
            _step((deed.__doc__ or deed.__name__).splitlines()[0].rstrip("."), lambda deed=deed: deed(system))
        (system.root / "tmp" / package.name).unlink()
        _step("remove it", lambda: (system.apt("purge", "makers-workbook"), leaves_nothing(system, before))[1])
    except Trouble as trouble:
        print(f"failed\n{trouble}", flush=True)
        return False
    finally:
        system.remove()
    return True


def _step(name: str, deed: object) -> None:
    print(f"  {name} ... ", end="", flush=True)
    begun = time.monotonic()
    told = deed()  # type: ignore[operator]
    print(f"{time.monotonic() - begun:.1f} s{f': {told}' if told else ''}", flush=True)


def _bare(system: System) -> str:
    found = [name for name in ("python3", "python", "gcc", "cc", "ld") if system.has(name)]
    if found:
        raise Trouble(f"the bare system has {', '.join(found)}, so that it proves nothing")
    return system.run(["makers-workbook", "--version"]).strip()


if __name__ == "__main__":
    sys.exit(main())
