"""Some calls that fail or kill; `python tests/storage/injected.py` tries them all."""

import shutil

import pytest

from tests.counts import tries
from tests.storage.injected import run


@pytest.mark.skipif(shutil.which("strace") is None, reason="strace is not here; it is not needed to use or build the program")
def test_no_write_that_fails_or_kills_loses_what_was_told():
    result = run(tries(97, 1))
    assert result["bad"] == 0
    assert result["error=EIO"] >= 2
