"""A bare Debian in a folder, and a screen for its windows.

What is mounted for a command is mounted for it alone and gone when it ends, so that removing the folder removes nothing else.
"""

import os
import shlex
import shutil
import signal
import subprocess
import time
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from types import TracebackType

USER = "maker"
HOME = f"/home/{USER}"
_NUMBER = 1000
_MOUNTED = (
    "mount -t proc proc {root}/proc && mount --rbind /dev {root}/dev && mount -t tmpfs tmpfs {root}/dev/shm && "
    "mkdir -p {root}/tmp/.X11-unix && mount --bind {screen} {root}/tmp/.X11-unix && "
    "exec chroot {user} {root} /usr/bin/env -i {line}"
)
_PATH = "/usr/local/bin:/usr/bin:/bin:/usr/sbin:/sbin"


class Trouble(Exception):
    """Something is not as it is to be; the text says what."""


class Screen:
    """A screen without a monitor, whose socket is shared with the systems."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.name = ""
        self._server: subprocess.Popen[str] | None = None

    def __enter__(self) -> "Screen":
        read, write = os.pipe()
        command = ["Xvfb", "-displayfd", str(write), "-screen", "0", "1600x1000x24", "-nolisten", "tcp", "-ac"]
        self._server = subprocess.Popen(command, pass_fds=[write], stderr=subprocess.DEVNULL, text=True)
        os.close(write)
        with os.fdopen(read) as told:
            self.name = f":{told.readline().strip()}"
        return self

    def __exit__(self, _kind: type[BaseException] | None, _value: BaseException | None, _trace: TracebackType | None) -> None:
        assert self._server is not None
        self._server.terminate()
        self._server.wait()

    def tool(self, *words: str) -> str:
        """What xdotool answers on this screen; empty when it finds nothing."""
        surroundings = {**os.environ, "DISPLAY": self.name}
        return subprocess.run(["xdotool", *words], env=surroundings, capture_output=True, text=True, check=False).stdout

    def wait_for(self, title: str, seconds: float = 60) -> str:
        """The number of the window of this title, once it is shown. Raises Trouble when it does not come."""
        until = time.monotonic() + seconds
        while time.monotonic() < until:
            if found := self.tool("search", "--onlyvisible", "--name", title).split():
                return found[-1]
            time.sleep(0.1)
        raise Trouble(f"no window with {title!r} in its title within {seconds:.0f} s")


class System:
    """The system in a folder, `root`."""

    def __init__(self, root: Path, screen: Screen) -> None:
        self.root, self.screen = root, screen

    def make(self, suite: str) -> str:
        """Makes it anew: nothing but what Debian calls required, and one ordinary user."""
        self.remove()
        self.root.parent.mkdir(parents=True, exist_ok=True)
        _quiet(["unshare", "--mount", "debootstrap", "--variant=minbase", suite, str(self.root)])
        self.run(["useradd", "--create-home", "--uid", str(_NUMBER), USER], as_root=True)
        return suite

    def remove(self) -> None:
        """Ends what still runs in it, then removes it with all in it."""
        for number in self.running():
            with suppress(OSError):
                os.kill(number, signal.SIGKILL)
        if self.root.exists():
            shutil.rmtree(self.root)

    def running(self) -> dict[int, str]:
        """The command lines of all that runs in it, by number."""
        found = {}
        for process in Path("/proc").glob("[0-9]*"):
            with suppress(OSError):
                if (process / "root").readlink() == self.root:
                    found[int(process.name)] = (process / "cmdline").read_bytes().decode(errors="replace").replace("\0", " ")
        return found

    def apt(self, *words: str) -> str:
        """Lets apt do something; told is what it installed or removed."""
        self.run(["apt-get", "update", "-q"], as_root=True, network=True)
        settings = ["-q", "-y", "-o", "APT::Keep-Downloaded-Packages=false"]
        told = self.run(["apt-get", *settings, *words], as_root=True, network=True)
        return next((line for line in told.splitlines() if "newly installed" in line), "")

    def run(
        self, command: Sequence[str], *, as_root: bool = False, network: bool = False, folder: str = HOME, code: int = 0
    ) -> str:
        """What a command says, run as the user and without a network unless told. Raises Trouble when it ends otherwise."""
        done = subprocess.run(self._line(command, as_root, network, folder), capture_output=True, text=True, errors="replace")
        said = done.stdout + done.stderr
        if done.returncode != code:
            raise Trouble(f"{shlex.join(command)} ended with {done.returncode}:\n{said[-3000:]}")
        return said

    def start(self, command: Sequence[str]) -> subprocess.Popen[str]:
        """Starts a command of the user and does not wait for its end."""
        line = self._line(command, as_root=False, network=False, folder=HOME)
        return subprocess.Popen(line, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, errors="replace")

    def has(self, name: str) -> bool:
        """Whether there is a program of this name."""
        done = subprocess.run(self._line(["sh", "-c", f"command -v {name}"], False, False, "/"), capture_output=True)
        return done.returncode == 0

    def files(self) -> set[str]:
        """All files that are on it, but for users' own, what apt and dpkg note, and what is made anew of what is installed."""
        passed = ("home", "proc", "dev", "sys", "tmp", "run", "var/log", "var/cache", "var/lib/apt", "var/lib/dpkg")
        found: set[str] = set()
        for place, folders, names in os.walk(self.root):
            inside = Path(place).relative_to(self.root).as_posix()
            folders[:] = [name for name in folders if f"{inside}/{name}".removeprefix("./") not in passed]
            found.update(f"{inside}/{name}".removeprefix("./") for name in names)
        return found

    def place(self, path: str) -> Path:
        """Where a path of the system is, seen from outside."""
        return self.root / path.removeprefix("/")

    def owned(self) -> set[str]:
        """All files that belong to an installed package."""
        lists = (self.root / "var/lib/dpkg/info").glob("*.list")
        return {line.removeprefix("/") for file in lists for line in file.read_text().splitlines()}

    def _line(self, command: Sequence[str], as_root: bool, network: bool, folder: str) -> list[str]:
        """The command line that runs a command in here."""
        surroundings = {"PATH": _PATH, "HOME": "/root" if as_root else HOME, "LANG": "C.UTF-8", "DISPLAY": self.screen.name}
        surroundings["DEBIAN_FRONTEND"] = "noninteractive"
        words = [f"--chdir={'/' if as_root else folder}", *(f"{name}={value}" for name, value in surroundings.items()), *command]
        user = "" if as_root else f"--userspec={_NUMBER}:{_NUMBER}"
        sockets = Path("/tmp/.X11-unix")
        script = _MOUNTED.format(root=shlex.quote(str(self.root)), screen=sockets, user=user, line=shlex.join(words))
        return ["unshare", "--mount", *([] if network else ["--net"]), "sh", "-c", script]


def _quiet(command: Sequence[str]) -> None:
    done = subprocess.run(command, capture_output=True, text=True, errors="replace")
    if done.returncode:
        raise Trouble(f"{shlex.join(command)} ended with {done.returncode}:\n{(done.stdout + done.stderr)[-3000:]}")
