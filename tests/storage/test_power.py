"""Some simulated power cuts; `python tests/storage/power.py --count 400` makes them all."""

import shutil

import pytest

from tests.counts import tries
from tests.storage.power import run

pytestmark = pytest.mark.skipif(shutil.which("strace") is None, reason="strace is not here; it is not needed to use the program")


def test_a_power_cut_loses_nothing_acknowledged():
    assert run(tries(60, 400), "full") == 0


def test_without_syncing_something_is_lost_so_that_the_test_is_known_to_see():
    assert run(60, "off") > 0
