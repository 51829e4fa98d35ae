"""The program's one entrance: a command works headless, no command opens the window."""

import os
import sys
import time
from pathlib import Path

from workbook.system.folders import hide_unreadable

BEGAN = time.monotonic()
_PORTABLE = "--portable"  # work and settings are kept in a folder where the program is started, as on a stick


def main() -> int:
    """Runs the command line, or opens the window (on a workbook or job file when one is named). Returns the exit code."""
    hide_unreadable()
    arguments = [word for word in sys.argv[1:] if word != _PORTABLE]
    if _PORTABLE in sys.argv[1:]:
        os.environ["MAKERS_WORKBOOK_DATA"] = str(Path.cwd() / "makers-workbook-data")
    if arguments and not arguments[0].lower().endswith((".toml", ".shopbook")):
        from workbook.cli.main import main as command_line
        from workbook.system.memory import collect_seldom

        collect_seldom()
        return command_line(arguments, BEGAN)
    if sys.platform.startswith("linux") and not {"DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"} & os.environ.keys():
        print("There is no display for a window here. The commands need none: makers-workbook --help.", file=sys.stderr)
        return 1
    from workbook.app.faster_start import make_haste

    make_haste()
    from workbook.paths import no_place

    why = no_place()
    if why:
        from workbook.app.refusal import refused

        return refused(why)
    from workbook.app.main import main as window

    return window(arguments)


if __name__ == "__main__":
    sys.exit(main())
