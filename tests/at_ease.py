"""A nesting worker for window tests that leaves the machine to the others."""

import time
from unittest.mock import patch

from workbook.tasks import estimate, worker

AT_ONCE, REST = 4, 0.3  # steps; s after each further one
QUICK = 6  # steps for the steel of an order


def serve_at_ease(pipe):
    """Serves as a nesting worker does, with less searching: a search never ends by itself, and each would take a tenth of what
    the tests have meanwhile.
    """
    search = worker.search

    def at_ease(*arguments):
        steps, sent = search(*arguments), None
        while True:
            try:
                progress = steps.send(sent)
            except StopIteration:
                return
            sent = yield progress
            if progress.step > AT_ONCE:
                time.sleep(REST)

    with patch.object(worker, "search", at_ease), patch.object(estimate, "STEPS", QUICK):
        worker.serve(pipe)
