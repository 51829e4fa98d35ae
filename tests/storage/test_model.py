"""Some random work beside the model; `python tests/storage/model.py --count 2000` does it all."""

import pytest

from tests.counts import tries
from tests.storage.model import run


@pytest.mark.parametrize("seed", range(tries(25, 2000)))
def test_random_work_keeps_to_the_model(seed):
    run(seed)
