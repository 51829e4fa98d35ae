"""A few of the kills of first_starts.py and of the sizes of small_disks.py, which have them all."""

import subprocess

import pytest

from tests.storage import first_starts, small_disks


def test_a_first_start_killed_at_any_moment_leaves_a_program_that_starts():
    assert first_starts.run(6, step=0.11) == []


def test_a_full_disk_is_said_and_the_next_start_finds_all_that_was_kept():
    try:
        assert small_disks.run([0, 24, 72], 1024) == []
    except (subprocess.CalledProcessError, FileNotFoundError):
        pytest.skip("no right to mount a disk here")
