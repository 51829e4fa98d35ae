"""The program as Linux wants it: a tree as under /usr, and from it a .deb and a .tar.gz.

The archive holds the same tree, so that it can be unpacked into ~/.local as it is.
"""

import gzip
import io
import os
import platform
import re
import shutil
import subprocess
import tarfile
from collections.abc import Iterator
from pathlib import Path

import icons
import shipped
from building import HOME, ROOT
from stages import stage

LINUX = ROOT / "packaging" / "linux"
METAINFO = LINUX / "org.makers_workbook.makers_workbook.metainfo.xml"
PICTURES = "https://pictures.example.org"  # in the metainfo: stands for the address that the build is given
RECOMMENDED = ["libcups2"]  # without it nothing can be printed, but everything else be done
OPTIONAL = ("libqgtk3.so", "libcupsprintersupport.so")  # without what they need Qt passes them over
ASKED_FOR_BY_NAME = ["libgl1", "fonts-dejavu-core"]  # loaded or found at run time, so that no library tells


def write(folder: Path, out: Path, when: int, pictures_at: str) -> list[Path]:
    """Both packages of the program in `folder`, written to `out`; `when`: the time of all files, s since 1970."""
    root = HOME / "root"
    shutil.rmtree(root, ignore_errors=True)
    _tree(folder, root / "usr", when, pictures_at)
    _same_time(root, when)
    _checked(root / "usr")
    archive = _archive(root / "usr", out, when)
    return [_deb(root, out, when), archive]


def _tree(folder: Path, usr: Path, when: int, pictures_at: str) -> None:
    """Everything at its place under /usr."""
    shutil.copytree(folder, usr / "lib" / "makers-workbook", symlinks=True)
    (usr / "bin").mkdir()
    (usr / "bin" / "makers-workbook").symlink_to("../lib/makers-workbook/makers-workbook")
    share = usr / "share"
    for source, place in ((LINUX / "makers-workbook.desktop", "applications"), (LINUX / "makers-workbook.xml", "mime/packages")):
        (share / place).mkdir(parents=True)
        shutil.copyfile(source, share / place / source.name)
    (share / "metainfo").mkdir()
    (share / "metainfo" / METAINFO.name).write_text(metainfo(pictures_at), encoding="utf-8")
    _icons(share / "icons" / "hicolor")
    _man_page(share / "man" / "man1", when)
    notices = share / "doc" / "makers-workbook"
    notices.mkdir(parents=True)
    (notices / "copyright").write_text(shipped.notices(), encoding="utf-8")


def metainfo(pictures_at: str) -> str:
    """The catalogue entry, with pictures where their address is known."""
    text = METAINFO.read_text(encoding="utf-8")
    if pictures_at:
        return text.replace(PICTURES, pictures_at.rstrip("/"))
    return re.sub(r" *<screenshots>.*</screenshots>\n", "", text, flags=re.DOTALL)


def _icons(folder: Path) -> None:
    """The icons of the program and of its files, as drawings and in sizes."""
    for drawing, place in (("makers-workbook", "apps/makers-workbook"), ("shopbook", "mimetypes/application-x-makers-workbook")):
        scalable = folder / "scalable" / f"{place}.svg"
        scalable.parent.mkdir(parents=True)
        shutil.copyfile(icons.DRAWINGS / f"{drawing}.svg", scalable)
        for size in icons.SIZES:
            icons.draw(drawing, size, folder / f"{size}x{size}" / f"{place}.png")


def _man_page(folder: Path, when: int) -> None:
    """The page of the commands, made from the program's own help."""
    folder.mkdir(parents=True)
    file = folder / "makers-workbook.1"
    words = ["--module", "workbook.cli.main", "--function", "command_line", "--prog", "makers-workbook", "--manual-section", "1"]
    told = ["--project-name", "makers-workbook", "--version", shipped.version(), "--manual-title", "Commands"]
    tells = ["--description", "templates, steel, layouts, sheets and costs of a knife maker's shop", "--output", str(file)]
    stage("man page", [str(HOME / "venv" / "bin" / "argparse-manpage"), *words, *told, *tells], surroundings=os.environ)
    Path(f"{file}.gz").write_bytes(gzip.compress(file.read_bytes(), 9, mtime=0))
    file.unlink()


def _same_time(root: Path, when: int) -> None:
    for place in (*root.rglob("*"), root):
        os.utime(place, (when, when), follow_symlinks=False)
        if not place.is_symlink():
            place.chmod(0o755 if place.is_dir() or place.name == "makers-workbook" else 0o644)


def _checked(usr: Path) -> None:
    """Ends the build when what a desktop reads of it is not as the standards have it."""
    stage("desktop entry", ["desktop-file-validate", str(usr / "share" / "applications" / "makers-workbook.desktop")])
    entry = str(usr / "share" / "metainfo" / METAINFO.name)
    stage("catalogue entry", ["appstreamcli", "validate", "--no-net", "--pedantic", entry])


def _archive(usr: Path, out: Path, when: int) -> Path:
    """The .tar.gz: files by name, of nobody in particular, all of one time."""
    name = f"makers-workbook-{shipped.version()}-linux-{platform.machine()}"
    file = out / f"{name}.tar.gz"
    packed = io.BytesIO()

    def plain(entry: tarfile.TarInfo) -> tarfile.TarInfo:
        entry.uid = entry.gid = 0
        entry.uname = entry.gname = "root"
        entry.mtime = when
        return entry

    with tarfile.open(fileobj=packed, mode="w", format=tarfile.PAX_FORMAT) as archive:
        for place in sorted(usr.rglob("*")):
            archive.add(place, f"{name}/{place.relative_to(usr)}", recursive=False, filter=plain)
    file.write_bytes(gzip.compress(packed.getbuffer(), 9, mtime=when))
    return file


def _deb(root: Path, out: Path, when: int) -> Path:
    """The package for Debian and what descends from it."""
    control = root / "DEBIAN"
    control.mkdir()
    architecture = subprocess.run(["dpkg", "--print-architecture"], capture_output=True, text=True, check=True).stdout.strip()
    files = [place for place in (root / "usr").rglob("*") if place.is_file() and not place.is_symlink()]
    kilobytes = sum(-(-file.stat().st_size // 1024) for file in files)
    lines = {
        "Package": "makers-workbook",
        "Version": shipped.version(),
        "Section": "graphics",
        "Priority": "optional",
        "Architecture": architecture,
        "Maintainer": "The developers of Maker's Workbook <developers@makers-workbook.invalid>",
        "Installed-Size": str(kilobytes),
        "Depends": ", ".join(_depends(root / "usr" / "lib" / "makers-workbook")),
        "Recommends": ", ".join(RECOMMENDED),
        "Description": "templates, steel, layouts, sheets and costs of a knife maker's shop\n"
        " For makers of fixed-blade knives by stock removal: templates, layouts on bars, grinding and heat treatment,\n"
        " handles, stock, orders, quotes, batches to delivery. It works without a network.",
    }
    (control / "control").write_text("".join(f"{name}: {value}\n" for name, value in lines.items()), encoding="utf-8")
    _same_time(control, when)
    os.utime(root, (when, when))
    file = out / f"makers-workbook_{shipped.version()}_{architecture}.deb"
    stage(
        "package for Debian",
        ["dpkg-deb", "--root-owner-group", "-Zxz", "-z6", "--build", str(root), str(file)],
        surroundings=os.environ,
    )
    shutil.rmtree(control)
    return file


def _depends(folder: Path) -> list[str]:
    """The system's packages that hold the libraries which those in `folder` are linked with, and the C library's version."""
    own = {place.name for place in folder.rglob("*") if ".so" in place.name}
    wanted: set[str] = set()
    version = (2, 0)
    for tells in _linked(folder):
        wanted |= set(re.findall(r"^  NEEDED +(\S+)$", tells, re.MULTILINE))
        numbers = re.findall(r"GLIBC_(\d+)\.(\d+)", tells)
        version = max([version, *((int(a), int(b)) for a, b in numbers)])
    packages = {shipped.package_of(name) for name in wanted - own}
    packages -= {"libc6"}
    return sorted({f"libc6 (>= {version[0]}.{version[1]})", *packages, *ASKED_FOR_BY_NAME})


def _linked(folder: Path) -> Iterator[str]:
    """What objdump tells of the head of each library and of the program, but for what is optional."""
    for place in sorted(folder.rglob("*")):
        is_library = ".so" in place.name or place.name == "makers-workbook"
        if is_library and place.is_file() and not place.is_symlink() and place.name not in OPTIONAL:
            yield subprocess.run(["objdump", "-p", str(place)], capture_output=True, text=True, check=True).stdout
