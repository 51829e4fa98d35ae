"""Two users on one machine: what the program reads as its own is used only where no other user can have written it.

Run by the superuser, who can be both: what another put there belongs to him, or lies open to all.
"""

import json
import os
import pickle
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.counts import some
from workbook.app import faster_start
from workbook.app.kept import WindowState, export_choices, keep_window, lines_typed, window_state
from workbook.document.document import Document
from workbook.paths import data_folder, keep_data, kept_data, no_place, own_cache
from workbook.storage import backups
from workbook.storage.body import BookBody
from workbook.storage.opening import begin, beside, recover
from workbook.storage.trouble import NotAWorkbook, StorageTrouble
from workbook.storage.unsaved import Unreadable, held, look_over, sessions
from workbook.system.locks import Lock
from workbook.system.owners import NotOurs, remove_foreign
from workbook.tasks import starting
from workbook.tasks.demo import demo_document, demo_workbook
from workbook.tasks.recent import recent, sessions_folder
from workbook.tasks.work import work_at, work_in

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="folders are where Linux has them")
ROOT = not hasattr(os, "geteuid") or os.geteuid() == 0
NOBODY = 65534
START = (
    "import sys; from PySide6.QtWidgets import QMessageBox; QMessageBox.exec = lambda box: 0; sys.argv = ['makers-workbook'];"
    "from workbook.__main__ import main; sys.exit(main())"
)


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    """Folders of one's own."""
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")
    return tmp_path


@pytest.fixture(params=["another user's", "open to all"])
def planted(request):
    """Makes a file or folder one that another user has written, or could have."""

    def plant(path):
        if request.param == "open to all":
            path.chmod(0o777 if path.is_dir() else 0o666)
        elif ROOT:
            os.chown(path, NOBODY, NOBODY)
        else:
            pytest.skip("only the superuser can be two users")

    return plant


def test_the_data_folder(home, planted):
    keep_window(WindowState(width=1000))
    work_in(Document()).close()
    assert window_state().width == 1000
    planted(home / "data")
    with pytest.raises(NotOurs):
        data_folder()
    assert window_state() == WindowState()
    assert recent() == []
    words = no_place()
    assert words.startswith(f"Your work cannot be saved on this computer: {home / 'data'} (")
    assert "--portable" in words
    begun = subprocess.run([sys.executable, "-c", START], capture_output=True, text=True, check=False, timeout=60)
    assert (begun.returncode, begun.stderr) == (1, f"{words}\n")


FILES = {
    "recent.json": (["@workbook"], recent, []),
    "window.json": ({"width": 1000}, window_state, WindowState()),
    "export.json": ({"what": "cards"}, export_choices, {}),
    "typed.json": ({"work": "", "lines": {"note": "oak"}}, lambda: lines_typed(None), {}),
    "opening.json": ("/shop/a.shopbook", starting._note, ""),
}


@pytest.mark.parametrize("name", FILES)
def test_files_in_it(home, planted, name):
    workbook = home / "shop.shopbook"
    workbook.write_bytes(demo_workbook())
    content, read, nothing = FILES[name]
    content = json.dumps(content).replace("@workbook", str(workbook)).encode()
    keep_data(name, content)
    sound = read()
    planted(home / "data" / name)
    with pytest.raises(NotOurs):
        kept_data(name)
    assert read() == nothing != sound
    keep_data(name, content)
    assert read() == sound
    assert (home / "data" / name).stat().st_mode & 0o777 == 0o600
    assert (home / "data" / name).stat().st_uid == os.geteuid()


def test_the_folder_of_sessions(home, planted):
    work = work_in(Document())
    assert held(sessions_folder()) == [work.file]
    planted(sessions_folder())
    assert held(sessions_folder()) == look_over(sessions_folder()) == []
    with pytest.raises(StorageTrouble, match=r"cannot be saved on this computer.*: .*sessions \((belongs to|can be written by)"):
        work_in(Document())


@pytest.mark.parametrize("part", ["", "-wal", "-journal"])
def test_a_session(home, planted, part):
    """Of another user, or with something of his that the database would take in."""
    work = work_in(Document())
    work._database.close()
    work._lock.leave()
    file = work.file
    (one := file.with_name(file.name + part)).touch()
    planted(one)
    (found,) = look_over(sessions_folder())
    assert isinstance(found, Unreadable)
    assert "is not read: it " in found.why
    with pytest.raises(NotAWorkbook, match="is not read: it "):
        recover(file)
    assert file.exists()


@pytest.mark.parametrize("level", [0, 1, 2])
def test_backups(home, planted, level):
    folder = backups.folder_of(sessions_folder())
    work = work_in(Document())
    work.back_up()
    work.close()
    (copy,) = backups.kept(folder)
    assert copy.file.stat().st_mode & 0o777 == 0o600
    planted((copy.file, *copy.file.parents)[level])
    assert backups.kept(folder) == []


def test_sessions_beside_a_workbook(home, planted):
    """Where this computer's own place was full, work lies beside the workbook: in a folder that others may have made."""
    workbook = home / "shop.shopbook"
    workbook.write_bytes(demo_workbook())
    theirs = begin(beside(workbook), BookBody(demo_document()))
    theirs.save_as(workbook)
    theirs._database.close()
    theirs._lock.leave()
    assert [left.path for left in sessions(beside(workbook))] == [workbook]
    planted(beside(workbook))
    work = work_at(workbook)
    assert work.file is not None
    assert work.file.parent == sessions_folder()
    work.close()


def test_locks(home, planted):
    lock = Lock(data_folder() / "lock")
    assert lock.take()
    lock.leave()
    planted(home / "data" / "lock")
    with pytest.raises(NotOurs):
        lock.take()
    (home / "data" / "lock").unlink()
    planted(home / "data")
    with pytest.raises(NotOurs):
        lock.take()


def test_the_cache(home, planted):
    cache = own_cache("kernels")
    assert cache == home / "cache" / "makers-workbook" / "kernels"
    planted(cache)
    assert own_cache("kernels") is None
    assert own_cache() == cache.parent
    planted(cache.parent)
    assert own_cache() is None


def test_machine_code_in_it(home, planted):
    kernels = own_cache("kernels")
    (kernels / "engine").mkdir()
    for name in ("ours.nbi", "theirs.nbi"):
        (kernels / "engine" / name).write_bytes(b"code")
    planted(kernels / "engine" / "theirs.nbi")
    (kernels / "link.nbi").symlink_to("/etc/passwd")
    assert remove_foreign(kernels)
    assert [path.name for path in kernels.rglob("*.nbi")] == ["ours.nbi"]
    assert Path("/etc/passwd").exists()


def test_a_folder_in_it_that_does_not_go_is_told(home, planted):
    kernels = own_cache("kernels")
    (kernels / "engine").mkdir()
    (kernels / "engine" / "code.nbi").write_bytes(b"code")
    planted(kernels / "engine")
    assert not remove_foreign(kernels)
    planted(kernels / "engine" / "code.nbi")
    assert not remove_foreign(kernels)  # the file goes, the folder at the next time
    assert remove_foreign(kernels)


def test_kept_code_of_the_window(home, planted):
    file = own_cache() / "qt.code"
    faster_start._write(file, {("name", 0, b"hash"): compile("1", "name", "exec")})
    assert file.stat().st_mode & 0o777 == 0o600
    assert faster_start._read(file)
    planted(file)
    assert faster_start._read(file) == {}


INDICES = """
import sys
from workbook.nesting.engine import kernel, warm
modules = [module for name, module in sys.modules.items() if "nesting.engine" in name]
kernels = [one for module in modules for one in vars(module).values() if hasattr(one, "_cache") and hasattr(one, "py_func")]
print(*sorted({one._cache._cache_file._index_path for one in kernels}), sep="\\n")
"""  # where numba looks for what is compiled


class Evil:
    """Leaves a mark when it is unpickled."""

    def __init__(self, mark):
        self.mark = mark

    def __reduce__(self):
        return Path.touch, (self.mark,)


@pytest.mark.skipif(not ROOT, reason="only the superuser can be two users")
@pytest.mark.parametrize("place", some(["cache/makers-workbook", "tmp/makers-workbook"], 1))
def test_code_that_another_user_planted_is_not_run(home, monkeypatch, demo_file, place):
    """In the temporary folder of all, where the cache once was when one's own could not be written; and in one's own cache."""
    pytest.importorskip("numba")
    (home / "tmp").mkdir()
    (home / "tmp").chmod(0o1777)
    kernels, mark = home / place / "kernels", home / "was-run"
    monkeypatch.setenv("XDG_CACHE_HOME", str(home / "cache"))
    found = subprocess.run([sys.executable, "-c", INDICES], capture_output=True, text=True, check=True).stdout.split()
    assert len(found) > 20
    for name in found:
        file = kernels / Path(name).relative_to(home / "cache" / "makers-workbook" / "kernels")
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(pickle.dumps(Evil(mark)))
        for one in (file, file.parent, kernels, kernels.parent) if "tmp" in place else (file,):
            os.chown(one, NOBODY, NOBODY)
    setting = os.environ | {"TMPDIR": str(home / "tmp")}
    if "tmp" in place:
        setting["XDG_CACHE_HOME"] = "/proc/nowhere"
    load = "from workbook.nesting.engine.kernel import chance_from, draw; print(draw(chance_from(1), 10))"
    run = subprocess.run([sys.executable, "-c", load], env=setting, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    assert not mark.exists()


LESS = ["setpriv", "--bounding-set=-dac_override,-dac_read_search"] if ROOT else []  # the superuser as one who may not all
UNKNOWN = "import pwd; pwd.getpwuid = {}.__getitem__;"  # the system knows no such user


@pytest.mark.skipif(ROOT and shutil.which("setpriv") is None, reason="the superuser may all")
@pytest.mark.parametrize("case", some(["unreadable", "no home"], 1))
def test_without_a_place_for_work_it_is_said_and_commands_run(home, demo_file, case):
    """Where the data folder lies below a folder that may not be looked into, or the system knows no home for the user."""
    setting = {key: value for key, value in os.environ.items() if key not in ("HOME", "MAKERS_WORKBOOK_DATA", "XDG_CACHE_HOME")}
    if case == "unreadable":
        (home / "closed").mkdir(mode=0o000)
        setting |= {name: str(home / "closed" / "below") for name in ("MAKERS_WORKBOOK_DATA", "XDG_CACHE_HOME")}
    told = f"{home / 'closed' / 'below'}: Permission denied" if case == "unreadable" else "no home folder is known for this user"

    def run(*arguments):
        code = UNKNOWN * (case == "no home") + START.replace("['makers-workbook']", repr(["makers-workbook", *arguments]))
        command = [*LESS, sys.executable, "-c", code]
        return subprocess.run(command, env=setting, capture_output=True, text=True, check=False, timeout=120)

    begun = run()
    assert begun.returncode == 1
    assert begun.stderr.startswith(f"Your work cannot be saved on this computer: {told}. Start it with --portable")
    assert "Traceback" not in begun.stderr
    laid = run("lay-out", str(demo_file), "--out", str(home / "out"), "--steps", "1", "--quiet")
    assert laid.returncode == 0
    assert "Traceback" not in laid.stderr
    assert run("check", str(demo_file), "--quiet").returncode == 0
    assert (home / "out" / "bars.pdf").is_file()
