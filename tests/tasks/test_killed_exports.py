"""A few of the kills and failing calls of killed_exports.py, which has them all."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.counts import FULL

COMMAND = [sys.executable, str(Path(__file__).with_name("killed_exports.py"))]


def counts(*options):
    """What the command counted; it ends well only without a fault."""
    done = subprocess.run([*COMMAND, *options], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return {way: int(n) for n, way in re.findall(r"(\d+) ([\w=]+)", done.stdout)}


@pytest.mark.skipif(not hasattr(os, "fork"), reason="a process is not copied here")
def test_exports_killed_at_any_moment_leave_whole_files():
    found = counts(*([] if FULL else ["--only", "cutting,svg,job", "--step", "90"]))
    assert found["kill"] >= 6
    assert found["faults"] == 0


@pytest.mark.skipif(shutil.which("strace") is None, reason="strace is not here; it is not needed to use or build the program")
def test_no_call_that_fails_or_kills_leaves_half_of_an_export():
    found = counts("--calls", *([] if FULL else ["--only", "svg", "--every", "20"]))
    assert found["error=EIO"] > 2
    assert found["faults"] == 0
