"""The program's only entry point: commands run without a display; without a command the window opens."""

import os
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

from workbook import languages
from workbook.later import modules
from workbook.system.folders import hide_unreadable
from workbook.system.memory import collect_seldom
from workbook.texts import _

if TYPE_CHECKING:  # what has tables of texts is loaded once the language is chosen
    from workbook import paths
    from workbook.app import faster_start, refusal
    from workbook.app import main as window
    from workbook.cli import main as commands
    from workbook.system import window_libraries
else:
    paths, faster_start, refusal, window, commands, window_libraries = modules(
        "paths", "app.faster_start", "app.refusal", "app.main", "cli.main", "system.window_libraries"
    )

BEGAN = time.monotonic()
_PORTABLE = "--portable"  # keeps work and settings in a folder where the program is started, as on a USB stick


def main() -> int:
    """Run the command line, or open the window (on a workbook or job file when one is named). Returns the exit code."""
    hide_unreadable()
    arguments = [word for word in sys.argv[1:] if word != _PORTABLE]
    if _PORTABLE in sys.argv[1:]:
        os.environ["MAKERS_WORKBOOK_DATA"] = str(Path.cwd() / "makers-workbook-data")
    languages.speak()
    if arguments and not arguments[0].lower().endswith((".toml", ".shopbook")):
        collect_seldom()
        return commands.main(arguments, BEGAN)
    if sys.platform.startswith("linux") and not {"DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"} & os.environ.keys():
        print(_("There is no display for a window here. The commands need none: makers-workbook --help."), file=sys.stderr)
        return 1
    if sys.platform.startswith("linux") and not faster_start.started_before() and (lacking := _lacking()):
        words = _("The window needs libraries of this system that are missing. On Debian and Ubuntu, install them with:")
        print(words, f"sudo apt install {' '.join(lacking)}", sep="\n", file=sys.stderr)
        return 1
    faster_start.start_faster()
    reason = paths.no_place()
    return refusal.refused(reason) if reason else window.main(arguments)


def _lacking() -> list[str]:
    """Packages that the kind of window which is wanted here needs and that are not installed."""
    wanted = os.environ.get("QT_QPA_PLATFORM", "")
    x11 = wanted.startswith("xcb") or (not wanted and "WAYLAND_DISPLAY" not in os.environ)
    wayland = wanted.startswith("wayland") or (not wanted and not x11)
    return window_libraries.missing(x11=x11, wayland=wayland)


if __name__ == "__main__":
    sys.exit(main())
