"""A few kills of a working process; `python tests/storage/kills.py --count 200` does them all."""

import os

import pytest

from tests.counts import tries
from tests.storage.kills import run

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="the pipe is passed on as only POSIX does")


def test_nothing_acknowledged_is_lost_when_the_process_is_killed(tmp_path):
    result = run(tries(5, 200), 7, tmp_path)
    assert result["bad"] == 0
    assert result["edits"] > 20
