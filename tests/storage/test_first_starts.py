"""A few of the kills of first_starts.py and of the sizes of small_disks.py, which have them all."""

import subprocess

import pytest

from tests.counts import tries
from tests.storage import first_starts, small_disks


def test_a_first_start_killed_at_any_moment_leaves_a_program_that_starts():
    assert first_starts.run(tries(3, 200), step=tries(160, 5) / 1000) == []


def test_a_full_disk_is_said_and_the_next_start_finds_all_that_was_kept():
    try:
        assert small_disks.run(list(range(0, 129, tries(64, 2))), 1024) == []
    except (subprocess.CalledProcessError, FileNotFoundError):
        pytest.skip("no right to mount a disk here")
