"""Some random work beside the model; `python tests/storage/model.py --count 2000` does it all."""

import pytest

from tests.storage.model import run


@pytest.mark.parametrize("seed", range(25))
def test_random_work_keeps_to_the_model(seed):
    run(seed)
