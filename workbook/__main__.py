"""The program's one entrance: a command works headless, no command opens the window."""

import sys


def main() -> int:
    """Runs the command line, or opens the window (on a job file when one is named). Returns the exit code."""
    arguments = sys.argv[1:]
    if arguments and not arguments[0].endswith(".toml"):
        from workbook.cli.main import main as command_line

        return command_line(arguments)
    from workbook.app.main import main as window

    return window(arguments)


if __name__ == "__main__":
    sys.exit(main())
