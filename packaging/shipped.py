"""What the packed program ships: nothing that it does not use, and of the system only what Python itself is linked with.

The spec file asks here. A name is a file's place in the program's folder, with / on every system.
"""

import os
import platform
import re
import shutil
import subprocess
import sys
from collections.abc import Iterable, Iterator, Sequence
from importlib.metadata import Distribution, distribution
from pathlib import Path, PurePath

from building import HOME
from PyInstaller.utils.hooks import collect_submodules

from workbook.languages import LANGUAGES
from workbook.tasks.notices import PROGRAM, Notice, distributions, licence_files, packed_in
from workbook.tasks.notices import notices as all_notices

MADE = HOME / "made"  # what ships and is made here
AS_TOLD = "as the text says"  # a licence of a Debian package, which may be several

LEFT_OUT_MODULES = [
    # Qt's and numpy's helpers for building and trying them, Python's own for other programs than this
    "tkinter", "setuptools", "pip", "distutils", "lib2to3", "ensurepip", "idlelib", "pydoc_data", "curses", "readline",
    # compilers for graphics cards, for threads and ahead of time: the kernels need none
    "numba.cuda", "numba.tests", "numba.pycc", "numba.np.ufunc.tbbpool", "numba.np.ufunc.omppool", "numba.testing",
    "numpy.f2py", "numpy.distutils", "numpy.tests",
    # the program opens no connection: digests are Python's own
    "ssl", "_ssl", "_hashlib", "_uuid",
    "PIL._avif", "PIL.AvifImagePlugin", "PIL.ImageTk", "PIL._imagingtk", "PIL.ImageQt",
    "scipy", "matplotlib", "IPython", "pytest", "hypothesis",
]  # fmt: skip

# imported where PyInstaller does not see it: by a C library, and from text
IMPORTED_UNSEEN = ["numba._devicearray", *collect_submodules("reportlab.graphics.barcode")]

_QT = r"PySide6/(Qt/)?"
_NOT_NEEDED = [
    _QT + r"plugins/(egldeviceintegrations|generic|networkinformation|tls|xcbglintegrations|sqldrivers|qmltooling)/",
    _QT + r"plugins/platforms/\w*q(eglfs|linuxfb|minimal|minimalegl|vnc|vkkhrdisplay)\.",
    _QT + r"plugins/imageformats/\w*q(gif|icns|tga|tiff|wbmp|webp|pdf)\.",
    _QT + r"plugins/wayland-graphics-integration-client/",
    _QT + rf"translations/(?!qtbase_({'|'.join(LANGUAGES)})\.qm)",
    r"(PySide6/Qt/lib/)?libQt6Egl\w+\.so",
    r"(.*/)?libavif-\w+\.",
    r"numpy/(.*/)?tests/", r"shapely/tests/", r"numba/(.*/)?tests/", r"reportlab/fonts/",
]  # fmt: skip
_NOT_NEEDED_AT_ALL = re.compile("|".join(_NOT_NEEDED))

# of a Linux system: what Python is linked with, by the start of the file's name
_OF_PYTHON = ("libpython", "libsqlite3", "libffi", "libz.so", "libbz2", "liblzma", "libexpat", "libmpdec")
_SYSTEM = ("/lib", "/usr/lib")

# The names for debuggers can be taken out of these; others were patched after linking and would not load any more.
STRIPPED = (
    "llvmlite/binding/*.so",
    "libpython3*",
    "python3*/lib-dynload/*.so",
    "numba/**/*.so",
    "ezdxf/acc/*.so",
    "fontTools/*/*.so",
)


def is_needed(name: str, source: str) -> bool:
    """Whether a file that PyInstaller found goes into the program; `source`: where it was found."""
    place = PurePath(name).as_posix()
    if _NOT_NEEDED_AT_ALL.match(place):
        return False
    if sys.platform == "linux" and source.startswith(_SYSTEM) and "/lib-dynload/" not in source:
        return PurePath(place).name.startswith(_OF_PYTHON)
    return True


def version() -> str:
    """The program's version."""
    return distribution(PROGRAM).version


def metadata() -> list[tuple[str, str]]:
    """What packages say of themselves, with their licences: pairs of a file and the folder it goes into."""
    pairs = []
    for package in distributions():
        kept = [*licence_files(package), *(PurePath(file) for file in package.files or () if file.name == "METADATA")]
        pairs += [(str(package.locate_file(file)), str(file.parent)) for file in kept]
        pairs.append((str(_record(package, kept)), kept[-1].parts[0]))
    return pairs


def _record(package: Distribution, kept: Sequence[PurePath]) -> Path:
    """The package's list of its files, less those that stay behind."""
    names = {file.as_posix() for file in kept}
    folder = MADE / kept[-1].parts[0]
    folder.mkdir(parents=True, exist_ok=True)
    lines = [line for line in (package.read_text("RECORD") or "").splitlines(keepends=True) if line.split(",")[0] in names]
    (folder / "RECORD").write_text("".join(lines), encoding="utf-8")
    return folder / "RECORD"


def packed_notices(binaries: Iterable[tuple[str, str, str]]) -> list[tuple[str, str, str]]:
    """Licences of what the packed program brings besides packages, as entries for the spec file."""
    folder = MADE / "packed"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    for name, told, licence, text in (_python(), _bootloader(), *_of_the_system(binaries)):
        (folder / f"{name}.txt").write_text(f"{name}\t{told}\t{licence}\n{text}", encoding="utf-8")
    return [(f"workbook/resources/licences/packed/{file.name}", str(file), "DATA") for file in sorted(folder.iterdir())]


def _python() -> tuple[str, str, str, str]:
    places = [Path(os.__file__).parent / "LICENSE.txt", Path(sys.base_prefix) / "LICENSE.txt"]
    found = [place for place in places if place.is_file()]
    if not found:
        raise SystemExit(f"Python's licence is in none of {', '.join(map(str, places))}.")
    return "python", platform.python_version(), "PSF-2.0", found[0].read_text(encoding="utf-8")


def _bootloader() -> tuple[str, str, str, str]:
    package = distribution("pyinstaller")
    texts = [Path(str(package.locate_file(file))).read_text(encoding="utf-8") for file in licence_files(package)]
    return "pyinstaller-bootloader", package.version, "GPL-2.0-or-later WITH Bootloader-exception", "\n\n".join(texts)


def _of_the_system(binaries: Iterable[tuple[str, str, str]]) -> Iterator[tuple[str, str, str, str]]:
    """Of the libraries taken from a Debian system, by the package each is of, with Debian's account of its licence."""
    packages = {package_of(source) for _name, source, _kind in binaries if source.startswith(_SYSTEM)}
    for package in sorted(packages):
        asked = ["dpkg-query", "--show", "--showformat=${Version}", package]
        told = subprocess.run(asked, capture_output=True, text=True, check=True).stdout
        text = Path("/usr/share/doc", package, "copyright").read_text(encoding="utf-8")
        yield package, told.split()[0], AS_TOLD, text


def package_of(library: str) -> str:
    """The installed package that brings a library, by its path or by its name for the linker."""
    places = [library, f"/usr{library}"] if library.startswith("/") else [f"*/{library}"]
    for place in places:
        found = subprocess.run(["dpkg-query", "--search", place], capture_output=True, text=True).stdout
        packages = {line.split(":")[0] for line in found.splitlines()}
        if len(packages) == 1:
            return packages.pop()
    raise SystemExit(f"Failed: {library} is to be of one package, and is of {', '.join(sorted(packages)) or 'none'}.")


def packed() -> list[Notice]:
    """The notices that `packed_notices` wrote."""
    return list(packed_in(MADE / "packed"))


def packed_names() -> set[str]:
    """Names of the parts that are no packages."""
    return {notice.name for notice in packed()}


def notices() -> str:
    """All licences as one text, for the folder where Linux keeps them."""
    found = [*all_notices(), *packed()]
    parts = [f"{notice.name} {notice.version}\n{notice.licence}\n\n{notice.text}" for notice in found]
    return ("\n\n" + "=" * 72 + "\n\n").join(parts)
