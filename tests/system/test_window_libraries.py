"""What a window needs of the system: what cannot be loaded is told by the package that has it."""

import os
import subprocess
import sys

import pytest

from workbook.system import window_libraries

LINUX = pytest.mark.skipif(sys.platform != "linux", reason="of Linux alone")


@LINUX
def test_here_nothing_is_missing():
    assert window_libraries.missing(x11=True, wayland=True) == []


@LINUX
def test_what_cannot_be_loaded_is_told_where_it_is_needed(monkeypatch):
    for table in ("_NEEDED", "_FOR_X11", "_FOR_WAYLAND"):
        monkeypatch.setitem(getattr(window_libraries, table), f"package{table}", f"libnone{table}.so.1")
    missing = window_libraries.missing
    assert missing(x11=False, wayland=False) == ["package_NEEDED"]
    assert missing(x11=True, wayland=False) == ["package_NEEDED", "package_FOR_X11"]
    assert missing(x11=False, wayland=True) == ["package_NEEDED", "package_FOR_WAYLAND"]


@LINUX
def test_a_first_start_says_what_to_install(tmp_path):
    code = (
        "import sys; from workbook.system import window_libraries as w; w._FOR_X11['libxcb-none1'] = 'libxcb-none.so.1'\n"
        "from workbook.__main__ import main; sys.argv = ['makers-workbook']; sys.exit(main())"
    )
    surroundings = {
        **os.environ,
        "QT_QPA_PLATFORM": "xcb",
        "XDG_CACHE_HOME": str(tmp_path),
        "MAKERS_WORKBOOK_DATA": str(tmp_path),
    }
    done = subprocess.run([sys.executable, "-c", code], env=surroundings, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.endswith("\nsudo apt install libxcb-none1\n")


def test_the_set_up_installs_the_same():
    sys.path.insert(0, str(window_libraries.__file__).rsplit("workbook", 1)[0] + "packaging")
    import debian

    tables = (window_libraries._NEEDED, window_libraries._FOR_X11, window_libraries._FOR_WAYLAND)
    assert {package for table in tables for package in table} | {"fonts-dejavu-core"} == set(debian.TO_RUN)
