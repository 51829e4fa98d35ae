"""From the environment made for it to the packed program: one folder, slim, with its notices, then as this system wants it.

`build.py` runs this with that environment's Python and one time for all files in SOURCE_DATE_EPOCH.
"""

import argparse
import os
import shutil
import subprocess
import sys
from pathlib import Path

import shipped
from building import FOLDER, HOME, ROOT
from stages import clean_environment, stage

SPEC = ROOT / "packaging" / "freezing" / "makers_workbook.spec"


def main() -> None:
    """Makes all and tells what it is and how large."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--pictures-at", default="")
    options = parser.parse_args()
    freeze()
    if sys.platform == "linux":
        strip(FOLDER)
    for file in FOLDER.rglob("*"):
        if not file.is_symlink():
            os.utime(file, (when(), when()))
    try_itself(FOLDER)
    shutil.rmtree(options.out, ignore_errors=True)
    options.out.mkdir(parents=True)
    made = [*write_bill(options.out), *for_this_system(options.out, options.pictures_at)]
    print(f"The program is {FOLDER}, {size(FOLDER):.0f} MB.")
    for file in made:
        print(f"{file}, {size(file):.1f} MB")


def when() -> int:
    """The time all files get, s since 1970."""
    return int(os.environ["SOURCE_DATE_EPOCH"])


def size(place: Path) -> float:
    """What a file, or all in a folder, takes, in MB of a million bytes."""
    files = [place] if place.is_file() else [file for file in place.rglob("*") if file.is_file() and not file.is_symlink()]
    return sum(file.stat().st_size for file in files) / 1e6


def freeze() -> None:
    """Has PyInstaller collect the program into `FOLDER`."""
    places = ["--workpath", str(HOME / "work"), "--distpath", str(FOLDER.parent)]
    command = [sys.executable, "-m", "PyInstaller", "--noconfirm", "--clean", "--log-level", "ERROR", *places, str(SPEC)]
    stage("collecting the program", command, folder=SPEC.parent, surroundings=os.environ)


def strip(folder: Path) -> None:
    """Takes the names for debuggers out of the libraries that stand it."""
    files = [str(file) for pattern in shipped.STRIPPED for file in folder.glob(f"_internal/{pattern}")]
    stage(f"stripping {len(files)} libraries", ["strip", "--strip-unneeded", *files])


def try_itself(folder: Path) -> None:
    """Has the packed program use each of its binary parts once."""
    program = folder / ("makers-workbook.exe" if os.name == "nt" else "makers-workbook")
    home = HOME / "home"  # so that machine code is compiled as on a maker's computer, and nobody's own is touched
    shutil.rmtree(home, ignore_errors=True)
    home.mkdir(parents=True)
    names = dict.fromkeys(("HOME", "XDG_CACHE_HOME", "XDG_DATA_HOME", "LOCALAPPDATA", "APPDATA", "USERPROFILE"), str(home))
    surroundings = clean_environment(QT_QPA_PLATFORM="offscreen", **names)
    stage("its parts, tried", [str(program), "-m", "self_test"], folder=home, surroundings=surroundings)


def write_bill(out: Path) -> list[Path]:
    """The list of all that ships, as CycloneDX, beside the program."""
    import bill_of_materials

    return [bill_of_materials.write(out, when())]


def for_this_system(out: Path, pictures_at: str) -> list[Path]:
    """The files that a maker downloads."""
    if sys.platform == "linux":
        import linux_packages

        return linux_packages.write(FOLDER, out, when(), pictures_at)
    kind = "zip" if os.name == "nt" else "gztar"
    name = out / f"makers-workbook-{shipped.version()}-{sys.platform}"
    whole = "Maker's Workbook.app" if sys.platform == "darwin" else FOLDER.name
    return [Path(shutil.make_archive(str(name), kind, FOLDER.parent, whole))]


if __name__ == "__main__":
    try:
        main()
    except subprocess.CalledProcessError as trouble:
        sys.exit(f"Failed: {trouble}")
