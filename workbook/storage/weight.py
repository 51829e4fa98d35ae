"""Limits on the size of a workbook, so that what is written here can always be opened again.

A file larger than `FILE` is refused. Work in progress stays well within it: an edit that would take the records past `RECORDS`
is refused, and the oldest steps of the history are dropped before it exceeds `HISTORY`.
"""

from collections.abc import Sequence

from msgspec import Struct

_SIGNS = ("[", "{", ":")


class Weight(Struct, frozen=True):
    """The size of a piece of JSON in bytes, and its parts: the count of lists, objects or keys, whichever is largest."""

    size: int = 0
    parts: int = 0

    def __add__(self, other: "Weight") -> "Weight":
        return Weight(self.size + other.size, self.parts + other.parts)

    def __sub__(self, other: "Weight") -> "Weight":
        return Weight(self.size - other.size, self.parts - other.parts)

    def within(self, limit: "Weight") -> bool:
        """Whether it is at or below a limit in both size and parts."""
        return self.size <= limit.size and self.parts <= limit.parts


FILE = Weight(64_000_000, 3_000_000)  # far beyond real use; takes seconds to read
RECORDS, HISTORY = Weight(44_000_000, 2_000_000), Weight(16_000_000, 800_000)
MOST_RECORDS, MOST_STEPS = 200_000, 100_000
KEPT_STEPS = 2000
ATTACHMENT_BYTES, ATTACHMENTS_BYTES, MOST_ATTACHMENTS = 8_000_000, 128_000_000, 2000  # of one; of all together; their number


def weight_of(text: str) -> Weight:
    """The weight of a piece of JSON; characters outside ASCII count as their UTF-8 bytes."""
    size = len(text) if text.isascii() else len(text.encode("utf-8", "surrogatepass"))
    return Weight(size, max(text.count(sign) for sign in _SIGNS))


def total(weights: Sequence[Weight]) -> Weight:
    """The sum of several weights."""
    return Weight(sum(weight.size for weight in weights), sum(weight.parts for weight in weights))


def first_kept(steps: Sequence[Weight], done: int) -> int:
    """The number of oldest steps to drop, so that the rest fit `HISTORY` and `KEPT_STEPS`. The last done step and those that can
    be redone always stay.
    """
    total_weight, count = Weight(), 0
    for weight in reversed(steps):
        total_weight += weight
        if count == KEPT_STEPS or not total_weight.within(HISTORY):
            break
        count += 1
    return max(min(done - 1, len(steps) - count), 0)
