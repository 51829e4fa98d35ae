"""Makes the lock anew from pyproject.toml: `python packaging/lock.py`. Needs uv (`pip install uv`).

One resolution for Linux, macOS and Windows and every Python from 3.11 goes to lock/test.txt; the other locks
take their versions from it. To let newer releases in, run it with `--upgrade`.
"""

import shutil
import subprocess
import sys
import tomllib
from collections.abc import Sequence
from pathlib import Path

from stages import ROOT

LOCK = ROOT / "packaging" / "lock"
COMPILE = [
    "pip",
    "compile",
    "--quiet",
    "--universal",
    "--python-version",
    "3.11",
    "--generate-hashes",
    "--no-header",
    "--no-annotate",
]


def main() -> None:
    """Writes the four locks."""
    LOCK.mkdir(exist_ok=True)
    same = ["--constraint", str(LOCK / "test.txt")]
    compile_lock("test", ["pyproject.toml", "--extra", "test", *sys.argv[1:]])
    compile_lock("runtime", ["pyproject.toml", *same])
    compile_lock("pack", ["pyproject.toml", "--extra", "pack", *same])
    compile_lock("build", ["-", *same], given="\n".join(build_requirements()))


def uv() -> str:
    """The uv of this Python's environment, else the one on the PATH."""
    found = shutil.which("uv", path=str(Path(sys.executable).parent)) or shutil.which("uv")
    return found or sys.exit("uv is needed to make the lock: pip install uv")


def build_requirements() -> list[str]:
    """What an editable install is built with."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    return [*project["build-system"]["requires"], "editables"]


def compile_lock(name: str, arguments: Sequence[str], given: str = "") -> None:
    """Writes one lock file, and refuses one that would tell where it was made."""
    file = LOCK / f"{name}.txt"
    subprocess.run([uv(), *COMPILE, *arguments, "--output-file", str(file)], cwd=ROOT, input=given, text=True, check=True)
    text = file.read_text(encoding="utf-8")
    if "://" in text or str(ROOT) in text:
        sys.exit(f"{file.name} holds an address or a path of this machine")
    print(f"wrote {file.relative_to(ROOT)}")


if __name__ == "__main__":
    main()
