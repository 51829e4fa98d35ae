"""The sample workbooks of every version."""

from pathlib import Path

from workbook.storage.file import read
from workbook.storage.migrations import VERSION

SAMPLES = range(1, VERSION + 1)


def sample(version):
    """The body of a version's sample."""
    return read(Path(__file__).parent / "samples" / f"version-{version}.shopbook").body
