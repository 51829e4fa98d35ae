"""Where the shipped resources lie: beside the package in a checkout, inside it once installed."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def resource(*parts: str) -> Path:
    """Path of a shipped file or folder, such as `resource("data", "drills.csv")`. FileNotFoundError when absent."""
    for root in (_PACKAGE.parent / "resources", _PACKAGE / "resources"):
        path = root.joinpath(*parts)
        if path.exists():
            return path
    raise FileNotFoundError(f"The program's own file {'/'.join(parts)} is missing; install the program again.")
